//! Checks of arguments, so that each says the same in the same words.

use super::summary::real;
use crate::error::{Error, ErrorKind, Result};

pub(super) fn range(name: impl Into<String>, value: f64, allowed: impl Into<String>) -> Error {
    Error::new(ErrorKind::Range { name: name.into(), value, allowed: allowed.into() })
}

pub(super) fn finite(name: &str, value: f64) -> Result<()> {
    if value.is_finite() { Ok(()) } else { Err(range(name, value, "a finite number")) }
}

pub(super) fn not_nan(name: &str, value: f64) -> Result<()> {
    if value.is_nan() { Err(range(name, value, "a number")) } else { Ok(()) }
}

pub(super) fn positive(name: &str, value: f64) -> Result<()> {
    if value > 0.0 && value.is_finite() { Ok(()) } else { Err(range(name, value, "a finite number above 0")) }
}

/// Standard uncertainties: 0 is allowed, for a number that is exact by definition.
pub(super) fn uncertainty(name: &str, value: f64) -> Result<()> {
    if value >= 0.0 && value.is_finite() { Ok(()) } else { Err(range(name, value, "a finite number, 0 or above")) }
}

/// Degrees of freedom that may be infinite.
pub(super) fn freedom(name: &str, value: f64) -> Result<()> {
    if value > 0.0 { Ok(()) } else { Err(range(name, value, "a number above 0")) }
}

/// A probability strictly between 0 and 1.
pub(super) fn probability(name: &str, value: f64) -> Result<()> {
    if value > 0.0 && value < 1.0 { Ok(()) } else { Err(range(name, value, "a number between 0 and 1")) }
}

pub(super) fn length(what: &'static str, found: usize, expected: usize) -> Result<()> {
    if found == expected { Ok(()) } else { Err(Error::new(ErrorKind::Shape { what, found, expected })) }
}

/// A finite number of a list; the message counts from 1.
pub(super) fn finite_of(name: &str, row: usize, value: f64) -> Result<()> {
    if value.is_finite() { Ok(()) } else { finite(&format!("{name} {}", row + 1), value) }
}

/// A finite number above 0 of a list; the message counts from 1.
pub(super) fn positive_of(name: &str, row: usize, value: f64) -> Result<()> {
    if value > 0.0 && value.is_finite() { Ok(()) } else { positive(&format!("{name} {}", row + 1), value) }
}

/// At least this many of something.
pub(super) fn at_least(name: &str, found: usize, least: usize) -> Result<()> {
    if found >= least { Ok(()) } else { Err(range(name, real(found), format!("at least {least}"))) }
}
