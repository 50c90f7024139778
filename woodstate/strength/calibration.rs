//! From the depth of a driven pin to the density of the wood, by pairs of the user's own.

use crate::error::Result;
use crate::numeric::Watch;
use crate::quantity::Measured;

use super::pair::{range, real};
use super::{CurveFit, CurveModel, CurveOptions, Pair, Prediction, fit_curve};

/// A calibration of pin penetration to basic density.
///
/// There is no default one: a pin, a spring and a wood have each their own curve, and no published coefficients for
/// waterlogged wood are at hand.
#[derive(Debug, Clone, PartialEq)]
pub struct Calibration {
    /// Basic density, kg/m3, against penetration, mm.
    pub curve: CurveFit,
    /// Diameter of the pin, mm.
    pub diameter: f64,
}

/// Calibrates a pin: density in kg/m3 against penetration in mm.
///
/// * `pairs`: x is the penetration, y the density of the same wood, weighed
/// * `diameters`: of the pin, mm, one a pair; all the same
///
/// # Errors
/// As [`fit_curve`], pins of several diameters, or fewer than two pairs more than parameters.
///
/// # Example
/// ```
/// use woodstate::numeric::Watch;
/// use woodstate::strength::{CurveModel, CurveOptions, Pair, calibrate};
/// // Invented.
/// let pairs = [(4.1, 520.0), (8.0, 401.0), (13.2, 298.0), (17.5, 231.0), (24.8, 160.0), (31.0, 118.0)];
/// let pairs = pairs.map(|(x, y)| Pair::new(x, y));
/// let pin = calibrate(&pairs, &[2.5; 6], CurveModel::Exponential, &CurveOptions::plain(1.0), &Watch::silent())?;
/// let density = pin.density(15.0)?;
/// assert!((density.value - 273.05).abs() < 0.005 && density.u.unwrap() > 8.55);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
pub fn calibrate(
    pairs: &[Pair],
    diameters: &[f64],
    model: CurveModel,
    options: &CurveOptions,
    watch: &Watch<'_>,
) -> Result<Calibration> {
    let least = model.n_parameters() + 2;
    if pairs.len() < least {
        return Err(range("number of pairs of a calibration", real(pairs.len()), format!("at least {least}")));
    }
    let diameter = diameters.first().copied().unwrap_or(f64::NAN);
    if let Some(other) = diameters.iter().find(|other| (*other - diameter).abs() > 0.0 || !other.is_finite()) {
        return Err(range("diameter of the pin, mm,", *other, format!("that of the first pair, {diameter} mm")));
    }
    if diameters.len() != pairs.len() {
        return Err(range("number of diameters", real(diameters.len()), format!("{}, one a pair", pairs.len())));
    }
    Ok(Calibration { curve: fit_curve(pairs, model, options, watch)?, diameter })
}

impl Calibration {
    /// Density where a pin went in so far, kg/m3, with the standard uncertainty of one place in the wood.
    ///
    /// ```text
    /// u² = s² + u(curve)²
    /// ```
    /// # Errors
    /// A penetration at which the curve does not exist.
    pub fn density(&self, penetration: f64) -> Result<Measured> {
        let here = self.curve.predict(penetration)?;
        let share = self.curve.scatter_share().map(|share| share * here.value.abs());
        let u = here.u.zip(self.curve.scatter().or(share)).map(|(u, s)| u.hypot(s));
        Ok(Measured { value: here.value, u })
    }

    /// The same with its intervals.
    ///
    /// # Errors
    /// A penetration at which the curve does not exist.
    pub fn predict(&self, penetration: f64) -> Result<Prediction> {
        self.curve.predict(penetration)
    }
}
