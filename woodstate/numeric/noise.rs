//! What is known of the uncertainty of readings.

use super::check;
use crate::error::Result;

/// What is known of the standard uncertainties of the readings; there is no default.
///
/// Uncertainties that are taken for known and are not (or the other way round) give wrong uncertainties of the
/// parameters without any sign of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Noise<'a> {
    /// Nothing is known, and all readings are alike: the scatter about the curve tells.
    FromScatter,
    /// Uncertainties up to one common factor, one a reading: the scatter gives the factor.
    Relative(&'a [f64]),
    /// Standard uncertainties, one a reading, in the unit of the readings. They stand as they are, and χ² checks them.
    Known(&'a [f64]),
}

impl<'a> Noise<'a> {
    /// The uncertainties, where there are some.
    #[must_use]
    pub fn uncertainties(&self) -> Option<&'a [f64]> {
        match self {
            Noise::FromScatter => None,
            Noise::Relative(u) | Noise::Known(u) => Some(u),
        }
    }

    /// Whether the scatter about the curve sets the size of the uncertainties.
    #[must_use]
    pub fn is_scaled(&self) -> bool {
        !matches!(self, Noise::Known(_))
    }

    pub(super) fn check(&self, n: usize) -> Result<()> {
        let Some(u) = self.uncertainties() else { return Ok(()) };
        check::length("uncertainties of readings", u.len(), n)?;
        u.iter().enumerate().try_for_each(|(row, &u)| check::positive_of("uncertainty of reading", row, u))
    }

    /// 1/u, one a reading; nothing where all readings weigh 1.
    pub(super) fn root_weights(&self) -> Option<Vec<f64>> {
        self.uncertainties().map(|u| u.iter().map(|u| 1.0 / u).collect())
    }
}
