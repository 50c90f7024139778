//! A comparison with a column is never silently wrong.

use super::desk::{harbour, harbour_fault, in_harbour, text};

const FIRST: &str = "s = assess(read('harbour.xlsx'))\nc = s.max_water_content\n";

#[test]
fn a_column_is_compared_by_no_operator_on_no_side() {
    let cases = [
        ("c == 3", "s.where(\"max_water_content == 3\")"),
        ("3 == c", "s.where(\"max_water_content == 3\")"),
        ("c != 3", "s.where(\"max_water_content != 3\")"),
        ("s.taxon == 'oak'", "s.where(\"taxon == 'oak'\")"),
        ("c > 400", "s.where(\"max_water_content > 400\")"),
        ("400 < c", "s.where(\"max_water_content > 400\")"),
        ("c <= 400", "s.where(\"max_water_content <= 400\")"),
        ("s[c >= 400]", "s.where(\"max_water_content >= 400\")"),
        ("c == c", "s.where(\"max_water_content == column max_water_content [%] of 158 values\")"),
        ("[x for x in [1] if c > x]", "s.where(\"max_water_content > 1\")"),
        ("def f(): return c == 3\nf()", "s.where(\"max_water_content == 3\")"),
    ];
    for (code, cure) in cases {
        let fault = harbour_fault(&format!("{FIRST}{code}"));
        assert_eq!(fault.text, "A column is not compared as a whole; rows are chosen with text.", "{code}");
        if code != "c == c" {
            assert_eq!(fault.cure.as_deref(), Some(cure), "{code}");
        }
        assert!(fault.place[2].contains("^^^"), "{code}: {fault}");
    }
}

#[test]
fn a_condition_is_no_truth() {
    let fault = harbour_fault(&format!("{FIRST}s.where(1 == 1)"));
    assert_eq!(fault.text, "A condition is a text in quotes, and this is a truth.");
    let fault = harbour_fault("t = read('harbour.xlsx')\nt.where(t.depth_from)");
    assert_eq!(fault.text, "A condition is a text in quotes, and this is a column.");
}

#[test]
fn numbers_texts_and_lists_behave_as_before() {
    let cases = [
        (
            "[1 == 1.0, 'a' == 'b', [1] == [1], 1 != 2, 'a' < 'b', (1, 2) >= (1, 1)]",
            "[True, False, True, True, True, True]",
        ),
        ("[7 - 2, 7 / 2, 7 // 2, 7 % 2, -3, 'a%s' % 1]", "[5, 3.5, 3, 1, -3, \"a1\"]"),
        ("[None == None, 1 == '1', None != 0]", "[True, False, True]"),
    ];
    for (code, expected) in cases {
        assert_eq!(harbour(code), expected);
    }
}

#[test]
fn both_sides_of_arithmetic_take_a_column() {
    in_harbour(|session, _| {
        text(session, "t = read('harbour.xlsx')");
        // Rows 2 and 3 of the file: mass_saturated and mass_oven_dry.
        text(session, "w = t.mass_saturated\nd = t.mass_oven_dry");
        assert_eq!(text(session, "(w - d).unit"), "\"g\"");
        assert_eq!(text(session, "((w - d) / d).values[0] == (w.values[0] - d.values[0]) / d.values[0]"), "True");
        assert_eq!(text(session, "(100 - w).values[0] == 100 - w.values[0]"), "True");
        assert_eq!(text(session, "(2 * w + w).values[0] == 3 * w.values[0]"), "True");
        assert_eq!(text(session, "(100 / (w / d)).values[0] == 100 / (w.values[0] / d.values[0])"), "True");
        assert_eq!(text(session, "(-w).values[0] == -w.values[0]"), "True");
    });
}

#[test]
fn wrong_units_are_refused() {
    let first = "t = read('harbour.xlsx')\n";
    let fault = harbour_fault(&format!("{first}t.mass_saturated - t.depth_from"));
    assert_eq!(fault.text, "A value in mm cannot be subtracted from one in g.");
    let fault = harbour_fault(&format!("{first}1 / t.mass_saturated"));
    assert_eq!(fault.text, "There is no unit here for 1 over g.");
    let fault = harbour_fault(&format!("{first}t.sample + 1"));
    assert_eq!(fault.text, "Sample holds texts, and this needs numbers.");
}

#[test]
fn a_column_or_a_value_is_no_truth() {
    let cells = ["if c: print('yes')", "x = not c", "x = c and 1", "x = 1 if c else 2", "[n for n in [1] if c]"];
    for cell in cells {
        let fault = harbour_fault(&format!("{FIRST}{cell}"));
        assert_eq!(fault.text, "Column max_water_content is neither true nor false.", "{cell}");
        assert_eq!(fault.cure.as_deref(), Some("s.where(\"...\") chooses rows; len(...) counts them"));
    }
    let fault = harbour_fault("t = read('harbour.xlsx')\nif t['mass_saturated']: print('yes')");
    assert_eq!(fault.text, "Column mass_saturated is neither true nor false.");
    let fault = harbour_fault("if measured(0, 1, 'g'): print('yes')");
    assert_eq!(fault.text, "The value 0.0 ± 1.0 g is neither true nor false.");
    // The session lives on, and nothing behind the question was done.
    in_harbour(|session, heard| {
        text(session, FIRST);
        super::desk::fault(session, "if c: print('yes')");
        assert_eq!(text(session, "1 + 1"), "2");
        assert_eq!(*heard.printed.borrow(), "");
    });
}
