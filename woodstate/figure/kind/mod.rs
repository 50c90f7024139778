//! The kinds of figures, one file each: from an outcome to plain data.

mod caption;
mod density_water;
mod gather;

use crate::error::{Error, ErrorKind, Result, near};
use crate::study::{Assessment, Curves};

use super::{Figure, FigureChoice};

pub use density_water::density_water;

/// A kind of figure.
pub(super) struct Kind {
    pub(super) word: &'static str,
    pub(super) shows: &'static str,
    pub(super) needs: &'static str,
    pub(super) make: Make,
}

/// What a kind is made of.
pub(super) enum Make {
    OfAssessment(fn(&Assessment, &FigureChoice) -> Result<Figure>),
    #[allow(dead_code, reason = "x")]
    OfCurves(fn(&Curves, &FigureChoice) -> Result<Figure>),
}

/// All kinds, in the order of how often they are needed.
pub(super) const KINDS: &[Kind] = &[Kind {
    word: "density-water",
    shows: "basic density against maximum water content, beside the line of saturated wood",
    needs: "oven-dry and saturated mass, and a volume (volume_saturated, mass_immersed, mass_displaced or sizes)",
    make: Make::OfAssessment(density_water),
}];

impl Kind {
    /// The kind with a word.
    ///
    /// # Errors
    /// [`ErrorKind::Name`] with the kinds there are, and the nearest one as a hint.
    pub(super) fn of_word(word: &str) -> Result<&'static Self> {
        if let Some(kind) = KINDS.iter().find(|kind| kind.word == word) {
            return Ok(kind);
        }
        let words = || KINDS.iter().map(|kind| kind.word);
        let allowed = words().map(str::to_owned).collect();
        let error = Error::new(ErrorKind::Name { what: "kind of figure", found: word.to_owned(), allowed });
        Err(match near(word, words()).first() {
            Some(nearest) => error.with_hint(format!("did you mean {nearest}?")),
            None => error.with_hint("what each kind needs: woodstate figure --list"),
        })
    }
}
