//! `check`, `assess`, `summary`, `profile`, `fit`: from tables to results.

use std::sync::Arc;

use starlark::environment::GlobalsBuilder;
use starlark::eval::Evaluator;
use starlark::starlark_module;
use starlark::values::Value;
use starlark::values::none::NoneOr;

use crate::error::Severity;
use crate::notebook::argument::{described, whole};
use crate::notebook::context::{Context, context};
use crate::notebook::fault::{failed, refuse};
use crate::notebook::value::{Outcome, OutcomeValue, StateValue, TableValue, bytes};
use crate::profile::DepthModel;
use crate::quantity::counted;
use crate::strength::ModelChoice;
use crate::study::{
    FitQuestion, ProfileQuestion, SectionForm, Study, SummaryQuestion, ThresholdChoice, assess, check, fit_assessed,
    profile, summary,
};
use crate::table::Batch;

use super::words::words;

#[starlark_module]
pub(super) fn names(builder: &mut GlobalsBuilder) {
    /// What is wrong or doubtful in a table, cell by cell, each with its cure.
    ///
    /// ```text
    /// check(t)
    /// ```
    ///
    /// # Arguments
    /// * `table`: what `read` gave
    fn check<'v>(
        #[starlark(require = pos)] table: Value<'v>,
        eval: &mut Evaluator<'v, '_, '_>,
    ) -> starlark::Result<OutcomeValue> {
        let context = context(eval)?;
        let source = Source::of(table, "check")?;
        context.compare(source.batch);
        let checkup = check(&context.settled(Study::clone(source.study)), source.batch.clone(), &context.watch());
        Ok(OutcomeValue::new(Outcome::Check(checkup.map_err(failed)?)))
    }

    /// Water content, densities, losses, shrinkage and class of every piece and timber, each with its uncertainty.
    ///
    /// ```text
    /// s = assess(t)
    /// ```
    ///
    /// # Arguments
    /// * `table`: what `read` gave
    fn assess<'v>(
        #[starlark(require = pos)] table: Value<'v>,
        eval: &mut Evaluator<'v, '_, '_>,
    ) -> starlark::Result<StateValue> {
        assessed(context(eval)?, table)
    }

    /// Groups of pieces and timbers: counts, how values spread, shares of classes.
    ///
    /// ```text
    /// summary(s, value="residual_basic_density", by="context")
    /// ```
    ///
    /// # Arguments
    /// * `state`: what `assess` gave, or a part of it chosen by `where`
    /// * `value`: quantities or columns of numbers; without it water content and densities
    /// * `by`: columns that make groups; also `status`, `degradation_class` and `depth_zone`
    fn summary<'v>(
        #[starlark(require = pos)] state: Value<'v>,
        #[starlark(require = named, default = NoneOr::None)] value: NoneOr<Value<'v>>,
        #[starlark(require = named, default = NoneOr::None)] by: NoneOr<Value<'v>>,
        eval: &mut Evaluator<'v, '_, '_>,
    ) -> starlark::Result<OutcomeValue> {
        let context = context(eval)?;
        let state = state_of(state, "summed up")?;
        let question = SummaryQuestion {
            values: words(or_none(value), "value")?,
            by: words(or_none(by), "by")?,
            condition: state.condition.clone(),
        };
        // Assessed again with what each value shares with others, which a mean must carry whole.
        let batch = state.assessment.batch.clone();
        let outcome = summary(&state.study, batch, &question, &context.watch()).map_err(failed)?;
        Ok(OutcomeValue::new(Outcome::Summary(outcome)))
    }

    /// Each timber in depth: soft rim, sound core, what is left of the section.
    ///
    /// ```text
    /// profile(s)
    /// ```
    ///
    /// # Arguments
    /// * `state`: what `assess` gave, or a part of it chosen by `where`
    /// * `value`: what is looked at against depth
    /// * `threshold`: up to which value wood counts as sound, such as `"60 %"`
    /// * `section`: form of the sections, `"round"`, `"rectangular"` or `"polygon"`
    /// * `model`: curve through the increments; without it the one with the smallest AICc
    /// * `replicates`: profiles that are drawn again for each timber; 0 for none
    fn profile<'v>(
        #[starlark(require = pos)] state: Value<'v>,
        #[starlark(require = named, default = "residual_basic_density")] value: &str,
        #[starlark(require = named, default = NoneOr::None)] threshold: NoneOr<&str>,
        #[starlark(require = named, default = NoneOr::None)] section: NoneOr<&str>,
        #[starlark(require = named, default = NoneOr::None)] model: NoneOr<&str>,
        #[starlark(require = named)] replicates: Option<Value<'v>>,
        eval: &mut Evaluator<'v, '_, '_>,
    ) -> starlark::Result<OutcomeValue> {
        let context = context(eval)?;
        let state = state_of(state, "looked at in depth")?;
        let usual = ProfileQuestion::usual();
        let threshold = threshold.into_option().map(|text| ThresholdChoice::Text(text.to_owned()));
        let question = ProfileQuestion {
            value: value.to_owned(),
            threshold: threshold.unwrap_or(usual.threshold),
            section: section.into_option().map(section_form).transpose()?,
            model: model.into_option().map(DepthModel::of_word).transpose().map_err(failed)?,
            condition: state.condition.clone(),
            replicates: count(replicates, usual.replicates)?,
        };
        let batch = state.assessment.batch.clone();
        let profiles = profile(&state.study, batch, &question, &context.keeping()).map_err(failed)?;
        OutcomeValue::whole(Outcome::Profile(profiles), context)
    }

    /// Strength against state: curve, bands, models compared, what it means for the wood.
    ///
    /// ```text
    /// f = fit(s, value="bending_modulus", against="basic_density")
    /// ```
    ///
    /// # Arguments
    /// * `state`: what `assess` gave, or a part of it chosen by `where`
    /// * `value`: what is fitted: a column of a test such as `"bending_strength"`
    /// * `against`: against what: `"residual_basic_density"`, `"loss_of_wood_substance"`, ...
    /// * `model`: auto, linear, power, exponential, logistic, gompertz, threshold or monotone
    /// * `by`: columns that make groups: a curve for each, and whether one would do
    /// * `relative`: as a share of the strength of green sound wood of the taxon
    /// * `replicates`: samples that are drawn again for intervals; 0 for none
    fn fit<'v>(
        #[starlark(require = pos)] state: Value<'v>,
        #[starlark(require = named)] value: &str,
        #[starlark(require = named)] against: &str,
        #[starlark(require = named, default = "auto")] model: &str,
        #[starlark(require = named, default = NoneOr::None)] by: NoneOr<Value<'v>>,
        #[starlark(require = named, default = false)] relative: bool,
        #[starlark(require = named)] replicates: Option<Value<'v>>,
        eval: &mut Evaluator<'v, '_, '_>,
    ) -> starlark::Result<OutcomeValue> {
        let context = context(eval)?;
        let state = state_of(state, "fitted")?;
        let usual = FitQuestion::of(value, against);
        let question = FitQuestion {
            model: ModelChoice::of_word(model).map_err(failed)?,
            by: words(or_none(by), "by")?,
            relative,
            condition: state.condition.clone(),
            replicates: count(replicates, usual.replicates)?,
            ..usual
        };
        let curves = fit_assessed(&state.study, &state.assessment, &question, &context.watch());
        Ok(OutcomeValue::new(Outcome::Fit(curves.map_err(failed)?)))
    }
}

pub(super) fn or_none(value: NoneOr<Value<'_>>) -> Value<'_> {
    value.into_option().unwrap_or_else(Value::new_none)
}

fn count(value: Option<Value<'_>>, usual: usize) -> starlark::Result<usize> {
    match value.filter(|value| !value.is_none()) {
        None => Ok(usual),
        Some(value) => Ok(usize::try_from(whole(value, "replicates", [0, 1_000_000])?).unwrap_or(usual)),
    }
}

fn section_form(word: &str) -> starlark::Result<SectionForm> {
    let found = SectionForm::ALL.into_iter().find(|form| form.word() == word);
    let words = SectionForm::ALL.map(SectionForm::word).join(", ");
    found.ok_or_else(|| refuse(format!("section is \"{word}\", and it is one of {words}"), "section=\"round\""))
}

/// A batch and its study, from a table or from results.
pub(super) struct Source<'a> {
    pub(super) study: &'a Arc<Study>,
    pub(super) batch: &'a Batch,
}

impl<'a> Source<'a> {
    pub(super) fn of(value: Value<'a>, name: &str) -> starlark::Result<Self> {
        if let Some(table) = TableValue::from_value(value) {
            return Ok(Self { study: &table.study, batch: &table.batch });
        }
        match StateValue::from_value(value) {
            Some(state) if state.is_whole() => Ok(Self { study: &state.study, batch: &state.assessment.batch }),
            Some(_) => Err(refuse(
                format!("{name} takes a table, and these are pieces chosen from results"),
                format!("choose rows of the table instead: {name}(t.where(\"depth_from < 20 mm\"))"),
            )),
            None => Err(refuse(
                format!("{name} takes a table, and this is {}", described(value)),
                format!("first: t = read(\"samples.csv\"); then: {name}(t)"),
            )),
        }
    }
}

/// Results, or what to do for some.
pub(super) fn state_of<'v>(value: Value<'v>, doing: &str) -> starlark::Result<&'v StateValue> {
    if let Some(state) = StateValue::from_value(value) {
        state.by_condition(doing)?;
        return Ok(state);
    }
    let cure = match TableValue::from_value(value) {
        Some(_) => "first: s = assess(t)",
        None => "first: t = read(\"samples.csv\"); then: s = assess(t)",
    };
    Err(refuse(format!("results are needed, and this is {}", described(value)), cure))
}

fn assessed(context: &Context, table: Value<'_>) -> starlark::Result<StateValue> {
    let source = Source::of(table, "assess")?;
    context.compare(source.batch);
    let study = context.settled(Study::clone(source.study));
    let assessment = assess(&study, source.batch.clone(), &context.watch()).map_err(failed)?;
    let counts = assessment.counts;
    let lost = assessment.findings.iter().filter(|finding| finding.severity > Severity::Note).count();
    let lost = if lost == 0 { String::new() } else { format!("; {}: check(...)", counted(lost, "finding")) };
    context.say(&format!(
        "{} of {}: {} = {} assessed + {} partly + {} not{lost}",
        counted(counts.pieces, "piece"),
        counted(counts.timbers, "timber"),
        counted(counts.rows - counts.left_out, "row"),
        counts.assessed,
        counts.partial,
        counts.not_assessed,
    ));
    // About 200 bytes a piece for each of its values.
    let weight = context.weigh(bytes(source.batch) + counts.pieces * 1000)?;
    Ok(StateValue::new(Arc::new(study), assessment, weight))
}
