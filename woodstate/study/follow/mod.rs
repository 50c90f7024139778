//! `follow`: a treatment by its log, while it goes on and afterwards.

mod bath;
mod evaluate;
mod log;
mod options;
mod outcome;
mod shape;
mod sign;
mod tank;
mod text;
mod timber;

use crate::error::{CourseCautionCode, Error, ErrorKind, Result};
use crate::numeric::{Watch, map_ordered};
use crate::quantity::{Cited, Evidence, counted};
use crate::reference::Reference;
use crate::table::Batch;

use super::envelope::{Program, SCHEMA_VERSION, Settings, SourceTable};
use super::{Safety, Study};

use log::{Entry, names};
use tank::{MOVED, range};
use timber::{Tracker, nothing};

pub(super) use options::options;
pub use options::{ConcentrationStep, FollowOptions, TankOptions};
pub use outcome::{
    CourseCaution, CourseDay, CourseLegend, CourseMoment, CourseNumber, Efficiency, FollowAsk, FollowCounts, Following,
    ForecastThen, Judgement, MeanShrinkage, Strength, TankCourse, TimberCourse, TreatedTimber, WashShown, WashedBath,
    WashedMoment, Washing, WeighingShown,
};
pub(super) use text::FollowText;

/// What a log is asked, beside what the study file says.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct FollowQuestion {
    /// Share of the concentration of the bath that a timber shall reach, 0 to 1; `None` takes that of the study file.
    pub target: Option<f64>,
}

/// Follows a treatment by its log.
///
/// # Errors
/// [`ErrorKind::Range`] for a log without a day, or a target that is not between 0 and 1; a stop asked for through `watch`.
///
/// # Example
/// ```
/// use woodstate::numeric::Watch;
/// use woodstate::study::{FollowQuestion, Study, follow};
/// use woodstate::table::{SourceFile, log_of};
/// let study = Study::unstated()?;
/// let csv = "date,tank,timber,mass_drained [kg],bath_volume [L]\n2024-01-01,P1,,,800\n2024-01-15,P1,,,700\n";
/// let batch = log_of(&SourceFile::from_bytes("log.csv", csv.into()), &study.read, &Watch::silent())?;
/// let following = follow(&study, &batch, &FollowQuestion::default(), &Watch::silent())?;
/// assert_eq!(following.cautions[0].code, "bath-loses-volume");
/// # Ok::<(), woodstate::error::Error>(())
/// ```
pub fn follow(study: &Study, batch: &Batch, question: &FollowQuestion, watch: &Watch<'_>) -> Result<Following> {
    let mut asked = study.follow.clone();
    if let Some(target) = question.target {
        if !(target > 0.0 && target < 1.0) {
            let allowed = "a number between 0 and 1, such as 0.9".to_owned();
            return Err(Error::new(ErrorKind::Range { name: "target".to_owned(), value: target, allowed }));
        }
        asked.target = Some(target);
    }
    let reference = Reference::shipped()?;
    let (entries, undated) = batch.log.as_ref().map(log::entries).unwrap_or_default();
    if entries.is_empty() {
        return Err(nothing());
    }
    let coverage = study.options.propagation.coverage;
    let tracker = Tracker { entries: &entries, batch, options: &asked, reference, coverage, watch };
    let mut cautions: Vec<CourseCaution> = Vec::new();
    if !undated.is_empty() {
        let rows: Vec<String> = undated.iter().map(ToString::to_string).collect();
        cautions.push(CourseCaution::new(CourseCautionCode::RowUndated, format!("rows {}", rows.join(", "))));
    }
    let named = names(&entries, |entry| entry.timber.as_ref());
    let mut timbers = Vec::new();
    let total = named.len();
    let one = |(place, timber): (usize, &str)| {
        watch.advance("timbers", place, total)?;
        tracker.course(timber)
    };
    for found in map_ordered(study.read.n_threads(), named.into_iter().enumerate().collect(), one)? {
        if let Some((course, own)) = found? {
            timbers.push(course);
            cautions.extend(own);
        }
    }
    let is_nameless = entries.iter().any(|entry| entry.tank.is_none() && entry.mass.is_none());
    let tanks_named = names(&entries, |entry| entry.tank.as_ref());
    let mut tanks = Vec::new();
    for tank in tanks_named.into_iter().map(Some).chain(is_nameless.then_some(None)) {
        if let Some((course, own)) = tracker.tank(tank)? {
            tanks.push(course);
            cautions.extend(own);
        }
        cautions.extend(tracker.signs(tank)?);
    }
    cautions.extend(warmth(&entries, &asked, &timbers, &tanks));
    let calliper = study.options.instruments.calliper;
    let (treated, own) = evaluate::treated(batch, &asked, calliper, coverage)?;
    cautions.extend(own);
    let rows = batch.log.as_ref().map_or(0, crate::table::Table::n_rows_in_file);
    let findings = study.findings.iter().chain(&batch.findings).cloned().collect();
    Ok(Following {
        schema_version: SCHEMA_VERSION,
        kind: "following",
        program: Program::this(),
        source: SourceTable::of(batch).into_iter().filter(|table| table.rows > 0).collect(),
        settings: Settings::of(study),
        counts: FollowCounts { rows, without_day: undated.len(), timbers: timbers.len(), tanks: tanks.len() },
        questions: questions(&asked, &entries, &timbers, &tanks, &treated),
        notes: notes(&asked, &timbers, &tanks, &treated),
        safety: safety(study, reference, &timbers, &tanks)?,
        sources: sources(reference, &asked, &timbers, &tanks, &treated),
        legend: CourseLegend::of(&cautions),
        cautions,
        asked,
        timbers,
        tanks,
        treated,
        findings,
    })
}

/// Whether temperatures moved where a diffusivity was fitted.
fn warmth(
    entries: &[Entry],
    asked: &FollowOptions,
    timbers: &[TimberCourse],
    tanks: &[TankCourse],
) -> Vec<CourseCaution> {
    if asked.activation_energy.is_some() {
        return Vec::new();
    }
    let is_fitted = |tank: &TankCourse| {
        let has = |timber: &TimberCourse| {
            timber.diffusivity_from == Some("fitted")
                && tank.tank.as_ref().is_some_and(|name| timber.tanks.contains(name))
        };
        timbers.iter().any(has) || tank.washing.as_ref().is_some_and(|washing| washing.diffusivity.is_some())
    };
    let one = |tank: &TankCourse| {
        let own = entries.iter().filter(|entry| entry.tank == tank.tank).filter_map(|entry| entry.temperature);
        let moved = range(own);
        let detail = format!("{} K", crate::quantity::shown_value(moved));
        let caution = CourseCaution::new(CourseCautionCode::TemperatureUncorrected, detail);
        (moved > MOVED).then(|| caution.of_tank(tank.tank.as_deref()))
    };
    tanks.iter().filter(|tank| is_fitted(tank)).filter_map(one).collect()
}

/// What the study file should answer.
fn questions(
    asked: &FollowOptions,
    entries: &[Entry],
    timbers: &[TimberCourse],
    tanks: &[TankCourse],
    treated: &[TreatedTimber],
) -> Vec<FollowAsk> {
    let mut questions = Vec::new();
    let mut ask = |is: bool, key: &'static str, text: String, line: &str| {
        if is {
            questions.push(FollowAsk { key, text, line: line.to_owned() });
        }
    };
    let is_impregnated = tanks.iter().any(|tank| !tank.strengths.is_empty());
    let is_fitted = timbers.iter().any(|timber| timber.diffusivity.is_some());
    ask(
        is_impregnated && asked.target.is_none(),
        "target",
        "which share of the concentration of the bath shall the timbers reach? Without it no day is foretold."
            .to_owned(),
        "target = \"90 %\"",
    );
    let unnamed: Vec<&str> = tanks
        .iter()
        .filter(|tank| !tank.strengths.is_empty() && tank.impregnant.is_none())
        .map(|tank| tank.tank.as_deref().unwrap_or("unnamed"))
        .collect();
    ask(
        !unnamed.is_empty(),
        "impregnant",
        format!("what is in {}? A bath of sugar is watched for fermenting.", unnamed.join(", ")),
        "impregnant = \"sucrose\"",
    );
    let is_without = entries.iter().any(|entry| {
        entry.mass_fraction.is_some_and(|found| found > 0.0)
            && entry.mass_per_volume.is_none()
            && asked.of_tank(entry.tank.as_deref()).apparent_volume.is_none()
    });
    ask(
        is_without,
        "apparent_volume",
        "which volume does 1 g of the impregnant take up in the solution? It joins % by mass and g/L.".to_owned(),
        "apparent_volume = \"0.84 cm3/g\"",
    );
    let is_stepped = |tank: &TankCourse| {
        let values = tank.strengths.iter().map(|strength| strength.value);
        range(values) > 0.0 && asked.of_tank(tank.tank.as_deref()).step.is_none()
    };
    ask(
        tanks.iter().any(is_stepped),
        "step",
        "how large is a step of the plan? Without it no addition is judged.".to_owned(),
        "step = \"10 %\"",
    );
    let is_open = timbers
        .iter()
        .any(|timber| timber.shape.is_some() && timber.diffusivity.is_none() && !timber.weighings.is_empty());
    ask(
        is_impregnated && is_open && asked.diffusivity.is_none(),
        "diffusivity",
        "between which two diffusivities may the wood lie where the masses do not tell? For whole timbers next to nothing is \
         published."
            .to_owned(),
        "diffusivity = [\"1e-12 m2/s\", \"1e-10 m2/s\"]",
    );
    let washes =
        |column: &str| tanks.iter().filter_map(|tank| tank.washing.as_ref()).any(|washing| washing.column == column);
    ask(
        washes("chloride_in_water") && (asked.flat_chloride.is_none() || asked.flat_readings.is_none()),
        "flat_chloride",
        "below which rise a week, how often in turn, is a washing curve flat? No published number is known to us."
            .to_owned(),
        "flat_chloride = \"2 mg/L\", flat_readings = 3",
    );
    ask(
        washes("conductivity") && (asked.flat_conductivity.is_none() || asked.flat_readings.is_none()),
        "flat_conductivity",
        "below which rise a week, how often in turn, is a washing curve flat? No published number is known to us."
            .to_owned(),
        "flat_conductivity = \"10 uS/cm\", flat_readings = 3",
    );
    ask(
        treated.iter().any(|one| one.no_efficiency.is_none()) && asked.accepted_efficiency.is_none(),
        "accepted_efficiency",
        "from which anti-shrink efficiency is a treatment accepted? No limit of an author could be read by us."
            .to_owned(),
        "accepted_efficiency = \"75 %\"",
    );
    ask(
        is_fitted && asked.activation_energy.is_none() && range(entries.iter().filter_map(|e| e.temperature)) > MOVED,
        "activation_energy",
        "how does the diffusivity change with temperature? Without it warm and cold days count alike.".to_owned(),
        "activation_energy = \"36.5 kJ/mol\", reference_temperature = \"20 Cel\"",
    );
    questions
}

/// How the numbers are to be read.
fn notes(
    asked: &FollowOptions,
    timbers: &[TimberCourse],
    tanks: &[TankCourse],
    treated: &[TreatedTimber],
) -> Vec<String> {
    let mut notes = Vec::new();
    let mut say = |is: bool, text: &str| {
        if is {
            notes.push(text.to_owned());
        }
    };
    let is_foretold = timbers.iter().any(|timber| timber.average_target.is_some());
    let has = timbers.iter().any(|timber| timber.diffusivity.is_some());
    say(
        has,
        "Diffusion knows no collapse: a day that is foretold says when impregnant will be there, not that the wood bears the way \
         to it.",
    );
    say(
        is_foretold,
        "A forecast holds for the last bath as it was read, if it stands as it is; its interval comes from that of the \
         diffusivity alone.",
    );
    say(
        has,
        "One diffusivity stands for the whole timber. The centre lags behind the average; over a sound core it lags more than is \
         shown here.",
    );
    say(
        timbers.iter().any(|timber| timber.diffusivity_from == Some("fitted")),
        "A timber is taken to enter its bath on the day of its first row, without impregnant; its pores keep their volume; a \
         reading of the bath holds until the next one.",
    );
    say(
        has && asked.grain_ratio.is_none(),
        "The ends of timbers are left out: grain_ratio is not stated. Short timbers are quicker than foretold.",
    );
    say(
        timbers.iter().any(|timber| timber.diffusivity_from == Some("stated")),
        "Where a diffusivity is stated, its value is the geometric mean of the two ends.",
    );
    let washed = || tanks.iter().filter_map(|tank| tank.washing.as_ref());
    say(
        washed().any(|washing| washing.diffusivity.is_some()),
        "The wood in a washing tank is taken to be the timbers that the log names there; what they do not hold is not known. What \
         is left inside at a change of water is carried on.",
    );
    say(washed().count() > 0, "A reading in a row with a change is taken as one of the old water.");
    say(
        treated.iter().any(|one| one.directions.iter().any(|direction| direction.u.is_some())),
        "Efficiencies: treated wood and control are taken as independent, and the pieces of a timber as independent of each other.",
    );
    notes
}

/// Dangers to people in what the log speaks of.
fn safety(study: &Study, reference: &Reference, timbers: &[TimberCourse], tanks: &[TankCourse]) -> Result<Safety> {
    let mut words = vec!["biocides", "confined-tanks"];
    if tanks.iter().any(|tank| !tank.strengths.is_empty()) {
        words.push("hot-tanks");
    }
    if tanks.iter().any(|tank| tank.washing.is_some()) {
        words.extend(["hydrogen-sulfide", "chelating-baths"]);
    }
    if !timbers.is_empty() {
        words.push("lifting");
    }
    Safety::of(reference, words, study.safety)
}

/// The figures that were used, and those that stand beside results.
fn sources(
    reference: &Reference,
    asked: &FollowOptions,
    timbers: &[TimberCourse],
    tanks: &[TankCourse],
    treated: &[TreatedTimber],
) -> Vec<Cited> {
    let mut names: Vec<&str> = Vec::new();
    if tanks.iter().any(|tank| tank.washing.is_some()) {
        names.extend(["washed_conductivity_low", "washed_conductivity_high", "washed_iron_low", "washed_iron_high"]);
    }
    let is = |word: &str| {
        let of = |tank: &TankCourse| tank.impregnant.as_ref().is_some_and(|name| name.to_lowercase().contains(word));
        tanks.iter().any(of)
    };
    if is("sucrose") || is("sugar") {
        names.extend(["sugar_bath_ph", "sucrose_step"]);
        if asked.ph_fall_limit.is_none() {
            names.push("sugar_bath_ph_fall");
        }
    }
    if is("peg") {
        names.push("peg_2000_step");
    }
    if asked.volume_loss_limit.is_none() {
        names.push("bath_volume_loss");
    }
    if treated.iter().any(|one| one.no_efficiency.is_none()) {
        names.extend(["efficiency_peg_low", "efficiency_peg_high"]);
    }
    let constants = names.into_iter().filter_map(|name| reference.constant(name));
    let mut cited: Vec<Cited> = constants.map(|constant| reference.constant_source(constant)).collect();
    let stated = |used_for: String| Cited {
        used_for,
        id: "study-file".to_owned(),
        citation: "the study file".to_owned(),
        place: "[follow]".to_owned(),
        evidence: Evidence::Stated,
    };
    let n = timbers.iter().filter(|timber| timber.diffusivity_from == Some("stated")).count();
    if let Some([low, high]) = asked.diffusivity.filter(|_| n > 0) {
        cited.push(stated(format!("diffusivity of {}: {low:e} to {high:e} m2/s", counted(n, "timber"))));
    }
    cited
}
