//! A soft rim over a core, computed in steps of space and time.

use super::course::{BathCourse, moments, steps};
use super::endless::{SHARES, ShareTimes};
use super::number::{BathNumber, DAY, in_days};
use super::piece::{BathPiece, Ways};
use crate::error::Result;
use crate::numeric::Watch;
use crate::treatment::{BathStep, Block, Form, Grain, Layer, Layered, Ranged, SoakOptions, Soaking};

/// A timber whose rim and core differ.
pub(super) struct Rimmed {
    /// With the diffusivities as they stand, at their lower ends, at their upper ends; each with the longest of its times a²/D, s.
    pieces: Vec<(Piece, f64)>,
    /// By what times are multiplied at the two ends, where rim and core have intervals of the same width: then one course tells all three.
    scale: Option<[f64; 2]>,
    /// Whether what comes in through the ends is counted.
    pub(super) has_ends: bool,
}

enum Piece {
    Row(Layered),
    Beam(Block<2>),
    Box(Block<3>),
}

/// Cells from the surface to the centre, and in each direction of a piece with ends.
const CELLS: usize = 32;
const CELLS_OF_BOX: usize = 20;

/// Error allowed in a step of time.
const TOLERANCE: f64 = 1e-4;

/// Times at which a course without end is looked at.
const LOOKS: u32 = 240;

impl Rimmed {
    /// `None` where the rim leaves no core, or is unknown. The rim is taken to be as deep at the ends, and along the grain as quick as
    /// the core; the ends of a round piece are not counted.
    pub(super) fn of(piece: &BathPiece, ways: &Ways) -> Result<Option<Self>> {
        let (Some((half, form, _)), Some(rim), Some(of_rim)) = (piece.across(), piece.soft_rim, ways.rim) else {
            return Ok(None);
        };
        let depth = rim.value / 1000.0;
        let ends = match half.as_slice() {
            [_, _, ..] => piece.length.map(|length| length / 2000.0).zip(ways.along),
            _ => None,
        };
        let thinnest = half.iter().copied().chain(ends.map(|(half, _)| half)).fold(f64::INFINITY, f64::min);
        if depth >= thinnest {
            return Ok(None);
        }
        let [in_rim, in_core] = piece.porosity.unwrap_or([1.0; 2]).map(|share| share.clamp(1e-3, 1.0));
        let parts: [fn(&Ranged) -> f64; 3] = [|of| of.value(), |of| of.interval()[0], |of| of.interval()[1]];
        let mut pieces = Vec::new();
        for part in parts {
            let (outer, inner) = (part(&of_rim), part(&ways.across));
            let slowest = thinnest * thinnest / inner.min(outer);
            let made = match (half.as_slice(), ends) {
                ([width, height, ..], Some((half, along))) => {
                    let along = part(&along);
                    let grain = |across: f64, porosity: f64| Grain { diffusivity: [across, across, along], porosity };
                    let rims = [(depth, grain(outer, in_rim))];
                    Piece::Box(Block::new([*width, *height, half], &rims, grain(inner, in_core))?)
                }
                ([width, height, ..], None) => {
                    let grain = |diffusivity: f64, porosity: f64| Grain { diffusivity: [diffusivity; 2], porosity };
                    let rims = [(depth, grain(outer, in_rim))];
                    Piece::Beam(Block::new([*width, *height], &rims, grain(inner, in_core))?)
                }
                _ => Piece::Row(Layered::new(
                    if form == Form::Cylinder { Form::Cylinder } else { Form::Slab },
                    &[
                        Layer { thickness: depth, diffusivity: outer, porosity: in_rim },
                        Layer { thickness: thinnest - depth, diffusivity: inner, porosity: in_core },
                    ],
                )?),
            };
            pieces.push((made, slowest));
        }
        let by = |of: &Ranged| of.interval().map(|end| of.value() / end);
        let [slow, fast] = by(&of_rim);
        let is_same = |of: &Ranged| by(of).iter().zip([slow, fast]).all(|(a, b)| (a / b - 1.0).abs() < 1e-9);
        let scale = [Some(ways.across), ends.map(|(_, along)| along)].iter().flatten().all(is_same);
        Ok(Some(Self { pieces, scale: scale.then_some([slow, fast]), has_ends: ends.is_some() }))
    }

    /// Times in one endless bath.
    pub(super) fn endless(&self, watch: &Watch<'_>) -> Result<Vec<ShareTimes>> {
        let mut found = Vec::new();
        let computed = if self.scale.is_some() { 1 } else { self.pieces.len() };
        for (piece, slowest) in self.pieces.iter().take(computed) {
            let end = 3.0 * slowest;
            let looks: Vec<f64> =
                (0..=LOOKS).map(|look| end * 10_f64.powf(5.0 * (f64::from(look) / f64::from(LOOKS) - 1.0))).collect();
            let bath = BathStep { duration: end, concentration: 1.0 };
            found.push(piece.soak(&[bath], &looks, watch)?);
        }
        let of = |share: f64, value: fn(&crate::treatment::Moment) -> f64| {
            let times: Option<Vec<f64>> = found.iter().map(|soaking| crossing(soaking, share / 100.0, value)).collect();
            match (times.as_deref(), self.scale) {
                (Some([value]), Some([slow, fast])) => {
                    Some(in_days(value / DAY, [value * fast / DAY, value * slow / DAY]))
                }
                (Some([value, latest, soonest]), _) => Some(in_days(value / DAY, [soonest / DAY, latest / DAY])),
                _ => None,
            }
        };
        let one = |share: f64| {
            let average = of(share, |moment| moment.mean)?;
            Some(ShareTimes { share, average, centre: of(share, |moment| moment.centre) })
        };
        Ok(SHARES.into_iter().filter_map(one).collect())
    }

    /// What a schedule brings in.
    pub(super) fn course(
        &self,
        own: &[(f64, Option<f64>)],
        after: &[(f64, Option<f64>)],
        watch: &Watch<'_>,
    ) -> Result<BathCourse> {
        let baths = steps(own, after);
        let mut now = 0.0;
        let ends: Vec<f64> = baths
            .iter()
            .map(|bath| {
                now += bath.duration;
                now
            })
            .collect();
        let mut found = Vec::new();
        for (piece, _) in &self.pieces {
            found.push(piece.soak(&baths, &ends, watch)?);
        }
        let at = |time: f64| {
            let grams = |value: fn(&crate::treatment::Moment) -> f64| {
                let near = |soaking: &Soaking| {
                    let place = ends.iter().position(|end| (end - time).abs() < 1.0)?;
                    soaking.moments.get(place).map(value)
                };
                let all: Vec<f64> = found.iter().filter_map(near).collect();
                let low = all.iter().copied().fold(f64::INFINITY, f64::min);
                let high = all.iter().copied().fold(f64::NEG_INFINITY, f64::max);
                let value = all.first().copied().unwrap_or_default();
                match high - low > 1e-9 * value.abs() {
                    true => BathNumber::between(value, [low, high], "g/L"),
                    false => BathNumber::bare(value, "g/L"),
                }
            };
            Ok([grams(|moment| moment.mean), grams(|moment| moment.centre)])
        };
        Ok(BathCourse { baths: moments(own, after, at)?, to_ninety: None, centre_to_ninety: None })
    }
}

impl Piece {
    fn soak(&self, baths: &[BathStep], times: &[f64], watch: &Watch<'_>) -> Result<Soaking> {
        let cells = if matches!(self, Self::Box(_)) { CELLS_OF_BOX } else { CELLS };
        let options = SoakOptions { cells, tolerance: TOLERANCE, ..SoakOptions::at(times) };
        match self {
            Self::Row(piece) => piece.soak(baths, &options, watch),
            Self::Beam(piece) => piece.soak(baths, &options, watch),
            Self::Box(piece) => piece.soak(baths, &options, watch),
        }
    }
}

/// When a rising value passes a target, s: on a straight line over the logarithm of time between two looks.
fn crossing(soaking: &Soaking, target: f64, value: fn(&crate::treatment::Moment) -> f64) -> Option<f64> {
    let pair = soaking.moments.windows(2).find(|pair| value(&pair[1]) >= target)?;
    let ([early, late], [low, high]) = ([pair[0].time, pair[1].time], [value(&pair[0]), value(&pair[1])]);
    let part = if high > low { ((target - low) / (high - low)).clamp(0.0, 1.0) } else { 1.0 };
    Some(early * (late / early).powf(part))
}
