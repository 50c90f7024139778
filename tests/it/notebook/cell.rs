//! Cells run one after the other and keep what they name.

use super::desk::{fault, harbour, in_harbour, text};

#[test]
fn names_stay_and_the_last_result_has_one() {
    in_harbour(|session, _| {
        assert_eq!(text(session, "x = 20"), "");
        assert_eq!(text(session, "x + 1"), "21");
        assert_eq!(text(session, "_ * 2"), "42");
        assert_eq!(text(session, "5;"), "");
        assert_eq!(text(session, "_"), "5");
    });
}

#[test]
fn a_function_takes_the_value_that_a_name_has_now() {
    in_harbour(|session, _| {
        text(session, "k = 1.2");
        text(session, "def f(x): return k * x\ng = lambda x: k + x");
        text(session, "k = 1.5");
        assert_eq!(text(session, "[f(2), g(1)]"), "[3.0, 2.5]");
        let fault = fault(session, "y = 1\ndef h(): return k + missing\nh()");
        assert_eq!(fault.place[0], "Cell [1], line 2:");
    });
}

#[test]
fn what_was_done_before_a_fault_is_kept() {
    in_harbour(|session, _| {
        fault(session, "a = 7\nb = a + \"x\"");
        assert_eq!(text(session, "a"), "7");
    });
}

#[test]
fn printed_text_is_told_apart_from_notes() {
    in_harbour(|session, heard| {
        text(session, "t = read('harbour.xlsx')\nprint('rows:', len(t))");
        assert_eq!(*heard.printed.borrow(), "rows: 161\n");
        let notes = heard.notes.borrow();
        assert!(
            notes.starts_with("harbour.xlsx: 161 rows x 42 columns; header found in row 1; study file: "),
            "{notes}"
        );
    });
}

#[test]
fn a_table_is_chosen_sorted_and_sliced() {
    let first = "t = read('harbour.xlsx')\n";
    assert_eq!(harbour(&format!("{first}len(t.where(\"depth_from < 2 cm and taxon == 'oak'\"))")), "65");
    assert_eq!(harbour(&format!("{first}t.sort('depth_from', descending=True)['depth_from'][0]")), "40 ± unknown mm");
    assert_eq!(harbour(&format!("{first}len(t[0:10:2])")), "5");
    assert_eq!(harbour(&format!("{first}t[0]['sample']")), "\"B01-K1-1\"");
    assert_eq!(harbour(&format!("{first}t.columns[0]")), "\"sample\"");
    // Rows that were cut away are counted as left out, not lost.
    assert_eq!(harbour(&format!("{first}check(t[0:10]).counts.left_out")), "151");
}

#[test]
fn a_derived_column_goes_wherever_columns_go() {
    in_harbour(|session, _| {
        text(session, "t = read('harbour.xlsx').derive('water = mass_saturated - mass_oven_dry')");
        text(session, "t = t.derive('share = water / mass_saturated')");
        assert_eq!(text(session, "[t.water.unit, t.share.unit]"), "[\"g\", \"1\"]");
        // Row 2 of the file: 2.09 g saturated, 0.34 g oven-dry.
        assert_eq!(
            text(session, "[fmt(t.water[0], digits=2), fmt(t['share'].values[0], digits=4)]"),
            "[\"1.75 ± unknown g\", \"0.8373\"]"
        );
        assert_eq!(
            text(session, "len(t.where('water > 1.7 g')) == len([w for w in t.water.values if w != None and w > 1.7])"),
            "True"
        );
        assert_eq!(text(session, "len(t.where('water > 1700 mg')) == len(t.where('water > 1.7'))"), "True");
        text(session, "s = assess(t)");
        assert_eq!(text(session, "summary(s, value='water').groups[0].values[0].unit"), "\"g\"");
        assert_eq!(text(session, "s.water.unit"), "\"g\"");
        let taken = fault(session, "t.derive('mass_oven_dry = mass_saturated')");
        assert_eq!(taken.text, "Unknown name of a new column \"mass_oven_dry\"; known: one that no column has");
        assert_eq!(
            fault(session, "t.derive('x = mass_saturated + depth_from')").text,
            "A value in mm cannot be added to one in g."
        );
        assert_eq!(fault(session, "t.derive('x = 3')").text, "3 gives 3, and a column of numbers is needed.");
        assert!(fault(session, "t.derive('mass_saturated > 3')").cure.unwrap().contains("t.derive("));
    });
}

#[test]
fn a_choice_of_results_says_what_was_left_out() {
    in_harbour(|session, heard| {
        text(session, "s = assess(read('harbour.xlsx'))");
        heard.notes.borrow_mut().clear();
        assert_eq!(text(session, "o = s.where('max_water_content > 400').where('depth_from < 20 mm')\nlen(o)"), "48");
        assert!(heard.notes.borrow().contains("more are left out, because what the condition asks is unknown"));
        assert_eq!(text(session, "summary(o, value='max_water_content').groups[0].values[0].n"), "48");
        text(session, "s.where(\"taxon == 'ook'\")");
        assert!(heard.notes.borrow().contains("Values there: taxon Quercus, deciduous ("));
    });
}

#[test]
fn outcomes_have_parts_behind_dots() {
    in_harbour(|session, _| {
        text(session, "s = assess(read('harbour.xlsx'))");
        assert_eq!(text(session, "profile(s, replicates=0).value.name"), "\"residual_basic_density\"");
        assert_eq!(text(session, "check(read('harbour.xlsx')).kind"), "\"check\"");
        assert_eq!(text(session, "summary(s, by='context').groups[0].values[0].unit"), "\"%\"");
        assert_eq!(text(session, "'class-out-of-scope' in s.cautions"), "True");
    });
}

#[test]
fn a_fit_is_drawn_of_itself_and_of_results() {
    super::desk::in_folder("datasets-demo/strength".as_ref(), |session, _| {
        text(session, "s = assess(read('mechanics.csv'))");
        text(session, "f = fit(s, value='bending_modulus', against='basic_density', replicates=0)");
        let drawn = session.run("Cell [1]", "figure('strength-curve', f)").unwrap().unwrap();
        assert!(drawn.svg.unwrap().starts_with("<svg") && drawn.png.unwrap().starts_with(b"\x89PNG"));
        assert_eq!(drawn.size, Some([321, 313]));
        assert!(text(session, "sources(f)").contains("evidence"));
    });
}

#[test]
fn advice_is_a_card_with_its_dangers() {
    in_harbour(|session, _| {
        text(session, "t = read('harbour.xlsx')\na = advise(t, replicates=20)");
        assert_eq!(text(session, "[a.kind, len(a.timbers)]"), "[\"advise\", 28]");
        let card = text(session, "a");
        assert!(card.contains("The conservator decides") && card.contains("local"), "{card}");
        assert!(text(session, "sources(a)").contains("evidence"));
    });
}

#[test]
fn a_treatment_is_followed_by_its_log() {
    super::desk::in_folder("datasets-demo/tank".as_ref(), |session, _| {
        assert_eq!(text(session, "f = follow('log.csv', target='90 %')\nf.kind"), "\"following\"");
        assert_eq!(fault(session, "follow('log.csv', target='90')").kind, "unit");
    });
}

#[test]
fn settings_hold_for_what_is_made_afterwards() {
    in_harbour(|session, _| {
        text(session, "t = read('harbour.xlsx')");
        text(session, "settings(seed=7, coverage=0.9)");
        assert_eq!(text(session, "check(t).settings.coverage"), "0.9");
        assert_eq!(text(session, "check(t).settings.seed"), "7");
        let fault = fault(session, "settings(coverage=1.5)");
        assert_eq!(fault.text, "Coverage is 1.5, and it lies between 0 and 1.");
    });
}
