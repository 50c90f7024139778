//! `fit`: strength against state.

use crate::error::{Error, ErrorKind, Result};
use crate::numeric::Watch;
use crate::quantity::Quantity;
use crate::reference::Reference;
use crate::strength::ModelChoice;
use crate::table::{Batch, Condition, Datum};

use super::assess::assess;
use super::choose::is_wood;
use super::curve::{Axis, Curve, CurveLegend, Curves};
use super::envelope::{Program, SCHEMA_VERSION, SourceTable};
use super::fitting::{Fitting, options};
use super::pair::{Axes, Gathered, PairGroup, gather, is_mechanic};
use super::piece::Pieces;
use super::rows::title;
use super::summary::{column, number};
use super::{Assessment, Study};

/// What a fit is asked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FitQuestion {
    /// What is fitted: a column of a test, or any quantity or column of numbers.
    pub value: String,
    /// Against what: a quantity or column of numbers.
    pub against: String,
    /// The model.
    pub model: ModelChoice,
    /// Columns that make groups; none for one group of all.
    pub by: Vec<String>,
    /// Whether strength is divided by that of green sound wood.
    pub relative: bool,
    /// Which pieces; `None` for all.
    pub condition: Option<String>,
    /// Samples of each bootstrap; none at 0.
    pub replicates: usize,
}

impl FitQuestion {
    /// Value against quantity, the model chosen by AICc, one group, 2000 samples.
    #[must_use]
    pub fn of(value: &str, against: &str) -> Self {
        Self {
            value: value.to_owned(),
            against: against.to_owned(),
            model: ModelChoice::Auto,
            by: Vec::new(),
            relative: false,
            condition: None,
            replicates: 2000,
        }
    }
}

/// Assesses a batch and fits the strength of its pieces against their state.
///
/// # Errors
/// As [`assess`] and [`fit_assessed`].
pub fn fit(study: &Study, batch: Batch, question: &FitQuestion, watch: &Watch<'_>) -> Result<Curves> {
    fit_assessed(study, &assess(study, batch, watch)?, question, watch)
}

/// Fits the strength of the pieces of an assessment against their state.
///
/// # Errors
/// [`ErrorKind::Name`] for a column that does not exist or holds no numbers, [`ErrorKind::Condition`] with the place of a
/// fault in the condition, [`ErrorKind::Range`] where too few pieces have both numbers, and a stop asked for through `watch`.
pub fn fit_assessed(
    study: &Study,
    assessment: &Assessment,
    question: &FitQuestion,
    watch: &Watch<'_>,
) -> Result<Curves> {
    let pieces = Pieces::of(assessment);
    let names = pieces.names();
    let (value, value_unit) = number(&names, &question.value)?;
    let (against, against_unit) = number(&names, &question.against)?;
    if question.relative && !is_mechanic(&value) {
        let tests = names.all().filter(|name| is_mechanic(name)).map(str::to_owned).collect();
        return Err(Error::new(ErrorKind::Name { what: "strength of sound wood", found: value, allowed: tests }));
    }
    let by = question.by.iter().map(|name| column(&names, name)).collect::<Result<Vec<_>>>()?;
    let condition = question.condition.as_ref().map(|text| Condition::parse(text, &names)).transpose()?;
    let asks_for =
        |name: &str| condition.as_ref().is_some_and(|condition| condition.names().any(|other| other == name));
    let reference = Reference::shipped()?;
    let mut choices = assessment.choices.clone();
    let kept = match &condition {
        None => (0..pieces.n()).collect(),
        Some(condition) => {
            let datum = |name: &str, piece: usize| pieces.datum(name, piece);
            let (kept, choice) = condition.choose(pieces.n(), "piece", &datum, &|a, b| is_wood(reference, a, b));
            choices.push(choice);
            kept
        }
    };
    let asks_for_tests = asks_for("condition_at_test");
    let axes = Axes {
        value: &value,
        against: &against,
        by: &by,
        is_relative: question.relative,
        asks_for_tests,
        asks_for_treated: asks_for_tests || asks_for("prior_treatment"),
    };
    let Gathered { groups, sound } = gather(study, assessment, &pieces, &kept, &axes)?;
    if groups.iter().all(|group| group.used.is_empty()) {
        return Err(nothing(&pieces, &kept, &axes));
    }
    let unit = if question.relative { "1" } else { value_unit };
    let axis = |name: &str, unit: &str| Axis { name: name.to_owned(), title: title(name), unit: unit.to_owned() };
    let mut y = axis(&value, unit);
    if question.relative {
        y.title = format!("{} as a share of green sound wood", y.title);
    }
    let fitting = Fitting {
        question,
        axes: &axes,
        y,
        x: axis(&against, against_unit),
        options: options(study, question, against_unit),
    };
    let (fits, without) = fitting.curves(&groups, watch)?;
    let one_or_several = fitting.one_or_several(&groups, &fits, watch)?;
    let mut sources = assessment.sources.clone();
    sources.extend(sound);
    let Fitting { y, x, options, .. } = fitting;
    Ok(Curves {
        schema_version: SCHEMA_VERSION,
        kind: "fit",
        program: Program::this(),
        source: SourceTable::of(&assessment.batch),
        settings: assessment.settings.clone(),
        counts: assessment.counts,
        choices,
        relative: question.relative,
        replicates: options.replicates,
        notes: notes(&fits, question, &x),
        cautions: CurveLegend::of(&fits),
        fits,
        without,
        one_or_several,
        left_out: groups.iter().flat_map(|group| group.left_out.iter().cloned()).collect(),
        not_tested: groups.iter().map(PairGroup::n_untested).sum(),
        findings: assessment.findings.clone(),
        sources,
        value: y,
        against: x,
    })
}

/// The error where no piece can be used: how many have which number, and which tests there are.
fn nothing(pieces: &Pieces<'_>, kept: &[usize], axes: &Axes<'_>) -> Error {
    let count =
        |name: &str| kept.iter().filter(|piece| matches!(pieces.datum(name, **piece), Datum::Number(_))).count();
    let (y, x) = (count(axes.value), count(axes.against));
    let error = Error::new(ErrorKind::Range {
        name: format!("number of pieces with {} and {}", axes.value, axes.against),
        value: 0.0,
        allowed: format!("at least 2; {y} of {} pieces have the first, {x} the second", kept.len()),
    });
    let tests = pieces.names();
    let tested: Vec<&str> = tests.all().filter(|name| is_mechanic(name) && count(name) > 0).collect();
    match tested.is_empty() {
        true => error,
        false => error.with_hint(format!("tests with numbers: {}", tested.join(", "))),
    }
}

/// How the numbers are to be read.
fn notes(fits: &[Curve], question: &FitQuestion, x: &Axis) -> Vec<String> {
    let mut notes = Vec::new();
    let mut say = |is: bool, text: &str| {
        if is {
            notes.push(text.to_owned());
        }
    };
    say(
        fits.iter().any(|fit| fit.independent == "timbers"),
        "Timbers are the units, not pieces: uncertainties come from the scatter between timbers, intervals of parameters from \
         timbers drawn again.",
    );
    say(
        fits.iter().any(|fit| fit.independent == "pieces" && !fit.parameters.is_empty()),
        "Pieces are the units: uncertainties come from their scatter about the curve, intervals of parameters from profile \
         likelihood.",
    );
    say(
        true,
        "The uncertainty of single tests is within that scatter and is not added. That of the states is not in the curve: it \
         makes a true slope look a little flatter.",
    );
    say(
        fits.iter().any(|fit| fit.scatter == Some("proportional")),
        "Where pieces scatter in proportion to strength, weak pieces weigh as much as strong ones; whether they do is decided by \
         AICc.",
    );
    let is_below = |ends: Option<[f64; 2]>| ends.is_some_and(|[low, _]| low < 0.0);
    say(
        fits.iter().flat_map(|fit| &fit.curve).any(|point| is_below(point.prediction) || is_below(point.confidence)),
        "A lower end below 0 says that the data do not exclude a strength of 0.",
    );
    say(
        question.model == ModelChoice::Auto,
        "The model is the one with the smallest AICc. Weights compare models of the same pieces; they do not say that the best \
         one is right.",
    );
    say(
        question.relative,
        "Strengths are divided by those of green sound wood of the taxon. Handbook functions of density are as good as the \
         evidence beside their source; [memory] and [copy] are no citations.",
    );
    say(
        Quantity::of_name(&x.name) == Some(Quantity::MaxWaterContent),
        "Water content and density say the same of a saturated piece; a curve against the one is not evidence beside a curve \
         against the other.",
    );
    notes
}
