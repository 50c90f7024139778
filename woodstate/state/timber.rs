//! A timber: what its pieces say together, without a mean across rim and core.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use crate::error::{CautionCode, Cautions, Result};
use crate::numeric::{StudentQuantiles, Watch, map_ordered, mean};
use crate::quantity::{Evidence, Quantity};
use crate::table::{Table, Texts};

use super::inspect::listed_at;
use super::zone::{SUMMED, Zones, cores, places, scatter, zone};
use super::{ByQuantity, ClassReading, Doubt, PieceView, Pieces, StateOptions, Value, Zone};

/// The most degraded piece of a timber.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Worst {
    /// Its name.
    pub sample: Option<String>,
    /// Its results.
    pub values: ByQuantity<Value>,
}

/// Between which depths the soft rim of a timber ends, as far as its increments tell without a curve.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct SoftRim {
    /// The quantity by which wood is called sound.
    pub quantity: &'static str,
    /// From which value wood is called sound, in `unit`.
    pub sound_from: f64,
    /// UCUM code.
    pub unit: &'static str,
    /// How well that value is known.
    pub evidence: Evidence,
    /// Depths between which it ends, mm; an end that the increments do not reach is `None`.
    pub between: [Option<f64>; 2],
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
    /// Places of its pieces among all pieces, in the order of the file; not written.
    #[serde(skip)]
    pub places: Vec<usize>,
    /// Pieces that the class rests on.
    pub n_read: usize,
    /// Cores that are named.
    pub n_cores: usize,
    /// The outermost increments of the cores, as far as they overlap; `None` where no depth is known or none was read.
    pub outer: Option<Zone>,
    /// The deepest increments of the cores, as far as they overlap; `None` where no core has more than one.
    pub inner: Option<Zone>,
    /// Where its soft rim ends; `None` where it has no two increments of known depth and residual basic density.
    pub soft_rim: Option<SoftRim>,
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
pub(super) fn timbers(
    pieces: &Pieces,
    table: Option<&Table>,
    options: &StateOptions,
    watch: &Watch<'_>,
) -> Result<Vec<Timber>> {
    let listed = listed_at(table);
    let mut groups = pieces.by_timber();
    for name in table.and_then(|table| table.texts("timber")).into_iter().flat_map(Texts::iter).flatten() {
        groups.entry(name).or_default();
    }
    let taxa = table.and_then(|table| table.texts("taxon"));
    let quantiles = StudentQuantiles::of(0.5 + options.propagation.coverage / 2.0)?;
    let groups: Vec<Group<'_>> = groups.into_iter().collect();
    let total = groups.len();
    let parts: Vec<(usize, &[Group<'_>])> = groups.chunks(TOGETHER).enumerate().collect();
    let of_part = |(part, groups): (usize, &[Group<'_>])| -> Result<Vec<Timber>> {
        watch.advance("joining timbers", part * TOGETHER, total)?;
        let of_group = |group: &Group<'_>| {
            let listed_taxon = listed.get(group.0).and_then(|row| taxa?.get(*row));
            timber(group, pieces, listed_taxon, options, &quantiles)
        };
        groups.iter().map(of_group).collect()
    };
    let mut timbers = Vec::with_capacity(total);
    for part in map_ordered(options.threads(), parts, of_part)? {
        timbers.append(&mut part?);
    }
    Ok(timbers)
}

/// A timber and the places of its pieces.
type Group<'a> = (&'a str, Vec<usize>);

/// Timbers that a thread takes at a time.
const TOGETHER: usize = 128;

fn timber(
    (name, places): &Group<'_>,
    all: &Pieces,
    listed_taxon: Option<&str>,
    options: &StateOptions,
    quantiles: &StudentQuantiles,
) -> Result<Timber> {
    let pieces: Vec<PieceView<'_>> = places.iter().filter_map(|place| all.view(*place)).collect();
    let ruling = Quantity::of_name(&options.scheme.quantity).unwrap_or(Quantity::MaxWaterContent);
    let is_read = |piece: &PieceView<'_>| piece.number(ruling).is_some() && piece.unread().is_none();
    let read: Vec<PieceView<'_>> = pieces.iter().copied().filter(is_read).collect();
    let zones = Zones::of(&pieces);
    let read_of = |zone: &[usize]| -> Vec<PieceView<'_>> {
        zone.iter().filter_map(|place| pieces.get(*place).copied()).filter(is_read).collect()
    };
    let (outer, inner, alone) = (read_of(&zones.outer), read_of(&zones.inner), read_of(&zones.alone));
    let mut taxa: Vec<Option<&str>> = pieces.iter().map(|piece| piece.taxon()).collect();
    taxa.sort_unstable();
    taxa.dedup();
    let taxon = match taxa.as_slice() {
        [] => listed_taxon.map(str::to_owned),
        [taxon] => taxon.map(str::to_owned),
        _ => None,
    };
    let worst = worst(&read, ruling, options);
    let mut timber = Timber {
        timber: (*name).to_owned(),
        taxon,
        n_samples: pieces.len(),
        places: places.clone(),
        n_read: read.len(),
        n_cores: cores(&pieces),
        outer: zone(&outer, quantiles)?,
        inner: zone(&inner, quantiles)?,
        // Depth profiles come after this layer; they are joined where both are known.
        soft_rim: None,
        worst: worst.map(|piece| Worst { sample: piece.sample().map(str::to_owned), values: piece.values() }),
        range: range(&read),
        degradation_class: match worst.is_some_and(|worst| worst.class_label().is_some()) {
            true => decisive_class(&outer, &inner, &alone, ruling, options)?,
            false => ClassReading::none(&options.scheme, reason(&pieces)),
        },
        cautions: Cautions::NONE,
    };
    let has_depth = |piece: &PieceView<'_>| piece.depth().iter().any(Option::is_some);
    timber.cautions.insert_if(!pieces.is_empty() && read.len() < pieces.len(), CautionCode::TimberPartly);
    timber.cautions.insert_if(!read.iter().all(has_depth), CautionCode::DepthUnknown);
    if worst.is_none_or(|worst| worst.class_label().is_none()) {
        return Ok(timber);
    }
    timber.cautions.insert_if(timber.degradation_class.probability.is_none(), CautionCode::OneCore);
    // A piece that looks better than it is may hide a worse zone anywhere.
    let flattered = [CautionCode::NotSaturated, CautionCode::BelowSound];
    let hidden = flattered.into_iter().find(|code| read.iter().any(|piece| piece.cautions().contains(*code)));
    if let Some(code) = hidden.filter(|_| timber.degradation_class.decided) {
        timber.degradation_class.decided = false;
        timber.degradation_class.reason = Some(code.story().text.to_owned());
    }
    if outer.len() < zones.outer.len() {
        timber.cautions.insert(CautionCode::RimUnread);
        timber.degradation_class.decided = false;
        timber.degradation_class.reason = Some(CautionCode::RimUnread.story().text.to_owned());
    }
    Ok(timber)
}

/// The class of the worst of: the mean of the outer zone, that of the inner one, each piece that stands alone.
fn decisive_class(
    outer: &[PieceView<'_>],
    inner: &[PieceView<'_>],
    alone: &[PieceView<'_>],
    ruling: Quantity,
    options: &StateOptions,
) -> Result<ClassReading> {
    let content = |piece: &PieceView<'_>| piece.number(ruling);
    let groups = [outer, inner].into_iter().filter_map(|group| {
        let mean = mean(&group.iter().filter_map(content).collect::<Vec<_>>())?;
        Some((mean, Some(group)))
    });
    let singles = alone.iter().filter_map(|piece| Some((content(piece)?, None)));
    let decisive = groups.chain(singles).reduce(|a, b| if is_worse(b.0, a.0, options) { b } else { a });
    let Some((value, group)) = decisive else {
        return Ok(ClassReading::none(&options.scheme, format!("{} is unknown", options.scheme.quantity)));
    };
    let doubt = match group.filter(|group| places(group) > 1).and_then(|group| scatter(group, ruling)) {
        Some((u, degrees)) => Doubt::Student(u, degrees),
        None => Doubt::Unknown,
    };
    let mut class = ClassReading::of(&options.scheme, value, doubt, options.boundary, options.decided_at)?;
    if class.probability.is_none() {
        class.reason = Some("probability not stated: it needs the scatter between cores".to_owned());
    }
    let biased = group.unwrap_or_default().iter().find_map(|piece| piece.bias());
    if let Some(code) = biased.filter(|_| class.decided) {
        class.decided = false;
        class.reason = Some(code.story().text.to_owned());
    }
    Ok(class)
}

/// Why a timber has no class: the commonest reason of its pieces.
fn reason(pieces: &[PieceView<'_>]) -> String {
    let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
    for reason in pieces.iter().filter_map(|piece| piece.class_reason()) {
        *counts.entry(reason).or_default() += 1;
    }
    let commonest = counts.into_iter().max_by_key(|(_, count)| *count);
    commonest.map_or("no sample was taken", |(reason, _)| reason).to_owned()
}

/// Whether a value is worse preserved than another, by the scheme: its first class is the worst.
fn is_worse(value: f64, than: f64, options: &StateOptions) -> bool {
    let high_is_worse = options.scheme.classes.first().is_none_or(|class| class.to.is_none());
    if high_is_worse { value > than } else { value < than }
}

fn worst<'a>(read: &[PieceView<'a>], ruling: Quantity, options: &StateOptions) -> Option<PieceView<'a>> {
    let valued = read.iter().filter_map(|piece| Some((piece.number(ruling)?, *piece)));
    valued.reduce(|a, b| if is_worse(b.0, a.0, options) { b } else { a }).map(|(_, piece)| piece)
}

fn range(read: &[PieceView<'_>]) -> ByQuantity<[f64; 2]> {
    let is_known = |quantity| read.iter().any(|piece| piece.number(quantity).is_some());
    ByQuantity::gathered(&SUMMED, is_known, |quantity| {
        let numbers = read.iter().filter_map(|piece| piece.number(quantity));
        numbers.map(|number| [number, number]).reduce(|[low, high], [number, _]| {
            let (low, high) = (if number.total_cmp(&low).is_lt() { number } else { low }, high);
            [low, if number.total_cmp(&high).is_lt() { high } else { number }]
        })
    })
}
