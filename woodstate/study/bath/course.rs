//! What a schedule of baths brings into wood.

use schemars::JsonSchema;
use serde::Serialize;

use super::number::{BathNumber, DAY, in_days};
use crate::error::Result;
use crate::treatment::{BathStep, Body, Steeping, Whereabouts};

/// What a schedule of baths brings into a timber.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct BathCourse {
    /// What is in the wood at the end of each bath.
    pub baths: Vec<BathMoment>,
    /// Time from the first bath until the mean of the wood has 90 % of the strength of the last, d; `None` where the schedule ends before or falls.
    pub to_ninety: Option<BathNumber>,
    /// The same for the centre, d.
    pub centre_to_ninety: Option<BathNumber>,
}

/// What is in the wood at the end of a bath.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct BathMoment {
    /// Number of the bath, from 1; those of a second impregnant go on counting.
    pub bath: usize,
    /// Strength of the bath, g/L.
    pub strength: f64,
    /// When it ends, d from the first bath; `None` where it goes on.
    pub ends: Option<f64>,
    /// Mean strength in the wood then, g/L.
    pub mean: Option<BathNumber>,
    /// Strength in the centre then, g/L.
    pub centre: Option<BathNumber>,
}

/// Share of the strength of the last bath to which times are told.
const NINETY: f64 = 0.9;

/// Days that an open bath stands for in the sum; the time to a share does not depend on it.
const OPEN: f64 = 1.0;

/// The baths of one impregnant, followed by those of another one in which there is none of it.
pub(super) fn course(
    body: &Body,
    own: &[(f64, Option<f64>)],
    after: &[(f64, Option<f64>)],
    is_second: bool,
) -> Result<BathCourse> {
    let steps = steps(own, after);
    let steeping = Steeping::new(body, &steps)?;
    let at = |time: f64| -> Result<[BathNumber; 2]> {
        let grams = |[value, low, high]: [f64; 3]| match high - low > 1e-9 * value.abs() {
            true => BathNumber::between(value, [low, high], "g/L"),
            false => BathNumber::bare(value, "g/L"),
        };
        Ok([grams(steeping.at(time, Whereabouts::Average)?), grams(steeping.at(time, Whereabouts::Centre)?)])
    };
    let baths = moments(own, after, at)?;
    let last = own.last().map_or(0.0, |(strength, _)| *strength);
    // A first impregnant that is washed out again reaches its share, if at all, before.
    let is_rising = after.is_empty() || is_second;
    let end = own.iter().map(|(_, days)| *days).sum::<Option<f64>>();
    let times = |place: Whereabouts| -> Result<Option<BathNumber>> {
        if !is_rising || !own.is_sorted_by(|before, after| before.0 <= after.0) || last <= 0.0 {
            return Ok(None);
        }
        let found = steeping.time_to(NINETY * last, place)?;
        let found = found.map(|[value, low, high]| in_days(value / DAY, [low / DAY, high / DAY]));
        Ok(found.filter(|found| end.is_none_or(|end| found.value <= end)))
    };
    Ok(BathCourse { baths, to_ninety: times(Whereabouts::Average)?, centre_to_ninety: times(Whereabouts::Centre)? })
}

/// The baths as diffusion sees them: of another impregnant, there is none in them.
pub(super) fn steps(own: &[(f64, Option<f64>)], after: &[(f64, Option<f64>)]) -> Vec<BathStep> {
    let own = own.iter().map(|(strength, days)| (*strength, *days));
    let after = after.iter().map(|(_, days)| (0.0, *days));
    own.chain(after)
        .map(|(concentration, days)| BathStep { duration: days.unwrap_or(OPEN) * DAY, concentration })
        .collect()
}

/// What is in the wood at the end of each bath, by what it is at a time in s.
pub(super) fn moments(
    own: &[(f64, Option<f64>)],
    after: &[(f64, Option<f64>)],
    mut at: impl FnMut(f64) -> Result<[BathNumber; 2]>,
) -> Result<Vec<BathMoment>> {
    let mut now = 0.0;
    let mut baths = Vec::new();
    let all = own.iter().copied().chain(after.iter().map(|(_, days)| (0.0, *days)));
    for (place, (strength, duration)) in all.enumerate() {
        let ends = duration.map(|days| now + days);
        let found = ends.map(|ends| at(ends * DAY)).transpose()?;
        baths.push(BathMoment {
            bath: place + 1,
            strength,
            ends,
            mean: found.map(|[mean, _]| mean),
            centre: found.map(|[_, centre]| centre),
        });
        now = ends.unwrap_or(now);
    }
    Ok(baths)
}
