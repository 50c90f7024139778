//! A number of a bath.

use schemars::JsonSchema;
use serde::Serialize;

use crate::treatment::Ranged;

/// A day, s.
pub(super) const DAY: f64 = 86_400.0;

/// A number of a bath, with the interval in which it lies.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct BathNumber {
    /// The number, in `unit`.
    pub value: f64,
    /// The interval; `None` where nobody knows how well the number is known.
    pub interval: Option<[f64; 2]>,
    /// UCUM code.
    pub unit: &'static str,
}

impl BathNumber {
    /// A number whose interval is unknown.
    pub(super) fn bare(value: f64, unit: &'static str) -> Self {
        Self { value, interval: None, unit }
    }

    pub(super) fn between(value: f64, interval: [f64; 2], unit: &'static str) -> Self {
        let [low, high] = interval;
        Self { value, interval: Some([low.min(high).min(value), high.max(low).max(value)]), unit }
    }

    /// The value, and the ends where they are known.
    pub(super) fn points(&self) -> impl Iterator<Item = f64> {
        std::iter::once(self.value).chain(self.interval.into_iter().flatten())
    }

    /// What comes of it by a function that rises or falls throughout.
    pub(super) fn map(&self, unit: &'static str, f: impl Fn(f64) -> f64) -> Self {
        match self.interval {
            Some(ends) => Self::between(f(self.value), ends.map(&f), unit),
            None => Self::bare(f(self.value), unit),
        }
    }

    /// The sum of several; its interval is unknown where that of one is.
    pub(super) fn sum(numbers: &[Self], unit: &'static str) -> Self {
        let value = numbers.iter().map(|number| number.value).sum();
        let ends: Option<Vec<[f64; 2]>> = numbers.iter().map(|number| number.interval).collect();
        match ends {
            Some(ends) => Self::between(value, [0, 1].map(|end| ends.iter().map(|ends| ends[end]).sum()), unit),
            None => Self::bare(value, unit),
        }
    }
}

/// A time in s as one in d.
pub(super) fn days(time: Ranged) -> BathNumber {
    in_days(time.value() / DAY, time.interval().map(|end| end / DAY))
}

/// A time in d; without an interval where both ends are the value.
pub(super) fn in_days(value: f64, [low, high]: [f64; 2]) -> BathNumber {
    match (high - low).abs() <= 1e-9 * value.abs() {
        true => BathNumber::bare(value, "d"),
        false => BathNumber::between(value, [low, high], "d"),
    }
}
