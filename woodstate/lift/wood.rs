//! Strength of the wood of a timber, and how sure it is.

use crate::error::Result;

use super::check;

/// A strength or stiffness of one wood, how it goes with density, and how sure it is.
///
/// ```text
/// P = P₀ (ρ/ρ₀)^b (1 + s_shared z_shared + s_own z_own),   never below 0
/// ```
///
/// * ρ₀: basic density at which the value holds, and ρ that of a draw, kg/m3
/// * z: standard normal numbers
///
/// The exponent makes density a shared cause of weight and strength: a lighter timber is weaker too.
#[derive(Debug, Clone, PartialEq)]
pub struct Strength {
    /// The value, `MPa`.
    pub value: f64,
    /// By which power it goes with density; 0 for one that was measured on this timber itself.
    pub exponent: f64,
    /// Relative standard deviation of this timber's own wood about the value; `None` where unknown.
    pub own: Option<f64>,
    /// Relative standard uncertainty that all timbers share whose strength comes from the same curve; `None` where unknown.
    pub shared: Option<f64>,
    /// Name of that shared cause: timbers with the same name draw the same numbers for it.
    pub cause: String,
}

impl Strength {
    /// A strength measured on this timber, `MPa`, with its standard uncertainty where that is known.
    ///
    /// # Errors
    /// A value that is not above 0, an uncertainty below 0.
    ///
    /// # Example
    /// ```
    /// let bending = woodstate::lift::Strength::measured(24.0, Some(6.0))?;
    /// assert_eq!((bending.own, bending.exponent), (Some(0.25), 0.0));
    /// # Ok::<(), woodstate::error::Error>(())
    /// ```
    pub fn measured(value: f64, u: Option<f64>) -> Result<Self> {
        let own = u.map(|u| u / value);
        Self { value, exponent: 0.0, own, shared: Some(0.0), cause: String::new() }.checked()
    }

    /// The same strength, if its numbers can be used.
    ///
    /// # Errors
    /// A value that is not above 0, an exponent that is not finite, a standard deviation below 0.
    pub fn checked(self) -> Result<Self> {
        check::positive("strength (MPa)", self.value)?;
        if !self.exponent.is_finite() {
            return Err(check::range("exponent of density", self.exponent, "a finite number"));
        }
        check::uncertainty("strength of this timber", self.own)?;
        check::uncertainty("curve of strength", self.shared)?;
        Ok(self)
    }

    /// Multiplied by a factor that is taken as exact, such as 0.7 for a stated reduction of 30 %.
    #[must_use]
    pub fn times(mut self, factor: f64) -> Self {
        self.value *= factor;
        self
    }

    /// Relative standard uncertainty of one timber, both parts together; `None` where one is unknown.
    #[must_use]
    pub fn relative_u(&self) -> Option<f64> {
        self.own.zip(self.shared).map(|(own, shared)| own.hypot(shared))
    }

    /// The value of a draw, `MPa`: `density` is ρ/ρ₀.
    pub(super) fn drawn(&self, density: f64, [shared, own]: [f64; 2]) -> f64 {
        let scatter = self.shared.unwrap_or(0.0) * shared + self.own.unwrap_or(0.0) * own;
        let by_density = if self.exponent.abs() > 0.0 { density.powf(self.exponent) } else { 1.0 };
        (self.value * by_density * (1.0 + scatter)).max(0.0)
    }
}

/// What is known of the strength of one wood of a timber; `None` where unknown.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Wood {
    /// Bending strength (modulus of rupture), `MPa`: against fracture on the side that is stretched.
    pub bending: Option<Strength>,
    /// Compression strength along the grain, `MPa`: against wrinkles on the side that is pressed.
    pub compression: Option<Strength>,
    /// Shear strength along the grain, `MPa`.
    pub shear: Option<Strength>,
    /// Compression across the grain at the proportional limit, `MPa`: against dents.
    pub bearing: Option<Strength>,
    /// Modulus of elasticity, `MPa`.
    pub modulus: Option<Strength>,
}

impl Wood {
    /// Its strengths and its modulus, in a fixed order.
    pub(super) fn all(&self) -> [Option<&Strength>; 5] {
        [&self.bending, &self.compression, &self.shear, &self.bearing, &self.modulus].map(Option::as_ref)
    }

    pub(super) fn check(&self) -> Result<()> {
        self.all().into_iter().flatten().try_for_each(|strength| strength.clone().checked().map(|_| ()))
    }
}
