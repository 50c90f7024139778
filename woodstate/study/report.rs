//! `report`: everything that a file says of a find, for a file that a museum keeps.

use schemars::JsonSchema;
use serde::Serialize;

use crate::error::{Error, ErrorKind, Result};
use crate::numeric::Watch;
use crate::quantity::Quantity;
use crate::site::Group;
use crate::table::{Batch, ColumnSpec, ColumnType, Datum, TableKind, is_day};

use super::assess::assess;
use super::lift::lift_in_depth;
use super::page::{OnePage, TimberGap, gaps, one_page};
use super::piece::Pieces;
use super::symbol::{Symbol, Word, symbols, words};
use super::{
    Advice, AdviseQuestion, Assessment, Curves, FitQuestion, FollowQuestion, Following, LiftQuestion, Lifts,
    ProfileQuestion, Profiles, ReportOptions, Study, SummaryQuestion, advise_assessed, fit_assessed, follow,
    profile_assessed, summarise,
};

/// What a report is asked for, beside what the study file says.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ReportQuestion {
    /// Day of the report, year-month-day; `None` takes that of the study file.
    pub date: Option<String>,
    /// The command as it was typed, to be repeated; `None` where there was none.
    pub command: Option<String>,
}

/// The parts of a site, compared.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct SiteParts {
    /// The columns that make the parts.
    pub by: Vec<String>,
    /// The parts.
    pub groups: Vec<Group>,
    /// How the numbers are to be read.
    pub notes: Vec<String>,
}

/// A column of numbers of the samples.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Measurement {
    /// The column.
    pub column: &'static str,
    /// UCUM code.
    pub unit: &'static str,
    /// What it means.
    pub meaning: &'static str,
    /// Rows that have it.
    pub rows: usize,
}

/// The outcome of `report`: that of `assess`, and what a report adds to it.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct Report {
    /// The state of every piece and timber; its `kind` is `report`.
    #[serde(flatten)]
    pub assessment: Assessment,
    /// Day of the report, year-month-day; `None` where it was not given.
    pub date: Option<String>,
    /// The command that made it; `None` where there was none.
    pub command: Option<String>,
    /// The whole in one page.
    pub one_page: OnePage,
    /// What is not known of each timber, in their order.
    pub timber_gaps: Vec<TimberGap>,
    /// The columns of numbers that were measured.
    pub measured: Vec<Measurement>,
    /// The parts of the site; `None` where nothing divides it.
    pub site_parts: Option<SiteParts>,
    /// Each timber in depth, as `profile` gives it; its findings stand once, above. `None` where no depth was measured.
    pub in_depth: Option<Profiles>,
    /// Strength against state, as `fit` gives it; its findings stand once, above. `None` where there is no curve.
    pub strength: Option<Curves>,
    /// The lift of each timber, as `lift` gives it where nothing of it is stated; its findings stand once, above. `None` where
    /// no timber has sizes and a density.
    pub lifting: Option<Lifts>,
    /// Why there is no curve of strength.
    pub no_strength: Option<String>,
    /// The treatment by its log, and treated wood, as `follow` gives it; its findings stand once, above. `None` without a log and without treated wood.
    pub following: Option<Following>,
    /// Routes of treatment, as `advise` gives them; its findings, cautions and the sources of the assessment stand once, above.
    pub advice: Advice,
    /// The quantities that are shown.
    pub words: Vec<Word>,
    /// The symbols of their formulas.
    pub symbols: Vec<Symbol>,
}

/// Assesses a batch and gathers what a report says of it.
///
/// # Errors
/// As [`assess`]; [`ErrorKind::Quantity`] for a date that is no day, [`ErrorKind::Name`] for a column of the study file
/// that does not exist.
///
/// # Example
/// ```
/// use woodstate::numeric::Watch;
/// use woodstate::study::{ReportQuestion, Study, report};
/// use woodstate::table::{SourceFile, batch_of};
/// let study = Study::parse("[report]\nurgent = [\"worst-class\"]", "woodstate.toml")?;
/// let csv = "sample,timber,mass_saturated [g],mass_oven_dry [g]\nK1,B7,2.09,0.34\n";
/// let batch = batch_of(&SourceFile::from_bytes("a.csv", csv.into()), &study.read, &Watch::silent())?;
/// let report = report(&study, batch, &ReportQuestion::default(), &Watch::silent())?;
/// assert_eq!((report.assessment.kind, report.assessment.counts.timbers), ("report", 1));
/// assert_eq!(report.no_strength.as_deref(), Some("No strength was measured."));
/// # Ok::<(), woodstate::error::Error>(())
/// ```
pub fn report(study: &Study, batch: Batch, question: &ReportQuestion, watch: &Watch<'_>) -> Result<Report> {
    let date = question.date.clone().or_else(|| study.report.date.clone());
    if let Some(found) = date.as_ref().filter(|date| !is_day(date)) {
        let allowed = "a day as year-month-day, such as 2026-11-27".to_owned();
        return Err(Error::new(ErrorKind::Quantity { found: found.clone(), allowed }));
    }
    let mut with_parts = study.clone();
    with_parts.options.parts_of = Quantity::ALL.to_vec();
    let assessment = Assessment { kind: "report", ..assess(&with_parts, batch, watch)? };
    let pieces = Pieces::of(&assessment);
    let one_page = one_page(&assessment, &pieces, &study.report)?;
    let site_parts = site_parts(&assessment, &pieces, &study.report)?;
    let (strength, no_strength) = match strength(study, &assessment, &pieces, watch)? {
        Ok(curves) => (Some(curves), None),
        Err(why) => (None, Some(why)),
    };
    let in_depth = in_depth(study, &assessment, watch)?;
    let following = following(study, &assessment.batch, watch)?;
    let advice = advice(study, &assessment, watch)?;
    let lifting = lifting(study, &assessment, in_depth.as_ref(), watch)?;
    let words = words(&assessment)?;
    let symbols = symbols(&words);
    Ok(Report {
        date,
        command: question.command.clone(),
        one_page,
        timber_gaps: gaps(&pieces),
        measured: measured(&assessment),
        site_parts,
        in_depth,
        strength,
        lifting,
        no_strength,
        advice,
        following,
        words,
        symbols,
        assessment,
    })
}

/// Routes of treatment, without what a report says elsewhere.
fn advice(study: &Study, assessment: &Assessment, watch: &Watch<'_>) -> Result<Advice> {
    let mut advice = advise_assessed(study, assessment, &AdviseQuestion::usual(study), watch)?;
    advice.sources.drain(..assessment.sources.len().min(advice.sources.len()));
    Ok(Advice { findings: Vec::new(), cautions: Vec::new(), ..advice })
}

fn measured(assessment: &Assessment) -> Vec<Measurement> {
    let samples = &assessment.batch.samples;
    let column = |spec: &'static ColumnSpec| {
        let ColumnType::Number { unit, .. } = spec.holds else { return None };
        let numbers = samples.numbers(spec.name)?;
        let rows = (0..numbers.len()).filter(|row| numbers.value(*row).is_some()).count();
        (rows > 0).then_some(Measurement { column: spec.name, unit, meaning: spec.meaning, rows })
    };
    TableKind::Samples.columns().filter_map(column).collect()
}

/// The parts that the study names, or else contexts, or else sites, where there are several.
fn site_parts(assessment: &Assessment, pieces: &Pieces<'_>, options: &ReportOptions) -> Result<Option<SiteParts>> {
    let is_several = |column: &&str| {
        let mut words = (0..pieces.n()).filter_map(|place| match pieces.datum(column, place) {
            Datum::Text(text) => Some(text.trim()).filter(|text| !text.is_empty()),
            Datum::Number(_) | Datum::Unknown => None,
        });
        words.next().is_some_and(|first| words.any(|other| other != first))
    };
    let usual = || ["context", "site"].into_iter().find(is_several).map(str::to_owned).into_iter().collect();
    let by: Vec<String> = options.by.clone().unwrap_or_else(usual);
    if by.is_empty() {
        return Ok(None);
    }
    let found = summarise(assessment, &SummaryQuestion { by: by.clone(), ..SummaryQuestion::default() })?;
    Ok(Some(SiteParts { by, groups: found.groups, notes: found.notes }))
}

/// The curve of the test that most pieces have, against the residual basic density, or what the study says instead; or
/// why there is none.
fn strength(
    study: &Study,
    assessment: &Assessment,
    pieces: &Pieces<'_>,
    watch: &Watch<'_>,
) -> Result<std::result::Result<Curves, String>> {
    let known =
        |name: &str| (0..pieces.n()).filter(|place| matches!(pieces.datum(name, *place), Datum::Number(_))).count();
    let tests = TableKind::Samples.columns().filter(|column| STRENGTHS.contains(&column.name));
    let tested = tests.map(|test| (known(test.name), test.name)).filter(|(n, _)| *n > 0);
    // The first of equals.
    let commonest = tested.reduce(|best, next| if next.0 > best.0 { next } else { best });
    let value = match &study.report.value {
        Some(value) => value.clone(),
        None => match commonest {
            Some((_, name)) => name.to_owned(),
            None => return Ok(Err("No strength was measured.".to_owned())),
        },
    };
    let against = match &study.report.against {
        Some(against) => against.as_str(),
        None if known("residual_basic_density") > 0 => "residual_basic_density",
        None => "basic_density",
    };
    match fit_assessed(study, assessment, &FitQuestion::of(&value, against), watch) {
        Ok(curves) => Ok(Ok(Curves { findings: Vec::new(), ..curves })),
        // What the study asks for by name must exist; too few pieces are an answer.
        Err(error) if matches!(error.kind(), ErrorKind::Stopped | ErrorKind::Name { .. }) => Err(error),
        Err(error) => Ok(Err(format!("No curve of {value} against {against}: {error}."))),
    }
}

/// Profiles that are drawn again for each timber of a report: enough for an interval in round millimetres.
const DRAWS: usize = 200;

/// Each timber in depth; `None` where no piece has depth and residual basic density.
fn in_depth(study: &Study, assessment: &Assessment, watch: &Watch<'_>) -> Result<Option<Profiles>> {
    let question = ProfileQuestion { replicates: DRAWS, ..ProfileQuestion::usual() };
    match profile_assessed(study, assessment, &question, watch) {
        Ok(profiles) => Ok(Some(Profiles { findings: Vec::new(), ..profiles })),
        Err(error) if matches!(error.kind(), ErrorKind::Range { .. }) => Ok(None),
        Err(error) => Err(error),
    }
}

/// The treatment; `None` where there is no log with a day, and no treated wood.
fn following(study: &Study, batch: &Batch, watch: &Watch<'_>) -> Result<Option<Following>> {
    match follow(study, batch, &FollowQuestion::default(), watch) {
        Ok(following) => Ok(Some(Following { findings: Vec::new(), ..following })),
        Err(error) if matches!(error.kind(), ErrorKind::Range { .. }) => Ok(None),
        Err(error) => Err(error),
    }
}

/// The lift of each timber with what the tables say and the study file states; `None` where no timber can be looked at.
fn lifting(
    study: &Study,
    assessment: &Assessment,
    in_depth: Option<&Profiles>,
    watch: &Watch<'_>,
) -> Result<Option<Lifts>> {
    // Without a required margin nobody asks for a probability.
    let draws = if study.lift.required.margin.is_some() { LIFT_DRAWS } else { 0 };
    let question = LiftQuestion { draws, ..study.lift.clone() };
    let lifts = lift_in_depth(study, assessment, in_depth, &question, watch)?;
    Ok((!lifts.lifts.is_empty()).then(|| Lifts { findings: Vec::new(), ..lifts }))
}

/// Draws a timber of a lift in a report.
const LIFT_DRAWS: usize = 2000;

/// Tests that a curve is drawn of unasked.
const STRENGTHS: [&str; 6] = [
    "bending_strength",
    "compression_parallel",
    "bending_modulus",
    "shear_parallel",
    "compression_radial",
    "compression_tangential",
];
