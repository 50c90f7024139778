//! `figure`: from a batch to a figure of a kind.

use schemars::JsonSchema;
use serde::Serialize;

use crate::error::{Error, ErrorKind, Finding, Result};
use crate::numeric::Watch;
use crate::study::{
    Assessment, Counts, FitQuestion, FollowQuestion, LegendEntry, LiftQuestion, ProfileQuestion, Program, Settings,
    SourceTable, Study, assess, fit_assessed, follow, lift_assessed, profile_assessed,
};
use crate::table::{Batch, Choice};

use super::kind::{KINDS, Kind, Make, depth_profile};
use super::{Figure, FigureChoice, Journal};

/// Version of the form of the outcomes.
const SCHEMA_VERSION: u32 = 1;

/// The outcome of `figure`.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct DrawnFigure {
    /// Version of this form.
    pub schema_version: u32,
    /// `figure`.
    pub kind: &'static str,
    /// The program.
    pub program: Program,
    /// The tables that were read.
    pub source: Vec<SourceTable>,
    /// What was stated or assumed.
    pub settings: Settings,
    /// How many rows became what.
    pub counts: Counts,
    /// What conditions kept, in the order in which they were applied.
    #[serde(rename = "where")]
    pub choices: Vec<Choice>,
    /// The figure as plain data.
    pub figure: Figure,
    /// What was found in the files.
    pub findings: Vec<Finding>,
    /// The cautions of the pieces and timbers that were assessed, with their long stories.
    pub cautions: Vec<LegendEntry>,
}

/// The kinds of figures there are.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct FigureList {
    /// Version of this form.
    pub schema_version: u32,
    /// `figures`.
    pub kind: &'static str,
    /// The program.
    pub program: Program,
    /// The kinds.
    pub kinds: Vec<KindNeeds>,
    /// What to know of the presets of journals.
    pub note: &'static str,
}

/// A kind of figure and what it needs.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct KindNeeds {
    /// Its word.
    pub kind: &'static str,
    /// What it shows.
    pub shows: &'static str,
    /// What it needs.
    pub needs: &'static str,
}

/// The kinds of figures, in the order of how often they are needed.
#[must_use]
pub fn figure_list() -> FigureList {
    let needs = |kind: &Kind| KindNeeds { kind: kind.word, shows: kind.shows, needs: kind.needs };
    FigureList {
        schema_version: SCHEMA_VERSION,
        kind: "figures",
        program: Program::this(),
        kinds: KINDS.iter().map(needs).collect(),
        note: Journal::NOTE,
    }
}

/// Refuses a word that is no kind of figure.
///
/// # Errors
/// [`ErrorKind::Name`] with the kinds there are, and the nearest one as a hint.
pub fn check_figure_kind(kind: &str) -> Result<()> {
    Kind::of_word(kind).map(drop)
}

/// Assesses a batch and makes a figure of it.
///
/// # Errors
/// [`ErrorKind::Name`] for an unknown kind and for what a kind does not follow; what [`assess`] and the function of the kind refuse.
pub fn figure(
    study: &Study,
    batch: Batch,
    kind: &str,
    choice: &FigureChoice,
    watch: &Watch<'_>,
) -> Result<DrawnFigure> {
    Kind::of_word(kind)?.checked(choice)?;
    figure_assessed(study, &assess(study, batch, watch)?, kind, choice, watch)
}

/// Makes a figure of an assessment.
///
/// # Errors
/// As [`figure`].
pub fn figure_assessed(
    study: &Study,
    assessment: &Assessment,
    kind: &str,
    choice: &FigureChoice,
    watch: &Watch<'_>,
) -> Result<DrawnFigure> {
    let kind = Kind::of_word(kind)?;
    kind.checked(choice)?;
    let figure = match kind.make {
        Make::Assessed(make) => make(assessment, choice)?,
        Make::Fitted(make) => {
            let curves = fit_assessed(study, assessment, &question(kind, choice)?, watch)?;
            make(&curves, choice)?
        }
        Make::Followed(make) => make(&follow(study, &assessment.batch, &FollowQuestion::default(), watch)?, choice)?,
        Make::Lifted(make) => make(&lift_assessed(study, assessment, &lift_question(study, choice), watch)?, choice)?,
        Make::InDepth(make) => match profile_assessed(study, assessment, &depth_question(choice), watch) {
            Ok(profiles) => make(assessment, &profiles, choice)?,
            Err(error) if matches!(error.kind(), ErrorKind::Stopped) => return Err(error),
            // What is missing is said in the words of the kind.
            Err(_) => depth_profile(assessment, choice)?,
        },
    };
    let mut choices = assessment.choices.clone();
    choices.extend(crate::study::chosen(assessment, choice.condition.as_deref())?);
    Ok(DrawnFigure {
        schema_version: SCHEMA_VERSION,
        kind: "figure",
        program: Program::this(),
        source: assessment.source.clone(),
        settings: assessment.settings.clone(),
        counts: assessment.counts,
        choices,
        figure,
        findings: assessment.findings.clone(),
        cautions: assessment.cautions.clone(),
    })
}

/// What a lift is asked for: what the study file states.
fn lift_question(study: &Study, choice: &FigureChoice) -> LiftQuestion {
    LiftQuestion { condition: choice.condition.clone(), draws: 2000, ..study.lift.clone() }
}

/// What profiles are asked for; without a value the maximum water content.
fn depth_question(choice: &FigureChoice) -> ProfileQuestion {
    let value = choice.value.first().cloned().unwrap_or_else(|| "max_water_content".to_owned());
    ProfileQuestion { value, condition: choice.condition.clone(), replicates: 200, ..ProfileQuestion::usual() }
}

/// What a curve is asked for: one value against another one.
fn question(kind: &Kind, choice: &FigureChoice) -> Result<FitQuestion> {
    let wanting = |option: &str, example: &str| {
        let text = format!("{} needs {option}", kind.word);
        Error::new(ErrorKind::Name { what: "axis of a curve", found: String::new(), allowed: vec![text] })
            .with_hint(format!("add {option} {example}"))
    };
    let [value] = choice.value.as_slice() else { return Err(wanting("--value", "bending_modulus")) };
    let Some(against) = &choice.against else { return Err(wanting("--against", "basic_density")) };
    Ok(FitQuestion {
        by: choice.by.clone(),
        condition: choice.condition.clone(),
        replicates: 0,
        ..FitQuestion::of(value, against)
    })
}
