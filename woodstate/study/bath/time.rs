//! `bath time`: how long until wood has come near its bath.

use schemars::JsonSchema;
use serde::Serialize;

use super::caution::BathCaution;
use super::course::{BathCourse, course};
use super::endless::{ShareTimes, endless};
use super::impregnant::{Strengths, beyond, of_plan, safety};
use super::number::BathNumber;
use super::piece::{BathPiece, Ways};
use super::plan::{BathPlan, StatedDiffusivity};
use super::wood::BathWood;
use crate::error::{BathCautionCode, Error, ErrorKind, Result};
use crate::numeric::{Watch, map_ordered};
use crate::quantity::{Cited, Evidence, shown_value};
use crate::reference::Reference;
use crate::study::envelope::{Program, SCHEMA_VERSION, SourceTable};
use crate::study::safety::Safety;
use crate::table::Choice;
use crate::treatment::{Ranged, diffusivity_at};

/// The outcome of `bath time`.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct BathTiming {
    /// Version of this form.
    pub schema_version: u32,
    /// `bath_time`.
    pub kind: &'static str,
    /// The program.
    pub program: Program,
    /// The tables that were read; none where the piece was stated.
    pub source: Vec<SourceTable>,
    /// What conditions kept.
    #[serde(rename = "where")]
    pub choices: Vec<Choice>,
    /// Diffusivities at the temperature of the bath.
    pub diffusivities: Vec<UsedDiffusivity>,
    /// The timbers.
    pub timbers: Vec<TimberTimes>,
    /// How the numbers are to be read.
    pub notes: Vec<String>,
    /// What to know before a day is promised.
    pub cautions: Vec<BathCaution>,
    /// Dangers, with limits of exposure.
    pub safety: Safety,
    /// Numbers behind it.
    pub sources: Vec<Cited>,
}

/// A diffusivity as it is used.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct UsedDiffusivity {
    /// Which one.
    pub of: &'static str,
    /// At the temperature of the bath.
    pub value: BathNumber,
    /// How well it is known.
    pub evidence: Evidence,
}

/// How long a timber takes.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct TimberTimes {
    /// Its name.
    pub timber: String,
    /// Its shape; `None` where unknown.
    pub shape: Option<String>,
    /// Whether rim and core were told apart.
    pub has_rim: bool,
    /// Whether what comes in through the ends is counted.
    pub has_ends: bool,
    /// Times in one endless bath.
    pub endless: Vec<ShareTimes>,
    /// Times in the tank, stirred, of which the wood takes a part; none without a tank or for a shape that has no series.
    pub stirred: Vec<ShareTimes>,
    /// The baths that are planned.
    pub course: Option<BathCourse>,
    /// The baths of the second impregnant.
    pub second: Option<BathCourse>,
    /// Why there is nothing; `None` where there is something.
    pub not_computed: Option<String>,
}

/// How long the pieces of a plan take.
///
/// ```text
/// T = D t/a²        c(t) = c₀ + Σ (c_i − c_{i−1}) E(t − t_i)
/// ```
///
/// Uniform wood by series ([`Body`](crate::treatment::Body), [`Steeping`](crate::treatment::Steeping)); a soft rim over a core by
/// finite volumes ([`Layered`](crate::treatment::Layered), [`Block`](crate::treatment::Block)), where the rim has a diffusivity and a
/// depth; the ends of a beam with a rim count, those of a round one do not. Times are for the diffusivity as it stands and for the ends of its interval.
///
/// * `wood`: the wood of a tank, for a bath that grows poorer; `None` for an endless one
///
/// # Errors
/// [`ErrorKind::Missing`] where a concentration needs an impregnant or a temperature needs an activation energy,
/// [`ErrorKind::Range`] for numbers that cannot be, and a stop asked for through `watch`.
///
/// # Example
/// ```
/// use woodstate::numeric::Watch;
/// use woodstate::study::{BathPiece, BathPlan, bath_time};
/// let mut plan = BathPlan::default();
/// plan.set("diffusivity", "1e-12 to 1e-10 m2/s")?;
/// let pole = BathPiece::stated(Some(100.0), [None, None], None, None)?;
/// let outcome = bath_time(&[pole], None, &plan, 1, &Watch::silent())?;
/// let ninety = &outcome.timbers[0].endless[1];
/// assert_eq!(ninety.share, 90.0);
/// assert!((ninety.average.value - 967.631).abs() < 0.001);
/// assert!((ninety.average.interval.unwrap()[1] - 9676.31).abs() < 0.01);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
pub fn bath_time(
    pieces: &[BathPiece],
    wood: Option<&BathWood>,
    plan: &BathPlan,
    threads: usize,
    watch: &Watch<'_>,
) -> Result<BathTiming> {
    let reference = Reference::shipped()?;
    let mut found = Found::default();
    let across = found.diffusivity(plan, "across the grain", plan.diffusivity.as_ref())?;
    let stated = |found: &mut Found, name, stated: &Option<StatedDiffusivity>| {
        stated.as_ref().map(|stated| found.diffusivity(plan, name, Some(stated))).transpose()
    };
    let ways = Ways {
        across,
        along: stated(&mut found, "along the grain", &plan.diffusivity_along)?,
        rim: stated(&mut found, "of the soft rim", &plan.diffusivity_rim)?,
    };
    let second = match plan.second_steps.is_empty() {
        true => None,
        false => Some(found.diffusivity(plan, "of the second impregnant", plan.second_diffusivity.as_ref())?),
    };
    let baths = Schedules::of(plan, &mut found)?;
    let entry = plan.impregnant.as_deref().and_then(|name| reference.impregnant(name).ok());
    let tank = wood.zip(plan.tank);
    let one = |piece: &BathPiece| times(piece, &ways, second, &baths, tank, watch);
    let timbers: Vec<TimberTimes> =
        map_ordered(threads, pieces.iter().collect(), one)?.into_iter().collect::<Result<_>>()?;
    let Found { mut cautions, mut sources, used } = found;
    cautions.extend(cautions_of(pieces, &timbers, ways.rim.is_some()));
    sources.sort();
    sources.dedup();
    Ok(BathTiming {
        schema_version: SCHEMA_VERSION,
        kind: "bath_time",
        program: Program::this(),
        source: wood.map_or_else(Vec::new, |wood| wood.source.clone()),
        choices: wood.map_or_else(Vec::new, |wood| wood.choices.clone()),
        diffusivities: used,
        notes: notes(plan, tank.is_some()),
        timbers,
        cautions,
        safety: safety(entry, plan.safety)?,
        sources,
    })
}

/// What is found on the way.
#[derive(Default)]
struct Found {
    cautions: Vec<BathCaution>,
    sources: Vec<Cited>,
    used: Vec<UsedDiffusivity>,
}

impl Found {
    /// A diffusivity at the temperature of the bath; the wide range of ours where none is stated.
    fn diffusivity(&mut self, plan: &BathPlan, of: &'static str, stated: Option<&StatedDiffusivity>) -> Result<Ranged> {
        let reference = Reference::shipped()?;
        let Some(stated) = stated else {
            let ends = ["diffusivity_low", "diffusivity_high"].map(|name| reference.constant(name));
            let [Some(low), Some(high)] = ends else {
                let (file, text) = ("constants.toml", "no range of diffusivity".to_owned());
                return Err(Error::new(ErrorKind::Reference { file, text }));
            };
            self.sources.extend([low, high].map(|constant| reference.constant_source(constant)));
            let detail = format!("{of}: {:e} to {:e} m2/s", low.value, high.value);
            self.cautions.push(BathCaution::new(BathCautionCode::DiffusivityAssumed, detail));
            let ranged = Ranged::new((low.value * high.value).sqrt(), [low.value, high.value])?;
            let value = BathNumber::between(ranged.value(), ranged.interval(), "m2/s");
            self.used.push(UsedDiffusivity { of, value, evidence: low.evidence });
            return Ok(ranged);
        };
        let ranged = at_bath(plan, stated.ranged)?;
        if !stated.has_interval {
            self.cautions.push(BathCaution::new(BathCautionCode::DiffusivityBare, of));
        }
        let value = match stated.has_interval {
            true => BathNumber::between(ranged.value(), ranged.interval(), "m2/s"),
            false => BathNumber::bare(ranged.value(), "m2/s"),
        };
        self.used.push(UsedDiffusivity { of, value, evidence: Evidence::Stated });
        Ok(ranged)
    }
}

/// A diffusivity at the temperature of the bath.
fn at_bath(plan: &BathPlan, ranged: Ranged) -> Result<Ranged> {
    let (Some(known), Some(bath)) = (plan.diffusivity_temperature, plan.temperature) else { return Ok(ranged) };
    if known.total_cmp(&bath).is_eq() {
        return Ok(ranged);
    }
    let Some(energy) = plan.activation_energy else {
        let what = "how much faster diffusion is in the warmer bath".to_owned();
        let cure = "give activation_energy; none is known for waterlogged wood (PEG 600 in polymer gels: 36.5 kJ/mol, Masaro et al. \
                    1998, read), or give the diffusivity at the temperature of the bath"
            .to_owned();
        return Err(Error::new(ErrorKind::Missing { what, cure }));
    };
    let half = energy.u.map_or(0.0, |u| 2.0 * u).min(energy.value * 0.999);
    let energy = Ranged::new(energy.value, [energy.value - half, energy.value + half])?;
    diffusivity_at(ranged, energy, known, bath)
}

/// The baths of a plan as concentrations, g/L.
pub(super) struct Schedules {
    /// Of the impregnant: concentration and duration in d, `None` for a last bath without end.
    pub(super) first: Vec<(f64, Option<f64>)>,
    pub(super) second: Vec<(f64, Option<f64>)>,
}

impl Schedules {
    fn of(plan: &BathPlan, found: &mut Found) -> Result<Self> {
        if plan.steps.is_empty() && plan.second_steps.is_empty() {
            return Ok(Self { first: Vec::new(), second: Vec::new() });
        }
        let density = super::mix::bath_water_density(super::mix::temperature(plan)?)?;
        let second = BathPlan {
            impregnant: plan.second_impregnant.clone(),
            apparent_volume: plan.second_apparent_volume,
            steps: plan.second_steps.clone(),
            ..BathPlan::default()
        };
        let mut all = [Vec::new(), Vec::new()];
        for ((list, plan), is_last) in all.iter_mut().zip([plan, &second]).zip([plan.second_steps.is_empty(), true]) {
            if plan.steps.is_empty() {
                continue;
            }
            let (impregnant, entry, sources) = of_plan(plan)?;
            found.sources.extend(sources);
            let schedule: Vec<Strengths> =
                plan.steps.iter().map(|bath| Strengths { at_last: bath.strength, at_first: None }).collect();
            let (cautions, sources) = beyond(&impregnant, entry, &schedule, density)?;
            found.cautions.extend(cautions);
            found.sources.extend(sources);
            for (place, bath) in plan.steps.iter().enumerate() {
                let is_open = is_last && place + 1 == plan.steps.len();
                if bath.duration.is_none() && !is_open {
                    let what = format!("how long bath {} of {} stands", place + 1, impregnant.name);
                    let cure = "write it as \"10 % by mass for 60 d\"; only the last bath may go on".to_owned();
                    return Err(Error::new(ErrorKind::Missing { what, cure }));
                }
                let basis = crate::reference::BathBasis::MassPerVolume;
                list.push((bath.strength.on(basis, impregnant.apparent_volume.value, density)?, bath.duration));
            }
        }
        let [first, second] = all;
        Ok(Self { first, second })
    }
}

fn times(
    piece: &BathPiece,
    ways: &Ways,
    second: Option<Ranged>,
    baths: &Schedules,
    tank: Option<(&BathWood, f64)>,
    watch: &Watch<'_>,
) -> Result<TimberTimes> {
    let mut times = TimberTimes {
        timber: piece.timber.clone(),
        shape: None,
        has_rim: false,
        has_ends: false,
        endless: Vec::new(),
        stirred: Vec::new(),
        course: None,
        second: None,
        not_computed: None,
    };
    watch.advance("timbers", 0, 0)?;
    let (Some((half, _, shape)), Some(body)) = (piece.across(), piece.body(ways)?) else {
        times.not_computed = Some(piece.why_not.clone().unwrap_or_else(|| "its section is unknown".to_owned()));
        return Ok(times);
    };
    times.shape = Some(shape);
    times.has_ends = piece.length.is_some() && ways.along.is_some();
    times.has_rim = ways.rim.is_some() && piece.soft_rim.is_some();
    let layered = if times.has_rim { super::rim::Rimmed::of(piece, ways)? } else { None };
    times.has_rim = layered.is_some();
    times.has_ends = layered.as_ref().map_or(times.has_ends, |rimmed| rimmed.has_ends);
    times.endless = match &layered {
        Some(rimmed) => rimmed.endless(watch)?,
        None => endless(&body)?,
    };
    if let (Some((wood, tank)), None, [only], false) = (tank, &layered, half.as_slice(), times.has_ends) {
        times.stirred = super::endless::stirred(piece, *only, ways.across, wood, tank)?;
    }
    if !baths.first.is_empty() {
        times.course = Some(match &layered {
            Some(rimmed) => rimmed.course(&baths.first, &baths.second, watch)?,
            None => course(&body, &baths.first, &baths.second, false)?,
        });
    }
    if let (Some(diffusivity), false) = (second, baths.second.is_empty()) {
        let own = Ways { across: diffusivity, along: None, rim: None };
        if let Some(body) = piece.body(&own)? {
            times.second = Some(course(&body, &baths.second, &[], true)?);
        }
    }
    Ok(times)
}

fn cautions_of(pieces: &[BathPiece], timbers: &[TimberTimes], has_rim: bool) -> Vec<BathCaution> {
    let named = |is: &dyn Fn(&BathPiece, &TimberTimes) -> bool| -> Vec<String> {
        let both = pieces.iter().zip(timbers).filter(|(piece, times)| is(piece, times));
        both.map(|(piece, _)| piece.timber.clone()).collect()
    };
    let mut cautions = Vec::new();
    let mut say = |of, names: Vec<String>| {
        if !names.is_empty() {
            cautions.push(BathCaution::of_timbers(of, "", names));
        }
    };
    say(BathCautionCode::TimberNotCounted, named(&|_, times| times.not_computed.is_some()));
    say(BathCautionCode::EndsNotCounted, named(&|_, times| times.not_computed.is_none() && !times.has_ends));
    say(BathCautionCode::RimDepthUnknown, named(&|_, times| has_rim && times.not_computed.is_none() && !times.has_rim));
    cautions.push(BathCaution::new(BathCautionCode::DiffusionOnly, ""));
    cautions
}

fn notes(plan: &BathPlan, has_tank: bool) -> Vec<String> {
    let mut notes = vec![
        "Average is the mean over the piece; the centre lags far behind it. Both matter: the average for mass, the centre for the \
         wood that is farthest in."
            .to_owned(),
        "Twice the thickness takes four times as long: a rule of so many months a centimetre holds for the thickness it was found \
         with, and must not be carried over."
            .to_owned(),
    ];
    match (plan.temperature, plan.diffusivity_temperature) {
        (Some(bath), None) => {
            notes.push(format!(
                "The diffusivity is taken to hold at {} Cel, the temperature of the bath.",
                shown_value(bath)
            ));
        }
        (None, _) => notes.push("The diffusivity is taken to hold at the temperature of the bath.".to_owned()),
        _ => {}
    }
    if plan.diffusivity_rim.is_some() {
        notes.push(
            "Rim and core are computed in steps of space and time, without ends; times are good to about one part in a hundred. \
             Where the pores of rim and core are unknown, both count as equally open."
                .to_owned(),
        );
    }
    if has_tank {
        notes.push(
            "In the tank, the wood takes its part out of the bath, which is not topped up: shares are of what bath and wood come to. \
             A series for that is known for round timbers and boards only."
                .to_owned(),
        );
    }
    if !plan.second_steps.is_empty() {
        notes.push(
            "The two impregnants pass each other without touching: the first diffuses out while the second comes in. In \
             strong baths this is not so."
                .to_owned(),
        );
    }
    notes
}
