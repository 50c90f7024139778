//! From pieces of an assessment to the increments and the section of each timber.

use std::collections::BTreeMap;

use crate::error::{CautionCode, DepthCautionCode};
use crate::profile::{DepthCaution, Increment, Section};
use crate::quantity::Quantity;
use crate::state::{Parts, PieceView};
use crate::table::Datum;

use super::Assessment;
use super::depth::NotInProfile;
use super::piece::Pieces;
use super::section::{SectionForm, section};

/// The pieces of one timber that are used.
pub(super) struct TimberIncrements {
    /// Places of its pieces in the assessment, in the order of `increments`.
    pub(super) places: Vec<usize>,
    /// Of the quantity that is looked at.
    pub(super) increments: Vec<Increment>,
    /// Name and face of each core by its number.
    pub(super) cores: Vec<(Option<String>, Option<String>)>,
    pub(super) section: Option<Section>,
    /// What is known before any curve.
    pub(super) cautions: Vec<DepthCaution>,
}

/// Timbers by name, and pieces that are not used.
pub(super) struct GatheredDepths {
    pub(super) timbers: BTreeMap<String, TimberIncrements>,
    pub(super) left_out: Vec<NotInProfile>,
}

/// Why a piece without a decay reading has none.
fn reason(code: CautionCode) -> &'static str {
    match code {
        CautionCode::Charred => "charred",
        CautionCode::PriorTreatment => "treated before",
        CautionCode::BorerDamage => "more of it lost to borers than the stated limit",
        CautionCode::Mineralised => "mineralised",
        code => code.story().text,
    }
}

pub(super) fn gather(
    assessment: &Assessment,
    pieces: &Pieces<'_>,
    kept: &[usize],
    value: &str,
    form: Option<SectionForm>,
) -> GatheredDepths {
    let mut gathered = GatheredDepths { timbers: BTreeMap::new(), left_out: Vec::new() };
    let mut by_timber: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for &place in kept {
        let Some(view) = assessment.samples.view(place) else { continue };
        match (unfit(view, pieces, place, value), view.timber()) {
            (None, Some(timber)) => by_timber.entry(timber).or_default().push(place),
            (reason, timber) => gathered.left_out.push(NotInProfile {
                sample: view.sample().map(str::to_owned),
                timber: timber.map(str::to_owned),
                rows: view.rows().to_vec(),
                reason: reason.unwrap_or("its timber is unknown"),
            }),
        }
    }
    for (timber, places) in by_timber {
        let mut one = of_timber(assessment, pieces, &places, value);
        let (section, caution) = section(pieces, places[0], form);
        one.section = section;
        one.cautions.extend(caution);
        gathered.timbers.insert(timber.to_owned(), one);
    }
    gathered
}

/// Why a piece cannot be an increment.
fn unfit(view: PieceView<'_>, pieces: &Pieces<'_>, place: usize, value: &str) -> Option<&'static str> {
    if let [None, _] | [_, None] = view.depth() {
        return Some("depth unknown");
    }
    let is_known = matches!(pieces.datum(value, place), Datum::Number(number) if number.is_finite());
    match view.unread() {
        Some(code) => Some(reason(code)),
        None if is_known => None,
        None => Some("its value is unknown"),
    }
}

fn of_timber(assessment: &Assessment, pieces: &Pieces<'_>, places: &[usize], value: &str) -> TimberIncrements {
    let word = |place: usize, name: &str| match pieces.datum(name, place) {
        Datum::Text(text) => Some(text.trim().to_owned()).filter(|text| !text.is_empty()),
        Datum::Number(number) => Some(number.to_string()),
        Datum::Unknown => None,
    };
    let mut cores: Vec<(Option<String>, Option<String>)> = Vec::new();
    let mut faces: Vec<String> = Vec::new();
    let mut surfaces: Vec<String> = Vec::new();
    let (mut used, mut increments) = (Vec::new(), Vec::new());
    for &place in places {
        let Some(view) = assessment.samples.view(place) else { continue };
        let (Some(increment), face) = (increment(pieces, view, place, value), word(place, "face")) else {
            continue;
        };
        // Pieces without a core are taken as one core: they lie at different depths of one place.
        let core = (view.core_id().map(str::to_owned), face.clone());
        let number = cores.iter().position(|known| *known == core).unwrap_or_else(|| {
            cores.push(core);
            cores.len() - 1
        });
        let mut increment = increment.in_core(number);
        if let Some(face) = face {
            let number = faces.iter().position(|known| *known == face).unwrap_or_else(|| {
                faces.push(face);
                faces.len() - 1
            });
            increment = increment.from_face(number);
        }
        surfaces.extend(word(place, "depth_reference"));
        used.push(place);
        increments.push(increment);
    }
    surfaces.sort_unstable();
    surfaces.dedup();
    let mut cautions = Vec::new();
    if surfaces.len() > 1 {
        cautions.push(DepthCaution::new(DepthCautionCode::SurfacesDiffer, surfaces.join(" and ")));
    }
    TimberIncrements { places: used, increments, cores, section: None, cautions }
}

/// A piece as an increment of a quantity or a column; `None` where its depth or its value is unknown.
pub(super) fn increment(pieces: &Pieces<'_>, view: PieceView<'_>, place: usize, name: &str) -> Option<Increment> {
    let [Some(from), Some(to)] = view.depth() else { return None };
    let Datum::Number(value) = pieces.datum(name, place) else { return None };
    let parts: Option<Parts> = pieces.parts(name, place);
    let u_of = |column: &str| pieces.u(column, place);
    let mut increment = Increment::new(from, to, value);
    if Quantity::of_name(name).is_some() {
        increment.u = parts.map(|parts| parts.own_variance.sqrt());
        // All increments have the same list; what is unknown adds nothing, and leaves `u` unknown.
        increment.shared = parts.unwrap_or_default().shared.to_vec();
    } else {
        increment.u = u_of(name);
    }
    increment.u_depth = [u_of("depth_from"), u_of("depth_to")];
    Some(increment)
}
