//! One thing that the starter study file proposes, asks or cannot say.

use schemars::JsonSchema;
use serde::Serialize;

/// How sure a proposal is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum ItemState {
    /// woodstate reads it as it stands; no line is needed.
    Known,
    /// One line to accept.
    Proposal,
    /// Several lines, of which a person chooses one.
    Question,
    /// Nothing is known.
    Unknown,
}

/// A line that may be accepted.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Answer {
    /// What it would mean, such as `mass_saturated [g]`.
    pub meaning: String,
    /// The line of the study file. One that holds … is to be filled in.
    pub line: String,
    /// What that is, in one clause; may be empty.
    pub clause: String,
}

/// A header, a word of a cell or a key of the study file, and what it may mean.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Item {
    /// The header or word as it stands in the file, or the key of the study file.
    pub name: String,
    /// How sure it is.
    pub state: ItemState,
    /// Unit that was seen in the header or in a row of units.
    pub unit: Option<String>,
    /// The lines to accept: one for a proposal, several for a question.
    pub answers: Vec<Answer>,
    /// Why this is proposed, asked or not known.
    pub why: String,
    /// What the numbers in the file suggest; never an answer.
    pub hint: Option<String>,
    /// Cells that hold something.
    pub filled: usize,
    /// The first different ones.
    pub examples: Vec<String>,
}

impl Item {
    pub(super) fn new(name: &str, why: impl Into<String>, answers: Vec<Answer>) -> Self {
        let state = match answers.len() {
            0 => ItemState::Unknown,
            1 => ItemState::Proposal,
            _ => ItemState::Question,
        };
        let (unit, hint, filled, examples) = (None, None, 0, Vec::new());
        Self { name: name.to_owned(), state, unit, answers, why: why.into(), hint, filled, examples }
    }

    /// A key with its answers: the text behind `=` and a clause.
    pub(super) fn key(name: &str, why: impl Into<String>, answers: &[(&str, &str)]) -> Self {
        let answer = |(value, clause): &(&str, &str)| Answer {
            meaning: (*value).to_owned(),
            line: format!("{name} = {value}"),
            clause: (*clause).to_owned(),
        };
        Self::new(name, why, answers.iter().map(answer).collect())
    }

    /// The same as a question, even with one answer.
    pub(super) fn asked(mut self) -> Self {
        self.state = ItemState::Question;
        self
    }
}

/// A line that says what a header or a word means.
pub(super) fn meant(name: &str, meaning: &str, clause: &str) -> Answer {
    Answer {
        meaning: meaning.to_owned(),
        line: format!("{} = {}", quoted(name), quoted(meaning)),
        clause: clause.to_owned(),
    }
}

/// A text as a TOML string.
pub(super) fn quoted(text: &str) -> String {
    let mut quoted = String::from("\"");
    for c in text.chars() {
        match c {
            '"' => quoted.push_str("\\\""),
            '\\' => quoted.push_str("\\\\"),
            c if c.is_control() => quoted.push_str(&format!("\\u{:04X}", u32::from(c))),
            c => quoted.push(c),
        }
    }
    quoted + "\""
}
