//! The text of a condition, and faults in it with their place.

use crate::error::{Error, ErrorKind};

/// The text of a condition.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Text {
    pub(super) characters: Vec<char>,
}

impl Text {
    pub(super) fn of(text: &str) -> Self {
        // A tab would move the mark below the text.
        Self { characters: text.chars().map(|c| if c.is_whitespace() { ' ' } else { c }).collect() }
    }

    /// A fault behind so many characters.
    pub(super) fn fault(&self, at: usize, text: impl Into<String>) -> Error {
        let condition: String = self.characters.iter().collect();
        Error::new(ErrorKind::Condition { condition, character: at + 1, text: text.into() })
    }
}
