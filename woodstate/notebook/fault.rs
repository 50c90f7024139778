//! What went wrong in a cell: one sentence, the place, what to do.

use std::fmt;
use std::sync::atomic::{AtomicBool, Ordering};

use crate::error::{Error, ErrorKind};
use crate::study::Stopped;

use super::amount::Refusal;
use super::spoken::spoken;

/// What went wrong in a cell.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Fault {
    /// A plain word for the kind of fault.
    pub kind: &'static str,
    /// One sentence.
    pub text: String,
    /// Where: name of the cell with line and column, the line, and a caret below the place.
    pub place: Vec<String>,
    /// What to do; often a line to type.
    pub cure: Option<String>,
}

impl Fault {
    pub(super) fn new(kind: &'static str, text: impl Into<String>) -> Self {
        Self { kind, text: text.into(), ..Self::default() }
    }

    pub(super) fn with_cure(mut self, cure: impl Into<String>) -> Self {
        self.cure = Some(cure.into());
        self
    }

    /// The lines that a person reads, without the kind.
    #[must_use]
    pub fn lines(&self) -> Vec<String> {
        let mut lines: Vec<String> = self.text.lines().map(str::to_owned).collect();
        lines.extend(self.place.iter().cloned());
        if let Some(cure) = &self.cure {
            lines.extend(cure.lines().map(|line| format!("  {line}")));
        }
        lines
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.kind, self.lines().join("\n"))
    }
}

/// A sentence of ours with its cure, on its way through the cell language.
#[derive(Debug)]
pub(super) struct Refused {
    pub(super) text: String,
    pub(super) cure: String,
}

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

impl std::error::Error for Refused {}

/// An error of the cell language with our sentence and cure.
pub(super) fn refuse(text: impl Into<String>, cure: impl Into<String>) -> starlark::Error {
    starlark::Error::new_other(Refused { text: text.into(), cure: cure.into() })
}

/// The same of an amount.
pub(super) fn refused((text, cure): Refusal) -> starlark::Error {
    refuse(text, cure)
}

/// An error of the library in a cell.
pub(super) fn failed(error: Error) -> starlark::Error {
    starlark::Error::new_other(error)
}

/// Whether a session was asked to stop.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stopper<'a>(pub(super) &'a AtomicBool);

impl Stopper<'_> {
    pub(super) fn is_set(self) -> bool {
        self.0.load(Ordering::Relaxed)
    }
}

/// The fault of an error of the library.
pub(super) fn of_error(error: &Error) -> Fault {
    let kind = match error.kind() {
        ErrorKind::File { .. } | ErrorKind::WouldOverwrite { .. } => "file",
        ErrorKind::Content { .. } => "data",
        ErrorKind::Study { .. } => "study file",
        ErrorKind::Condition { .. } => "condition",
        ErrorKind::Name { .. } => "name",
        ErrorKind::Unit { .. } | ErrorKind::Quantity { .. } => "unit",
        ErrorKind::Missing { .. } => "missing",
        ErrorKind::Range { .. } | ErrorKind::Shape { .. } => "number",
        ErrorKind::Stopped => return interrupted(),
        ErrorKind::Template { .. } => "template",
        ErrorKind::Reference { .. } => "internal fault",
    };
    let fault = Fault::new(kind, sentence(&spoken(&error.to_string())));
    match error.hint() {
        Some(hint) => fault.with_cure(spoken(hint)),
        None if fault.text.contains("results exist after assess") => fault.with_cure("first: s = assess(t)"),
        None if matches!(error.kind(), ErrorKind::WouldOverwrite { .. }) => {
            fault.with_cure("name another file, or add force=True")
        }
        None => fault,
    }
}

/// What is said of a cell that was stopped.
pub(super) fn interrupted() -> Fault {
    Fault::new("interrupted", "The cell was stopped. What it had given a name before is kept; the rest was not done.")
}

/// What is said of a cell that was stopped inside a function that gives what it had done.
pub(super) fn so_far(Stopped { done, total }: Stopped) -> Fault {
    let text = format!(
        "The cell was stopped after {done} of {total} timbers, which _ has. What it had given a name before is kept; the rest \
         was not done."
    );
    Fault { text, ..interrupted() }.with_cure("x = _ keeps them; run the cell again for all timbers")
}

/// A sentence begins with a capital, unless it begins with a name or a path.
pub(super) fn sentence(text: &str) -> String {
    let first = text.split([' ', ':', '\n']).next().unwrap_or_default();
    let is_word = first.chars().all(|c| c.is_ascii_lowercase());
    let mut letters = text.chars();
    match letters.next() {
        Some(letter) if is_word => letter.to_uppercase().chain(letters).collect(),
        _ => text.to_owned(),
    }
}
