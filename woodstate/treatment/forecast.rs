//! When a timber will stand where it shall.

use super::{BathHistory, Body, check};
use crate::error::Result;
use crate::numeric::root_between;

/// Where in a timber.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Whereabouts {
    /// The mean over the whole timber.
    Average,
    /// The centre, which lags far behind.
    Centre,
}

/// Reduced time, by the quickest way, beyond which nothing is waited for.
const LONGEST: f64 = 1e3;

/// Time at which a timber reaches a share of the concentration of the last bath, s; `None` where the last bath has none.
///
/// ```text
/// c(t; D) = p c_last
/// ```
///
/// * `body`: with diffusivity 1 m²/s across the grain; `diffusivity`: D, m²/s
/// * `bath`: the last bath is taken to stand as it is
/// * `share`: p, between 0 and 1
///
/// It is the first such time. It may lie before now, and before the last bath: then the timber has reached the share.
///
/// # Errors
/// A diffusivity that is not above 0; a share that is not between 0 and 1, or nearer to one of them than 1e-9.
///
/// # Example
/// ```
/// use woodstate::treatment::{BathHistory, Body, Ranged, Whereabouts, time_to_reach};
/// let board = Body::slab(0.05, Ranged::exact(1.0)?)?;
/// let bath = BathHistory::new(&[0.0], &[400.0])?;
/// let days = |place| time_to_reach(&board, &bath, 1e-11, 0.9, place).map(|time| time.unwrap_or(0.0) / 86_400.0);
/// // 0.848085 a²/D for the average, 1.0311 a²/D for the middle.
/// assert!((days(Whereabouts::Average)? - 2453.95).abs() < 0.01);
/// assert!((days(Whereabouts::Centre)? - 2983.5).abs() < 0.1);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
///
/// # Source
/// The inverse of [`BathHistory::average`] and [`BathHistory::centre`].
pub fn time_to_reach(
    body: &Body,
    bath: &BathHistory,
    diffusivity: f64,
    share: f64,
    place: Whereabouts,
) -> Result<Option<f64>> {
    check::positive("diffusivity", diffusivity)?;
    check::reachable("share of the bath", share)?;
    let goal = share * bath.last();
    if goal <= 0.0 {
        return Ok(None);
    }
    let lacks = |time: f64| {
        let reached = match place {
            Whereabouts::Average => bath.followed(time, diffusivity, |scaled| body.left_of_value(scaled)),
            Whereabouts::Centre => bath.followed(time, diffusivity, |scaled| body.centre_left_of_value(scaled)),
        };
        goal - reached
    };
    let mut before = bath.first_begin();
    for begin in bath.begins() {
        if lacks(*begin) <= 0.0 {
            return root_between(lacks, before, *begin).map(Some);
        }
        before = *begin;
    }
    let begin = before;
    let end = begin + LONGEST * body.quickest() / diffusivity;
    if lacks(end) > 0.0 {
        return Ok(None);
    }
    root_between(lacks, begin, end).map(Some)
}
