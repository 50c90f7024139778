//! `bath` in cells.

use super::desk::{harbour_fault, in_harbour, text};

#[test]
fn baths_of_typed_wood_are_mixed_washed_timed_and_frozen() {
    in_harbour(|session, _| {
        let cells = [
            (
                "bath('mix', wood_volume='80 L', wood_water='68.6 kg', tank='300 L', temperature='20 Cel', impregnant='PEG 2000', \
                 steps='10 % by mass')",
                "bath_mix",
            ),
            ("bath('wash', wood_volume='80 L', wood_water='68.6 kg', tank='400 L', salt_left='1 %')", "bath_wash"),
            ("bath('time', diameter='100 mm', diffusivity='1e-12 to 1e-10 m2/s')", "bath_time"),
            ("bath('freeze', wood_temperature='-30 Cel', chamber_pressure='10 Pa')", "bath_freeze"),
        ];
        for (cell, kind) in cells {
            text(session, &format!("b = {cell}"));
            assert_eq!(text(session, "b.kind"), format!("\"{kind}\""), "{cell}");
            assert_eq!(text(session, "len(b.safety.notes) > 0"), "True", "{cell}");
            let shown = session.run("Cell [1]", "b").unwrap().unwrap();
            assert!(shown.text.len() > 200 && shown.html.is_some(), "{}", shown.text);
        }
    });
}

#[test]
fn a_table_is_the_wood_of_a_bath() {
    in_harbour(|session, _| {
        text(session, "t = read('harbour.xlsx').where(\"timber in ('B01', 'B02')\")");
        text(
            session,
            "b = bath('mix', t, tank=measured(2400, 0, 'L'), temperature='20 Cel', impregnant='PEG 2000', steps='10 % by mass')",
        );
        assert_eq!(text(session, "[timber.timber for timber in b.timbers]"), "[\"B01\", \"B02\"]");
    });
}

#[test]
fn what_plays_no_part_is_refused() {
    let cases = [
        ("bath('mx')", Some("bath(\"mix\", ...)")),
        ("bath('freeze', read('harbour.xlsx'))", None),
        (
            "bath('time', diameter='100 mm', diffusivity='1e-11 m2/s', tank='400 L')",
            Some("bath(\"time\", t, tank=...)"),
        ),
        (
            "bath('wash', read('harbour.xlsx'), wood_volume='80 L')",
            Some("bath(\"wash\", t, ...) or bath(\"wash\", wood_volume=...)"),
        ),
        ("bath('wash', read('harbour.xlsx'), bound_water='30 %')", None),
    ];
    for (cell, cure) in cases {
        let fault = harbour_fault(cell);
        assert_eq!(fault.kind, "not done", "{cell}: {fault}");
        if cure.is_some() {
            assert_eq!(fault.cure.as_deref(), cure, "{cell}");
        }
    }
    assert_eq!(harbour_fault("bath('mix', read('harbour.xlsx'))").kind, "missing");
}
