//! Zones of a timber: which pieces lie at one depth, and what they say together.

use std::collections::{BTreeMap, BTreeSet};

use schemars::JsonSchema;
use serde::Serialize;

use crate::error::Result;
use crate::numeric::{effective_degrees_of_freedom, mean, normal_quantile, student_quantile, variance_of};
use crate::quantity::Quantity;

use super::{ByQuantity, Cause, DepthZone, Parts, Piece, StateOptions, Value};

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
pub(super) fn places(pieces: &[&Piece]) -> usize {
    let unnamed = pieces.iter().filter(|piece| piece.core_id.is_none()).count();
    cores(pieces) + unnamed
}

/// Cores that are named.
pub(super) fn cores(pieces: &[&Piece]) -> usize {
    let mut names: Vec<&str> = pieces.iter().filter_map(|piece| piece.core_id.as_deref()).collect();
    names.sort_unstable();
    names.dedup();
    names.len()
}

/// The pieces of a timber by depth, whether they could be read or not.
#[derive(Default)]
pub(super) struct Zones<'a> {
    pub(super) outer: Vec<&'a Piece>,
    pub(super) inner: Vec<&'a Piece>,
    pub(super) alone: Vec<&'a Piece>,
}

impl<'a> Zones<'a> {
    /// The outermost increments of the cores that overlap the outermost of all; the deepest ones that overlap the deepest
    /// of all; everything else stands alone, a piece of unknown depth too. A piece without a core is a core of its own.
    pub(super) fn of(pieces: &[&'a Piece]) -> Self {
        let mut zones = Self::default();
        let mut by_core: BTreeMap<(Option<&str>, Option<&str>), Vec<&'a Piece>> = BTreeMap::new();
        for piece in pieces {
            if piece.depth_from.or(piece.depth_to).is_none() {
                zones.alone.push(piece);
                continue;
            }
            let own_name = piece.sample.as_deref().filter(|_| piece.core_id.is_none());
            by_core.entry((piece.core_id.as_deref(), own_name)).or_default().push(piece);
        }
        let (mut first, mut last) = (Vec::new(), Vec::new());
        for mut core in by_core.into_values() {
            core.sort_by(|a, b| {
                let by_depth = start(a).total_cmp(&start(b)).then(end(a).total_cmp(&end(b)));
                by_depth.then_with(|| a.sample.cmp(&b.sample))
            });
            let (Some(&top), Some(&bottom)) = (core.first(), core.last()) else { continue };
            for piece in core {
                if overlap(top, piece) {
                    first.push(piece);
                } else if overlap(bottom, piece) {
                    last.push(piece);
                } else {
                    zones.alone.push(piece);
                }
            }
        }
        let outermost = first.iter().copied().min_by(|a, b| start(a).total_cmp(&start(b)));
        let deepest = last.iter().copied().max_by(|a, b| start(a).total_cmp(&start(b)));
        for (found, reference, zone) in [(first, outermost, &mut zones.outer), (last, deepest, &mut zones.inner)] {
            for piece in found {
                if reference.is_some_and(|reference| overlap(reference, piece)) {
                    zone.push(piece);
                } else {
                    zones.alone.push(piece);
                }
            }
        }
        zones
    }
}

/// Depth at which a piece begins, as far as it is known, mm.
fn start(piece: &Piece) -> f64 {
    piece.depth_from.or(piece.depth_to).unwrap_or(f64::INFINITY)
}

/// Depth at which a piece ends, as far as it is known, mm.
fn end(piece: &Piece) -> f64 {
    piece.depth_to.unwrap_or(start(piece))
}

/// Whether two increments have some depth in common.
fn overlap(a: &Piece, b: &Piece) -> bool {
    start(a).total_cmp(&start(b)).is_eq() || (start(a) < end(b) && start(b) < end(a))
}

pub(super) fn zone(pieces: &[&Piece], options: &StateOptions) -> Result<Option<Zone>> {
    if pieces.is_empty() {
        return Ok(None);
    }
    let from = pieces.iter().filter_map(|piece| piece.depth_from).min_by(f64::total_cmp);
    let to = pieces.iter().filter_map(|piece| piece.depth_to).max_by(f64::total_cmp);
    let coverage = 0.5 + options.propagation.coverage / 2.0;
    let mut values = ByQuantity::default();
    for quantity in SUMMED {
        let known: Vec<Value> = pieces.iter().filter_map(|piece| piece.values.of(quantity)).collect();
        let numbers: Vec<f64> = known.iter().map(|value| value.value).collect();
        let Some(value) = mean(&numbers).filter(|_| known.len() == pieces.len()) else { continue };
        let (u, factor) = match (scatter(pieces, quantity), pieces) {
            (Some((u, degrees)), _) => (Some(u), student_quantile(coverage, degrees)?),
            (None, [_]) => (known[0].u, normal_quantile(coverage)?),
            (None, _) => (None, 0.0),
        };
        let interval = match pieces {
            [_] => known[0].interval,
            _ => u.map(|u| [value - factor * u, value + factor * u]),
        };
        values.set(quantity, Some(Value { value, u, interval, ..known[0] }));
    }
    Ok(Some(Zone { n_samples: pieces.len(), n_cores: cores(pieces), depth: [from, to], values }))
}

/// Standard uncertainty of the mean of two or more pieces, and its effective degrees of freedom (JCGM 100, G.4.1).
///
/// The scatter between the pieces holds their own errors; what they share does not show in it and is added whole.
pub(super) fn scatter(pieces: &[&Piece], quantity: Quantity) -> Option<(f64, f64)> {
    let numbers: Vec<f64> = pieces.iter().filter_map(|piece| piece.values.of(quantity)).map(|v| v.value).collect();
    let parts: Vec<Parts> = pieces.iter().filter_map(|piece| piece.parts.of(quantity)).collect();
    let variance = variance_of(&numbers)?;
    if parts.len() < numbers.len() {
        return None;
    }
    let n: f64 = numbers.iter().map(|_| 1.0).sum();
    let own = parts.iter().map(|part| part.own_variance).sum::<f64>() / n;
    let shared: f64 =
        (0..Cause::SHARED).map(|cause| (parts.iter().map(|part| part.shared[cause]).sum::<f64>() / n).powi(2)).sum();
    let degrees = if variance >= own { n - 1.0 } else { f64::INFINITY };
    let components = [((variance.max(own) / n).sqrt(), degrees), (shared.sqrt(), f64::INFINITY)];
    let u = components[0].0.hypot(components[1].0);
    Some((u, effective_degrees_of_freedom(&components).unwrap_or(degrees)))
}

/// The zone of each of the pieces of one timber.
#[must_use]
pub fn depth_zones(pieces: &[&Piece]) -> Vec<DepthZone> {
    let zones = Zones::of(pieces);
    let places = |zone: &[&Piece]| zone.iter().map(|piece| std::ptr::from_ref(*piece)).collect::<BTreeSet<_>>();
    let (outer, inner) = (places(&zones.outer), places(&zones.inner));
    let zone = |piece: &&Piece| match () {
        () if outer.contains(&std::ptr::from_ref(*piece)) => DepthZone::Outer,
        () if inner.contains(&std::ptr::from_ref(*piece)) => DepthZone::Inner,
        () if piece.depth_from.or(piece.depth_to).is_some() => DepthZone::Between,
        () => DepthZone::Unknown,
    };
    pieces.iter().map(zone).collect()
}
