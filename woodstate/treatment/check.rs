//! Checks of arguments, so that each says the same in the same words.

use crate::error::{Error, ErrorKind, Result};

/// How near to 0 and 1 a share may be.
const NEAREST: f64 = 1e-9;

pub(super) fn range(name: impl Into<String>, value: f64, allowed: impl Into<String>) -> Error {
    Error::new(ErrorKind::Range { name: name.into(), value, allowed: allowed.into() })
}

pub(super) fn positive(name: &str, value: f64) -> Result<()> {
    if value > 0.0 && value.is_finite() { Ok(()) } else { Err(range(name, value, "a finite number above 0")) }
}

pub(super) fn not_negative(name: &str, value: f64) -> Result<()> {
    if value >= 0.0 && value.is_finite() { Ok(()) } else { Err(range(name, value, "a finite number, 0 or above")) }
}

/// A share for which a time can be told: nearer to 0 or 1 the digits of a float end.
pub(super) fn reachable(name: &str, value: f64) -> Result<()> {
    if value >= NEAREST && 1.0 - value >= NEAREST {
        return Ok(());
    }
    Err(range(name, value, format!("a number between 0 and 1, at least {NEAREST} from both")))
}

/// A share from 0 to 1.
pub(super) fn share(name: &str, value: f64) -> Result<()> {
    if (0.0..=1.0).contains(&value) { Ok(()) } else { Err(range(name, value, "a number from 0 to 1")) }
}

/// A mass fraction: 0 to below 1.
pub(super) fn fraction(name: &str, value: f64) -> Result<()> {
    if (0.0..1.0).contains(&value) { Ok(()) } else { Err(range(name, value, "a number from 0 to below 1")) }
}

/// A share of a volume that is not empty.
pub(super) fn porosity(value: f64) -> Result<()> {
    if value > 0.0 && value <= 1.0 { Ok(()) } else { Err(range("porosity", value, "a number above 0 and up to 1")) }
}

/// More cells than this are a slip of the keyboard.
const MOST_CELLS: usize = 10_000;

pub(super) fn cells(found: usize, least: usize) -> Result<()> {
    if (least..=MOST_CELLS).contains(&found) {
        return Ok(());
    }
    Err(range("number of cells", real(found), format!("{least} to {MOST_CELLS}")))
}

/// A size whose square and cube are numbers.
pub(super) fn bounded(name: &str, value: f64) -> Result<()> {
    if (SIZES[0]..=SIZES[1]).contains(&value) {
        return Ok(());
    }
    Err(range(name, value, format!("a number from {:e} to {:e}", SIZES[0], SIZES[1])))
}

const SIZES: [f64; 2] = [1e-30, 1e30];

pub(super) fn length(what: &'static str, found: usize, expected: usize) -> Result<()> {
    if found == expected { Ok(()) } else { Err(Error::new(ErrorKind::Shape { what, found, expected })) }
}

/// A count as a number.
#[allow(clippy::cast_precision_loss, reason = "OK because no grid and no treatment has 2^53 parts")]
pub(super) fn real(count: usize) -> f64 {
    count as f64
}
