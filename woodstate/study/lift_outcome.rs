//! The outcome of `lift`, as plain data.

use schemars::JsonSchema;
use serde::Serialize;

use crate::error::{Finding, LiftCautionCode};
use crate::quantity::{Cited, Evidence};
use crate::table::Choice;

use super::envelope::{Program, Settings, SourceTable, Stopped};
use super::lift_number::LiftNumber;
use super::lift_timber::TimberLift;
use super::safety::Safety;

/// The outcome of `lift`. A screening estimate, no lifting plan.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Lifts {
    /// Version of this form.
    pub schema_version: u32,
    /// `lift`.
    pub kind: &'static str,
    /// The program.
    pub program: Program,
    /// The tables that were read; none for a timber that was typed.
    pub source: Vec<SourceTable>,
    /// What was stated or assumed.
    pub settings: Settings,
    /// What was stated for the lift.
    pub handling: LiftHandling,
    /// What conditions kept.
    #[serde(rename = "where")]
    pub choices: Vec<Choice>,
    /// How far it came, where it was stopped and what was done is kept.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stopped: Option<Stopped>,
    /// The timbers, in the order of danger: what is unknown first, then the smallest margin.
    pub lifts: Vec<TimberLift>,
    /// Timbers that were not assessed, each with the reason.
    pub without: Vec<NotLifted>,
    /// Published examples of dynamic factors; none is for waterlogged timber, and none is applied.
    pub dynamic_examples: Vec<DynamicFactor>,
    /// What can hurt someone, and whom to ask.
    pub safety: Safety,
    /// How the numbers are to be read.
    pub notes: Vec<String>,
    /// What was found in the files.
    pub findings: Vec<Finding>,
    /// The cautions, with their long stories.
    pub cautions: Vec<LiftLegend>,
    /// Published or stated numbers behind the results.
    pub sources: Vec<Cited>,
}

/// What was stated for the lift; `None` is not stated.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LiftHandling {
    /// Least margin, stated by the user.
    pub required_margin: Option<f64>,
    /// Probability, 0 to 1, with which the margin may be missed, stated by the user.
    pub accepted_probability: Option<f64>,
    /// Ways of support that were looked at.
    pub supports: Vec<String>,
    /// Width of slings.
    pub sling_width: Option<LiftNumber>,
    /// Angle between slings and level, degrees.
    pub sling_angle: Option<f64>,
    /// Dynamic factor.
    pub dynamic: Option<LiftNumber>,
    /// Standard uncertainty of the place of a sling.
    pub placing: Option<LiftNumber>,
    /// Density of the water.
    pub water_density: LiftNumber,
    /// Temperature for which it holds; its route is `None` where nobody said; `None` where the density was stated.
    pub water_temperature: Option<LiftNumber>,
    /// Saturation of the pores.
    pub saturation: LiftNumber,
    /// Share of the water in the pores that is left after draining.
    pub drained: Option<LiftNumber>,
    /// What hangs on each timber, as it would be typed.
    pub attached: Vec<String>,
    /// What damage takes from every strength.
    pub reduction: Option<LiftNumber>,
    /// Whether bending strength is lowered for size.
    pub size_effect: bool,
    /// Time under load for which strength is lowered.
    pub time_under_load: Option<LiftNumber>,
    /// Modulus of the rim over that of the core; `None` where the rim only weighs.
    pub rim_stiffness: Option<LiftNumber>,
    /// Random draws a timber.
    pub draws: usize,
}

/// A timber that was not assessed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct NotLifted {
    /// Its name.
    pub timber: String,
    /// Why, and what to do.
    pub reason: String,
}

/// A published example of a dynamic factor.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct DynamicFactor {
    /// What it is for.
    pub name: String,
    /// The factor for the heaviest timber of the batch.
    pub factor: f64,
    /// Source.
    pub citation: String,
    /// How well that is known.
    pub evidence: Evidence,
}

/// A caution with its long story and how many timbers have it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct LiftLegend {
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
    /// Timbers that have it.
    pub timbers: usize,
}

impl LiftLegend {
    /// The cautions of some timbers, in the order of the registry.
    pub(super) fn of(lifts: &[TimberLift]) -> Vec<Self> {
        let entry = |of: LiftCautionCode| {
            let story = of.story();
            let has = |lift: &&TimberLift| lift.cautions.iter().any(|caution| caution.of == of);
            let timbers = lifts.iter().filter(has).count();
            let entry = Self {
                code: story.code,
                text: story.text,
                meaning: story.meaning,
                consequence: story.consequence,
                cause: story.cause,
                cure: story.cure,
                timbers,
            };
            (timbers > 0).then_some(entry)
        };
        LiftCautionCode::ALL.iter().filter_map(|of| entry(*of)).collect()
    }
}
