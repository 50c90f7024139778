//! `lift`: the weight of timbers and whether they can bear it out of the water.

use std::collections::BTreeMap;

use crate::error::{Error, ErrorKind, Result};
use crate::lift::{Danger, danger_order};
use crate::numeric::{Watch, map_watched};
use crate::quantity::{Cited, Jet, Measured, Quantity};
use crate::reference::Reference;
use crate::state::water_density;
use crate::table::{Batch, Choice, Condition};

use super::assess::assess;
use super::depth::TimberDepth;
use super::envelope::{Program, SCHEMA_VERSION, Settings, SourceTable, Stopped};
use super::lift_look::{Common, Looked};
use super::lift_number::LiftNumber;
use super::lift_outcome::{DynamicFactor, LiftHandling, LiftLegend, Lifts, NotLifted};
use super::lift_plan::{Plan, of_batch};
use super::lift_question::{LiftQuestion, TypedTimber, WaterChoice};
use super::lift_stated::{StatedLoad, all_there};
use super::lift_strength::StrengthSources;
use super::lift_support::SupportChoice;
use super::lift_timber::TimberLift;
use super::piece::Pieces;
use super::rows::kept;
use super::safety::{Safety, SafetyForm};
use super::{Assessment, ProfileQuestion, Profiles, Study, profile_assessed};

/// Profiles that are drawn again for the depth of a rim.
const REPLICATES: usize = 200;

/// Assesses a batch and looks at the lift of every timber.
///
/// # Errors
/// As [`assess`] and [`lift_assessed`].
pub fn lift(study: &Study, batch: Batch, question: &LiftQuestion, watch: &Watch<'_>) -> Result<Lifts> {
    question.check()?;
    let mut study = study.clone();
    study.options.parts_of.extend([Quantity::BasicDensity, Quantity::ResidualBasicDensity]);
    lift_assessed(&study, &assess(&study, batch, watch)?, question, watch)
}

/// Looks at the lift of every timber of an assessment, the most dangerous first.
///
/// # Errors
/// What is asked for and cannot be used; a fault in the condition; a stop asked for through `watch`, unless it keeps what is
/// done.
pub fn lift_assessed(
    study: &Study,
    assessment: &Assessment,
    question: &LiftQuestion,
    watch: &Watch<'_>,
) -> Result<Lifts> {
    question.check()?;
    let profiles = profiles(study, assessment, question, watch)?;
    lift_in_depth(study, assessment, profiles.as_ref(), question, watch)
}

/// The same with the profiles of the timbers, where they were made already.
pub(super) fn lift_in_depth(
    study: &Study,
    assessment: &Assessment,
    profiles: Option<&Profiles>,
    question: &LiftQuestion,
    watch: &Watch<'_>,
) -> Result<Lifts> {
    let pieces = Pieces::of(assessment);
    all_there(&question.timbers, &timbers(assessment))?;
    let names = pieces.names();
    let condition = question.condition.as_ref().map(|text| Condition::parse(text, &names)).transpose()?;
    let (kept, chosen) = kept(&pieces, condition.as_ref(), Reference::shipped()?);
    let strengths = StrengthSources::of(study, assessment, &pieces, watch)?;
    let profiles: BTreeMap<&str, &TimberDepth> =
        profiles.iter().flat_map(|found| &found.profiles).map(|profile| (profile.timber.as_str(), profile)).collect();
    let mut places: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for place in &kept {
        if let Some(timber) = pieces.timber(*place) {
            places.entry(timber).or_default().push(*place);
        }
    }
    let common = common(study, question, &strengths)?;
    let (mut plans, mut without) = (Vec::new(), Vec::new());
    for timber in &assessment.timbers {
        let name = timber.timber.as_str();
        let of_timber = places.get(name).map_or(&[][..], Vec::as_slice);
        if of_timber.is_empty() && condition.is_some() {
            continue;
        }
        match of_batch(name, &assessment.batch, &pieces, of_timber, profiles.get(name).copied(), question) {
            Ok(plan) => plans.push(plan),
            Err(reason) => without.push(NotLifted { timber: name.to_owned(), reason }),
        }
    }
    let total = plans.len();
    let one = |plan: Plan| {
        let name = plan.name.clone();
        match common.look(plan, &watch.within()) {
            Err(error) if error.kind() == &ErrorKind::Stopped => Err(error),
            found => Ok((name, found)),
        }
    };
    let found = map_watched(study.read.n_threads(), plans, "timbers to lift", watch, one)?;
    let stopped = Stopped::of(found.len(), total);
    let mut looked = Vec::new();
    for found in found {
        match found {
            (_, Ok(one)) => looked.push(one),
            (timber, Err(error)) => without.push(NotLifted { timber, reason: error.to_string() }),
        }
    }
    let mut choices = assessment.choices.clone();
    choices.extend(chosen);
    let mut lifts = outcome(study, question, &common, looked)?;
    lifts.source = SourceTable::of(&assessment.batch);
    lifts.choices = choices;
    lifts.stopped = stopped;
    lifts.findings = assessment.findings.clone();
    lifts.without = without;
    let mut sources = assessment.sources.clone();
    sources.extend(strengths.cited.iter().cloned());
    sources.append(&mut lifts.sources);
    lifts.sources = sources;
    Ok(lifts)
}

/// Looks at the lift of a timber of which only sizes and density were typed.
///
/// # Errors
/// Sizes, densities or wood that cannot be used, a stop asked for through `watch`.
///
/// # Example
/// ```
/// use woodstate::numeric::Watch;
/// use woodstate::quantity::Measured;
/// use woodstate::study::{LiftQuestion, Study, TypedTimber, WaterChoice, lift_typed};
/// let timber = TypedTimber {
///     length: Measured::new(6.0, 0.03),
///     width: Some((Measured::new(0.25, 0.005), None)),
///     height: Some((Measured::new(0.25, 0.005), None)),
///     diameter: None,
///     bore: None,
///     basic_density: Measured::new(560.0, 30.0),
///     rim: None,
///     taxon: None,
/// };
/// let question = LiftQuestion { water: Some(WaterChoice::parse("fresh")?), draws: 500, ..LiftQuestion::usual() };
/// let found = lift_typed(&Study::unstated()?, &timber, &question, &Watch::silent())?;
/// // Nobody said which wood it is, so no strength is known: support along the full length.
/// assert!((found.lifts[0].mass_in_air.value - 445.0).abs() < 1.0);
/// assert_eq!(found.lifts[0].answer.support, "tray");
/// # Ok::<(), woodstate::error::Error>(())
/// ```
pub fn lift_typed(study: &Study, timber: &TypedTimber, question: &LiftQuestion, watch: &Watch<'_>) -> Result<Lifts> {
    question.check()?;
    let strengths = StrengthSources::default();
    let common = common(study, question, &strengths)?;
    let looked = common.look(Plan::of_typed(timber, question)?, watch)?;
    outcome(study, question, &common, vec![looked])
}

/// Names of all timbers: those with pieces, and those that the list of timbers has.
fn timbers(assessment: &Assessment) -> Vec<&str> {
    let listed = assessment
        .batch
        .timbers
        .iter()
        .flat_map(|table| (0..table.n_rows()).filter_map(|row| table.text("timber", row)));
    assessment.timbers.iter().map(|timber| timber.timber.as_str()).chain(listed).collect()
}

/// Profiles of the timbers; `None` where no piece has a depth.
fn profiles(
    study: &Study,
    assessment: &Assessment,
    question: &LiftQuestion,
    watch: &Watch<'_>,
) -> Result<Option<Profiles>> {
    let asked =
        ProfileQuestion { replicates: REPLICATES, condition: question.condition.clone(), ..ProfileQuestion::usual() };
    // All of them or none: a timber without its rim would be lifted as if it had none.
    match profile_assessed(study, assessment, &asked, &watch.keeping(false)) {
        Ok(found) => Ok(Some(found)),
        Err(error) if matches!(error.kind(), ErrorKind::Range { .. }) => Ok(None),
        Err(error) => Err(error),
    }
}

fn common<'a>(study: &Study, question: &'a LiftQuestion, strengths: &'a StrengthSources) -> Result<Common<'a>> {
    let reference = Reference::shipped()?;
    let constant = |name: &str| {
        let found = reference.constant(name).map(|constant| Measured { value: constant.value, u: constant.u });
        found.ok_or_else(|| {
            Error::new(ErrorKind::Reference { file: "constants.toml", text: format!("{name} is missing") })
        })
    };
    let temperature = question.temperature.map_or_else(|| constant("weighing_temperature"), Ok)?;
    let of_salinity = |salinity: Measured| {
        let [t, s] = [Jet::<2>::cause(temperature.value, 0), Jet::cause(salinity.value, 1)];
        let density = water_density(t, s, reference.water());
        let u = temperature.u.zip(salinity.u).map(|(t, s)| density.variance(&[t, s]).sqrt());
        Measured { value: density.value, u }
    };
    let water = match question.water {
        Some(WaterChoice::Density(density)) => density,
        Some(WaterChoice::Salinity(salinity)) => of_salinity(salinity),
        Some(WaterChoice::Sea) => of_salinity(Measured { u: Some(0.0), ..constant("sea_salinity")? }),
        // The water of the pores is that of the place where the wood lay.
        None => of_salinity(study.options.waters.pore_salinity.unwrap_or(Measured::new(0.0, 0.0))),
    };
    let pore = study.options.waters.pore_salinity;
    Ok(Common {
        question,
        strengths,
        water,
        temperature: (!matches!(question.water, Some(WaterChoice::Density(_)))).then_some(temperature),
        pore: pore.filter(|_| question.water.is_some()).map(of_salinity),
        is_water_known: question.water.is_some() || pore.is_some(),
        cell_wall: study.options.cell_wall_density,
        seed: study.options.propagation.seed,
        coverage: study.options.propagation.coverage,
        gravity: constant("standard_gravity")?.value,
        shear_ratio: constant("shear_over_elastic_modulus")?.value,
    })
}

fn outcome(study: &Study, question: &LiftQuestion, common: &Common<'_>, looked: Vec<Looked>) -> Result<Lifts> {
    let reference = Reference::shipped()?;
    let mut sources: Vec<Cited> = Vec::new();
    let constants = ["cell_wall_density", "standard_gravity", "shear_over_elastic_modulus"];
    sources.extend(constants.iter().filter_map(|name| {
        let constant = reference.constant(name)?;
        Some(reference.constant_source(constant))
    }));
    sources.extend(question.size_effect.then(|| reference.size_source()));
    sources.extend(question.time_under_load.map(|_| reference.time_source()));
    let mut lifts = Vec::new();
    for Looked { lift, cited } in looked {
        lifts.push(lift);
        for one in cited {
            if !sources.contains(&one) {
                sources.push(one);
            }
        }
    }
    in_danger(&mut lifts);
    let heaviest = lifts.iter().map(|lift| lift.mass_in_air.value).fold(0.0, f64::max) / 1000.0;
    let example = |example: &crate::reference::DynamicExample| {
        let cited = reference.dynamic_source(example);
        DynamicFactor {
            name: example.name.clone(),
            factor: example.factor(heaviest),
            citation: format!("{}, {}", cited.citation, cited.place),
            evidence: cited.evidence,
        }
    };
    Ok(Lifts {
        schema_version: SCHEMA_VERSION,
        kind: "lift",
        program: Program::this(),
        source: Vec::new(),
        settings: Settings::of(study),
        handling: handling(question, common),
        choices: Vec::<Choice>::new(),
        stopped: None,
        without: Vec::new(),
        dynamic_examples: reference.dynamic_examples().iter().map(example).collect(),
        safety: Safety::of_work(reference, &["lifting", "recovery"], SafetyForm::Short)?,
        notes: notes(),
        findings: Vec::new(),
        cautions: LiftLegend::of(&lifts),
        lifts,
        sources,
    })
}

/// The most dangerous first.
fn in_danger(lifts: &mut [TimberLift]) {
    let danger = |lift: &TimberLift| {
        let margin = lift.best_way().and_then(|way| way.margin.as_ref()).map(|margin| margin.value);
        Danger { name: lift.timber.clone(), margin, weight: Some(lift.weight_in_air.value) }
    };
    lifts.sort_by(|a, b| danger_order(&danger(a), &danger(b)));
    for (place, lift) in lifts.iter_mut().enumerate() {
        lift.danger = place + 1;
    }
}

fn handling(question: &LiftQuestion, common: &Common<'_>) -> LiftHandling {
    let stated = |measured: Measured, unit| LiftNumber::stated(measured.value, measured.u, unit);
    let water = stated(common.water, "kg/m3");
    let per_cent = |share: Measured| LiftNumber::stated(100.0 * share.value, share.u.map(|u| 100.0 * u), "%");
    let full = LiftNumber { route: None, ..LiftNumber::stated(100.0, None, "%") };
    LiftHandling {
        required_margin: question.required.margin,
        accepted_probability: question.required.probability,
        supports: question.supports.iter().map(SupportChoice::word).collect(),
        sling_width: question.sling_width.map(|width| LiftNumber::stated(1e3 * width, None, "mm")),
        sling_angle: question.sling_angle,
        dynamic: question.dynamic.map(|dynamic| stated(dynamic, "1")),
        placing: question.placing.map(|placing| LiftNumber::stated(1e3 * placing, None, "mm")),
        water_density: if question.water.is_some() { water } else { LiftNumber { route: None, ..water } },
        water_temperature: common.temperature.map(|temperature| LiftNumber {
            route: question.temperature.map(|_| "stated"),
            ..stated(temperature, "Cel")
        }),
        saturation: question.saturation.map_or(full, per_cent),
        drained: question.drained.map(per_cent),
        attached: question.attached.iter().map(StatedLoad::words).collect(),
        reduction: question.reduction.map(|share| LiftNumber::stated(100.0 * share, None, "%")),
        size_effect: question.size_effect,
        time_under_load: question.time_under_load.map(|seconds| LiftNumber::stated(seconds / 3600.0, None, "h")),
        rim_stiffness: question.rim_stiffness.map(|share| LiftNumber::stated(100.0 * share, None, "%")),
        draws: question.draws,
    }
}

/// How the numbers are to be read.
fn notes() -> Vec<String> {
    [
        "A screening estimate for the talk between a conservator and a competent lifting person: no lifting plan. Local codes, \
         licensed lifting practice and the dive supervisor decide.",
        "No factor of safety has been published for waterlogged timber. The required margin and the probability of missing it are \
         yours to agree on; none is proposed.",
        "Margin is strength over stress, the least of all checks. Order of danger: what is unknown first, then the smallest margin.",
        "Common practice, no source: a sodden block of about 50 kg in the air is easily moved under water, where degraded wood of \
         that size weighs a few kilograms. The weight comes back at the surface.",
    ]
    .map(str::to_owned)
    .to_vec()
}
