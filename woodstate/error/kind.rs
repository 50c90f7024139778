//! The error type: a kind to match on, a hint to act on, a cause to read.

use std::error::Error as StdError;
use std::fmt;
use std::path::PathBuf;

use super::Place;

/// Result with the error of this crate.
pub type Result<T> = std::result::Result<T, Error>;

/// Why a command could not go on.
///
/// `Display` is one sentence that says what was found and what is allowed; causes follow after a colon.
pub struct Error {
    inner: Box<Inner>,
}

struct Inner {
    kind: ErrorKind,
    hint: Option<String>,
    source: Option<Box<dyn StdError + Send + Sync>>,
}

/// What went wrong, cut by what the caller can do about it.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum ErrorKind {
    /// A file or folder could not be read or written.
    File {
        /// The file or folder.
        path: PathBuf,
        /// What was being done: "read", "write", ...
        doing: &'static str,
        /// What prevented it.
        why: String,
    },
    /// A file exists that woodstate did not write, or that was changed since.
    WouldOverwrite {
        /// The file that stands in the way.
        path: PathBuf,
    },
    /// A file was opened, and its content cannot be taken as a table.
    Content {
        /// Where.
        place: Place,
        /// What was found and what is allowed.
        text: String,
    },
    /// A study file cannot be used.
    Study {
        /// The study file.
        file: String,
        /// Line, counted from 1; 0 where the fault is not at one line.
        line: usize,
        /// Column, counted from 1; 0 where the fault is not at one line.
        column: usize,
        /// What was found and what is allowed.
        text: String,
    },
    /// A template of a page cannot be used.
    Template {
        /// The template.
        file: String,
        /// Line, counted from 1; 0 where the fault is not at one line.
        line: usize,
        /// What was found and what is allowed.
        text: String,
    },
    /// A name is not one of those that exist.
    Name {
        /// What kind of thing was named: "column", "scheme", "word", ...
        what: &'static str,
        /// The name found.
        found: String,
        /// Names that are allowed, nearest first.
        allowed: Vec<String>,
    },
    /// A unit is unknown or of the wrong dimension.
    Unit {
        /// The unit found.
        found: String,
        /// Units that are allowed.
        allowed: String,
    },
    /// A text is not a quantity such as `0.01 g` or `1500 ± 30 kg/m3`.
    Quantity {
        /// The text found.
        found: String,
        /// What is allowed.
        allowed: String,
    },
    /// Something that only the user can say was not said.
    Missing {
        /// What it is.
        what: String,
        /// How to say it.
        cure: String,
    },
    /// A condition on rows cannot be read, or asks for what does not exist.
    Condition {
        /// The condition as it was written.
        condition: String,
        /// Place of the fault, in characters counted from 1.
        character: usize,
        /// What was found and what is allowed.
        text: String,
    },
    /// A number lies outside what is allowed.
    Range {
        /// The name of the number.
        name: String,
        /// The number.
        value: f64,
        /// What is allowed.
        allowed: String,
    },
    /// Slices or matrices do not fit each other.
    Shape {
        /// What they are.
        what: &'static str,
        /// The size found.
        found: usize,
        /// The size expected.
        expected: usize,
    },
    /// A reference file compiled into the library is broken: a fault of this build.
    Reference {
        /// The file.
        file: &'static str,
        /// What is wrong.
        text: String,
    },
    /// The caller asked to stop.
    Stopped,
}

impl Error {
    pub(crate) fn new(kind: ErrorKind) -> Self {
        Self { inner: Box::new(Inner { kind, hint: None, source: None }) }
    }

    #[cfg(feature = "table")]
    pub(crate) fn with_hint(mut self, hint: impl Into<String>) -> Self {
        self.inner.hint = Some(hint.into());
        self
    }

    /// Something that only the user can say was not said.
    ///
    /// # Example
    /// ```
    /// let error = woodstate::error::Error::missing("the tank", "give tank, such as \"2400 L\"");
    /// assert_eq!(error.to_string(), "the tank is not known: give tank, such as \"2400 L\"");
    /// ```
    pub fn missing(what: impl Into<String>, cure: impl Into<String>) -> Self {
        Self::new(ErrorKind::Missing { what: what.into(), cure: cure.into() })
    }

    /// The same error with a hint, where it has none of its own.
    #[must_use]
    pub fn hint_if_none(mut self, hint: impl Into<String>) -> Self {
        self.inner.hint.get_or_insert_with(|| hint.into());
        self
    }

    #[cfg(feature = "table")]
    pub(crate) fn with_source(mut self, source: impl Into<Box<dyn StdError + Send + Sync>>) -> Self {
        self.inner.source = Some(source.into());
        self
    }

    /// An input or output failure of `path`; the operating system's words are the reason.
    ///
    /// # Example
    /// ```
    /// let error = woodstate::error::Error::file("a.csv", "read", "no such file");
    /// assert_eq!(error.to_string(), "cannot read a.csv: no such file");
    /// ```
    pub fn file(path: impl Into<PathBuf>, doing: &'static str, why: impl fmt::Display) -> Self {
        Self::new(ErrorKind::File { path: path.into(), doing, why: why.to_string() })
    }

    #[cfg(feature = "table")]
    /// A content of a file that cannot be taken as a table.
    pub(crate) fn content(place: Place, text: impl Into<String>) -> Self {
        Self::new(ErrorKind::Content { place, text: text.into() })
    }

    /// What went wrong, to match on.
    #[must_use]
    pub fn kind(&self) -> &ErrorKind {
        &self.inner.kind
    }

    /// What to do, where the error knows it; often a line to type.
    #[must_use]
    pub fn hint(&self) -> Option<&str> {
        self.inner.hint.as_deref()
    }
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.inner.kind {
            ErrorKind::File { path, doing, why } => write!(f, "cannot {doing} {}: {why}", path.display()),
            ErrorKind::WouldOverwrite { path } => {
                write!(f, "{} exists and is not an unchanged file of woodstate; it was left as it is", path.display())
            }
            ErrorKind::Content { place, text } => write!(f, "{place}: {text}"),
            ErrorKind::Study { file, line: 0, text, .. } => write!(f, "{file}: {text}"),
            ErrorKind::Study { file, line, column, text } => write!(f, "{file}:{line}:{column}: {text}"),
            ErrorKind::Template { file, line: 0, text } => write!(f, "{file}: {text}"),
            ErrorKind::Template { file, line, text } => write!(f, "{file}:{line}: {text}"),
            ErrorKind::Name { what, found, allowed } => {
                write!(f, "unknown {what} \"{found}\"; known: {}", allowed.join(", "))
            }
            ErrorKind::Unit { found, allowed } => write!(f, "unit \"{found}\" is not one of {allowed}"),
            ErrorKind::Quantity { found, allowed } => write!(f, "\"{found}\" is not {allowed}"),
            ErrorKind::Missing { what, cure } => write!(f, "{what} is not known: {cure}"),
            ErrorKind::Condition { condition, character, text } => {
                let before = " ".repeat(character.saturating_sub(1));
                write!(f, "in the condition, at character {character}: {text}\n  {condition}\n  {before}^")
            }
            ErrorKind::Range { name, value, allowed } => write!(f, "{name} is {value}; allowed is {allowed}"),
            ErrorKind::Shape { what, found, expected } => write!(f, "{what} has {found} entries, expected {expected}"),
            ErrorKind::Reference { file, text } => write!(f, "reference file {file} of this build: {text}"),
            ErrorKind::Stopped => write!(f, "stopped on request"),
        }
    }
}

impl fmt::Debug for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl StdError for Error {
    fn source(&self) -> Option<&(dyn StdError + 'static)> {
        self.inner.source.as_deref().map(|source| source as &(dyn StdError + 'static))
    }
}
