//! Zones of a timber: which pieces lie at one depth, and what they say together.

use schemars::JsonSchema;
use serde::Serialize;

use crate::error::Result;
use crate::numeric::{StudentQuantiles, effective_degrees_of_freedom, mean, variance_of};
use crate::quantity::Quantity;

use super::{ByQuantity, Cause, DepthZone, PieceView, Value};

/// The quantities that are summed up for a timber.
pub(super) const SUMMED: [Quantity; 4] =
    [Quantity::MaxWaterContent, Quantity::BasicDensity, Quantity::ResidualBasicDensity, Quantity::LossOfWoodSubstance];

/// Pieces of a timber at one depth, one or more cores.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Zone {
    /// Pieces in it.
    pub n_samples: usize,
    /// Cores in it.
    pub n_cores: usize,
    /// Depth from and to, mm.
    pub depth: [Option<f64>; 2],
    /// Means of its pieces. The uncertainty holds the scatter between pieces, and whole what they share.
    pub values: ByQuantity<Value>,
}

/// Places that were sampled: cores, and pieces without a core, each a place of its own.
pub(super) fn places(pieces: &[PieceView<'_>]) -> usize {
    let unnamed = pieces.iter().filter(|piece| piece.core_id().is_none()).count();
    cores(pieces) + unnamed
}

/// Cores that are named.
pub(super) fn cores(pieces: &[PieceView<'_>]) -> usize {
    let mut names: Vec<&str> = pieces.iter().filter_map(|piece| piece.core_id()).collect();
    names.sort_unstable();
    names.dedup();
    names.len()
}

/// The pieces of a timber by depth, whether they could be read or not: places among all its pieces.
#[derive(Default)]
pub(super) struct Zones {
    pub(super) outer: Vec<usize>,
    pub(super) inner: Vec<usize>,
    pub(super) alone: Vec<usize>,
}

/// A piece with its place among those of its timber and its depths.
#[derive(Clone, Copy)]
struct Increment<'a> {
    place: usize,
    core: Option<&'a str>,
    sample: Option<&'a str>,
    start: f64,
    end: f64,
}

impl<'a> Increment<'a> {
    /// Its core; without one it is a core of its own.
    fn of_core(&self) -> (Option<&'a str>, Option<&'a str>) {
        (self.core, self.sample.filter(|_| self.core.is_none()))
    }

    /// Whether two increments have some depth in common.
    fn overlaps(&self, other: &Self) -> bool {
        self.start.total_cmp(&other.start).is_eq() || (self.start < other.end && other.start < self.end)
    }
}

impl Zones {
    /// The outermost increments of the cores that overlap the outermost of all; the deepest ones that overlap the deepest
    /// of all; everything else stands alone, a piece of unknown depth too. A piece without a core is a core of its own.
    pub(super) fn of(pieces: &[PieceView<'_>]) -> Self {
        let mut zones = Self::default();
        let mut increments: Vec<Increment<'_>> = Vec::with_capacity(pieces.len());
        for (place, piece) in pieces.iter().enumerate() {
            let [from, to] = piece.depth();
            let Some(start) = from.or(to) else {
                zones.alone.push(place);
                continue;
            };
            let (sample, core) = (piece.sample(), piece.core_id());
            increments.push(Increment { place, core, sample, start, end: to.unwrap_or(start) });
        }
        increments.sort_by(|a, b| {
            let by_depth = a.start.total_cmp(&b.start).then(a.end.total_cmp(&b.end));
            a.of_core().cmp(&b.of_core()).then(by_depth).then_with(|| a.sample.cmp(&b.sample))
        });
        let (mut first, mut last) = (Vec::new(), Vec::new());
        for core in increments.chunk_by(|a, b| a.of_core() == b.of_core()) {
            let [top, bottom] = [core[0], core[core.len() - 1]];
            for &increment in core {
                if top.overlaps(&increment) {
                    first.push(increment);
                } else if bottom.overlaps(&increment) {
                    last.push(increment);
                } else {
                    zones.alone.push(increment.place);
                }
            }
        }
        let outermost = first.iter().copied().min_by(|a, b| a.start.total_cmp(&b.start));
        let deepest = last.iter().copied().max_by(|a, b| a.start.total_cmp(&b.start));
        for (found, reference, zone) in [(first, outermost, &mut zones.outer), (last, deepest, &mut zones.inner)] {
            for increment in found {
                if reference.is_some_and(|reference| reference.overlaps(&increment)) {
                    zone.push(increment.place);
                } else {
                    zones.alone.push(increment.place);
                }
            }
        }
        zones
    }
}

/// The zone of these pieces; `quantiles`: of the upper end of intervals.
pub(super) fn zone(pieces: &[PieceView<'_>], quantiles: &StudentQuantiles) -> Result<Option<Zone>> {
    if pieces.is_empty() {
        return Ok(None);
    }
    let from = pieces.iter().filter_map(|piece| piece.depth()[0]).min_by(f64::total_cmp);
    let to = pieces.iter().filter_map(|piece| piece.depth()[1]).max_by(f64::total_cmp);
    let mut values = ByQuantity::default();
    let mut numbers = Vec::with_capacity(pieces.len());
    for quantity in SUMMED {
        numbers.clear();
        numbers.extend(pieces.iter().filter_map(|piece| piece.number(quantity)));
        let first = pieces[0].value(quantity);
        let Some((value, first)) = mean(&numbers).zip(first).filter(|_| numbers.len() == pieces.len()) else {
            continue;
        };
        let (u, factor) = match (scatter_of(pieces, quantity, &numbers), pieces) {
            (Some((u, degrees)), _) => (Some(u), quantiles.at(degrees)?),
            (None, [_]) => (first.u, quantiles.at(f64::INFINITY)?),
            (None, _) => (None, 0.0),
        };
        let interval = match pieces {
            [_] => first.interval,
            _ => u.map(|u| [value - factor * u, value + factor * u]),
        };
        values.set(quantity, Some(Value { value, u, interval, ..first }));
    }
    Ok(Some(Zone { n_samples: pieces.len(), n_cores: cores(pieces), depth: [from, to], values }))
}

/// Standard uncertainty of the mean of two or more pieces, and its effective degrees of freedom (JCGM 100, G.4.1).
///
/// The scatter between the pieces holds their own errors; what they share does not show in it and is added whole.
pub(super) fn scatter(pieces: &[PieceView<'_>], quantity: Quantity) -> Option<(f64, f64)> {
    let numbers: Vec<f64> = pieces.iter().filter_map(|piece| piece.number(quantity)).collect();
    scatter_of(pieces, quantity, &numbers)
}

/// The same with the values of the quantity, of the pieces that have one.
fn scatter_of(pieces: &[PieceView<'_>], quantity: Quantity, numbers: &[f64]) -> Option<(f64, f64)> {
    let variance = variance_of(numbers)?;
    let (mut own, mut shared) = (0.0, [0.0; Cause::SHARED]);
    for piece in pieces.iter().filter(|piece| piece.number(quantity).is_some()) {
        let parts = piece.parts(quantity)?;
        own += parts.own_variance;
        shared.iter_mut().zip(parts.shared).for_each(|(sum, part)| *sum += part);
    }
    let n: f64 = numbers.iter().map(|_| 1.0).sum();
    own /= n;
    let shared: f64 = shared.iter().map(|sum| (sum / n).powi(2)).sum();
    let degrees = if variance >= own { n - 1.0 } else { f64::INFINITY };
    let components = [((variance.max(own) / n).sqrt(), degrees), (shared.sqrt(), f64::INFINITY)];
    let u = components[0].0.hypot(components[1].0);
    Some((u, effective_degrees_of_freedom(&components).unwrap_or(degrees)))
}

/// The zone of each of the pieces of one timber.
#[must_use]
pub fn depth_zones(pieces: &[PieceView<'_>]) -> Vec<DepthZone> {
    let has_depth = |piece: &PieceView<'_>| piece.depth().iter().any(Option::is_some);
    let found = |piece| if has_depth(piece) { DepthZone::Between } else { DepthZone::Unknown };
    let mut zone_of: Vec<DepthZone> = pieces.iter().map(found).collect();
    let zones = Zones::of(pieces);
    zones.outer.into_iter().for_each(|place| zone_of[place] = DepthZone::Outer);
    zones.inner.into_iter().for_each(|place| zone_of[place] = DepthZone::Inner);
    zone_of
}
