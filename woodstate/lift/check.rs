//! Checks of arguments, so that each says the same in the same words.

use crate::error::{Error, ErrorKind, Result};

pub(super) fn range(name: impl Into<String>, value: f64, allowed: impl Into<String>) -> Error {
    Error::new(ErrorKind::Range { name: name.into(), value, allowed: allowed.into() })
}

pub(super) fn positive(name: &str, value: f64) -> Result<()> {
    if value > 0.0 && value.is_finite() { Ok(()) } else { Err(range(name, value, "a finite number above 0")) }
}

pub(super) fn not_negative(name: &str, value: f64) -> Result<()> {
    if value >= 0.0 && value.is_finite() { Ok(()) } else { Err(range(name, value, "a finite number, 0 or above")) }
}

/// A share from 0 to 1.
pub(super) fn share(name: &str, value: f64) -> Result<()> {
    if (0.0..=1.0).contains(&value) { Ok(()) } else { Err(range(name, value, "a number from 0 to 1")) }
}

/// A standard uncertainty, where it is known.
pub(super) fn uncertainty(name: &str, u: Option<f64>) -> Result<()> {
    u.map_or(Ok(()), |u| not_negative(&format!("standard uncertainty of the {name}"), u))
}

/// A place along a timber of this length, m.
pub(super) fn along(name: &str, at: f64, length: f64) -> Result<()> {
    if (0.0..=length).contains(&at) {
        return Ok(());
    }
    Err(range(name, at, format!("a place on the timber, 0 to {length} m")))
}

/// A count as a number.
#[allow(clippy::cast_precision_loss, reason = "OK because no timber has 2^53 slings or stations")]
pub(super) fn real(count: usize) -> f64 {
    count as f64
}
