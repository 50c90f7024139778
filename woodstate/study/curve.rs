//! The outcome of `fit`, as plain data.

use schemars::JsonSchema;
use serde::Serialize;

use crate::error::{CurveCautionCode, Finding};
use crate::quantity::{Cited, Evidence};
use crate::site::GroupKey;
use crate::strength::{CurveCaution, ScatterTest};
use crate::table::Choice;

use super::LeftOut;
use super::assess::Counts;
use super::envelope::{Program, Settings, SourceTable};
use super::several::{OneOrSeveral, WithoutCurve};

/// The outcome of `fit`.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Curves {
    /// Version of this form.
    pub schema_version: u32,
    /// `fit`.
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
    /// What is fitted: y.
    pub value: Axis,
    /// Against what: x.
    pub against: Axis,
    /// Whether y is the share of green sound wood.
    pub relative: bool,
    /// Samples of each bootstrap.
    pub replicates: usize,
    /// The curves, one a group, in the order of what the groups have in common.
    pub fits: Vec<Curve>,
    /// Groups without a curve.
    pub without: Vec<WithoutCurve>,
    /// One curve or several; `None` for one group, and where it cannot be told.
    pub one_or_several: Option<OneOrSeveral>,
    /// Pieces with a strength that are not used.
    pub left_out: Vec<LeftOut>,
    /// Pieces whose state is known and whose strength was not tested.
    pub not_tested: usize,
    /// How the numbers are to be read.
    pub notes: Vec<String>,
    /// What was found in the files.
    pub findings: Vec<Finding>,
    /// The cautions of the curves, with their long stories.
    pub cautions: Vec<CurveLegend>,
    /// Published or stated numbers behind states and sound wood.
    pub sources: Vec<Cited>,
}

/// An axis.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Axis {
    /// Quantity or column.
    pub name: String,
    /// What it is called in a sentence.
    pub title: String,
    /// UCUM code.
    pub unit: String,
}

/// A curve of one group.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Curve {
    /// What the pieces have in common; empty for one group of all.
    pub group: Vec<GroupKey>,
    /// Word of the model.
    pub model: &'static str,
    /// Its formula; `None` for a curve without one.
    pub formula: Option<String>,
    /// What the curve means for the wood, in one sentence.
    pub meaning: String,
    /// Pieces that are used.
    pub n: usize,
    /// Their timbers; `None` where the timber of one is unknown.
    pub n_timbers: Option<usize>,
    /// What counts as independent: `pieces` or `timbers`.
    pub independent: &'static str,
    /// Smallest and largest state that was tested.
    pub range: [f64; 2],
    /// Parameters; none for a curve without a formula.
    pub parameters: Vec<CurveParameter>,
    /// Correlation of the parameters, row by row; `null` where unknown.
    pub correlation: Vec<Vec<Option<f64>>>,
    /// How pieces scatter about the curve: `alike`, or `proportional` to the strength by the curve; `None` for a curve without
    /// a formula.
    pub scatter: Option<&'static str>,
    /// Residual standard deviation, in the unit of y; `None` where unknown, and where the scatter is proportional.
    pub residual_sd: Option<f64>,
    /// Residual standard deviation as a share of the strength by the curve, where the scatter is proportional.
    pub residual_share: Option<f64>,
    /// Share of the scatter that the curve explains.
    pub r_squared: Option<f64>,
    /// Akaike's criterion for small samples.
    pub aicc: Option<f64>,
    /// Schwarz's criterion.
    pub bic: Option<f64>,
    /// Root mean square error of pieces (timbers) that were left out in turn, in the unit of y.
    pub loo_rmse: Option<f64>,
    /// What to know before the curve is used.
    pub cautions: Vec<CurveCaution>,
    /// The curve with its bands over the tested states.
    pub curve: Vec<CurvePoint>,
    /// The models beside each other; empty where one was asked for.
    pub compared: Vec<ComparedModel>,
    /// Tests of the scatter, and each piece beside the curve; `None` where unknown.
    pub diagnostics: Option<CurveDiagnostics>,
    /// Samples of the bootstrap that gave no curve.
    pub redrawn_without: usize,
    /// Where the form of the model comes from; `None` for a curve without a formula.
    pub model_source: Option<&'static str>,
    /// How well that is known.
    pub model_evidence: Option<Evidence>,
}

/// A parameter.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct CurveParameter {
    /// Its letter in the formula.
    pub name: &'static str,
    /// What it means.
    pub meaning: String,
    /// Its value, in `unit`.
    pub value: f64,
    /// One standard uncertainty; `None` where unknown.
    pub u: Option<f64>,
    /// Interval with the coverage of the settings: by profile likelihood where pieces are independent, by bootstrap where
    /// timbers are; an open end is `null`.
    pub interval: Option<[Option<f64>; 2]>,
    /// Interval by bootstrap; `None` where there is none.
    pub bootstrap: Option<[f64; 2]>,
    /// Unit.
    pub unit: String,
}

/// The curve at one state.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct CurvePoint {
    /// The state.
    pub x: f64,
    /// The curve.
    pub fit: f64,
    /// One standard uncertainty of the curve.
    pub u: Option<f64>,
    /// Where the mean strength of such wood lies.
    pub confidence: Option<[f64; 2]>,
    /// The same for the whole curve at once.
    pub simultaneous: Option<[f64; 2]>,
    /// Where the strength of one new piece lies.
    pub prediction: Option<[f64; 2]>,
    /// Mean of the models by their weights; `None` where one model was asked for.
    pub average: Option<f64>,
    /// Where the mean strength lies, whichever model holds.
    pub average_interval: Option<[f64; 2]>,
}

/// A model beside others.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ComparedModel {
    /// Its word.
    pub model: &'static str,
    /// Its criterion.
    pub aicc: Option<f64>,
    /// Its weight; `None` where it is not weighed.
    pub weight: Option<f64>,
    /// Why it is not weighed.
    pub reason: Option<&'static str>,
}

/// A test of the scatter.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct CurveTest {
    /// The statistic.
    pub statistic: f64,
    /// Its probability.
    pub probability: f64,
}

impl From<ScatterTest> for CurveTest {
    fn from(test: ScatterTest) -> Self {
        Self { statistic: test.statistic, probability: test.probability }
    }
}

/// A piece beside the curve.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PieceBeside {
    /// Its name.
    pub sample: Option<String>,
    /// Its state.
    pub x: f64,
    /// Its strength.
    pub y: f64,
    /// Strength less the curve.
    pub residual: f64,
    /// Residual over its standard deviation.
    pub studentised: Option<f64>,
    /// How much of it the curve follows, 0 to 1.
    pub leverage: f64,
    /// Cook's distance.
    pub cook: Option<f64>,
}

/// Diagnostics.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct CurveDiagnostics {
    /// Breusch-Pagan, after Koenker: is the scatter the same along the curve?
    pub breusch_pagan: Option<CurveTest>,
    /// Shapiro-Wilk, after Royston: is the scatter normal?
    pub shapiro_wilk: Option<CurveTest>,
    /// Each piece, in the order of the file.
    pub pieces: Vec<PieceBeside>,
}

/// A caution of a curve with its long story.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct CurveLegend {
    /// The word.
    pub code: &'static str,
    /// One short clause.
    pub text: &'static str,
    /// What it means.
    pub meaning: &'static str,
    /// What follows.
    pub consequence: &'static str,
    /// Why it happens.
    pub cause: &'static str,
    /// What to do.
    pub cure: &'static str,
    /// Curves that have it.
    pub fits: usize,
}

impl CurveLegend {
    /// The cautions of some curves, in the order of the registry.
    pub(super) fn of(fits: &[Curve]) -> Vec<Self> {
        let entry = |code: CurveCautionCode| {
            let story = code.story();
            let has = |fit: &&Curve| fit.cautions.iter().any(|caution| caution.of == code);
            let fits = fits.iter().filter(has).count();
            let entry = Self {
                code: story.code,
                text: story.text,
                meaning: story.meaning,
                consequence: story.consequence,
                cause: story.cause,
                cure: story.cure,
                fits,
            };
            (fits > 0).then_some(entry)
        };
        CurveCautionCode::ALL.iter().filter_map(|code| entry(*code)).collect()
    }
}
