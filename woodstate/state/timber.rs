//! A timber: what its pieces say together, without a mean across rim and core.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use crate::error::{CautionCode, Cautions, Result};
use crate::numeric::{mean, normal_quantile, student_quantile, variance_of};
use crate::quantity::Quantity;
use crate::table::Table;

use super::verdict::bias;
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
    /// The outermost increments of the cores, as far as they overlap; `None` where no depth is known or none was read.
    pub outer: Option<Zone>,
    /// The deepest increments of the cores, as far as they overlap; `None` where no core has more than one.
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
    let listed_taxon = |name: &str| {
        let table = table?;
        (0..table.n_rows())
            .find(|row| table.text("timber", *row) == Some(name))
            .and_then(|row| table.text("taxon", row))
    };
    groups.into_iter().map(|(name, pieces)| timber(name, &pieces, listed_taxon(name), options)).collect()
}

fn timber<'a>(name: &str, pieces: &[&'a Piece], listed_taxon: Option<&str>, options: &StateOptions) -> Result<Timber> {
    let ruling = Quantity::of_name(&options.scheme.quantity).unwrap_or(Quantity::MaxWaterContent);
    let is_read = |piece: &&Piece| piece.values.of(ruling).is_some() && !piece.cautions.iter().any(blocks);
    let read: Vec<&Piece> = pieces.iter().copied().filter(is_read).collect();
    let zones = Zones::of(pieces);
    let read_of = |zone: &[&'a Piece]| -> Vec<&'a Piece> { zone.iter().copied().filter(is_read).collect() };
    let (outer, inner, alone) = (read_of(&zones.outer), read_of(&zones.inner), read_of(&zones.alone));
    let mut taxa: Vec<&Option<String>> = pieces.iter().map(|piece| &piece.taxon).collect();
    taxa.sort_unstable();
    taxa.dedup();
    let taxon = match taxa.as_slice() {
        [] => listed_taxon.map(str::to_owned),
        [taxon] => (*taxon).clone(),
        _ => None,
    };
    let worst = worst(&read, ruling, options);
    let mut timber = Timber {
        timber: name.to_owned(),
        taxon,
        n_samples: pieces.len(),
        n_read: read.len(),
        n_cores: cores(pieces),
        outer: zone(&outer, options)?,
        inner: zone(&inner, options)?,
        worst: worst.map(|piece| Worst { sample: piece.sample.clone(), values: piece.values }),
        range: range(&read),
        degradation_class: ClassReading::none(&options.scheme, reason(pieces)),
        cautions: Cautions::NONE,
    };
    let has_depth = |piece: &&&Piece| piece.depth_from.is_some() || piece.depth_to.is_some();
    timber.cautions.insert_if(!pieces.is_empty() && read.len() < pieces.len(), CautionCode::TimberPartly);
    timber.cautions.insert_if(!read.iter().all(|piece| has_depth(&piece)), CautionCode::DepthUnknown);
    if worst.is_none_or(|worst| worst.degradation_class.most_likely.is_none()) {
        return Ok(timber);
    }
    timber.degradation_class = decisive_class(&outer, &inner, &alone, ruling, options)?;
    timber.cautions.insert_if(timber.degradation_class.probability.is_none(), CautionCode::OneCore);
    if outer.len() < zones.outer.len() {
        timber.cautions.insert(CautionCode::RimUnread);
        timber.degradation_class.decided = false;
        timber.degradation_class.reason = Some(CautionCode::RimUnread.story().text.to_owned());
    }
    Ok(timber)
}

/// The class of the worst of: the mean of the outer zone, that of the inner one, each piece that stands alone.
fn decisive_class(
    outer: &[&Piece],
    inner: &[&Piece],
    alone: &[&Piece],
    ruling: Quantity,
    options: &StateOptions,
) -> Result<ClassReading> {
    let content = |piece: &Piece| piece.values.of(ruling).map(|value| value.value);
    let groups = [outer, inner].into_iter().filter_map(|group| {
        let mean = mean(&group.iter().filter_map(|piece| content(piece)).collect::<Vec<_>>())?;
        Some((mean, Some(group)))
    });
    let singles = alone.iter().filter_map(|piece| Some((content(piece)?, None)));
    let decisive = groups.chain(singles).reduce(|a, b| if is_worse(b.0, a.0, options) { b } else { a });
    let Some((value, group)) = decisive else {
        return Ok(ClassReading::none(&options.scheme, format!("{} is unknown", options.scheme.quantity)));
    };
    let doubt = match group.filter(|group| cores(group) > 1).and_then(|group| scatter(group, ruling)) {
        Some((u, degrees)) => Doubt::Student(u, degrees),
        None => Doubt::Unknown,
    };
    let mut class = ClassReading::of(&options.scheme, value, doubt, options.boundary, options.decided_at)?;
    if class.probability.is_none() {
        class.reason = Some("probability not stated: it needs the scatter between cores".to_owned());
    }
    let biased = group.unwrap_or_default().iter().find_map(|piece| bias(piece.cautions));
    if let Some(code) = biased.filter(|_| class.decided) {
        class.decided = false;
        class.reason = Some(code.story().text.to_owned());
    }
    Ok(class)
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

/// The pieces of a timber by depth, whether they could be read or not.
#[derive(Default)]
struct Zones<'a> {
    outer: Vec<&'a Piece>,
    inner: Vec<&'a Piece>,
    alone: Vec<&'a Piece>,
}

impl<'a> Zones<'a> {
    /// The outermost increments of the cores that overlap the outermost of all; the deepest ones that overlap the deepest
    /// of all; everything else stands alone, a piece of unknown depth too. A piece without a core is a core of its own.
    fn of(pieces: &[&'a Piece]) -> Self {
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
            core.sort_by(|a, b| start(a).total_cmp(&start(b)));
            if core.len() > 1 {
                last.extend(core.pop());
            }
            let mut rest = core.into_iter();
            first.extend(rest.next());
            zones.alone.extend(rest);
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

/// Whether two increments have some depth in common.
fn overlap(a: &Piece, b: &Piece) -> bool {
    let end = |piece: &Piece| piece.depth_to.unwrap_or(start(piece));
    start(a).total_cmp(&start(b)).is_eq() || (start(a) < end(b) && start(b) < end(a))
}

fn zone(pieces: &[&Piece], options: &StateOptions) -> Result<Option<Zone>> {
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
