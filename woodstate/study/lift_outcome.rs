//! The outcome of `lift`, as plain data.

use schemars::JsonSchema;
use serde::Serialize;

use crate::error::{Finding, LiftCautionCode};
use crate::lift::Estimate;
use crate::quantity::{Cited, Evidence};
use crate::table::Choice;

use super::envelope::{Program, Settings, SourceTable};
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
    /// Saturation of the pores.
    pub saturation: LiftNumber,
    /// What hangs on each timber.
    pub attached: Option<LiftNumber>,
    /// What damage takes from every strength.
    pub reduction: Option<LiftNumber>,
    /// Whether bending strength is lowered for size.
    pub size_effect: bool,
    /// Time under load for which strength is lowered.
    pub time_under_load: Option<LiftNumber>,
    /// Random draws a timber.
    pub draws: usize,
}

/// A number with its uncertainty.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LiftNumber {
    /// The number, in `unit`.
    pub value: f64,
    /// One standard uncertainty; `None` where unknown.
    pub u: Option<f64>,
    /// Interval with the coverage of the settings; `None` where unknown.
    pub interval: Option<[f64; 2]>,
    /// UCUM code.
    pub unit: &'static str,
    /// Where it comes from: stated, measured, curve, handbook; `None` for what is computed.
    pub route: Option<&'static str>,
}

impl LiftNumber {
    pub(super) fn of(found: &Estimate, unit: &'static str) -> Self {
        let interval = found.interval.map(|interval| [interval.low, interval.high]);
        Self { value: found.value, u: found.u, interval, unit, route: None }
    }

    /// The same over a number: N to kg.
    pub(super) fn over(found: &Estimate, divisor: f64, unit: &'static str) -> Self {
        let interval = found.interval.map(|interval| [interval.low / divisor, interval.high / divisor]);
        Self { value: found.value / divisor, u: found.u.map(|u| u / divisor), interval, unit, route: None }
    }

    pub(super) fn stated(value: f64, u: Option<f64>, unit: &'static str) -> Self {
        Self { value, u, interval: None, unit, route: Some("stated") }
    }
}

/// One timber.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct TimberLift {
    /// Its name.
    pub timber: String,
    /// Its place in the order of danger, from 1.
    pub danger: usize,
    /// Its wood; `None` where unknown.
    pub taxon: Option<String>,
    /// What it comes to, in sentences that can be read aloud.
    pub meaning: Vec<String>,
    /// The way of support that is the answer.
    pub answer: LiftAnswer,
    /// Length.
    pub length: LiftNumber,
    /// rectangular, round or hollow, and tapered where it changes.
    pub shape: String,
    /// Width, or diameter, and height at the start and at the end, mm.
    pub sizes: Vec<[f64; 2]>,
    /// Depth of the soft rim; `None` without one or where it is unknown.
    pub rim_depth: Option<LiftNumber>,
    /// Basic density of the core, or of all of it.
    pub basic_density: LiftNumber,
    /// Basic density of the rim.
    pub rim_basic_density: Option<LiftNumber>,
    /// Mass in the air, full of water.
    pub mass_in_air: LiftNumber,
    /// Weight in the air.
    pub weight_in_air: LiftNumber,
    /// What a balance would show under water.
    pub mass_submerged: LiftNumber,
    /// Weight under water.
    pub weight_submerged: LiftNumber,
    /// Weight in the air over weight under water; `None` where it floats.
    pub growth: Option<LiftNumber>,
    /// Weight while it breaks the surface.
    pub surfacing: Vec<SurfacingStep>,
    /// The strengths that stand against the stresses.
    pub strengths: Vec<ZoneStrength>,
    /// Every way of support that was asked for.
    pub supports: Vec<SupportLift>,
    /// Where two slings bend it least; `None` where nothing carries.
    pub best_slings: Option<BestPlaces>,
    /// Least inside sizes of a tray; padding comes on top.
    pub tray: TraySize,
    /// What to know before it is used.
    pub cautions: Vec<LiftCaution>,
}

/// What a timber comes to.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LiftAnswer {
    /// The way of support, as it would be typed.
    pub support: String,
    /// Whether that is the way which meets what is required, or the tray because none is known to.
    pub is_met: bool,
    /// Why.
    pub reason: String,
}

/// Weight while a timber breaks the surface.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct SurfacingStep {
    /// Share of its volume that is out of the water, 0 to 1.
    pub share_out: f64,
    /// Weight, N.
    pub weight: f64,
    /// The same, kg.
    pub mass: f64,
}

/// A strength of one zone of a timber.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ZoneStrength {
    /// core or rim; all where there is no rim.
    pub zone: &'static str,
    /// The column.
    pub property: String,
    /// The strength; its route says where it comes from.
    pub strength: LiftNumber,
    /// The weakest evidence behind it.
    pub evidence: Evidence,
}

/// A timber under one way of support.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct SupportLift {
    /// The way of support, as it would be typed.
    pub support: String,
    /// For a person.
    pub title: String,
    /// Places of slings, or of the ground, m from the start; with fixed slings all of them.
    pub places: Vec<f64>,
    /// Largest bending moment, without its sign.
    pub moment_max: Option<LiftNumber>,
    /// Whether it hogs: the upper edge is stretched.
    pub hogs: bool,
    /// Where that is, m from the start.
    pub moment_place: Option<f64>,
    /// Largest pull in a sling.
    pub sling_tension: Option<LiftNumber>,
    /// Largest bending stress of the core.
    pub bending_stress: Option<LiftNumber>,
    /// Largest shear stress.
    pub shear_stress: Option<LiftNumber>,
    /// Pressure under slings or in the tray.
    pub bearing_stress: Option<LiftNumber>,
    /// Largest sag from the line through the outermost supports; `None` where the modulus is unknown, or beyond a tenth of the
    /// length, where a beam is no longer nearly straight.
    pub deflection: Option<LiftNumber>,
    /// Each stress and what stands against it.
    pub checks: Vec<LiftCheck>,
    /// Least margin of the checks with a known strength.
    pub margin: Option<LiftNumber>,
    /// Which check that is.
    pub governing: Option<&'static str>,
    /// Share of the random draws whose margin lies below the required one, 0 to 1.
    pub probability_below_required: Option<LiftNumber>,
    /// met, margin_not_met, probability_too_large, probability_unknown, probability_not_asked, not_asked, not_assessed, impossible
    /// or full_length.
    pub verdict: &'static str,
    /// Why it is not known to hold.
    pub reason: Option<String>,
    /// Moment and shear force along the timber.
    pub course: Vec<MomentStep>,
}

/// A stress and what stands against it.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LiftCheck {
    /// Which.
    pub check: &'static str,
    /// The stress.
    pub stress: Option<LiftNumber>,
    /// The strength.
    pub strength: Option<LiftNumber>,
    /// Strength over stress.
    pub margin: Option<LiftNumber>,
}

/// Moment and shear force at a place.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct MomentStep {
    /// Distance from the start, m.
    pub place: f64,
    /// Moment, N.m; sagging is positive.
    pub moment: f64,
    /// Shear force, N.
    pub force: f64,
}

/// Where two slings bend a timber least.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct BestPlaces {
    /// Distance of the first from the start, m.
    pub from_start: f64,
    /// Distance of the second from the end, m.
    pub from_end: f64,
    /// Largest bending stress with them.
    pub bending_stress: LiftNumber,
    /// How many times larger the bending is where each sling lies off its place.
    pub placing_cost: Vec<PlacingCost>,
}

/// What a wrong place costs.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct PlacingCost {
    /// By how much each sling is off, m.
    pub error: f64,
    /// How many times larger the bending stress can be.
    pub times: f64,
}

/// Least inside sizes of a tray.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct TraySize {
    /// Length, m.
    pub length: f64,
    /// Width, mm.
    pub width: f64,
    /// Height of the timber in it, mm.
    pub height: f64,
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

/// A caution about one timber.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LiftCaution {
    /// The word.
    pub code: &'static str,
    /// One short clause.
    pub text: &'static str,
    /// What it is about here.
    pub detail: Option<String>,
    /// Which caution.
    #[serde(skip)]
    pub of: LiftCautionCode,
}

impl LiftCaution {
    pub(super) fn new(of: LiftCautionCode, detail: Option<String>) -> Self {
        let story = of.story();
        Self { code: story.code, text: story.text, detail, of }
    }
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
