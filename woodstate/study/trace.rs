//! One group and one model: from pairs to a curve of the outcome.

use crate::error::{CurveCautionCode, Error, ErrorKind, Result};
use crate::numeric::{Interval, Watch};
use crate::strength::{
    Comparison, CurveCaution, CurveFit, CurveModel, CurveOptions, Diagnostics, Ends, Errors, Pair, Redrawn, Weighting,
    compare, fit_curve, monotone,
};

use super::curve::{ComparedModel, Curve, CurveDiagnostics, CurveParameter, CurvePoint, PieceBeside};
use super::pair::{PairGroup, is_mechanic};
use super::{Axis, meaning};

/// States at which a curve is given.
const POINTS: usize = 41;

/// One group, and how its curve is fitted.
pub(super) struct Trace<'a> {
    pub(super) group: &'a PairGroup,
    pub(super) options: CurveOptions,
    /// y and x.
    pub(super) axes: [&'a Axis; 2],
    /// Of the pieces.
    pub(super) cautions: Vec<CurveCaution>,
    pub(super) watch: &'a Watch<'a>,
}

impl Trace<'_> {
    /// The best of all models.
    pub(super) fn auto(&self) -> Result<Curve> {
        let found = self.compared()?;
        let (curve, _) = &found.weighed[0];
        self.of(curve, Some(&found))
    }

    /// One model; beside the others where it was chosen among them for all groups together.
    pub(super) fn one(&self, model: CurveModel, is_compared: bool) -> Result<Curve> {
        let pairs = self.group.pairs();
        let least = model.n_parameters() + 1;
        if pairs.len() < least {
            let (name, value) = (format!("number of pieces for the model {}", model.word()), real(pairs.len()));
            return Err(Error::new(ErrorKind::Range { name, value, allowed: format!("at least {least}") }));
        }
        let alike = fit_curve(&pairs, model, &self.options, self.watch)?;
        let curve = match fit_curve(&pairs, model, &in_proportion(&self.options), self.watch) {
            Err(error) if matches!(error.kind(), ErrorKind::Stopped) => return Err(error),
            Ok(other) if is_better(&other, &alike) => other,
            _ => alike,
        };
        let found = if is_compared { self.compared().ok() } else { None };
        self.of(&curve, found.as_ref())
    }

    /// All models, with the scatter that makes the best one better: alike, or in proportion to strength.
    fn compared(&self) -> Result<Comparison> {
        best_of(&self.group.pairs(), &self.options, self.watch)
    }

    fn of(&self, curve: &CurveFit, found: Option<&Comparison>) -> Result<Curve> {
        let diagnostics = curve.diagnostics()?;
        let mut cautions = curve.cautions(diagnostics.as_ref())?;
        cautions.extend(self.cautions.iter().cloned());
        cautions.extend(found.and_then(|found| found.weighed.first()).and_then(|(_, weight)| undecided(*weight)));
        cautions.sort_by_key(|caution| caution.of);
        let profile = curve.profile(self.watch)?;
        let redrawn = match curve.redraw(&self.options, self.watch) {
            Ok(redrawn) => redrawn,
            Err(error) if matches!(error.kind(), ErrorKind::Stopped) => return Err(error),
            // Samples that hardly ever give a curve leave it without such intervals.
            Err(_) => None,
        };
        let spec = curve.formula.model.spec();
        let p = spec.parameters.len();
        let correlation = |i: usize| (0..p).map(|j| if i == j { Some(1.0) } else { curve.correlation(i, j) }).collect();
        let range = curve.range();
        Ok(Curve {
            group: self.group.by.clone(),
            model: curve.formula.model.word(),
            formula: Some(curve.formula.text()),
            meaning: meaning::of_curve(curve, &cautions, self.axes, self.options.coverage)?,
            n: curve.n(),
            n_timbers: curve.n_timbers(),
            independent: independent(&self.options),
            range: [range.low, range.high],
            parameters: (0..p).map(|k| self.parameter(curve, k, profile.as_deref(), redrawn.as_ref())).collect(),
            correlation: (0..p).map(correlation).collect(),
            scatter: Some(if curve.weighting == Weighting::Proportional { "proportional" } else { "alike" }),
            residual_sd: curve.scatter(),
            residual_share: curve.scatter_share(),
            r_squared: curve.r_squared(),
            aicc: curve.aicc(),
            bic: curve.bic(),
            loo_rmse: curve.left_out_error(self.watch)?,
            cautions,
            curve: points(curve, found)?,
            compared: found.map_or_else(Vec::new, compared),
            diagnostics: diagnostics.map(|found| self.beside(&found)),
            redrawn_without: redrawn.as_ref().map_or(0, Redrawn::failed),
            model_source: Some(spec.source),
            model_evidence: Some(spec.evidence),
        })
    }

    fn parameter(
        &self,
        curve: &CurveFit,
        k: usize,
        profile: Option<&[Option<Ends>]>,
        redrawn: Option<&Redrawn>,
    ) -> CurveParameter {
        let spec = &curve.formula.model.spec().parameters[k];
        let bootstrap = redrawn.and_then(|redrawn| redrawn.interval(k)).map(ends);
        let profiled = profile.and_then(|profile| profile.get(k).copied().flatten()).map(|ends| [ends.low, ends.high]);
        let interval = match self.options.errors {
            Errors::Independent => profiled,
            Errors::ByTimber => bootstrap.map(|ends| ends.map(Some)),
        };
        CurveParameter {
            name: spec.name,
            // What is no test of strength is called by its own name.
            meaning: match is_mechanic(&self.axes[0].name) {
                true => spec.meaning.to_owned(),
                false => spec.meaning.replace("strength", &self.axes[0].title),
            },
            value: curve.fit.parameters[k],
            u: curve.u(k),
            interval,
            bootstrap,
            unit: spec.unit.of(&self.axes[0].unit, &self.axes[1].unit),
        }
    }

    fn beside(&self, found: &Diagnostics) -> CurveDiagnostics {
        let piece = |beside: &crate::strength::Beside| {
            let used = &self.group.used[beside.place];
            PieceBeside {
                sample: used.sample.clone(),
                x: beside.x,
                y: used.pair.y,
                residual: beside.residual,
                studentised: beside.studentised,
                leverage: beside.leverage,
                cook: beside.cook,
            }
        };
        CurveDiagnostics {
            breusch_pagan: found.equal_scatter.map(Into::into),
            shapiro_wilk: found.normality.map(Into::into),
            pieces: found.pieces.iter().map(piece).collect(),
        }
    }

    /// A curve without a formula.
    pub(super) fn monotone(&self) -> Result<Curve> {
        let curve = monotone(&self.group.pairs())?;
        let points = curve.band(POINTS, &self.options, self.watch)?;
        let point = |(x, fit, interval): (f64, f64, Option<Interval>)| CurvePoint {
            x,
            fit,
            u: None,
            confidence: interval.map(ends),
            simultaneous: None,
            prediction: None,
            average: None,
            average_interval: None,
        };
        let range = curve.range();
        Ok(Curve {
            group: self.group.by.clone(),
            model: "monotone",
            formula: None,
            meaning: meaning::of_monotone(&curve, self.axes),
            n: curve.n(),
            n_timbers: curve.n_timbers(),
            independent: independent(&self.options),
            range: [range.low, range.high],
            parameters: Vec::new(),
            correlation: Vec::new(),
            scatter: None,
            residual_sd: None,
            residual_share: None,
            r_squared: curve.r_squared,
            aicc: None,
            bic: None,
            loo_rmse: None,
            cautions: self.cautions.clone(),
            curve: points.into_iter().map(point).collect(),
            compared: Vec::new(),
            diagnostics: None,
            redrawn_without: 0,
            model_source: None,
            model_evidence: None,
        })
    }
}

/// All models for these pairs, with the scatter that makes the best of them better.
pub(super) fn best_of(pairs: &[Pair], options: &CurveOptions, watch: &Watch<'_>) -> Result<Comparison> {
    let alike = compare(pairs, &CurveModel::ALL, options, watch)?;
    match compare(pairs, &CurveModel::ALL, &in_proportion(options), watch) {
        Err(error) if matches!(error.kind(), ErrorKind::Stopped) => Err(error),
        Ok(other) if is_better(&other.weighed[0].0, &alike.weighed[0].0) => Ok(other),
        _ => Ok(alike),
    }
}

fn in_proportion(options: &CurveOptions) -> CurveOptions {
    CurveOptions { weighting: Weighting::Proportional, ..options.clone() }
}

/// By AICc, as far as both have one.
fn is_better(curve: &CurveFit, other: &CurveFit) -> bool {
    curve.aicc().zip(other.aicc()).is_some_and(|(one, other)| one < other)
}

#[allow(clippy::cast_precision_loss, reason = "OK because no batch has 2^53 pieces")]
fn real(count: usize) -> f64 {
    count as f64
}

fn independent(options: &CurveOptions) -> &'static str {
    match options.errors {
        Errors::Independent => "pieces",
        Errors::ByTimber => "timbers",
    }
}

fn ends(interval: Interval) -> [f64; 2] {
    [interval.low, interval.high]
}

fn points(curve: &CurveFit, found: Option<&Comparison>) -> Result<Vec<CurvePoint>> {
    let mut points = Vec::with_capacity(POINTS);
    for here in curve.band(POINTS)? {
        let average = found.map(|found| found.averaged(here.x)).transpose()?;
        points.push(CurvePoint {
            x: here.x,
            fit: here.value,
            u: here.u,
            confidence: here.confidence.map(ends),
            simultaneous: here.simultaneous.map(ends),
            prediction: here.prediction.map(ends),
            average: average.map(|average| average.value),
            average_interval: average.and_then(|average| average.confidence).map(ends),
        });
    }
    Ok(points)
}

fn compared(found: &Comparison) -> Vec<ComparedModel> {
    let one = |entry: &crate::strength::Compared| ComparedModel {
        model: entry.model.word(),
        aicc: entry.aicc,
        weight: entry.weight,
        reason: entry.why_not.map(crate::strength::NotCompared::reason),
    };
    found.entries.iter().map(one).collect()
}

/// The caution that no model stands out.
fn undecided(weight: f64) -> Option<CurveCaution> {
    const DECIDED: f64 = 0.9;
    let detail = format!("the best has a weight of {weight:.2}");
    (weight < DECIDED).then(|| CurveCaution::new(CurveCautionCode::ModelUndecided, detail))
}
