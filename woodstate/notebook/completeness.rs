//! Whether a cell at a console is whole.

use super::parse::parsed;
use super::scan::{is_quote_open, n_open};

/// Whether a cell can be run as it stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Completeness {
    /// It can.
    Complete,
    /// More lines are expected, with this indentation.
    Incomplete(String),
    /// It never can.
    Invalid,
}

/// Whether a cell at a console is whole.
///
/// # Example
/// ```
/// use woodstate::notebook::{Completeness, completeness};
/// assert_eq!(completeness("x = 1"), Completeness::Complete);
/// assert_eq!(completeness("for x in [1, 2]:"), Completeness::Incomplete("    ".into()));
/// assert_eq!(completeness("x = = 1"), Completeness::Invalid);
/// ```
#[must_use]
pub fn completeness(code: &str) -> Completeness {
    let last = code.lines().last().unwrap_or_default();
    let indent = |line: &str| line.chars().take_while(|c| *c == ' ').count();
    let is_block = last.trim_end().ends_with(':');
    if is_quote_open(code) {
        return Completeness::Incomplete(String::new());
    }
    if n_open(code) > 0 {
        return Completeness::Incomplete(" ".repeat(indent(last).max(4)));
    }
    if is_block {
        return Completeness::Incomplete(" ".repeat(indent(last) + 4));
    }
    match parsed("cell", code.to_owned()) {
        // A block may go on until a blank line ends it.
        Ok(_) if indent(last) > 0 && !code.ends_with('\n') && !last.trim().is_empty() => {
            Completeness::Incomplete(" ".repeat(indent(last)))
        }
        Ok(_) => Completeness::Complete,
        Err(_) => Completeness::Invalid,
    }
}
