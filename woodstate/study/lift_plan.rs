//! What is known of one timber before it is lifted: its shape, its zones, its damage.

use crate::error::{Error, ErrorKind, LiftCautionCode, Result};
use crate::lift::{Attached, Shape, SizeDoubt, Timber};
use crate::quantity::{Measured, Quantity};
use crate::reference::{Reference, Taxon};
use crate::table::{Batch, Datum};

use super::depth::{PartState, TimberDepth};
use super::lift_caution::LiftCaution;
use super::lift_question::{LiftQuestion, TypedTimber};
use super::lift_stated::StatedTimber;
use super::piece::Pieces;

/// A depth, the density there and the residual density, %.
#[derive(Debug, Clone, Copy)]
pub(super) struct PlanZone {
    pub(super) density: Measured,
    pub(super) residual: Option<f64>,
}

/// Cracks, borers, fastenings.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Damage {
    None,
    Unknown,
    There(String),
}

/// One timber.
pub(super) struct Plan {
    pub(super) name: String,
    pub(super) taxon: Option<&'static Taxon>,
    pub(super) timber: Timber,
    pub(super) sizes: SizeDoubt,
    /// Depth of the rim, m, and its wood.
    pub(super) rim: Option<(Measured, PlanZone)>,
    /// The wood that carries.
    pub(super) core: PlanZone,
    /// Basic density by which the core weighs, where it is not that of its strength.
    pub(super) weighs: Option<Measured>,
    pub(super) damage: Damage,
    /// What hangs on it.
    pub(super) attached: Vec<Attached>,
    /// Share of the pores that water fills; `None` where nobody said.
    pub(super) saturation: Option<Measured>,
    /// What damage takes from every strength; `None` where nobody said.
    pub(super) reduction: Option<f64>,
    pub(super) cautions: Vec<LiftCaution>,
}

impl Plan {
    /// A timber whose sizes were typed.
    ///
    /// # Errors
    /// Sizes of no shape or of two, or that are not above 0; a taxon that is not in the list.
    pub(super) fn of_typed(typed: &TypedTimber, question: &LiftQuestion) -> Result<Self> {
        const NAME: &str = "timber";
        let own = question.of_timber(NAME);
        let taxon = match &typed.taxon {
            None => None,
            Some(name) => Some(taxon(name)?),
        };
        let unknown = Measured::of_unknown_uncertainty(1.0);
        let (timber, [width, height]) = match own.by_stations(Some(typed.length.value))? {
            Some(timber) if typed.has_section() => return Err(beside_stations(&timber)),
            Some(timber) => (timber, [unknown; 2]),
            None => {
                let (start, end, doubts) = typed.shapes()?;
                (Timber::tapered(typed.length.value, start, end)?, doubts)
            }
        };
        let rim = typed.rim.map(|(depth, density)| (depth, PlanZone { density, residual: None }));
        Ok(Self {
            name: NAME.to_owned(),
            taxon,
            timber,
            sizes: SizeDoubt { length: relative(typed.length), width: relative(width), height: relative(height) },
            rim,
            core: PlanZone { density: typed.basic_density, residual: None },
            weighs: None,
            damage: Damage::Unknown,
            attached: attached(question, &own),
            saturation: own.saturation.or(question.saturation),
            reduction: own.reduction.or(question.reduction),
            cautions: if typed.rim.is_some() {
                Vec::new()
            } else {
                vec![LiftCaution::new(LiftCautionCode::RimUnknown, None)]
            },
        })
    }
}

fn taxon(name: &str) -> Result<&'static Taxon> {
    let reference = Reference::shipped()?;
    reference.taxon(name).ok_or_else(|| {
        let near = reference.near_taxa(name).into_iter().map(str::to_owned).collect::<Vec<_>>();
        let allowed =
            if near.is_empty() { vec!["a name of reference/taxa.toml, such as oak".to_owned()] } else { near };
        Error::new(ErrorKind::Name { what: "wood", found: name.to_owned(), allowed })
    })
}

/// What hangs on a timber: what hangs on all of them and what is stated of it alone.
fn attached(question: &LiftQuestion, own: &StatedTimber) -> Vec<Attached> {
    let all = question.attached.iter().chain(&own.attached);
    all.map(|load| Attached { mass: load.mass, density: load.density, spot: load.spot }).collect()
}

fn beside_stations(timber: &Timber) -> Error {
    let found = format!("{} stations beside --width, --height, --diameter or --bore", timber.stations().len());
    Error::new(ErrorKind::Quantity { found, allowed: "one of the two: stations have sections of their own".to_owned() })
}

/// What may be given.
const SIZES: &str =
    "the sizes of a section: --width and --height, or --diameter, or --station for each place that was measured";

impl TypedTimber {
    fn has_section(&self) -> bool {
        self.width.is_some() || self.height.is_some() || self.diameter.is_some() || self.bore.is_some()
    }

    /// The shapes at both ends, and the sizes whose uncertainty counts.
    fn shapes(&self) -> Result<(Shape, Shape, [Measured; 2])> {
        let wrong = |found: &str, allowed: &str| {
            Error::new(ErrorKind::Quantity { found: found.to_owned(), allowed: allowed.to_owned() })
        };
        match (self.width, self.height, self.diameter, self.bore) {
            (Some((width, w)), Some((height, h)), None, None) => {
                let start = Shape::rectangle(width.value, height.value)?;
                let end = Shape::rectangle(w.unwrap_or(width.value), h.unwrap_or(height.value))?;
                Ok((start, end, [width, height]))
            }
            (None, None, Some((diameter, d)), None) => {
                let [start, end] = [diameter.value, d.unwrap_or(diameter.value)].map(Shape::round);
                Ok((start?, end?, [diameter, diameter]))
            }
            (None, None, Some((diameter, d)), Some(bore)) => {
                let [start, end] = [diameter.value, d.unwrap_or(diameter.value)].map(|d| Shape::hollow(d, bore));
                Ok((start?, end?, [diameter, diameter]))
            }
            (_, _, None, Some(_)) => Err(wrong("--bore", "a hollow of a round timber: give --diameter with it")),
            (Some(_), _, Some(_), _) | (_, Some(_), Some(_), _) => Err(wrong("--diameter beside --width", SIZES)),
            (Some(_), None, ..) => Err(wrong("--width alone", SIZES)),
            (None, Some(_), ..) => Err(wrong("--height alone", SIZES)),
            (None, None, None, None) => Err(wrong("no section", SIZES)),
        }
    }
}

/// One timber of a batch, or why it cannot be looked at.
pub(super) fn of_batch(
    name: &str,
    batch: &Batch,
    pieces: &Pieces<'_>,
    places: &[usize],
    profile: Option<&TimberDepth>,
    question: &LiftQuestion,
) -> std::result::Result<Plan, String> {
    let own = question.of_timber(name);
    let size = |column: &str, to_m: f64| size(name, batch, pieces, places, column, to_m);
    let length = size("timber_length", 1.0);
    let said = |error: Error| error.to_string();
    let (timber, doubts) = match own.by_stations(length.map(|length| length.value)).map_err(said)? {
        Some(timber) => (timber, [None; 2]),
        None => {
            let length = length.ok_or("its length is unknown; fill in timber_length")?;
            let (shape, doubts) = section(size, own.bore)?;
            (Timber::prismatic(length.value, shape).map_err(said)?, doubts)
        }
    };
    let [width, height] = doubts;
    let mut plan = Plan {
        name: name.to_owned(),
        taxon: None,
        timber,
        sizes: SizeDoubt { length: length.and_then(relative), width, height },
        rim: None,
        core: PlanZone { density: Measured::of_unknown_uncertainty(f64::NAN), residual: None },
        weighs: None,
        damage: damage(pieces, places),
        attached: attached(question, &own),
        saturation: own.saturation.or(question.saturation),
        reduction: own.reduction.or(question.reduction),
        cautions: Vec::new(),
    };
    let mut woods: Vec<&str> = places.iter().filter_map(|place| pieces.taxon(*place)).collect();
    woods.sort_unstable();
    woods.dedup();
    if let ([wood], Ok(reference)) = (woods.as_slice(), Reference::shipped()) {
        plan.taxon = reference.taxon(wood);
    }
    if !profile.is_some_and(|profile| by_profile(&mut plan, profile)) {
        by_pieces(&mut plan, pieces, places)?;
    }
    Ok(plan)
}

/// The section of a timber by its columns, and how sure its width and height are; all sizes in m.
fn section(
    size: impl Fn(&str, f64) -> Option<Measured>,
    bore: Option<f64>,
) -> std::result::Result<(Shape, [Option<f64>; 2]), String> {
    let (width, height, diameter) =
        (size("timber_width", 1e-3), size("timber_height", 1e-3), size("timber_diameter", 1e-3));
    let (shape, doubts) = match (width, height, diameter, bore) {
        (Some(width), Some(height), None, None) => {
            (Shape::rectangle(width.value, height.value), [relative(width), relative(height)])
        }
        (None, None, Some(diameter), None) => (Shape::round(diameter.value), [relative(diameter); 2]),
        (None, None, Some(diameter), Some(bore)) => (Shape::hollow(diameter.value, bore), [relative(diameter); 2]),
        (None, None, None, _) => {
            return Err("its section is unknown; fill in timber_width and timber_height, or timber_diameter".to_owned());
        }
        (Some(_), None, ..) | (None, Some(_), ..) => {
            return Err("timber_width needs timber_height beside it, and the other way round".to_owned());
        }
        (Some(_), Some(_), Some(_), _) => {
            return Err("timber_diameter stands beside timber_width; leave one of the two out".to_owned());
        }
        (Some(_), Some(_), None, Some(_)) => {
            return Err("its bore needs timber_diameter, not timber_width and timber_height".to_owned());
        }
    };
    Ok((shape.map_err(|error| error.to_string())?, doubts))
}

/// Uncertainty of a size over the size.
fn relative(size: Measured) -> Option<f64> {
    size.u.map(|u| u / size.value)
}

fn size(name: &str, batch: &Batch, pieces: &Pieces<'_>, places: &[usize], column: &str, to_m: f64) -> Option<Measured> {
    let listed = batch.timbers.as_ref().and_then(|table| {
        let row = (0..table.n_rows()).find(|row| table.text("timber", *row) == Some(name))?;
        let numbers = table.numbers(column)?;
        Some(Measured { value: numbers.value(row)?, u: numbers.u(row) })
    });
    let of_pieces = || {
        let read = |place: &usize| match pieces.datum(column, *place) {
            Datum::Number(value) => Some(Measured { value, u: pieces.u(column, *place) }),
            _ => None,
        };
        places.iter().find_map(read)
    };
    let found = listed.or_else(of_pieces)?;
    Some(Measured { value: found.value * to_m, u: found.u.map(|u| u * to_m) })
}

/// Zones from the profile in depth; whether it gave any.
fn by_profile(plan: &mut Plan, profile: &TimberDepth) -> bool {
    let zone = |part: &PartState| {
        let mean = |quantity: Quantity| part.values.iter().find(|entry| entry.quantity == quantity.name());
        let density = mean(Quantity::BasicDensity)?;
        let density = Measured { value: density.mean.value, u: density.mean.u };
        let residual = mean(Quantity::ResidualBasicDensity).map(|entry| entry.mean.value);
        Some(PlanZone { density, residual })
    };
    let (rim, core) = (profile.rim.as_ref().and_then(zone), profile.core.as_ref().and_then(zone));
    let depth = profile.soft_rim.as_ref().and_then(|rim| rim.depth);
    match (profile.soft_rim.as_ref().map(|rim| rim.end), rim, core, depth) {
        (Some("none"), _, Some(core), _) => plan.core = core,
        (Some("found"), Some(rim), Some(core), Some(depth)) => {
            let depth = Measured { value: depth.value * 1e-3, u: depth.u.map(|u| u * 1e-3) };
            plan.rim = Some((depth, rim));
            plan.core = core;
        }
        (Some("beyond_cores"), Some(rim), ..) => {
            plan.core = rim;
            plan.cautions.push(LiftCaution::new(LiftCautionCode::NoSoundCore, None));
        }
        _ => return false,
    }
    true
}

/// Without a profile: the strength of the least dense piece, the weight of the densest.
fn by_pieces(plan: &mut Plan, pieces: &Pieces<'_>, places: &[usize]) -> std::result::Result<(), String> {
    let of = |place: &usize| {
        let increment = |quantity: Quantity| -> Option<Measured> {
            let Datum::Number(value) = pieces.datum(quantity.name(), *place) else { return None };
            Some(Measured { value, u: pieces.whole_u(quantity, *place) })
        };
        let density = increment(Quantity::BasicDensity).filter(|_| pieces.is_whole(*place))?;
        Some(PlanZone { density, residual: increment(Quantity::ResidualBasicDensity).map(|residual| residual.value) })
    };
    let mut known: Vec<PlanZone> = places.iter().filter_map(of).collect();
    known.sort_by(|a, b| a.density.value.total_cmp(&b.density.value));
    let (Some(weakest), Some(densest)) = (known.first(), known.last()) else {
        return Err(
            "no piece of it has a basic density that counts: not measured, or charred, treated or bored".to_owned()
        );
    };
    plan.core = *weakest;
    plan.weighs = (known.len() > 1).then_some(densest.density);
    let detail = (known.len() > 1)
        .then(|| format!("{} pieces, {:.0} to {:.0} kg/m3", known.len(), weakest.density.value, densest.density.value));
    plan.cautions.push(LiftCaution::new(LiftCautionCode::RimUnknown, detail));
    Ok(())
}

fn damage(pieces: &Pieces<'_>, places: &[usize]) -> Damage {
    let words = |column: &str| -> Vec<&str> {
        let of = |place: &usize| match pieces.datum(column, *place) {
            Datum::Text(word) => Some(word),
            _ => None,
        };
        places.iter().filter_map(of).filter(|word| *word != "unknown").collect()
    };
    let bored: Vec<f64> = places
        .iter()
        .filter_map(|place| match pieces.datum("borer_damage", *place) {
            Datum::Number(share) => Some(share),
            _ => None,
        })
        .collect();
    let (cracks, metal) = (words("cracks"), words("metal"));
    let mut there = Vec::new();
    if cracks.iter().any(|word| *word != "none") {
        there.push("cracks");
    }
    if bored.iter().any(|share| *share > 0.0) {
        there.push("borers");
    }
    if metal.iter().any(|word| *word != "none") {
        there.push("metal, so fastenings or their holes");
    }
    match () {
        () if !there.is_empty() => Damage::There(there.join(", ")),
        () if cracks.is_empty() || bored.is_empty() || metal.is_empty() => Damage::Unknown,
        () => Damage::None,
    }
}
