//! The impregnant of a bath: what is known of it, and the baths that were published for it.

use schemars::JsonSchema;
use serde::Serialize;

use super::caution::BathCaution;
use super::number::BathNumber;
use super::plan::BathPlan;
use super::strength::BathStrength;
use crate::error::{BathCautionCode, Error, ErrorKind, Result};
use crate::quantity::{Cited, Evidence, shown_value};
use crate::reference::{BathBasis, Impregnant, PublishedBaths, Reference};
use crate::study::safety::{Safety, SafetyForm};

/// The impregnant of a bath.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct BathImpregnant {
    /// Its name.
    pub name: String,
    /// Volume that 1 g of it takes up in water.
    pub apparent_volume: BathNumber,
    /// How well that is known.
    pub apparent_volume_evidence: Evidence,
    /// Density of the pure impregnant; `None` where unknown.
    pub density: Option<BathNumber>,
    /// How well that is known; `None` where unknown.
    pub density_evidence: Option<Evidence>,
}

/// A rounding more than a published step.
const ROUNDING: f64 = 1e-9;

/// Standard uncertainties on each side of a stated value.
const COVERAGE_FACTOR: f64 = 2.0;

/// The impregnant of a plan, with where its numbers are from.
///
/// # Errors
/// [`ErrorKind::Missing`] where its volume in water is neither published nor stated, or no impregnant is stated.
pub(super) fn of_plan(plan: &BathPlan) -> Result<(BathImpregnant, Option<&'static Impregnant>, Vec<Cited>)> {
    let reference = Reference::shipped()?;
    let missing = |what: String, cure: &str| Error::new(ErrorKind::Missing { what, cure: cure.to_owned() });
    let Some(name) = plan.impregnant.as_deref() else {
        return Err(missing("the impregnant".to_owned(), "give impregnant, such as \"PEG 2000\""));
    };
    // An impregnant of the laboratory's own needs no entry, only its volume.
    let entry = match (reference.impregnant(name), &plan.apparent_volume) {
        (Ok(entry), _) => Some(entry),
        (Err(_), Some(_)) => None,
        (Err(error), None) => {
            return Err(error.with_hint("an impregnant of your own needs apparent_volume, such as \"0.837 cm3/g\""));
        }
    };
    let mut sources = Vec::new();
    let shown = entry.map_or(name, |entry| &entry.name);
    let published = entry.and_then(|entry| entry.volume.as_ref());
    let (apparent_volume, apparent_volume_evidence) = match (&plan.apparent_volume, published) {
        (Some(stated), _) => {
            let number = match stated.u {
                Some(u) => {
                    let half = COVERAGE_FACTOR * u;
                    BathNumber::between(stated.value, [stated.value - half, stated.value + half], "cm3/g")
                }
                None => BathNumber::bare(stated.value, "cm3/g"),
            };
            (number, Evidence::Stated)
        }
        (None, Some(range)) => {
            let used_for = format!(
                "{shown}: apparent specific volume {} to {} cm3/g",
                shown_value(range.low),
                shown_value(range.high)
            );
            sources.push(reference.range_source(used_for, range));
            let ends = [range.low, range.high];
            (BathNumber::between(f64::midpoint(range.low, range.high), ends, "cm3/g"), range.evidence)
        }
        (None, None) => {
            let cure = "give apparent_volume, from the density of one solution of known mass fraction";
            return Err(missing(format!("the volume that {shown} takes up in water"), cure));
        }
    };
    let range = entry.and_then(|entry| entry.density.as_ref());
    let density = match (plan.impregnant_density, range) {
        (Some(stated), _) => Some((BathNumber::bare(stated, "kg/m3"), Evidence::Stated)),
        (None, Some(range)) => {
            let used_for = format!("{shown}: density {} to {} kg/m3", range.low, range.high);
            sources.push(reference.range_source(used_for, range));
            let middle = f64::midpoint(range.low, range.high);
            Some((BathNumber::between(middle, [range.low, range.high], "kg/m3"), range.evidence))
        }
        (None, None) => None,
    };
    let impregnant = BathImpregnant {
        name: shown.to_owned(),
        apparent_volume,
        apparent_volume_evidence,
        density: density.map(|(density, _)| density),
        density_evidence: density.map(|(_, evidence)| evidence),
    };
    Ok((impregnant, entry, sources))
}

/// A bath as it is made and as it comes to.
#[derive(Debug, Clone, Copy)]
pub(super) struct Strengths {
    /// What it comes to with the wood.
    pub(super) at_last: BathStrength,
    /// Mass fraction, %, when it is fresh; `None` where nobody knows how it is made.
    pub(super) at_first: Option<f64>,
}

/// What a schedule goes beyond, of the baths that were published for its impregnant.
pub(super) fn beyond(
    impregnant: &BathImpregnant,
    entry: Option<&'static Impregnant>,
    schedule: &[Strengths],
    water_density: f64,
) -> Result<(Vec<BathCaution>, Vec<Cited>)> {
    let reference = Reference::shipped()?;
    let published: &[PublishedBaths] = entry.map_or(&[], |entry| &entry.baths);
    if published.is_empty() {
        let caution = BathCaution::new(BathCautionCode::NoPublishedBaths, impregnant.name.clone());
        return Ok((vec![caution], Vec::new()));
    }
    let (mut cautions, mut sources) = (Vec::new(), Vec::new());
    for baths in published {
        sources.push(reference.baths_source(format!("{}: baths of {}", impregnant.name, baths.route), baths));
        let on = |strength: BathStrength| strength.on(baths.basis, impregnant.apparent_volume.value, water_density);
        let mut said = Vec::new();
        let mut before: Option<f64> = None;
        for (place, bath) in schedule.iter().enumerate() {
            let number = place + 1;
            let at_last = on(bath.at_last)?;
            let fresh =
                bath.at_first.map(|value| on(BathStrength { basis: BathBasis::MassFraction, value })).transpose()?;
            let over = |found: f64, limit: f64| found > limit * (1.0 + ROUNDING) + ROUNDING;
            let say = |found: f64| format!("{} {}", shown_value((found * 10.0).round() / 10.0), baths.basis.shown());
            if let (None, Some(start)) = (before, baths.start) {
                let strongest = fresh.unwrap_or(at_last).max(at_last);
                if over(strongest, start) {
                    said.push(format!("bath 1 is {} when fresh, published {}", say(strongest), say(start)));
                }
            }
            if let (Some(before), Some(step)) = (before, baths.step) {
                let found = fresh.unwrap_or(at_last).max(at_last) - before;
                if over(found, step) {
                    said.push(format!(
                        "bath {number} is {} stronger than what was before, published {}",
                        say(found),
                        say(step)
                    ));
                }
            }
            if let Some(most) = baths.last.or(baths.most).filter(|most| over(at_last, *most)) {
                said.push(format!("bath {number} comes to {}, published up to {}", say(at_last), say(most)));
            }
            before = Some(at_last);
        }
        if !said.is_empty() {
            let detail = format!("{} [{}, {}]: {}", baths.route, baths.source, baths.evidence, said.join("; "));
            cautions.push(BathCaution::new(BathCautionCode::BeyondPublished, detail));
        }
        if baths.start.is_none() && baths.step.is_none() {
            cautions.push(BathCaution::new(
                BathCautionCode::NoPublishedBaths,
                format!("{}: {}", impregnant.name, baths.place),
            ));
        }
    }
    Ok((cautions, sources))
}

/// A bath that is warmer than published.
pub(super) fn too_warm(
    impregnant: &BathImpregnant,
    entry: Option<&'static Impregnant>,
    temperature: f64,
) -> Result<Option<(BathCaution, Cited)>> {
    let Some(limit) = entry.and_then(|entry| entry.holds.as_ref()).filter(|limit| temperature > limit.value) else {
        return Ok(None);
    };
    let source = Reference::shipped()?.limit_source(format!("{}: up to {} Cel", impregnant.name, limit.value), limit);
    let detail = format!("{} Cel, published up to {} Cel [{}]", shown_value(temperature), limit.value, limit.evidence);
    Ok(Some((BathCaution::new(BathCautionCode::BathTooWarm, detail), source)))
}

/// Dangers of a bath of this impregnant: of one that is not known, those of every bath.
pub(super) fn safety(entry: Option<&'static Impregnant>, form: SafetyForm) -> Result<Safety> {
    let reference = Reference::shipped()?;
    match entry {
        // None of those that are known releases formaldehyde or a solvent.
        Some(_) => Safety::of(reference, ["biocides", "hot-tanks", "confined-tanks"], form),
        None => Safety::of_work(reference, &["bath"], form),
    }
}
