//! What a person may ask for as the model.

use crate::error::Result;

use super::CurveModel;
use super::spec::unknown;

/// A model that was asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ModelChoice {
    /// This one.
    One(CurveModel),
    /// A curve without a formula.
    Monotone,
    /// The one with the smallest AICc.
    Auto,
}

impl ModelChoice {
    /// All of them.
    pub const ALL: [Self; 8] = [
        Self::Auto,
        Self::One(CurveModel::Linear),
        Self::One(CurveModel::Power),
        Self::One(CurveModel::Exponential),
        Self::One(CurveModel::Logistic),
        Self::One(CurveModel::Gompertz),
        Self::One(CurveModel::Threshold),
        Self::Monotone,
    ];

    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::One(model) => model.word(),
            Self::Monotone => "monotone",
            Self::Auto => "auto",
        }
    }

    /// The choice with this word.
    ///
    /// # Errors
    /// [`ErrorKind::Name`](crate::error::ErrorKind::Name) with all words there are, the nearest first.
    ///
    /// # Example
    /// ```
    /// use woodstate::strength::ModelChoice;
    /// assert_eq!(ModelChoice::of_word("auto")?, ModelChoice::Auto);
    /// assert!(ModelChoice::of_word("spline").unwrap_err().to_string().ends_with("gompertz, threshold, monotone"));
    /// # Ok::<(), woodstate::error::Error>(())
    /// ```
    pub fn of_word(word: &str) -> Result<Self> {
        let found = Self::ALL.into_iter().find(|choice| choice.word() == word.trim());
        found.ok_or_else(|| unknown(word, Self::ALL.into_iter().map(Self::word).collect()))
    }
}
