//! Times in one bath, endless or of limited volume.

use schemars::JsonSchema;
use serde::Serialize;

use super::number::{BathNumber, DAY, days, in_days};
use super::piece::BathPiece;
use super::wood::BathWood;
use crate::error::Result;
use crate::treatment::{Body, Form, Ranged, reduced_time_stirred};

/// Times until a share is reached.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct ShareTimes {
    /// The share, %: of the final uptake on average, of the strength of the bath in the centre.
    pub share: f64,
    /// On average, d.
    pub average: BathNumber,
    /// In the centre, d; `None` where it is not computed.
    pub centre: Option<BathNumber>,
}

/// Shares that are told, %.
pub(super) const SHARES: [f64; 4] = [50.0, 90.0, 95.0, 99.0];

/// Times in one endless bath.
pub(super) fn endless(body: &Body) -> Result<Vec<ShareTimes>> {
    let one = |share: f64| {
        Ok(ShareTimes {
            share,
            average: days(body.time_to_uptake(share / 100.0)?),
            centre: Some(days(body.time_to_centre(share / 100.0)?)),
        })
    };
    SHARES.into_iter().map(one).collect()
}

/// Times in a stirred tank, of which the wood takes its part.
///
/// * `half`: half the thickness or the radius, m; `tank`: its volume with the wood, L
pub(super) fn stirred(
    piece: &BathPiece,
    half: f64,
    diffusivity: Ranged,
    wood: &BathWood,
    tank: f64,
) -> Result<Vec<ShareTimes>> {
    let Some((_, form, _)) = piece.across() else { return Ok(Vec::new()) };
    let pores = 1000.0 * wood.water.value / wood.water_density;
    let ratio = (tank - wood.volume.value) / pores;
    if ratio <= 0.0 || !matches!(form, Form::Slab | Form::Cylinder) {
        return Ok(Vec::new());
    }
    let one = |share: f64| {
        // A bath too large for the series is an endless one.
        let Ok(reduced) = reduced_time_stirred(form, share / 100.0, ratio) else { return Ok(None) };
        let slowness = half * half * reduced;
        let [low, high] = diffusivity.interval();
        let average = in_days(slowness / diffusivity.value() / DAY, [slowness / high / DAY, slowness / low / DAY]);
        Ok(Some(ShareTimes { share, average, centre: None }))
    };
    let found: Result<Vec<Option<ShareTimes>>> = SHARES.into_iter().map(one).collect();
    Ok(found?.into_iter().flatten().collect())
}
