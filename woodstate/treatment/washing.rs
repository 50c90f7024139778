//! Washing in one bath of clean water after the other.

use super::{check, check::range};
use crate::error::Result;

/// Share of a soluble salt that is left in the wood after washing, 0 to 1.
///
/// ```text
/// c_n/c_0 = 1/(1 + r)ⁿ
/// ```
///
/// * `baths`: n, each of clean water
/// * `ratio`: r, water of a bath over water in the wood, by volume, above 0
///
/// Each bath stands until wood and water are even. How long that takes is a matter of diffusion:
/// [`Body::time_to_uptake`](crate::treatment::Body::time_to_uptake).
///
/// # Errors
/// A ratio that is not above 0.
///
/// # Example
/// ```
/// let left = woodstate::treatment::washing_left(3, 4.0)?;
/// assert!((left - 0.008).abs() < 1e-15);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
///
/// # Source
/// Law of repeated extraction (from memory), derived from a balance of masses.
pub fn washing_left(baths: u32, ratio: f64) -> Result<f64> {
    check::positive("bath water over wood water", ratio)?;
    Ok(left(baths, ratio))
}

/// Fewest baths of clean water after which no more than a share of a soluble salt is left.
///
/// ```text
/// n = ⌈ln(1/x)/ln(1 + r)⌉
/// ```
///
/// * `target`: x, share that may be left, above 0 to 1
/// * `ratio`: r, as in [`washing_left`]
///
/// # Errors
/// A target outside 0 to 1, a ratio that is not above 0 or so small that more than a million baths would be needed.
///
/// # Example
/// ```
/// assert_eq!(woodstate::treatment::washing_baths(0.01, 4.0)?, 3);
/// assert_eq!(woodstate::treatment::washing_baths(0.04, 4.0)?, 2);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
///
/// # Source
/// As [`washing_left`].
pub fn washing_baths(target: f64, ratio: f64) -> Result<u32> {
    if !(target > 0.0 && target <= 1.0) {
        return Err(range("share that may be left", target, "a number above 0 and up to 1"));
    }
    check::positive("bath water over wood water", ratio)?;
    // A target that is met exactly, such as 0.04 with two baths of 4, is met in spite of rounding.
    let is_met = |baths: u32| left(baths, ratio) <= target * (1.0 + ROUNDING);
    let (mut low, mut high) = (0, MOST);
    if !is_met(high) {
        let allowed = format!("a number with which {MOST} baths are enough");
        return Err(range("bath water over wood water", ratio, allowed));
    }
    while low < high {
        let middle = u32::midpoint(low, high);
        if is_met(middle) {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    Ok(high)
}

/// More baths than anybody will make.
const MOST: u32 = 1_000_000;
const ROUNDING: f64 = 1e-12;

fn left(baths: u32, ratio: f64) -> f64 {
    (-f64::from(baths) * ratio.ln_1p()).exp()
}
