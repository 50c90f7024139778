//! Size of a timber and time under load: what they take from a strength that was measured on small pieces in minutes.

use crate::error::Result;

use super::check;

/// Bending strength of a large piece over that of a small one of the same wood.
///
/// ```text
/// R₁/R₂ = [ h₂ L₂ (1 + m a₂/L₂) / (h₁ L₁ (1 + m a₁/L₁)) ]^(1/m)
/// ```
///
/// * `piece`, `test`: depth h, span L and distance a between two equal loads of the piece (1) and of the test (2), all in one unit;
///   a is 0 for one load in the middle
/// * `exponent`: m
///
/// # Errors
/// A size that is not above 0, a distance below 0 or above the span, an exponent that is not above 0.
///
/// # Example
/// ```
/// use woodstate::lift::{BendingSize, size_effect};
/// // The worked example of the handbook: a beam of 10 in by 18 ft with loads at the third points, prints 7330 of 10 000 psi.
/// let test = BendingSize { depth: 2.0, span: 28.0, between_loads: 0.0 };
/// let beam = BendingSize { depth: 10.0, span: 216.0, between_loads: 72.0 };
/// assert!((size_effect(beam, test, 18.0)? - 0.7327).abs() < 5e-5);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
///
/// # Source
/// Forest Products Laboratory 2021, Wood Handbook, FPL-GTR-282, Eq. 9-18 (read in a transcription); from dry clear Douglas-fir.
pub fn size_effect(piece: BendingSize, test: BendingSize, exponent: f64) -> Result<f64> {
    check::positive("exponent of the size effect", exponent)?;
    Ok((test.stressed(exponent)? / piece.stressed(exponent)?).powf(1.0 / exponent))
}

/// The same for a piece that bends under its own weight, which lies evenly on it.
///
/// ```text
/// R₁/R₂ = [ h₂ L₂ (1 + m a₂/L₂) / (c h₁ L₁) ]^(1/m)
/// ```
///
/// * `depth`, `span`: h and L of the piece
/// * `even`: c, what an even load stands for beside a load in the middle
///
/// # Errors
/// As [`size_effect`]; a factor that is not above 0.
///
/// # Source
/// Forest Products Laboratory 2021, Wood Handbook, FPL-GTR-282, Eq. 9-19 (read in a transcription).
pub fn size_effect_even(depth: f64, span: f64, even: f64, test: BendingSize, exponent: f64) -> Result<f64> {
    check::positive("factor of an even load", even)?;
    let piece = BendingSize { depth, span: span * even, between_loads: 0.0 };
    size_effect(piece, test, exponent)
}

/// What decides the size effect of a piece in bending; lengths in one unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BendingSize {
    /// Height of the section.
    pub depth: f64,
    /// Distance of the supports.
    pub span: f64,
    /// Distance between two equal loads; 0 for one load in the middle.
    pub between_loads: f64,
}

impl BendingSize {
    fn stressed(&self, exponent: f64) -> Result<f64> {
        check::positive("depth of a piece in bending", self.depth)?;
        check::positive("span of a piece in bending", self.span)?;
        if !(self.between_loads >= 0.0 && self.between_loads <= self.span) {
            return Err(check::range("distance between the loads", self.between_loads, "0 up to the span"));
        }
        Ok(self.depth * self.span * (1.0 + exponent * self.between_loads / self.span))
    }
}

/// Strength under a load that lasts, over that of a test of some minutes, at most 1.
///
/// ```text
/// SL = a + b t^(-c)   %, t in seconds
/// ```
///
/// * `seconds`: t
/// * `[a, b, c]`: 18.3, 108.4 and 0.0464 for the curve of Madison
///
/// Shorter loads than a test would give more than 1; no credit is taken.
///
/// # Errors
/// A time that is not above 0.
///
/// # Example
/// ```
/// let day = woodstate::lift::time_effect(86_400.0, [18.3, 108.4, 0.0464])?;
/// assert!((day - 0.8227).abs() < 5e-5);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
///
/// # Source
/// The Madison curve as printed in Forests 2021 12:1148 (read in a transcription); dry wood.
pub fn time_effect(seconds: f64, [a, b, c]: [f64; 3]) -> Result<f64> {
    check::positive("time under load (s)", seconds)?;
    Ok(((a + b * seconds.powf(-c)) / 100.0).min(1.0))
}
