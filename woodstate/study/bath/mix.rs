//! `bath mix`: what to weigh for a tank, and what the wood will hold.

use schemars::JsonSchema;
use serde::Serialize;

use super::caution::BathCaution;
use super::impregnant::{BathImpregnant, Strengths, beyond, of_plan, safety, too_warm};
use super::number::BathNumber;
use super::plan::BathPlan;
use super::wood::{BathTimber, BathWood};
use crate::error::{BathCautionCode, Error, ErrorKind, Result};
use crate::quantity::{Cited, Evidence};
use crate::reference::Reference;
use crate::state::fresh_water_density;
use crate::study::envelope::{Program, SCHEMA_VERSION, SourceTable};
use crate::study::safety::Safety;
use crate::table::Choice;
use crate::treatment::{
    Solution, Tank, bulking_need, impregnant_held, mass_per_volume, pore_filling, solution_density,
};

/// The outcome of `bath mix`.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct BathMixing {
    /// Version of this form.
    pub schema_version: u32,
    /// `bath_mix`.
    pub kind: &'static str,
    /// The program.
    pub program: Program,
    /// The tables that were read; none where the wood was stated.
    pub source: Vec<SourceTable>,
    /// What conditions kept.
    #[serde(rename = "where")]
    pub choices: Vec<Choice>,
    /// Volume of the tank up to the level of the bath, wood included, L.
    pub tank: f64,
    /// Temperature of the bath, Cel.
    pub temperature: f64,
    /// Density of water of that temperature, kg/m3.
    pub water_density: f64,
    /// The impregnant.
    pub impregnant: BathImpregnant,
    /// Volume of the wood, L.
    pub wood_volume: BathNumber,
    /// Water in it, kg.
    pub wood_water: BathNumber,
    /// Its oven-dry mass, kg; `None` where unknown.
    pub wood_dry_mass: Option<BathNumber>,
    /// The baths, one after the other.
    pub steps: Vec<MixedBath>,
    /// What the wood holds once it stands with the last bath.
    pub held: Option<HeldInWood>,
    /// The timbers.
    pub timbers: Vec<MixedTimber>,
    /// How the numbers are to be read.
    pub notes: Vec<String>,
    /// What to know before anything is weighed.
    pub cautions: Vec<BathCaution>,
    /// Dangers, with limits of exposure.
    pub safety: Safety,
    /// Numbers behind it.
    pub sources: Vec<Cited>,
}

/// A bath that is mixed.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct MixedBath {
    /// Its number, from 1.
    pub bath: usize,
    /// Strength that bath and wood come to, % by mass.
    pub mass_fraction: BathNumber,
    /// The same, g/L.
    pub mass_per_volume: BathNumber,
    /// Density of the solution, kg/m3.
    pub density: BathNumber,
    /// Impregnant to weigh and add, kg.
    pub impregnant: BathNumber,
    /// Water to pour in, kg; for the first bath only.
    pub water: Option<BathNumber>,
    /// Strength of the fresh bath, before any of it is in the wood, % by mass.
    pub fresh: BathNumber,
    /// What bath and wood come to if the fresh bath is made with the strength that was asked for, % by mass.
    pub comes_to_if_made_so: BathNumber,
    /// By how much the level rises, L; for later baths only.
    pub rise: Option<BathNumber>,
}

/// What wood holds of an impregnant.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct HeldInWood {
    /// Impregnant in all the wood, kg.
    pub impregnant: BathNumber,
    /// The same per kg of oven-dry wood, kg/kg; `None` where its dry mass is unknown.
    pub per_dry_mass: Option<BathNumber>,
    /// Share of the former water that the impregnant fills once the rest has dried, %; `None` where the density of the pure impregnant is unknown.
    pub filled: Option<BathNumber>,
    /// Impregnant that would take the place of all water of the cell walls, kg/kg; `None` where that water or the density is not stated.
    pub bulking_need: Option<BathNumber>,
}

/// A timber in a mixed bath.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct MixedTimber {
    /// What it is.
    #[serde(flatten)]
    pub timber: BathTimber,
    /// Impregnant that it holds once it stands with the last bath, kg per kg of oven-dry wood.
    pub held: Option<BathNumber>,
    /// The same, kg.
    pub held_mass: Option<BathNumber>,
}

/// Mixes the baths of a plan around some wood.
///
/// ```text
/// m = w ρ (V_bath + V_pore)    W = (1 − w) ρ (V_bath + V_pore) − W_wood    Δm = w W/(1 − w) − m
/// ```
///
/// The water of the wood counts: bath and wood come to the strength that is asked for together, so the fresh bath is stronger
/// ([`Tank::mix`], [`Solution::addition`]).
///
/// # Errors
/// [`ErrorKind::Missing`] where tank, temperature, impregnant, its volume in water or the strength is not stated, [`ErrorKind::Range`]
/// where the wood does not fit into the tank or a bath is not stronger than the one before.
///
/// # Example
/// ```
/// use woodstate::study::{BathPlan, BathWood, bath_mix, bath_water_density};
/// let mut plan = BathPlan::default();
/// for (key, text) in [("tank", "300 L"), ("impregnant", "PEG 2000"), ("temperature", "25 Cel"), ("steps", "20 % by mass")] {
///     plan.set(key, text)?;
/// }
/// // An oak beam of 80 L with 68.6 kg of water.
/// let wood = BathWood::stated(80.0, 68.571, Some(17.143), bath_water_density(25.0)?)?;
/// let mixed = bath_mix(&wood, &plan)?;
/// assert!((mixed.steps[0].impregnant.value - 59.56).abs() < 0.05);
/// // The fresh bath is stronger than the 20 % that bath and wood come to.
/// assert!((mixed.steps[0].fresh.value - 25.98).abs() < 0.02);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
///
/// # Source
/// Balance of masses (derived); volumes in [`Reference`](crate::reference::Reference).
pub fn bath_mix(wood: &BathWood, plan: &BathPlan) -> Result<BathMixing> {
    let tank = plan.tank.ok_or_else(|| {
        missing(
            "the volume of the tank",
            "give tank, up to the level of the bath and with the wood in it, such as \"2400 L\"",
        )
    })?;
    let temperature = temperature(plan)?;
    let water_density = wood.water_density;
    wood.bath_volume(tank)?;
    let (impregnant, entry, mut sources) = of_plan(plan)?;
    if plan.steps.is_empty() {
        return Err(missing("how strong the baths are to be", "give steps, such as \"10 % by mass, 20 % by mass\""));
    }
    let mut cautions = wood.cautions.clone();
    if impregnant.apparent_volume_evidence != Evidence::Stated && impregnant.apparent_volume_evidence != Evidence::Read
    {
        let detail = format!("{}, {}", impregnant.name, impregnant.apparent_volume_evidence);
        cautions.push(BathCaution::new(BathCautionCode::VolumeNotSure, detail));
    }
    let steps = steps(wood, plan, tank, &impregnant)?;
    let schedule: Vec<Strengths> = plan
        .steps
        .iter()
        .zip(&steps)
        .map(|(planned, mixed)| Strengths { at_last: planned.strength, at_first: Some(mixed.fresh.value) })
        .collect();
    let (beyond, of_baths) = beyond(&impregnant, entry, &schedule, water_density)?;
    cautions.extend(beyond);
    sources.extend(of_baths);
    if let Some((caution, source)) = too_warm(&impregnant, entry, temperature)? {
        cautions.push(caution);
        sources.push(source);
    }
    let rise: f64 = steps.iter().filter_map(|step| step.rise).map(|rise| rise.value).sum();
    if rise > 0.0 {
        let detail = format!("{} L in all", (rise * 10.0).round() / 10.0);
        cautions.push(BathCaution::new(BathCautionCode::TankOverfull, detail));
    }
    let last = steps.last().map(|step| step.mass_fraction);
    let held = last.map(|last| held_in(wood, plan, &impregnant, last));
    let timbers = wood.timbers.iter().map(|timber| of_timber(timber, plan, &impregnant, last, water_density)).collect();
    let mut mixing = BathMixing {
        schema_version: SCHEMA_VERSION,
        kind: "bath_mix",
        program: Program::this(),
        source: wood.source.clone(),
        choices: wood.choices.clone(),
        tank,
        temperature,
        water_density,
        safety: safety(entry, plan.safety)?,
        notes: notes(plan, &impregnant),
        impregnant,
        wood_volume: wood.volume,
        wood_water: wood.water,
        wood_dry_mass: wood.dry_mass,
        steps,
        held,
        timbers,
        cautions,
        sources,
    };
    mixing.cautions.extend(not_bulked(&mixing));
    Ok(mixing)
}

/// Density of the water of a bath, kg/m3; * `temperature`: °C.
///
/// # Errors
/// [`ErrorKind::Range`] outside 0 to 100 °C.
pub fn bath_water_density(temperature: f64) -> Result<f64> {
    if !(0.0..=100.0).contains(&temperature) {
        let allowed = "0 to 100 Cel".to_owned();
        return Err(Error::new(ErrorKind::Range {
            name: "temperature of the bath".to_owned(),
            value: temperature,
            allowed,
        }));
    }
    Ok(fresh_water_density(temperature, Reference::shipped()?.water()))
}

pub(super) fn temperature(plan: &BathPlan) -> Result<f64> {
    plan.temperature.ok_or_else(|| missing("the temperature of the bath", "give temperature, such as \"20 Cel\""))
}

pub(super) fn missing(what: &str, cure: &str) -> Error {
    Error::new(ErrorKind::Missing { what: what.to_owned(), cure: cure.to_owned() })
}

fn steps(wood: &BathWood, plan: &BathPlan, tank: f64, impregnant: &BathImpregnant) -> Result<Vec<MixedBath>> {
    // What is uncertain: how much water the wood brings, and how much room the impregnant takes.
    let mut corners = Vec::new();
    for water in wood.water.points() {
        for volume in impregnant.apparent_volume.points() {
            corners.push(corner(wood, plan, tank, water, volume)?);
        }
    }
    let is_known = wood.water.interval.is_some() || impregnant.apparent_volume.interval.is_some();
    let number = |place: usize, unit: &'static str, of: &dyn Fn(&Corner) -> f64| {
        let all = || corners.iter().filter_map(|steps| steps.get(place)).map(of);
        let value = all().next().unwrap_or_default();
        let ends = [all().fold(f64::INFINITY, f64::min), all().fold(f64::NEG_INFINITY, f64::max)];
        if is_known { BathNumber::between(value, ends, unit) } else { BathNumber::bare(value, unit) }
    };
    let mixed = |place: usize| MixedBath {
        bath: place + 1,
        mass_fraction: number(place, "%", &|corner| 100.0 * corner.fraction),
        mass_per_volume: number(place, "g/L", &|corner| mass_per_volume(corner.fraction, corner.density)),
        density: number(place, "kg/m3", &|corner| corner.density),
        impregnant: number(place, "kg", &|corner| corner.impregnant),
        water: (place == 0).then(|| number(place, "kg", &|corner| corner.water)),
        fresh: number(place, "%", &|corner| 100.0 * corner.fresh),
        comes_to_if_made_so: number(place, "%", &|corner| 100.0 * corner.comes_to),
        rise: (place > 0).then(|| number(place, "L", &|corner| corner.rise)),
    };
    Ok((0..plan.steps.len()).map(mixed).collect())
}

/// A bath with one value of each uncertain number.
struct Corner {
    fraction: f64,
    density: f64,
    impregnant: f64,
    water: f64,
    fresh: f64,
    comes_to: f64,
    rise: f64,
}

fn corner(wood: &BathWood, plan: &BathPlan, tank: f64, water: f64, volume: f64) -> Result<Vec<Corner>> {
    let water_density = wood.water_density;
    let in_wood = Solution::new(0.0, water)?;
    let vessel =
        Tank { volume: tank, wood_volume: wood.volume.value, wood: in_wood, wood_solution_density: water_density };
    let mut corners: Vec<Corner> = Vec::new();
    // Bath and wood together, and the mass of the bath alone.
    let (mut all, mut outside) = (in_wood, 0.0);
    for planned in &plan.steps {
        let fraction = planned.strength.fraction(volume, water_density)?;
        let density = solution_density(fraction, volume, water_density);
        if corners.is_empty() {
            let mix = vessel.mix(fraction, density)?;
            // The bath made with the strength that was asked for, in the same volume.
            let litres = (tank - wood.volume.value) * density / 1000.0;
            let made = Solution::new(litres * fraction, litres * (1.0 - fraction))?;
            corners.push(Corner {
                fraction,
                density,
                impregnant: mix.poured.impregnant,
                water: mix.poured.water,
                fresh: mix.at_first,
                comes_to: made.joined(in_wood).fraction().unwrap_or(0.0),
                rise: 0.0,
            });
            (all, outside) = (in_wood.joined(mix.poured), mix.poured.mass());
            continue;
        }
        let added = all.addition(fraction)?;
        // The bath alone takes what is added first; before, bath and wood stood at one strength.
        let before = all.fraction().unwrap_or(0.0);
        let made = (fraction - before) * outside / (1.0 - fraction);
        corners.push(Corner {
            fraction,
            density,
            impregnant: added,
            water: 0.0,
            fresh: (before * outside + added) / (outside + added),
            comes_to: (all.impregnant + made) / (all.mass() + made),
            rise: added * volume,
        });
        (all, outside) = (Solution { impregnant: all.impregnant + added, ..all }, outside + added);
    }
    Ok(corners)
}

fn held_in(wood: &BathWood, plan: &BathPlan, impregnant: &BathImpregnant, last: BathNumber) -> HeldInWood {
    let fraction = last.value / 100.0;
    let density = solution_density(fraction, impregnant.apparent_volume.value, wood.water_density);
    let reached = |water: f64, dry: f64| (water - plan.excluded_water.unwrap_or(0.0) / 100.0 * dry).max(0.0);
    let dry = wood.dry_mass.map_or(0.0, |mass| mass.value);
    let of = |water: f64| reached(water, dry) * fraction * density / wood.water_density;
    let held = wood.water.map("kg", of);
    HeldInWood {
        per_dry_mass: wood.dry_mass.map(|mass| match (held.interval, mass.interval) {
            (Some([low, high]), Some([light, heavy])) => {
                BathNumber::between(held.value / mass.value, [low / heavy, high / light], "kg/kg")
            }
            _ => BathNumber::bare(held.value / mass.value, "kg/kg"),
        }),
        impregnant: held,
        filled: impregnant.density.map(|pure| pure.map("%", |pure| 100.0 * pore_filling(fraction, density, pure))),
        bulking_need: plan
            .bound_water
            .zip(impregnant.density)
            .map(|(bound, pure)| pure.map("kg/kg", |pure| bulking_need(bound, pure, wood.water_density))),
    }
}

fn of_timber(
    timber: &BathTimber,
    plan: &BathPlan,
    impregnant: &BathImpregnant,
    last: Option<BathNumber>,
    water_density: f64,
) -> MixedTimber {
    let excluded = plan.excluded_water.unwrap_or(0.0);
    let held = timber.max_water_content.zip(last).filter(|_| timber.not_counted.is_none()).map(|(content, last)| {
        let fraction = last.value / 100.0;
        let density = solution_density(fraction, impregnant.apparent_volume.value, water_density);
        content
            .map("kg/kg", |content| impregnant_held(content, excluded.min(content), fraction, density, water_density))
    });
    let held_mass = held.zip(timber.dry_mass).map(|(held, mass)| match (held.interval, mass.interval) {
        // Where wood is lighter it holds more for each kg: the two move against each other.
        (Some([low, high]), Some([light, heavy])) => {
            BathNumber::between(held.value * mass.value, [low * heavy, high * light], "kg")
        }
        _ => BathNumber::bare(held.value * mass.value, "kg"),
    });
    MixedTimber { timber: timber.clone(), held, held_mass }
}

fn not_bulked(mixing: &BathMixing) -> Option<BathCaution> {
    let need = mixing.held.as_ref()?.bulking_need?;
    let names: Vec<String> = mixing
        .timbers
        .iter()
        .filter(|timber| timber.held.is_some_and(|held| held.value < need.value))
        .map(|timber| timber.timber.timber.clone())
        .collect();
    let whole = mixing.held.as_ref().and_then(|held| held.per_dry_mass).is_some_and(|held| held.value < need.value);
    if names.is_empty() && !(whole && mixing.timbers.is_empty()) {
        return None;
    }
    let detail = format!("needed {} kg/kg", (need.value * 1000.0).round() / 1000.0);
    Some(BathCaution::of_timbers(BathCautionCode::BulkingNotReached, detail, names))
}

fn notes(plan: &BathPlan, impregnant: &BathImpregnant) -> Vec<String> {
    let mut notes = vec![
        "Bath and wood come to each strength together, once the wood stands with the bath; until then the bath is stronger. \
         How long that takes: woodstate bath time."
            .to_owned(),
    ];
    if plan.steps.len() > 1 {
        notes.push(
            "Each addition is for a bath that has come to rest with the wood, with nothing taken out. Measure the strength before \
             you add: refractometry or evaporation."
                .to_owned(),
        );
    }
    if plan.excluded_water.is_none() {
        notes.push(
            "All water of the wood is taken as reached by the molecules; large ones do not enter cell walls (give excluded_water)."
                .to_owned(),
        );
    }
    if plan.bound_water.is_none() {
        notes.push(
            "Whether cell walls are filled is not judged: give bound_water, the fibre saturation of this wood; about 30 % is \
             common practice for sound wood, no source."
                .to_owned(),
        );
    } else if impregnant.density.is_none() {
        notes.push(format!(
            "Whether cell walls are filled is not judged: no density of pure {} is at hand; give impregnant_density.",
            impregnant.name
        ));
    }
    notes
}
