//! The curves of groups, and whether one would do.

use std::collections::BTreeSet;

use crate::error::{ErrorKind, Result};
use crate::numeric::Watch;
use crate::strength::{
    CurveModel, CurveOptions, Errors, ModelChoice, NestedTest, ParameterSpec, Weighting, group_curves,
};

use super::curve::{Axis, Curve};
use super::meaning;
use super::pair::{Axes, PairGroup};
use super::several::{CurvesTest, GroupScale, OneOrSeveral, SharedParameter, WithoutCurve};
use super::trace::{Trace, best_of};
use super::{FitQuestion, Study};

/// What is asked for, and of what.
pub(super) struct Fitting<'a> {
    pub(super) question: &'a FitQuestion,
    pub(super) axes: &'a Axes<'a>,
    pub(super) y: Axis,
    pub(super) x: Axis,
    pub(super) options: CurveOptions,
}

impl Fitting<'_> {
    /// A curve for each group; groups without one with the reason.
    pub(super) fn curves(&self, groups: &[PairGroup], watch: &Watch<'_>) -> Result<(Vec<Curve>, Vec<WithoutCurve>)> {
        let model = self.model(groups, watch)?;
        let (mut fits, mut without, mut first) = (Vec::new(), Vec::new(), None);
        for group in groups.iter().filter(|group| !group.used.is_empty() || !group.left_out.is_empty()) {
            let options = CurveOptions { errors: errors(group, model), ..self.options.clone() };
            let trace = Trace { group, options, axes: [&self.y, &self.x], cautions: group.cautions(self.axes), watch };
            let found = match model {
                ModelChoice::Monotone => trace.monotone(),
                ModelChoice::Auto => trace.auto(),
                ModelChoice::One(model) => trace.one(model, self.question.model == ModelChoice::Auto),
            };
            match found {
                Ok(curve) => fits.push(curve),
                Err(error) if matches!(error.kind(), ErrorKind::Stopped) => return Err(error),
                Err(error) => {
                    let reason = error.to_string();
                    without.push(WithoutCurve { group: group.by.clone(), n: group.used.len(), reason });
                    first = first.or(Some(error));
                }
            }
        }
        if let (true, Some(error)) = (fits.is_empty(), first) {
            return Err(error);
        }
        Ok((fits, without))
    }

    /// The model of all groups: where it is to be chosen, the best one for all pieces together.
    fn model(&self, groups: &[PairGroup], watch: &Watch<'_>) -> Result<ModelChoice> {
        if self.question.model != ModelChoice::Auto || groups.len() < 2 {
            return Ok(self.question.model);
        }
        let all: Vec<_> = groups.iter().flat_map(PairGroup::pairs).collect();
        let found = best_of(&all, &self.options, watch)?;
        Ok(found.weighed.first().map_or(ModelChoice::Auto, |(curve, _)| ModelChoice::One(curve.formula.model)))
    }

    /// Whether the groups follow one curve, one shape or curves of their own.
    pub(super) fn one_or_several(
        &self,
        groups: &[PairGroup],
        fits: &[Curve],
        watch: &Watch<'_>,
    ) -> Result<Option<OneOrSeveral>> {
        let fitted: Vec<&PairGroup> =
            groups.iter().filter(|group| fits.iter().any(|fit| fit.group == group.by)).collect();
        let Some(model) = fits.first().and_then(|fit| CurveModel::of_word(fit.model).ok()).filter(|_| fitted.len() > 1)
        else {
            return Ok(None);
        };
        let pairs: Vec<_> = fitted.iter().map(|group| group.pairs()).collect();
        let is_proportional = fits.iter().any(|fit| fit.scatter == Some("proportional"));
        let weighting = if is_proportional { Weighting::Proportional } else { Weighting::Alike };
        let options = CurveOptions { weighting, ..self.options.clone() };
        let grouped = match group_curves(&pairs, model, &options, watch) {
            Ok(grouped) => grouped,
            Err(error) if matches!(error.kind(), ErrorKind::Stopped) => return Err(error),
            Err(_) => return Ok(None),
        };
        let tests = [
            ("one curve for all, or one shape with a scale of each group", grouped.one_or_scaled),
            ("one shape with a scale of each group, or curves of their own", grouped.scaled_or_separate),
            ("one curve for all, or curves of their own", grouped.one_or_separate),
        ];
        let test = |(question, test): (&'static str, Option<NestedTest>)| {
            let test = test?;
            let degrees_of_freedom = [test.more, test.left];
            Some(CurvesTest { question, f: test.f, degrees_of_freedom, probability: test.probability })
        };
        let shared = grouped.shared.as_ref();
        let scale = |(place, group): (usize, &&PairGroup)| {
            let fit = &shared?.fit;
            let unit = self.y.unit.clone();
            Some(GroupScale { group: group.by.clone(), value: fit.parameters[place], u: fit.sd(place), unit })
        };
        let n_groups = fitted.len();
        let of_shape = |(k, parameter): (usize, &ParameterSpec)| {
            let fit = &shared?.fit;
            let place = n_groups + k - 1;
            let unit = parameter.unit.of(&self.y.unit, &self.x.unit);
            Some(SharedParameter { name: parameter.name, value: fit.parameters[place], u: fit.sd(place), unit })
        };
        Ok(Some(OneOrSeveral {
            model: model.word(),
            meaning: meaning::of_groups(&grouped),
            tests: tests.into_iter().filter_map(test).collect(),
            scales: fitted.iter().enumerate().filter_map(scale).collect(),
            shared: model.spec().parameters.iter().enumerate().skip(1).filter_map(of_shape).collect(),
        }))
    }
}

/// Timbers are the units where every piece has one, some gave several, and there are enough of them.
fn errors(group: &PairGroup, model: ModelChoice) -> Errors {
    let timbers: Option<BTreeSet<&str>> = group.used.iter().map(|used| used.pair.timber.as_deref()).collect();
    let parameters = match model {
        ModelChoice::One(model) => model.n_parameters(),
        ModelChoice::Monotone => 2,
        ModelChoice::Auto => 3,
    };
    match timbers {
        Some(timbers) if timbers.len() < group.used.len() && timbers.len() >= 2 * parameters + 2 => Errors::ByTimber,
        _ => Errors::Independent,
    }
}

/// What a study states of intervals, and the reference of the unit of x.
pub(super) fn options(study: &Study, question: &FitQuestion, against_unit: &str) -> CurveOptions {
    let propagation = &study.options.propagation;
    let reference = match against_unit {
        "%" => 100.0,
        "kg/m3" => 1000.0,
        _ => 1.0,
    };
    CurveOptions {
        weighting: Weighting::Alike,
        coverage: propagation.coverage,
        seed: propagation.seed,
        replicates: question.replicates,
        threads: study.read.n_threads(),
        ..CurveOptions::plain(reference)
    }
}
