//! Doubts about a curve, as cautions that say what they rest on.

use schemars::JsonSchema;
use serde::Serialize;

use crate::error::{CurveCautionCode, Result};
use crate::numeric::{FitDoubt, f_sf};

use super::pair::real;
use super::{CurveFit, Diagnostics, Errors};

/// A caution about a curve.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct CurveCaution {
    /// The word.
    pub code: &'static str,
    /// One short clause.
    pub text: &'static str,
    /// What it rests on here: numbers, parameters, pieces; `None` where there is nothing to add.
    pub detail: Option<String>,
    /// The code, to match on; not written, `code` is its word.
    #[serde(skip)]
    pub of: CurveCautionCode,
}

fn probability(p: f64) -> String {
    if p < 0.001 { "probability below 0.001".to_owned() } else { format!("probability {p:.3}") }
}

/// Pieces a parameter below which they are called few.
const FEW: usize = 4;

/// Correlation beyond which two parameters are called tangled.
const TANGLED: f64 = 0.995;

/// Probability below which a test speaks.
const UNLIKELY: f64 = 0.05;

/// Cook's distance above which a piece bends the curve.
const BENDS: f64 = 1.0;

impl CurveCaution {
    /// A caution; `detail` may be empty.
    #[must_use]
    pub fn new(of: CurveCautionCode, detail: impl Into<String>) -> Self {
        let detail = Some(detail.into()).filter(|detail| !detail.is_empty());
        Self { code: of.word(), text: of.story().text, detail, of }
    }
}

impl CurveFit {
    /// What to know before this curve is used, as far as pairs and fit tell.
    ///
    /// # Errors
    /// None that the data can cause.
    pub fn cautions(&self, diagnostics: Option<&Diagnostics>) -> Result<Vec<CurveCaution>> {
        let mut cautions: Vec<CurveCaution> = Vec::new();
        let mut say = |of, detail: String| match cautions.iter_mut().find(|caution| caution.of == of) {
            Some(CurveCaution { detail: Some(said), .. }) => *said = format!("{said}; {detail}"),
            _ => cautions.push(CurveCaution::new(of, detail)),
        };
        let p = self.fit.p;
        let name = |k: &usize| self.formula.model.spec().parameters[*k].name;
        if self.n() < FEW * p {
            say(CurveCautionCode::FewPieces, format!("{} pieces, {p} parameters", self.n()));
        }
        for doubt in &self.fit.doubts {
            match doubt {
                FitDoubt::Undetermined { parameters } => {
                    let names: Vec<&str> = parameters.iter().map(name).collect();
                    say(CurveCautionCode::ParametersTangled, names.join(", "));
                }
                FitDoubt::IllConditioned { condition } => {
                    say(CurveCautionCode::ParametersTangled, format!("condition number {condition:.0e}"));
                }
                FitDoubt::AtLimit { parameter } => {
                    say(CurveCautionCode::ParameterOnLimit, name(parameter).to_owned());
                }
                FitDoubt::Unsettled => say(CurveCautionCode::FitUnsettled, String::new()),
                FitDoubt::SecondMinimum { .. } => say(CurveCautionCode::SecondCurve, String::new()),
                _ => {}
            }
        }
        let couples = (0..p).flat_map(|i| (0..i).map(move |j| (j, i)));
        for (j, i) in couples {
            if self.correlation(j, i).is_some_and(|r| r.abs() > TANGLED) {
                let r = self.correlation(j, i).unwrap_or(1.0);
                say(CurveCautionCode::ParametersTangled, format!("{} and {}, correlation {r:.4}", name(&j), name(&i)));
            }
        }
        if self.errors == Errors::Independent && self.pairs.has_repeats() {
            let timbers = self.n_timbers().unwrap_or(0);
            let word = if timbers == 1 { "timber" } else { "timbers" };
            say(CurveCautionCode::PiecesOfOneTimber, format!("{} pieces of {timbers} {word}", self.n()));
        }
        if let Some(probability) = self.level_probability()?.filter(|probability| *probability > UNLIKELY) {
            say(CurveCautionCode::NoTrend, format!("probability {probability:.2}"));
        }
        if let Some(found) = diagnostics {
            let is_unlikely = |test: &super::ScatterTest| test.probability < UNLIKELY;
            if let Some(test) = found.equal_scatter.filter(is_unlikely) {
                say(CurveCautionCode::UnevenScatter, probability(test.probability));
            }
            if let Some(test) = found.normality.filter(is_unlikely) {
                say(CurveCautionCode::ScatterNotNormal, probability(test.probability));
            }
            let bending: Vec<String> = found
                .pieces
                .iter()
                .filter(|piece| piece.cook.is_none_or(|cook| cook > BENDS))
                .map(|piece| crate::quantity::shown_value(piece.x))
                .collect();
            if !bending.is_empty() {
                say(CurveCautionCode::InfluentialPiece, format!("at a state of {}", bending.join(", ")));
            }
        }
        Ok(cautions)
    }

    /// Probability of a curve as good, if strength did not depend on state at all; `None` where it cannot be told.
    ///
    /// ```text
    /// F = ( (TSS − RSS)/(p − 1) ) / ( RSS/(n − p) )
    /// ```
    /// # Errors
    /// None that the data can cause.
    pub fn level_probability(&self) -> Result<Option<f64>> {
        let (p, n) = (self.fit.free.len(), self.n());
        let (Some(r_squared), true) = (self.r_squared(), p > 1 && n > p) else { return Ok(None) };
        if r_squared >= 1.0 {
            return Ok(Some(0.0));
        }
        let (more, left) = (real(p - 1), real(n - p));
        let f = (r_squared.max(0.0) / more) / ((1.0 - r_squared) / left);
        f_sf(f, more, left).map(Some)
    }
}
