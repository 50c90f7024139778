//! `lift` in cells.

use super::desk::{fault, harbour_fault, in_harbour, text};

/// Oven-dry density 560 kg/m3 of the waterlogged volume, 6 m of 0.25 m by 0.25 m: the mass of study/lift.rs.
const TYPED: &str =
    "l = lift(length='6 m', width='250 mm', height='250 mm', basic_density='560 ± 30 kg/m3', water='fresh', draws=500)";

#[test]
fn a_typed_timber_is_lifted_with_its_dangers() {
    in_harbour(|session, _| {
        text(session, TYPED);
        let shown = session.run("Cell [1]", "l").unwrap().unwrap();
        for part in ["no lifting plan", "Local codes, licensed lifting practice"] {
            assert!(shown.text.contains(part), "{part}: {}", shown.text);
        }
        assert!(shown.html.unwrap().contains("<table class=\"dataframe\">"));
        assert_eq!(text(session, "l.lifts[0].answer.support"), "\"tray\"");
        let mass: f64 = text(session, "l.lifts[0].mass_in_air.value").parse().unwrap();
        assert!((mass - 445.0).abs() < 1.0, "{mass}");
        // A value with its unit says the same as a text.
        let other = TYPED.replace("'560 ± 30 kg/m3'", "measured(560, 30, 'kg/m3')").replace("l = ", "m = ");
        text(session, &other);
        assert_eq!(text(session, "l.lifts[0].mass_in_air.value == m.lifts[0].mass_in_air.value"), "True");
    });
}

#[test]
fn timbers_of_a_batch_are_lifted() {
    in_harbour(|session, _| {
        text(session, "s = assess(read('harbour.xlsx'))");
        text(
            session,
            "l = lift(s.where(\"timber == 'B01'\"), support=['tray', 'slings:0.2,0.25'], sling_width='100 mm', draws=0)",
        );
        assert_eq!(text(session, "[len(l.lifts), l.lifts[0].timber, len(l.lifts[0].supports)]"), "[1, \"B01\", 2]");
        let fault = fault(session, "lift(s[0:3])");
        assert_eq!(fault.text, "Pieces that were chosen by their place cannot be lifted.");
    });
}

#[test]
fn what_does_not_go_together_is_refused() {
    let cases = [
        ("lift()", "Nothing is named to lift."),
        (
            "lift(read('harbour.xlsx'), length='6 m')",
            "Length is of one timber that is typed, and a table is named too.",
        ),
        (
            "lift(length='6 m', basic_density='560 kg/m3', accepted_probability='1 %')",
            "accepted_probability needs a margin that may be missed.",
        ),
    ];
    for (cell, said) in cases {
        assert_eq!(harbour_fault(cell).text, said, "{cell}");
    }
    let fault = harbour_fault("lift(length='6 m', basic_density='560 kg/m3', attached='4 kg')");
    assert_eq!(fault.kind, "unit", "{fault}");
    let fault = harbour_fault("lift(read('harbour.xlsx'), sling_width=100)");
    assert_eq!(fault.kind, "unit", "{fault}");
    let fault = harbour_fault("lift(read('harbour.xlsx'), suport='tray')");
    assert_eq!(fault.cure.as_deref(), Some("did you mean support?"));
}
