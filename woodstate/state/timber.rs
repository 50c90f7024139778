//! A timber: what its pieces say together, without a mean across rim and core.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use crate::error::{CautionCode, Cautions, Result};
use crate::numeric::{mean, normal_quantile, student_quantile, variance_of};
use crate::quantity::Quantity;
use crate::table::Table;

use super::{ByQuantity, Cause, ClassReading, Doubt, Parts, Piece, StateOptions, Value};

/// The quantities that are summed up for a timber.
const SUMMED: [Quantity; 4] =
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

/// The most degraded piece of a timber.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Worst {
    /// Its name.
    pub sample: Option<String>,
    /// Its results.
    pub values: ByQuantity<Value>,
}

/// One timber.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Timber {
    /// Its name.
    pub timber: String,
    /// Its wood; `None` where unknown or where its pieces disagree.
    pub taxon: Option<String>,
    /// Pieces.
    pub n_samples: usize,
    /// Pieces that the class rests on.
    pub n_read: usize,
    /// Cores that are named.
    pub n_cores: usize,
    /// The increments of each core that lie nearest the surface; `None` where no depth is known.
    pub outer: Option<Zone>,
    /// The deepest increments of cores that have more than one; `None` where there are none.
    pub inner: Option<Zone>,
    /// The most degraded piece; `None` where no piece has a decay reading.
    pub worst: Option<Worst>,
    /// Smallest and largest value over its pieces.
    pub range: ByQuantity<[f64; 2]>,
    /// Its class: that of the worst zone.
    pub degradation_class: ClassReading,
    /// What to know before using the results.
    pub cautions: Cautions,
}

/// All timbers, in the order of their names: those of the samples and those of the timbers table.
pub(super) fn timbers(pieces: &[Piece], table: Option<&Table>, options: &StateOptions) -> Result<Vec<Timber>> {
    let mut groups: BTreeMap<&str, Vec<&Piece>> = BTreeMap::new();
    for row in 0..table.map_or(0, Table::n_rows) {
        if let Some(name) = table.and_then(|table| table.text("timber", row)) {
            groups.entry(name).or_default();
        }
    }
    for piece in pieces {
        if let Some(timber) = &piece.timber {
            groups.entry(timber).or_default().push(piece);
        }
    }
    groups.into_iter().map(|(name, pieces)| timber(name, &pieces, options)).collect()
}

fn timber(name: &str, pieces: &[&Piece], options: &StateOptions) -> Result<Timber> {
    let ruling = Quantity::of_name(&options.scheme.quantity).unwrap_or(Quantity::MaxWaterContent);
    let is_classed = |piece: &&Piece| piece.degradation_class.most_likely.is_some();
    let is_read = |piece: &&Piece| piece.values.of(ruling).is_some() && !piece.cautions.iter().any(|code| blocks(code));
    let read: Vec<&Piece> = pieces.iter().copied().filter(is_read).collect();
    let (outer, inner, between) = zones(&read);
    let mut taxa: Vec<&Option<String>> = pieces.iter().map(|piece| &piece.taxon).collect();
    taxa.dedup();
    let mut timber = Timber {
        timber: name.to_owned(),
        taxon: if let [taxon] = taxa.as_slice() { (*taxon).clone() } else { None },
        n_samples: pieces.len(),
        n_read: read.len(),
        n_cores: cores(pieces),
        outer: zone(&outer, options)?,
        inner: zone(&inner, options)?,
        worst: worst(&read, ruling, options).map(|piece| Worst { sample: piece.sample.clone(), values: piece.values }),
        range: range(&read),
        degradation_class: ClassReading::none(&options.scheme, reason(pieces)),
        cautions: Cautions::NONE,
    };
    timber.cautions.insert_if(!pieces.is_empty() && read.len() < pieces.len(), CautionCode::TimberPartly);
    let has_depth = |piece: &&Piece| piece.depth_from.is_some() || piece.depth_to.is_some();
    let is_depth_known = read.iter().all(has_depth);
    timber.cautions.insert_if(!is_depth_known, CautionCode::DepthUnknown);
    if !worst(&read, ruling, options).as_ref().is_some_and(is_classed) {
        return Ok(timber);
    }
    let candidates = [&outer, &inner].into_iter().filter_map(|group| {
        let mean =
            mean(&group.iter().filter_map(|piece| piece.values.of(ruling)).map(|v| v.value).collect::<Vec<_>>())?;
        Some((mean, Some(group)))
    });
    // A piece between, or one of unknown depth, stands for itself: it enters no mean.
    let singles = between.into_iter().chain(read.iter().copied().filter(|piece| !has_depth(piece)));
    let singles = singles.filter_map(|piece| Some((piece.values.of(ruling)?.value, None)));
    let decisive = candidates.chain(singles).reduce(|a, b| if is_worse(b.0, a.0, options) { b } else { a });
    let Some((value, group)) = decisive else { return Ok(timber) };
    let spread = group.filter(|group| cores(group) > 1).map(|group| scatter(group, ruling));
    let doubt = match spread {
        Some(Some((u, degrees))) => Doubt::Student(u, degrees),
        Some(None) | None => Doubt::Unknown,
    };
    let mut class = ClassReading::of(&options.scheme, value, doubt, options.boundary, options.decided_at)?;
    if spread.is_none() {
        class.reason = Some("probability not stated: it needs the scatter between cores".to_owned());
        timber.cautions.insert(CautionCode::OneCore);
    }
    timber.degradation_class = class;
    Ok(timber)
}

/// Whether a caution takes the decay reading from a piece.
fn blocks(code: CautionCode) -> bool {
    matches!(
        code,
        CautionCode::Charred | CautionCode::PriorTreatment | CautionCode::BorerDamage | CautionCode::Mineralised
    )
}

/// Why a timber has no class: the commonest reason of its pieces.
fn reason(pieces: &[&Piece]) -> String {
    let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
    for piece in pieces {
        *counts.entry(piece.degradation_class.reason.as_deref().unwrap_or_default()).or_default() += 1;
    }
    let commonest = counts.into_iter().max_by_key(|(_, count)| *count);
    commonest.map_or("no sample was taken", |(reason, _)| reason).to_owned()
}

fn cores(pieces: &[&Piece]) -> usize {
    let mut names: Vec<&str> = pieces.iter().filter_map(|piece| piece.core_id.as_deref()).collect();
    names.sort_unstable();
    names.dedup();
    names.len()
}

/// The outermost increment of each core, the innermost of each core that has more than one, and the rest. A piece without
/// a core is a core of its own; one without a depth is in none of them.
fn zones<'a>(read: &[&'a Piece]) -> (Vec<&'a Piece>, Vec<&'a Piece>, Vec<&'a Piece>) {
    let mut by_core: BTreeMap<(Option<&str>, Option<&str>), Vec<&'a Piece>> = BTreeMap::new();
    for piece in read.iter().filter(|piece| piece.depth_from.or(piece.depth_to).is_some()) {
        let own_name = piece.sample.as_deref().filter(|_| piece.core_id.is_none());
        by_core.entry((piece.core_id.as_deref(), own_name)).or_default().push(piece);
    }
    let (mut outer, mut inner, mut between) = (Vec::new(), Vec::new(), Vec::new());
    for mut pieces in by_core.into_values() {
        let depth = |piece: &&Piece| piece.depth_from.or(piece.depth_to).unwrap_or(f64::INFINITY);
        pieces.sort_by(|a, b| depth(a).total_cmp(&depth(b)));
        if pieces.len() > 1 {
            inner.extend(pieces.pop());
        }
        let mut rest = pieces.into_iter();
        outer.extend(rest.next());
        between.extend(rest);
    }
    (outer, inner, between)
}

fn zone(pieces: &[&Piece], options: &StateOptions) -> Result<Option<Zone>> {
    if pieces.is_empty() {
        return Ok(None);
    }
    let from = pieces.iter().filter_map(|piece| piece.depth_from).min_by(f64::total_cmp);
    let to = pieces.iter().filter_map(|piece| piece.depth_to).max_by(f64::total_cmp);
    let mut values = ByQuantity::default();
    for quantity in SUMMED {
        let known: Vec<Value> = pieces.iter().filter_map(|piece| piece.values.of(quantity)).collect();
        let numbers: Vec<f64> = known.iter().map(|value| value.value).collect();
        let Some(value) = mean(&numbers).filter(|_| known.len() == pieces.len()) else { continue };
        let (u, factor) = match (scatter(pieces, quantity), pieces) {
            (Some((u, degrees)), _) => (Some(u), student_quantile(0.5 + options.propagation.coverage / 2.0, degrees)?),
            (None, [_]) => (known[0].u, normal_quantile(0.5 + options.propagation.coverage / 2.0)?),
            (None, _) => (None, 0.0),
        };
        let interval = u.map(|u| [value - factor * u, value + factor * u]);
        values.set(quantity, Some(Value { value, u, interval, ..known[0] }));
    }
    Ok(Some(Zone { n_samples: pieces.len(), n_cores: cores(pieces), depth: [from, to], values }))
}

/// Standard uncertainty of the mean of two or more pieces, and its degrees of freedom.
///
/// The scatter between the pieces holds their own errors; what they share does not show in it and is added whole.
fn scatter(pieces: &[&Piece], quantity: Quantity) -> Option<(f64, f64)> {
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
    Some(((variance.max(own) / n + shared).sqrt(), n - 1.0))
}

/// Whether a value is worse preserved than another, by the scheme: its first class is the worst.
fn is_worse(value: f64, than: f64, options: &StateOptions) -> bool {
    let high_is_worse = options.scheme.classes.first().is_none_or(|class| class.to.is_none());
    if high_is_worse { value > than } else { value < than }
}

fn worst<'a>(read: &[&'a Piece], ruling: Quantity, options: &StateOptions) -> Option<&'a Piece> {
    let valued = read.iter().filter_map(|piece| Some((piece.values.of(ruling)?.value, *piece)));
    valued.reduce(|a, b| if is_worse(b.0, a.0, options) { b } else { a }).map(|(_, piece)| piece)
}

fn range(read: &[&Piece]) -> ByQuantity<[f64; 2]> {
    let mut range = ByQuantity::default();
    for quantity in SUMMED {
        let numbers = || read.iter().filter_map(|piece| piece.values.of(quantity)).map(|value| value.value);
        let ends = numbers().min_by(f64::total_cmp).zip(numbers().max_by(f64::total_cmp));
        range.set(quantity, ends.map(|(low, high)| [low, high]));
    }
    range
}
