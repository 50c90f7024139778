//! A value together with its partial derivatives.

use std::ops::{Add, Div, Mul, Neg, Sub};

use crate::quantity::Number;

/// A value and its partial derivatives with respect to `N` causes.
///
/// ```text
/// d f(a, b) / dx = df/da · da/dx + df/db · db/dx
/// ```
///
/// * `value`: the value
/// * `slope`: `N` derivatives, one a cause
///
/// # Example
/// ```
/// use woodstate::quantity::{Jet, Number};
/// let x = Jet::<1>::cause(4.0, 0);
/// assert_eq!(x.sqrt().slope, [0.25]);
/// ```
///
/// # Source
/// Griewank A, Walther A 2008, Evaluating Derivatives, 2nd ed., SIAM, section 3.1 (forward mode), from memory.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Jet<const N: usize> {
    /// The value.
    pub value: f64,
    /// Partial derivatives, one a cause.
    pub slope: [f64; N],
}

impl<const N: usize> Jet<N> {
    /// The cause with this index itself: slope 1 there, 0 elsewhere. An index of `N` or more gives an exact number.
    #[must_use]
    pub fn cause(value: f64, index: usize) -> Self {
        let mut jet = Self::exact(value);
        if let Some(slope) = jet.slope.get_mut(index) {
            *slope = 1.0;
        }
        jet
    }

    /// Variance for independent causes with standard uncertainties `u`, in the square of the value's unit.
    #[must_use]
    pub fn variance(&self, u: &[f64; N]) -> f64 {
        self.covariance(self, u)
    }

    /// Covariance with another result of the same causes.
    #[must_use]
    pub fn covariance(&self, other: &Self, u: &[f64; N]) -> f64 {
        (0..N).map(|i| self.slope[i] * u[i] * other.slope[i] * u[i]).sum()
    }

    fn map(self, value: f64, factor: f64) -> Self {
        Self { value, slope: self.slope.map(|slope| slope * factor) }
    }

    fn join(self, other: Self, value: f64, factor: f64, other_factor: f64) -> Self {
        let mut slope = self.slope;
        for (mine, theirs) in slope.iter_mut().zip(&other.slope) {
            *mine = *mine * factor + theirs * other_factor;
        }
        Self { value, slope }
    }
}

impl<const N: usize> Number for Jet<N> {
    fn exact(value: f64) -> Self {
        Self { value, slope: [0.0; N] }
    }

    fn value(self) -> f64 {
        self.value
    }

    fn sqrt(self) -> Self {
        let root = self.value.sqrt();
        self.map(root, 0.5 / root)
    }
}

impl<const N: usize> Add for Jet<N> {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        self.join(other, self.value + other.value, 1.0, 1.0)
    }
}

impl<const N: usize> Sub for Jet<N> {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        self.join(other, self.value - other.value, 1.0, -1.0)
    }
}

impl<const N: usize> Mul for Jet<N> {
    type Output = Self;
    fn mul(self, other: Self) -> Self {
        self.join(other, self.value * other.value, other.value, self.value)
    }
}

impl<const N: usize> Div for Jet<N> {
    type Output = Self;
    fn div(self, other: Self) -> Self {
        let ratio = self.value / other.value;
        self.join(other, ratio, 1.0 / other.value, -ratio / other.value)
    }
}

impl<const N: usize> Neg for Jet<N> {
    type Output = Self;
    fn neg(self) -> Self {
        self.map(-self.value, -1.0)
    }
}

impl<const N: usize> Add<f64> for Jet<N> {
    type Output = Self;
    fn add(self, other: f64) -> Self {
        Self { value: self.value + other, ..self }
    }
}

impl<const N: usize> Sub<f64> for Jet<N> {
    type Output = Self;
    fn sub(self, other: f64) -> Self {
        Self { value: self.value - other, ..self }
    }
}

impl<const N: usize> Mul<f64> for Jet<N> {
    type Output = Self;
    fn mul(self, other: f64) -> Self {
        self.map(self.value * other, other)
    }
}

impl<const N: usize> Div<f64> for Jet<N> {
    type Output = Self;
    fn div(self, other: f64) -> Self {
        self.map(self.value / other, 1.0 / other)
    }
}
