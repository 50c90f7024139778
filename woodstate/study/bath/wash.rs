//! `bath wash`: how many baths of clean water, and the least of agent and base.

use schemars::JsonSchema;
use serde::Serialize;

use super::caution::BathCaution;
use super::mix::missing;
use super::number::BathNumber;
use super::plan::BathPlan;
use super::wood::{BathTimber, BathWood};
use crate::error::{BathCautionCode, Result};
use crate::quantity::Cited;
use crate::reference::{Chemical, Reference};
use crate::study::envelope::{Program, SCHEMA_VERSION, SourceTable};
use crate::study::safety::Safety;
use crate::table::Choice;
use crate::treatment::{
    acid_of_sulfur, agent_for_hardness, agent_for_iron, base_for_acid, washing_baths, washing_left,
};

/// The outcome of `bath wash`.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct BathWashing {
    /// Version of this form.
    pub schema_version: u32,
    /// `bath_wash`.
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
    /// Volume of the wood, L.
    pub wood_volume: BathNumber,
    /// Water in it, kg.
    pub wood_water: BathNumber,
    /// Water of a bath over water in the wood, by volume.
    pub ratio: BathNumber,
    /// Clean water of one bath, L.
    pub bath_water: BathNumber,
    /// Share of the salts that may be left, %; `None` where not stated.
    pub salt_left: Option<f64>,
    /// Fewest baths after which no more is left; from the interval of the ratio. `None` where no share is stated.
    pub baths: Option<BathCount>,
    /// What is left after each of some baths.
    pub course: Vec<WashingBath>,
    /// A chelating agent; `None` where none was asked for.
    pub agent: Option<ChelatingNeed>,
    /// A base; `None` where none was asked for.
    pub base: Option<BaseNeed>,
    /// The timbers.
    pub timbers: Vec<BathTimber>,
    /// How the numbers are to be read.
    pub notes: Vec<String>,
    /// What to know before anything is weighed.
    pub cautions: Vec<BathCaution>,
    /// Dangers, with limits of exposure.
    pub safety: Safety,
    /// Numbers behind it.
    pub sources: Vec<Cited>,
}

/// A number of baths.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
pub struct BathCount {
    /// The number.
    pub value: u32,
    /// Fewest and most by the interval of the ratio; `None` where that is unknown.
    pub interval: Option<[u32; 2]>,
}

/// What is left after a bath.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct WashingBath {
    /// Its number, from 1.
    pub bath: u32,
    /// Share of the salts that is left, %.
    pub left: BathNumber,
    /// Clean water so far, L.
    pub water: BathNumber,
}

/// The least of a chelating agent.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ChelatingNeed {
    /// Its name.
    pub name: String,
    /// As what it is weighed.
    pub form: String,
    /// Iron in the timbers in which it was measured, kg; `None` where it was in none.
    pub iron: Option<BathNumber>,
    /// Agent for that iron, kg.
    pub for_iron: Option<BathNumber>,
    /// Agent that the hardness of one bath binds, kg; `None` where hardness is unknown.
    pub for_water: Option<BathNumber>,
}

/// The least of a base.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct BaseNeed {
    /// Its name.
    pub name: String,
    /// As what it is weighed.
    pub form: String,
    /// Reduced sulfur in the timbers in which it was measured, kg; `None` where it was in none.
    pub reduced_sulfur: Option<BathNumber>,
    /// Sulfuric acid that it comes to once all of it has oxidised, kg.
    pub acid: Option<BathNumber>,
    /// Base for that acid, kg.
    pub for_acid: Option<BathNumber>,
}

/// Baths that are told one by one at most.
const TOLD: u32 = 12;

/// Washes the wood of a plan in one bath of clean water after the other.
///
/// ```text
/// r = V_bath ρ_w/W_wood        c_n/c_0 = 1/(1 + r)ⁿ
/// ```
///
/// ([`washing_left`], [`agent_for_iron`], [`acid_of_sulfur`])
///
/// # Errors
/// [`ErrorKind::Missing`](crate::error::ErrorKind::Missing) where the tank is not stated, [`ErrorKind::Range`](crate::error::ErrorKind::Range) where the wood does not fit into it.
///
/// # Example
/// ```
/// use woodstate::study::{BathPlan, BathWood, bath_wash, bath_water_density};
/// let mut plan = BathPlan::default();
/// plan.set("tank", "400 L")?;
/// plan.set("salt_left", "1 %")?;
/// let density = bath_water_density(20.0)?;
/// // 80 L of wood that hold 80 L of water less its walls, here all of it: four parts of bath for one of wood.
/// let wood = BathWood::stated(80.0, 80.0 * density / 1000.0, None, density)?;
/// assert_eq!(bath_wash(&wood, &plan)?.baths.unwrap().value, 3);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
pub fn bath_wash(wood: &BathWood, plan: &BathPlan) -> Result<BathWashing> {
    let reference = Reference::shipped()?;
    let tank = plan.tank.ok_or_else(|| {
        missing(
            "the volume of the tank",
            "give tank, up to the level of the bath and with the wood in it, such as \"2400 L\"",
        )
    })?;
    let bath = wood.bath_volume(tank)?;
    let ratio = wood.water.map("1", |water| bath * wood.water_density / (1000.0 * water));
    let mut cautions = wood.cautions.clone();
    let baths = plan.salt_left.map(|left| count(left / 100.0, ratio)).transpose()?;
    let last = baths.map_or(TOLD, |baths| baths.interval.map_or(baths.value, |[_, most]| most)).min(TOLD);
    let course = (1..=last).map(|bath_number| washed(bath_number, ratio, bath)).collect::<Result<_>>()?;
    let mut sources = wood.sources.clone();
    let named = plan.agent.as_deref().map(|name| reference.chelating_agent(name)).transpose()?;
    let agent = named.map(|agent| {
        sources.extend(reference.chemical_sources(agent));
        chelating(reference, wood, plan, agent, bath)
    });
    let named = plan.base.as_deref().map(|name| reference.base(name)).transpose()?;
    let base = named.map(|base| {
        sources.extend(reference.chemical_sources(base));
        neutralising(reference, wood, base)
    });
    if agent.as_ref().is_some_and(|agent| agent.for_water.is_none()) {
        cautions.push(BathCaution::new(BathCautionCode::HardnessUnknown, ""));
    }
    cautions.extend(unmeasured(wood, agent.is_some(), "iron", |timber| timber.iron.is_none()));
    cautions.extend(unmeasured(wood, base.is_some(), "reduced sulfur", |timber| timber.reduced_sulfur.is_none()));
    let works: &[&str] = if agent.is_some() || base.is_some() { &["washing", "iron-extraction"] } else { &["washing"] };
    sources.sort();
    sources.dedup();
    Ok(BathWashing {
        schema_version: SCHEMA_VERSION,
        kind: "bath_wash",
        program: Program::this(),
        source: wood.source.clone(),
        choices: wood.choices.clone(),
        tank,
        wood_volume: wood.volume,
        wood_water: wood.water,
        ratio,
        bath_water: BathNumber::bare(bath, "L"),
        salt_left: plan.salt_left,
        baths,
        course,
        notes: notes(plan, agent.is_some(), base.is_some()),
        agent,
        base,
        timbers: wood.timbers.clone(),
        cautions,
        safety: Safety::of_work(reference, works, plan.safety)?,
        sources,
    })
}

fn count(left: f64, ratio: BathNumber) -> Result<BathCount> {
    let value = washing_baths(left, ratio.value)?;
    let interval = match ratio.interval {
        Some([low, high]) => Some([washing_baths(left, high)?, washing_baths(left, low)?]),
        None => None,
    };
    Ok(BathCount { value, interval })
}

fn washed(bath: u32, ratio: BathNumber, litres: f64) -> Result<WashingBath> {
    let value = 100.0 * washing_left(bath, ratio.value)?;
    let left = match ratio.interval {
        Some([low, high]) => {
            BathNumber::between(value, [100.0 * washing_left(bath, high)?, 100.0 * washing_left(bath, low)?], "%")
        }
        None => BathNumber::bare(value, "%"),
    };
    Ok(WashingBath { bath, left, water: BathNumber::bare(f64::from(bath) * litres, "L") })
}

fn total(wood: &BathWood, of: fn(&BathTimber) -> Option<BathNumber>) -> Option<BathNumber> {
    let found: Vec<BathNumber> = wood.counted().filter_map(of).collect();
    (!found.is_empty()).then(|| BathNumber::sum(&found, "kg"))
}

fn chelating(reference: &Reference, wood: &BathWood, plan: &BathPlan, agent: &Chemical, bath: f64) -> ChelatingNeed {
    let iron = total(wood, |timber| timber.iron);
    let (of_iron, mass) = (reference.iron_molar_mass(), agent.molar_mass);
    ChelatingNeed {
        name: agent.name.clone(),
        form: agent.form.clone(),
        iron,
        for_iron: iron.map(|iron| iron.map("kg", |iron| agent_for_iron(iron, of_iron, mass, agent.takes))),
        for_water: plan
            .hardness
            .map(|hardness| BathNumber::bare(agent_for_hardness(hardness, bath, mass, agent.takes), "kg")),
    }
}

fn neutralising(reference: &Reference, wood: &BathWood, base: &Chemical) -> BaseNeed {
    let sulfur = total(wood, |timber| timber.reduced_sulfur);
    let (of_sulfur, of_acid) = (reference.sulfur_molar_mass(), reference.sulfuric_acid_molar_mass());
    let acid = sulfur.map(|sulfur| sulfur.map("kg", |sulfur| acid_of_sulfur(sulfur, of_sulfur, of_acid)));
    BaseNeed {
        name: base.name.clone(),
        form: base.form.clone(),
        reduced_sulfur: sulfur,
        acid,
        for_acid: acid.map(|acid| acid.map("kg", |acid| base_for_acid(acid, of_acid, base.molar_mass, base.takes))),
    }
}

fn unmeasured(wood: &BathWood, is_asked: bool, what: &str, is_unknown: fn(&BathTimber) -> bool) -> Option<BathCaution> {
    let names: Vec<String> =
        wood.counted().filter(|timber| is_unknown(timber)).map(|timber| timber.timber.clone()).collect();
    (is_asked && (!names.is_empty() || wood.timbers.is_empty()))
        .then(|| BathCaution::of_timbers(BathCautionCode::IronNotMeasured, what, names))
}

fn notes(plan: &BathPlan, has_agent: bool, has_base: bool) -> Vec<String> {
    let mut notes = vec![
        "Each bath is of clean water and stands until wood and water are even; how long that takes: woodstate bath time. Salt \
         that is bound or not dissolved is not counted."
            .to_owned(),
    ];
    if plan.salt_left.is_none() {
        notes.push(
            "How far to wash is yours to say: give salt_left. No limit of chloride is published that was read in its source."
                .to_owned(),
        );
    }
    if has_agent {
        notes.push(
            "The agent is the least that chemistry asks for, mole for mole: not a recipe. Extraction is limited by diffusion and may \
             take years in deep wood; chelating agents take impregnant and salts out as well (Almkvist and Persson 2006)."
                .to_owned(),
        );
    } else {
        notes.push("No chelating agent and no base is proposed: name one with agent, base.".to_owned());
    }
    if has_base {
        notes.push(
            "The base is for the acid that all reduced sulfur would come to: the worst case. No safe range of pH for wood is \
             published."
                .to_owned(),
        );
    }
    notes
}
