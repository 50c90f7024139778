//! What a formula may do with its arguments.

use std::ops::{Add, Div, Mul, Neg, Sub};

/// A real number as formulas see it: an `f64`, or a [`Jet`](crate::quantity::Jet) that carries its derivatives along.
///
/// Each formula of this crate is written once, over `Number`: called with `f64` it gives the value, called with jets
/// it gives the value and its partial derivatives, exact to rounding, without a second formula that could disagree.
///
/// # Example
/// ```
/// use woodstate::quantity::{Jet, Number};
/// fn basic_density<N: Number>(oven_dry_mass: N, volume: N) -> N { oven_dry_mass / volume * 1000.0 }
/// assert_eq!(basic_density(1.0, 4.0), 250.0);
/// let jet = basic_density(Jet::<2>::cause(1.0, 0), Jet::cause(4.0, 1));
/// assert_eq!((jet.value, jet.slope), (250.0, [250.0, -62.5]));
/// ```
pub trait Number:
    Copy
    + Add<Output = Self>
    + Sub<Output = Self>
    + Mul<Output = Self>
    + Div<Output = Self>
    + Neg<Output = Self>
    + Add<f64, Output = Self>
    + Sub<f64, Output = Self>
    + Mul<f64, Output = Self>
    + Div<f64, Output = Self>
{
    /// A number without uncertainty.
    fn exact(value: f64) -> Self;

    /// The plain value. A formula asks with [`is_above`](Self::is_above) or [`is_finite`](Self::is_finite) instead, so that
    /// what it decided can be checked again for another piece.
    fn value(self) -> f64;

    /// Whether the value is above another; never, where one of them is not a number.
    fn is_above(self, other: Self) -> bool {
        self.value() > other.value()
    }

    /// Whether the value is finite.
    fn is_finite(self) -> bool {
        self.value().is_finite()
    }

    /// The square root.
    #[must_use]
    fn sqrt(self) -> Self;

    /// `1 / self`.
    #[must_use]
    fn inverse(self) -> Self {
        Self::exact(1.0) / self
    }
}

impl Number for f64 {
    fn exact(value: f64) -> Self {
        value
    }

    fn value(self) -> f64 {
        self
    }

    fn sqrt(self) -> Self {
        f64::sqrt(self)
    }
}
