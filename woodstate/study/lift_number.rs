//! A number of a lift.

use schemars::JsonSchema;
use serde::Serialize;

use crate::lift::Estimate;

/// A number with its uncertainty.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LiftNumber {
    /// The number, in `unit`.
    pub value: f64,
    /// One standard uncertainty; `None` where unknown.
    pub u: Option<f64>,
    /// Interval with the coverage of the settings; `None` where unknown.
    pub interval: Option<[f64; 2]>,
    /// UCUM code.
    pub unit: &'static str,
    /// Where it comes from: stated, measured, curve, handbook; `None` for what is computed.
    pub route: Option<&'static str>,
}

impl LiftNumber {
    pub(super) fn of(found: &Estimate, unit: &'static str) -> Self {
        let interval = found.interval.map(|interval| [interval.low, interval.high]);
        Self { value: found.value, u: found.u, interval, unit, route: None }
    }

    /// The same over a number: N to kg.
    pub(super) fn over(found: &Estimate, divisor: f64, unit: &'static str) -> Self {
        let interval = found.interval.map(|interval| [interval.low / divisor, interval.high / divisor]);
        Self { value: found.value / divisor, u: found.u.map(|u| u / divisor), interval, unit, route: None }
    }

    pub(super) fn stated(value: f64, u: Option<f64>, unit: &'static str) -> Self {
        Self { value, u, interval: None, unit, route: Some("stated") }
    }
}
