//! A number that is known to lie in an interval.

use super::check;
use crate::error::Result;

/// A value and the interval in which it lies, in a unit that stands in the doc of whoever holds it.
///
/// Diffusivities of whole timbers are known to an order of magnitude at best, so they come as intervals and go into times as
/// intervals. What coverage an interval has is the caller's to say; results have the same.
///
/// # Example
/// ```
/// use woodstate::treatment::Ranged;
/// let diffusivity = Ranged::new(1e-11, [1e-12, 1e-10])?;
/// assert_eq!(diffusivity.interval(), [1e-12, 1e-10]);
/// assert!(Ranged::new(1e-11, [2e-11, 1e-10]).is_err());
/// # Ok::<(), woodstate::error::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ranged {
    value: f64,
    low: f64,
    high: f64,
}

impl Ranged {
    /// A value inside an interval, all above 0.
    ///
    /// # Errors
    /// A number that is not above 0, an interval that does not hold the value.
    pub fn new(value: f64, [low, high]: [f64; 2]) -> Result<Self> {
        for (name, number) in [("value", value), ("lower end", low), ("upper end", high)] {
            check::positive(name, number)?;
        }
        if low > value || high < value {
            return Err(check::range("value", value, format!("a number in its interval, {low} to {high}")));
        }
        Ok(Self { value, low, high })
    }

    /// A value above 0 that is taken as exact.
    ///
    /// # Errors
    /// A number that is not above 0.
    pub fn exact(value: f64) -> Result<Self> {
        Self::new(value, [value; 2])
    }

    /// The value.
    #[must_use]
    pub fn value(&self) -> f64 {
        self.value
    }

    /// The ends of the interval.
    #[must_use]
    pub fn interval(&self) -> [f64; 2] {
        [self.low, self.high]
    }

    /// The value alone.
    pub(super) fn at_value(&self) -> Self {
        Self { value: self.value, low: self.value, high: self.value }
    }

    /// A place of the interval alone, by logarithm: 0 at the lower end, 1 at the upper one.
    pub(super) fn at_part(&self, part: f64) -> Self {
        let value = self.low * (self.high / self.low).powf(part);
        Self { value, low: value, high: value }
    }

    /// Value and ends of what rises with numbers like this one; `f` is given all their values, all lower ends, all upper ends.
    pub(super) fn rising(f: impl Fn(fn(&Self) -> f64) -> Result<f64>) -> Result<Self> {
        let [value, low, high] = Self::PARTS;
        Ok(Self { value: f(value)?, low: f(low)?, high: f(high)? })
    }

    /// The same of what falls.
    pub(super) fn falling(f: impl Fn(fn(&Self) -> f64) -> Result<f64>) -> Result<Self> {
        let [value, low, high] = Self::PARTS;
        Ok(Self { value: f(value)?, low: f(high)?, high: f(low)? })
    }

    const PARTS: [fn(&Self) -> f64; 3] = [|of| of.value, |of| of.low, |of| of.high];
}
