//! What a wrong condition is answered, and where the mark stands.

use woodstate::error::ErrorKind;
use woodstate::table::{Condition, Names};

use super::table;

/// The answer has this text, and the mark stands below this part of the condition.
#[track_caller]
fn check(condition: &str, at: &str, text: &str) {
    let error = Condition::parse(condition, &Names::of_table(&table())).unwrap_err();
    let ErrorKind::Condition { character, text: found, .. } = error.kind() else { panic!("{error}") };
    assert!(found.contains(text), "{found}");
    let rest: String = condition.chars().skip(character - 1).collect();
    assert!(rest.starts_with(at), "the mark stands before {rest:?}");
}

#[test]
fn the_mark_stands_below_the_fault() {
    let error = Condition::parse("taxon == 'oak' and depth_form < 20 mm", &Names::of_table(&table())).unwrap_err();
    assert_eq!(
        error.to_string(),
        "in the condition, at character 20: there is no column \"depth_form\"; did you mean depth_from?\n  \
         taxon == 'oak' and depth_form < 20 mm\n  \
         ...................^"
            .replace('.', " ")
    );
}

#[test]
fn a_unit_of_another_kind_is_refused_with_those_that_fit() {
    check("depth_from < 20 g", "g", "g is no unit for depth_from; allowed: mm, um, cm, m");
    check("depth_from < 20 foo", "foo", "foo is no unit for depth_from");
}

#[test]
fn a_decimal_comma_is_answered_with_the_point() {
    check("depth_from < 350,5", "350,5", "the decimal mark in conditions is the point: 350.5");
    check("depth_from in (1,5)", "1,5", "a list needs a space: 1, 5");
}

#[test]
fn a_result_is_refused_on_measurements() {
    check("max_water_content > 400", "max_water_content", "max_water_content is a result, not a measurement");
}

#[test]
fn a_word_without_quotes_is_answered_with_quotes() {
    check("taxon == oak", "oak", "a word stands between quotes: taxon == 'oak'");
    check("depth_from < depth_to", "depth_to", "not with another column");
}

#[test]
fn words_numbers_and_days_are_not_mixed() {
    check("depth_from == 'deep'", "'deep'", "depth_from holds numbers in mm");
    check("context == 12", "12", "context holds words, not numbers; write it between quotes: context == '12'");
    check("context < 'b'", "'b'", "words, which have no order");
    check("date_sampled < '2023'", "'2023'", "is not a day; write year-month-day");
}

#[test]
fn a_word_that_a_column_cannot_hold_is_refused_with_the_near_one() {
    check("charring == 'trough'", "'trough'", "its words: none, surface, partial, through; did you mean 'through'?");
    check("charring == 'unknown'", "'unknown'", "write unknown(charring)");
}

#[test]
fn what_does_not_close_or_end_is_shown() {
    check("(depth_from < 20", "(depth_from", "never closed");
    check("depth_from < 20)", ")", "never opened");
    check("context == 'barge", "'barge", "no other at the end");
    check("`Kiste == '7'", "`Kiste", "no other at the end");
    check("depth_from <", "", "compare depth_from with a number");
    check("depth_from", "", "a comparison is missing behind depth_from, such as depth_from < 20 mm");
    check("depth_from < 20 mm and", "", "ends where a comparison should follow");
    check("  ", "  ", "the condition is empty");
    check("10 < depth_from < 20", "< 20", "joined by the word and");
    check("charring == 'none' context == 'barge'", "context", "the words and, or");
    check("depth_from < 20 && charring == 'none'", "&&", "write the word and");
    check("context in 'barge'", "'barge'", "a list in parentheses");
    check("depth_from # 3", "#", "no meaning");
    check("1.2.3 < depth_from", "1.2.3", "not a number");
}

#[test]
fn no_text_brings_the_reader_down() {
    let names = Names::of_table(&table());
    let deep = "(".repeat(100_000);
    assert!(Condition::parse(&deep, &names).is_err());
    assert!(Condition::parse(&"not ".repeat(100_000), &names).is_err());
    assert!(Condition::parse("depth_from < 1e999", &names).is_err());
    assert!(Condition::parse("\u{202e}depth_from\u{0} < 1", &names).is_err());
}
