//! The sheet that a figure is drawn on: how wide, in which sizes of text, under which prefix.

use schemars::JsonSchema;
use serde::Serialize;

use crate::error::{Error, ErrorKind, Result, near};

/// How wide a figure is, how large its text, and what its ids begin with.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Sheet {
    /// Width, mm.
    pub width: f64,
    /// Height, mm; `None` for what suits the figure.
    pub height: Option<f64>,
    /// Titles of axes, pt.
    pub title_size: f64,
    /// Ticks, legend and words in the panels, pt.
    pub text_size: f64,
    /// Lines, as a multiple of those in print.
    pub line: f64,
    /// What every id of the drawing begins with: several figures stand in one page.
    pub prefix: String,
}

/// A width that figures usually have.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum SheetSize {
    /// A column of a journal.
    Single,
    /// A column and a half.
    OneAndAHalf,
    /// Two columns.
    Double,
    /// The text of a page of a thesis.
    Thesis,
    /// A slide.
    Slide,
}

impl SheetSize {
    /// All of them.
    pub const ALL: [Self; 5] = [Self::Single, Self::OneAndAHalf, Self::Double, Self::Thesis, Self::Slide];

    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Single => "single",
            Self::OneAndAHalf => "one-and-a-half",
            Self::Double => "double",
            Self::Thesis => "thesis",
            Self::Slide => "slide",
        }
    }

    /// The size with this word.
    ///
    /// # Errors
    /// [`ErrorKind::Name`] with the words there are.
    pub fn of_word(word: &str) -> Result<Self> {
        named("size of a figure", word, &Self::ALL, Self::word)
    }
}

/// A family of journals with widths of its own.
///
/// Widths and sizes of text are common practice, not copied from a guide that was read: check the current guide of the
/// journal.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Journal {
    /// 90, 140, 190 mm; text from 7 pt.
    Elsevier,
    /// 84, 129, 174 mm; text from 8 pt.
    Springer,
    /// 84, 120, 176 mm; text of 9 pt.
    GeologicalSociety,
}

impl Journal {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Elsevier, Self::Springer, Self::GeologicalSociety];

    /// What to know before a preset is relied on.
    pub const NOTE: &'static str =
        "Widths and sizes of text of journals are common practice: check the publisher's current guide.";

    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Elsevier => "elsevier",
            Self::Springer => "springer",
            Self::GeologicalSociety => "geological-society",
        }
    }

    /// The family with this word.
    ///
    /// # Errors
    /// [`ErrorKind::Name`] with the words there are.
    pub fn of_word(word: &str) -> Result<Self> {
        named("family of journals", word, &Self::ALL, Self::word)
    }

    /// One column, one and a half, two columns, mm.
    fn widths(self) -> [f64; 3] {
        match self {
            Self::Elsevier => [90.0, 140.0, 190.0],
            Self::Springer => [84.0, 129.0, 174.0],
            Self::GeologicalSociety => [84.0, 120.0, 176.0],
        }
    }

    /// Titles of axes, then the rest, pt.
    fn text(self) -> [f64; 2] {
        match self {
            Self::Elsevier => [8.0, 7.0],
            Self::Springer => [9.0, 8.0],
            Self::GeologicalSociety => [9.0, 9.0],
        }
    }
}

impl Sheet {
    /// The sheet of a size, in the widths of a family of journals where one is named.
    ///
    /// # Example
    /// ```
    /// use woodstate::figure::{Journal, Sheet, SheetSize};
    /// assert_eq!(Sheet::of(SheetSize::Single, None).width, 85.0);
    /// assert_eq!(Sheet::of(SheetSize::Double, Some(Journal::Elsevier)).width, 190.0);
    /// ```
    #[must_use]
    pub fn of(size: SheetSize, journal: Option<Journal>) -> Self {
        let [single, half, double] = journal.map_or([85.0, 120.0, 170.0], Journal::widths);
        let [title_size, text_size] = journal.map_or([8.0, 7.0], Journal::text);
        let paper =
            |width| Self { width, height: None, title_size, text_size, line: 1.0, prefix: "figure-".to_owned() };
        match size {
            SheetSize::Single => paper(single),
            SheetSize::OneAndAHalf => paper(half),
            SheetSize::Double => paper(double),
            SheetSize::Thesis => Self { title_size: 9.0, text_size: 8.0, ..paper(155.0) },
            SheetSize::Slide => {
                Self { title_size: 18.0, text_size: 16.0, line: 2.0, height: Some(143.0), ..paper(254.0) }
            }
        }
    }

    /// The sheet with another prefix of ids.
    ///
    /// # Errors
    /// [`ErrorKind::Name`] where it is not a letter followed by letters, digits, `-` and `_`.
    pub fn with_prefix(mut self, prefix: &str) -> Result<Self> {
        let is_word = |c: char| c.is_ascii_alphanumeric() || matches!(c, '-' | '_');
        if !prefix.starts_with(|c: char| c.is_ascii_alphabetic()) || !prefix.chars().all(is_word) {
            let allowed = vec!["a letter, then letters, digits, - and _".to_owned()];
            return Err(Error::new(ErrorKind::Name { what: "prefix of ids", found: prefix.to_owned(), allowed }));
        }
        prefix.clone_into(&mut self.prefix);
        Ok(self)
    }
}

/// What has a word, or the nearest words there are.
pub(super) fn named<T: Copy>(what: &'static str, found: &str, all: &[T], word: fn(T) -> &'static str) -> Result<T> {
    if let Some(one) = all.iter().find(|one| word(**one) == found) {
        return Ok(*one);
    }
    let words: Vec<&str> = all.iter().map(|one| word(*one)).collect();
    let nearest = near(found, words.iter().copied());
    let allowed = words.into_iter().map(str::to_owned).collect();
    let error = Error::new(ErrorKind::Name { what, found: found.to_owned(), allowed });
    Err(match nearest.first() {
        Some(word) => error.with_hint(format!("did you mean {word}?")),
        None => error,
    })
}
