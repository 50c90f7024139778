//! `follow`: a treatment by its log, while it goes on and afterwards.

mod ask;
mod bath;
mod cited;
mod evaluate;
mod log;
mod logged;
mod note;
mod options;
mod outcome;
mod shape;
mod sign;
mod tank;
mod text;
mod timber;
mod tracked;
mod tracker;

use crate::error::{CourseCautionCode, Error, ErrorKind, Result};
use crate::numeric::{Watch, map_watched};
use crate::quantity::shown_value;
use crate::reference::Reference;
use crate::table::Batch;

use super::envelope::{Program, SCHEMA_VERSION, Settings, SourceTable};
use super::{Safety, Study};

use ask::questions;
use cited::sources;
use log::{Entry, names};
use note::notes;
use tank::{MOVED, range};
use timber::nothing;
use tracker::Tracker;

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
/// [`ErrorKind::Range`] for a log without a day where no treated wood was measured either, or a target that is not between 0 and 1; a stop asked for through `watch`.
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
    let coverage = study.options.propagation.coverage;
    let calliper = study.options.instruments.calliper;
    let (treated, of_treated) = evaluate::treated(batch, &asked, calliper, coverage)?;
    // Treated wood is judged without a log too.
    if entries.is_empty() && treated.is_empty() {
        return Err(nothing());
    }
    let tracker = Tracker { entries: &entries, batch, options: &asked, reference, coverage, watch };
    let mut cautions: Vec<CourseCaution> = Vec::new();
    if !undated.is_empty() {
        let rows: Vec<String> = undated.iter().map(ToString::to_string).collect();
        cautions.push(CourseCaution::new(CourseCautionCode::RowUndated, format!("rows {}", rows.join(", "))));
    }
    let named = names(&entries, |entry| entry.timber.as_ref());
    let mut timbers = Vec::new();
    let found = map_watched(study.read.n_threads(), named, "timbers", watch, |timber| tracker.course(timber))?;
    for (course, own) in found.into_iter().flatten() {
        timbers.push(course);
        cautions.extend(own);
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
    cautions.extend(of_treated);
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
        let detail = format!("{} K", shown_value(moved));
        let caution = CourseCaution::new(CourseCautionCode::TemperatureUncorrected, detail);
        (moved > MOVED).then(|| caution.of_tank(tank.tank.as_deref()))
    };
    tanks.iter().filter(|tank| is_fitted(tank)).filter_map(one).collect()
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
