//! Why a cell is not a number, and what to write instead.

use crate::error::FindingCode;

use super::{Decimal, NumberText, parse_number};

/// What is wrong with a cell.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Fault {
    pub(super) code: FindingCode,
    pub(super) why: &'static str,
    /// What to do, where it is not what the story of the code says.
    pub(super) cure: Option<&'static str>,
}

impl Fault {
    /// A cell of a workbook that is neither number nor text: a day, or yes and no.
    pub(super) const NOT_A_NUMBER: Self = Self::number("is not a number", Some("write the number alone"));

    const fn number(why: &'static str, cure: Option<&'static str>) -> Self {
        Self { code: FindingCode::NumberUnreadable, why, cure }
    }
}

/// Why a text is not a number with this decimal mark.
pub(super) fn fault(text: &str, decimal: Decimal) -> Fault {
    let text = text.trim().trim_start_matches('<').trim_start();
    if !text.contains(|c: char| c.is_ascii_digit()) {
        return Fault::number("is not a number", None);
    }
    let is_of_number =
        |c: char| c.is_ascii_digit() || c.is_whitespace() || matches!(c, '.' | ',' | '+' | '-' | '\u{2212}');
    let number = text.trim_start_matches(is_of_number);
    let (number, unit) = text.split_at(text.len() - number.len());
    let number = number.trim_end();
    let is_unit = unit.chars().next().is_some_and(|c| c.is_alphabetic() || matches!(c, '%' | '\u{2030}' | '\u{b0}'))
        && !unit.contains(|c: char| c.is_ascii_digit() && c != '3');
    let is_number = |decimal| matches!(parse_number(number, decimal), NumberText::Value(_));
    match (unit.is_empty() || is_unit, is_number(decimal)) {
        (true, true) => Fault::number(
            "is not a number: the cell holds a unit",
            Some("write the number alone; its unit stands in the header"),
        ),
        (true, false) if is_grouped(number) && number.contains(['.', ',']) => other_mark(decimal),
        (true, false) if is_grouped(number) => {
            Fault::number("is not a number: it holds a space", Some("write it without spaces"))
        }
        _ => Fault::NOT_A_NUMBER,
    }
}

fn other_mark(decimal: Decimal) -> Fault {
    match decimal {
        Decimal::Comma => Fault::number(
            "is not a number: the decimal mark of this table is the comma",
            Some("write a decimal comma and nothing between thousands, such as 1234,5"),
        ),
        Decimal::Point => Fault::number(
            "is not a number: the decimal mark of this table is the point",
            Some("write a decimal point and nothing between thousands, such as 1234.5"),
        ),
    }
}

/// Whether a text is digits with marks or spaces between groups of three, and tenths behind a last mark.
fn is_grouped(text: &str) -> bool {
    let digits = text.trim_start_matches(['+', '-', '\u{2212}']);
    let is_between = |c: char| c.is_whitespace() || matches!(c, '.' | ',');
    let groups: Vec<&str> = digits.split(is_between).collect();
    let is_digits = |group: &&str| !group.is_empty() && group.bytes().all(|b| b.is_ascii_digit());
    // What stands behind the last mark may be tenths; behind a space only thousands go on.
    let has_tenths = digits.rfind(is_between).is_some_and(|at| digits[at..].starts_with(['.', ',']));
    let are_thousands = groups.iter().skip(1).rev().skip(usize::from(has_tenths)).all(|group| group.len() == 3);
    groups.len() > 1 && groups.iter().all(is_digits) && are_thousands
}
