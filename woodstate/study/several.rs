//! What `fit` says of groups, as plain data.

use schemars::JsonSchema;
use serde::Serialize;

use crate::site::GroupKey;

/// A group without a curve.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct WithoutCurve {
    /// What the pieces have in common.
    pub group: Vec<GroupKey>,
    /// Pieces that could be used.
    pub n: usize,
    /// Why there is no curve.
    pub reason: String,
}

/// A simple description against a richer one.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct CurvesTest {
    /// What is compared, in words.
    pub question: &'static str,
    /// The statistic.
    pub f: f64,
    /// Its degrees of freedom.
    pub degrees_of_freedom: [f64; 2],
    /// Its probability, if the simple description is right.
    pub probability: f64,
}

/// The scale of a group on a shape that all share.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct GroupScale {
    /// What the pieces have in common.
    pub group: Vec<GroupKey>,
    /// Its scale.
    pub value: f64,
    /// One standard uncertainty; `None` where unknown.
    pub u: Option<f64>,
    /// Unit.
    pub unit: String,
}

/// One curve or several.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct OneOrSeveral {
    /// The model.
    pub model: &'static str,
    /// What the tests say, in one sentence.
    pub meaning: String,
    /// The tests by the extra sum of squares.
    pub tests: Vec<CurvesTest>,
    /// The scale of each group where all share one shape; empty for a model without a scale.
    pub scales: Vec<GroupScale>,
    /// The parameters that all share.
    pub shared: Vec<SharedParameter>,
}

/// A parameter that all groups share.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct SharedParameter {
    /// Its letter in the formula.
    pub name: &'static str,
    /// Its value.
    pub value: f64,
    /// One standard uncertainty; `None` where unknown.
    pub u: Option<f64>,
    /// Unit.
    pub unit: String,
}
