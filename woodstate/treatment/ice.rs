//! Vapour over ice: below which pressure frozen wood dries.

use super::temperature::ZERO_CELSIUS;
use super::{check, check::range};
use crate::error::Result;

/// Vapour pressure as a function of temperature, in two numbers.
///
/// ```text
/// log₁₀(p/Pa) = A − B/T,  T in K
/// ```
///
/// For ice, A = 12.537 and B = 2663.5 K are commonly used \[memory]. They are arguments, so that what uses them says where they
/// are from.
///
/// # Example
/// ```
/// use woodstate::treatment::VapourCurve;
/// // From memory.
/// let ice = VapourCurve::new(12.537, 2663.5)?;
/// assert!((ice.pressure(-30.0)? - 38.27).abs() < 5e-3);
/// // In a chamber at 23 Pa the ice comes to rest at −34.8 °C.
/// assert!((ice.temperature(23.0)? + 34.811).abs() < 5e-4);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
///
/// # Source
/// The form of August's law (from memory).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct VapourCurve {
    a: f64,
    b: f64,
}

impl VapourCurve {
    /// A curve of two numbers: A, and B in K.
    ///
    /// # Errors
    /// Numbers that are not above 0.
    pub fn new(a: f64, b: f64) -> Result<Self> {
        check::positive("A of a vapour curve", a)?;
        check::positive("B of a vapour curve", b)?;
        Ok(Self { a, b })
    }

    /// Vapour pressure at a temperature in °C, Pa.
    ///
    /// A chamber whose pressure of water vapour is above it cannot dry ice of this temperature.
    ///
    /// # Errors
    /// A temperature at or below absolute zero.
    pub fn pressure(&self, temperature: f64) -> Result<f64> {
        if !(temperature > -ZERO_CELSIUS && temperature.is_finite()) {
            return Err(range("temperature", temperature, format!("a finite number above -{ZERO_CELSIUS} °C")));
        }
        Ok(10.0_f64.powf(self.a - self.b / (temperature + ZERO_CELSIUS)))
    }

    /// The temperature at which the vapour has a pressure in Pa, °C: the inverse of [`pressure`](Self::pressure).
    ///
    /// # Errors
    /// A pressure that is not above 0, or one that the curve reaches at no temperature.
    pub fn temperature(&self, pressure: f64) -> Result<f64> {
        check::positive("pressure", pressure)?;
        let exponent = self.a - pressure.log10();
        if exponent <= 0.0 {
            return Err(range("pressure", pressure, format!("a pressure below 10 to the power of {} Pa", self.a)));
        }
        Ok(self.b / exponent - ZERO_CELSIUS)
    }
}
