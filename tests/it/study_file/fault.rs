//! Faults of a study file: file, line, column, what was found, what is allowed.

use woodstate::error::ErrorKind;
use woodstate::study::Study;

/// The sentence, which begins with file, line and column.
#[track_caller]
fn check(text: &str) -> String {
    let error = Study::parse(text, "woodstate.toml").unwrap_err();
    assert!(matches!(error.kind(), ErrorKind::Study { .. }), "{error}");
    error.to_string()
}

#[track_caller]
fn starts(text: &str, expected: &str) {
    let found = check(text);
    assert!(found.starts_with(expected), "{found}\n  expected: {expected}");
}

#[test]
fn an_unknown_key_is_named_with_the_known_ones() {
    starts(
        "# x\n[instruments]\n  balanse = \"0.01 g\"\n",
        "woodstate.toml:3:3: unknown field `balanse`, expected one of `balance`",
    );
    starts("titel = \"x\"\n", "woodstate.toml:1:1: unknown field `titel`, expected one of `title`");
    starts("[assess]\nsead = 1\n", "woodstate.toml:2:1: unknown field `sead`");
    starts("[protocol]\noperater = \"x\"\n", "woodstate.toml:2:1: unknown field `operater`");
    starts("[sample]\nsheet = \"x\"\n", "woodstate.toml:1:2: unknown field `sample`");
}

#[test]
fn a_wrong_unit_is_named_with_the_allowed_ones() {
    starts("[instruments]\nbalance = \"0.01 mm\"\n", "woodstate.toml:2:11: unit \"mm\" is not one of g, mg, kg");
    starts("[water]\npore_salinity = \"7 Cel\"\n", "woodstate.toml:2:17: unit \"Cel\" is not one of ");
    starts("[assess]\nash_limit = \"5 kg\"\n", "woodstate.toml:2:13: unit \"kg\" is not one of ");
    starts("[references.oak]\nbasic_density = \"5 g\"\n", "woodstate.toml:2:17: unit \"g\" is not one of kg/m3");
}

#[test]
fn a_missing_unit_is_asked_for_with_an_example() {
    let text = "[instruments]\nbalance = \"0.01\"\n";
    starts(text, "woodstate.toml:2:11: \"0.01\" is not a number with its unit, such as \"1.5 g\"");
}

#[test]
fn a_limit_has_no_uncertainty_and_is_above_0() {
    starts(
        "[instruments]\nbalance = \"0.01 ± 0.001 g\"\n",
        "woodstate.toml:2:11: this is an uncertainty or a limit itself",
    );
    starts("[assess]\nash_limit = \"0 %\"\n", "woodstate.toml:2:13: 0 % is not above 0");
}

#[test]
fn numbers_out_of_range_are_named_with_the_range() {
    starts("[assess]\ndecided_at = 80\n", "woodstate.toml:2:14: decided_at is 80; allowed is a number between 0 and 1");
    starts("[assess]\ncoverage = 1.0\n", "woodstate.toml:2:12: coverage is 1; allowed is a number between 0 and 1");
    starts("[water]\npore_salinity = \"50 g/kg\"\n", "woodstate.toml:2:17: 50 g/kg is outside 0 to 42 g/kg");
    starts("[water]\ndensity = \"1 kg/m3\"\n", "woodstate.toml:2:11: 1 kg/m3 is outside 950 to 1100 kg/m3");
    starts(
        "[assess]\ncell_wall_density = \"150 kg/m3\"\n",
        "woodstate.toml:2:21: 150 kg/m3 is outside 1200 to 1700 kg/m3",
    );
    starts("[samples]\nheader_row = 0\n", "woodstate.toml:2:14: rows are counted from 1");
}

#[test]
fn a_word_that_is_not_one_of_a_few_is_named_with_them() {
    starts("[assess]\nboundary = \"both\"\n", "woodstate.toml:2:12: \"both\" is not one of worse, better");
    starts("[assess]\noutside_scope = \"yes\"\n", "woodstate.toml:2:17: \"yes\" is not one of no_class, classify");
    starts("[timbers]\ndecimal = \";\"\n", "woodstate.toml:2:11: \";\" is not one of ., ,");
}

#[test]
fn an_unknown_scheme_is_named_with_those_there_are() {
    starts(
        "[assess]\nscheme = \"oak-water\"\n",
        "woodstate.toml:2:10: unknown class scheme \"oak-water\"; known: oak-water-content",
    );
}

#[test]
fn a_scheme_with_a_gap_says_what_bands_must_do() {
    let scheme = |classes: &str| {
        format!(
            "[assess]\nscheme = \"x\"\n[schemes.x]\ntitle = \"t\"\nquantity = \"max_water_content\"\nsource = \"s\"\n\
             classes = [{classes}]\n"
        )
    };
    let gap = scheme("{ label = \"I\", from = 500.0 }, { label = \"II\", to = 400.0 }");
    starts(&gap, "woodstate.toml:3:1: classes of scheme x must cover every value once");
    let twice = scheme("{ label = \"I\", from = 400.0 }, { label = \"I\", to = 400.0 }");
    starts(&twice, "woodstate.toml:3:1: scheme x has a label twice");
    let one = scheme("{ label = \"I\" }");
    starts(&one, "woodstate.toml:3:1: scheme x needs at least two classes");
    let other = gap.replace("max_water_content", "water");
    starts(&other, "woodstate.toml:5:12: \"water\" is not a derived quantity");
}

#[test]
fn an_unknown_column_is_named_with_a_proposal() {
    starts(
        "[samples.columns]\n\"Nass\" = \"mass_saturatd [g]\"\n",
        "woodstate.toml:2:10: \"mass_saturatd [g]\" is not a column of samples. Did you mean mass_saturated?",
    );
    starts(
        "[samples.words.charing]\n\"ja\" = \"partial\"\n",
        "woodstate.toml:1:16: \"charing\" is not a column of samples",
    );
    starts(
        "[log.columns]\n\"x\" = \"mass_saturated [g]\"\n",
        "woodstate.toml:2:7: \"mass_saturated [g]\" is not a column of log",
    );
}

#[test]
fn text_that_is_no_study_file_is_refused_at_its_place() {
    starts("title = \"x\"\n[water\n", "woodstate.toml:2:");
    starts("title = 5\n", "woodstate.toml:1:9: invalid type: integer `5`, expected a string");
    starts("[assess]\nseed = -1\n", "woodstate.toml:2:8: ");
    starts("title = \"a\"\ntitle = \"b\"\n", "woodstate.toml:2:1: duplicate key");
}

#[test]
fn a_fault_of_the_report_is_told() {
    let day = "woodstate.toml:2:8: \"27.11.2026\" is not a day as year-month-day, such as 2026-11-27";
    starts("[report]\ndate = \"27.11.2026\"\n", day);
    let rules = "woodstate.toml:2:11: \"worst\" is not one of worst-class, reduced-sulfur, iron, class-not-decided";
    starts("[report]\nurgent = [\"worst\"]\n", rules);
    starts("[report]\niron_limit = \"-1 mg/kg\"\n", "woodstate.toml:2:14: -1 mg/kg is outside 0 to 1000000 mg/kg");
    starts("[report]\niron_limit = \"1\"\n", "woodstate.toml:2:14: ");
}
