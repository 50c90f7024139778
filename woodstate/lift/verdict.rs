//! Whether a way of support meets what the user requires.

use crate::error::Result;

use super::{Check, Support, SupportOutcome, check};

/// What the user requires. Nothing here has a default: no factor of safety has been published for waterlogged timber.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Requirement {
    /// Least margin of strength over stress.
    pub margin: Option<f64>,
    /// Probability, 0 to 1, with which the margin may lie below that.
    pub probability: Option<f64>,
}

impl Requirement {
    /// Whether its numbers can be used.
    ///
    /// # Errors
    /// A margin that is not above 0, a probability outside 0 to 1 or without a margin.
    pub fn check(&self) -> Result<()> {
        self.margin.map_or(Ok(()), |margin| check::positive("required margin", margin))?;
        let Some(probability) = self.probability else { return Ok(()) };
        if self.margin.is_none() {
            return Err(check::range(
                "accepted probability",
                probability,
                "a number beside a required margin, which it belongs to",
            ));
        }
        if probability > 0.0 && probability < 1.0 {
            return Ok(());
        }
        Err(check::range("accepted probability", probability, "a number between 0 and 1"))
    }
}

/// Why a way of support is not the answer.
#[derive(Debug, Clone, PartialEq)]
pub enum Why {
    /// The slings cannot hold the timber.
    Impossible,
    /// Strength or stress of these checks is unknown.
    Unknown(Vec<Check>),
    /// The margin lies below the required one.
    Margin,
    /// The margin is met by the stated values, and the uncertainty is unknown, so nobody knows how surely.
    ProbabilityUnknown,
    /// The margin lies below the required one with a larger probability than is accepted.
    Probability,
}

/// What a way of support comes to.
#[derive(Debug, Clone, PartialEq)]
pub enum Verdict {
    /// Support along the full length: nothing bends. The answer wherever another one does not hold.
    FullLength,
    /// The required margin is met, with no larger probability of missing it than is accepted.
    Met,
    /// The margin is met by the stated values; whether the probability of missing it is small enough is not stated.
    ProbabilityNotAsked,
    /// Not met, or not known to be met: support along the full length instead.
    Not(Why),
    /// No margin is required, so nothing is decided.
    NotAsked,
}

impl Verdict {
    /// What one way of support comes to.
    ///
    /// A check whose strength is unknown is not met, whatever the others say.
    #[must_use]
    pub fn of(found: &SupportOutcome, required: Requirement) -> Self {
        if found.support == Support::Tray {
            return Self::FullLength;
        }
        if found.impossible.is_some() {
            return Self::Not(Why::Impossible);
        }
        let unknown = found.unknown();
        let Some(margin) = found.margin.filter(|_| unknown.is_empty()) else { return Self::Not(Why::Unknown(unknown)) };
        let Some(wanted) = required.margin else { return Self::NotAsked };
        if margin.value < wanted {
            return Self::Not(Why::Margin);
        }
        match (required.probability, found.probability_below) {
            (None, _) => Self::ProbabilityNotAsked,
            (Some(_), None) => Self::Not(Why::ProbabilityUnknown),
            // The upper end: so few draws as would leave it open do not decide it.
            (Some(accepted), Some(below)) if below.interval.high > accepted => Self::Not(Why::Probability),
            (Some(_), Some(_)) => Self::Met,
        }
    }

    /// Its word.
    #[must_use]
    pub fn word(&self) -> &'static str {
        match self {
            Self::FullLength => "full_length",
            Self::Met => "met",
            Self::ProbabilityNotAsked => "probability_not_asked",
            Self::Not(Why::Impossible) => "impossible",
            Self::Not(Why::Unknown(_)) => "not_assessed",
            Self::Not(Why::Margin) => "margin_not_met",
            Self::Not(Why::ProbabilityUnknown) => "probability_unknown",
            Self::Not(Why::Probability) => "probability_too_large",
            Self::NotAsked => "not_asked",
        }
    }
}
