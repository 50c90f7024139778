//! The outcome of `profile`, as plain data.

use schemars::JsonSchema;
use serde::Serialize;

use crate::error::{DepthCautionCode, Finding};
use crate::profile::DepthCaution;
use crate::quantity::{Cited, Evidence};
use crate::state::ClassReading;
use crate::table::Choice;

use super::assess::Counts;
use super::curve::{Axis, ComparedModel};
use super::envelope::{Program, Settings, SourceTable, Stopped};

/// The outcome of `profile`.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Profiles {
    /// Version of this form.
    pub schema_version: u32,
    /// `profile`.
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
    /// What is looked at against depth.
    pub value: Axis,
    /// How far it came, where it was stopped and what was done is kept.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stopped: Option<Stopped>,
    /// Profiles that are drawn again for each timber.
    pub replicates: usize,
    /// The timbers, in the order of their names.
    pub profiles: Vec<TimberDepth>,
    /// Pieces that are in no profile.
    pub left_out: Vec<NotInProfile>,
    /// Timbers of which no piece can be used, in the order of their names.
    pub without: Vec<String>,
    /// How the numbers are to be read.
    pub notes: Vec<String>,
    /// What was found in the files.
    pub findings: Vec<Finding>,
    /// The cautions of the profiles, with their long stories.
    pub cautions: Vec<DepthLegend>,
    /// Published or stated numbers behind the states.
    pub sources: Vec<Cited>,
}

/// A number with its uncertainty.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct DepthNumber {
    /// The number, in `unit`.
    pub value: f64,
    /// One standard uncertainty; `None` where unknown.
    pub u: Option<f64>,
    /// Interval with the coverage of the settings; an open end is `None`.
    pub interval: [Option<f64>; 2],
    /// UCUM code.
    pub unit: &'static str,
}

/// One timber in depth.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct TimberDepth {
    /// Its name.
    pub timber: String,
    /// Its wood; `None` where unknown or where its pieces disagree.
    pub taxon: Option<String>,
    /// What it comes to, in sentences that can be read aloud.
    pub meaning: Vec<String>,
    /// Increments that are used.
    pub n: usize,
    /// Its cores.
    pub cores: Vec<CoreDepth>,
    /// The shallowest and the deepest depth, mm; `None` without increments.
    pub depth: Option<[f64; 2]>,
    /// Word of the model; `None` where the increments carry no curve.
    pub model: Option<&'static str>,
    /// Its formula.
    pub formula: Option<&'static str>,
    /// Why this model.
    pub reason: String,
    /// The models beside each other.
    pub compared: Vec<ComparedModel>,
    /// Parameters of the model.
    pub parameters: Vec<ProfileParameter>,
    /// The break of the curve; `None` where it has none.
    #[serde(rename = "break")]
    pub break_depth: Option<ProfileBreak>,
    /// The curve at depths evenly spread over the sampled ones, and on both sides of a step.
    pub curve: Vec<DepthPoint>,
    /// What was measured at each depth, and the closest curve that never turns.
    pub levels: Vec<DepthLevel>,
    /// Up to which value wood counts as sound; `None` where that is not known or not asked.
    pub threshold: Option<DepthThreshold>,
    /// The soft rim; `None` where there is no threshold.
    pub soft_rim: Option<SoftRimDepth>,
    /// The section; `None` where unknown.
    pub section: Option<TimberSection>,
    /// What is left inside the soft rim; `None` where section or rim are unknown.
    pub sound_core: Option<SoundCore>,
    /// State of the soft rim.
    pub rim: Option<PartState>,
    /// State of the core.
    pub core: Option<PartState>,
    /// Mean over the whole section: for its mass, not for its state.
    pub whole: Option<PartState>,
    /// How cores scatter; `None` where there is no curve.
    pub between_cores: Option<BetweenCores>,
    /// What to know before it is used.
    pub cautions: Vec<DepthCaution>,
}

/// One core.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct CoreDepth {
    /// Its name; `None` for pieces without a core.
    pub core: Option<String>,
    /// The face from which it was taken.
    pub face: Option<String>,
    /// Its increments, from the surface inwards.
    pub increments: Vec<IncrementValue>,
    /// Between which depths the soft rim ends in this core, mm; an end that it does not reach is `None`.
    pub rim_between: Option<[Option<f64>; 2]>,
}

/// One increment.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct IncrementValue {
    /// Its sample.
    pub sample: Option<String>,
    /// Depth from and to, mm.
    pub depth: [f64; 2],
    /// What was found.
    pub value: f64,
    /// One standard uncertainty, what is shared with other increments included; `None` where unknown.
    pub u: Option<f64>,
}

/// A parameter of the curve.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ProfileParameter {
    /// Its name in the formula.
    pub name: &'static str,
    /// What it means.
    pub meaning: &'static str,
    /// Its value, in `unit`.
    pub value: f64,
    /// One standard uncertainty from the scatter about the curve.
    pub u: Option<f64>,
    /// Interval by draws; `None` where there are none.
    pub interval: [Option<f64>; 2],
    /// Unit.
    pub unit: String,
}

/// The break of the curve.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ProfileBreak {
    /// Its depth, mm.
    pub depth: f64,
    /// Depths that the data do not exclude, by profile likelihood; in several pieces where they are; an open end is `None`.
    pub intervals: Vec<[Option<f64>; 2]>,
    /// Interval by draws; `None` where there are none.
    pub drawn: Option<[Option<f64>; 2]>,
    /// Unit.
    pub unit: &'static str,
}

/// The curve at a depth.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct DepthPoint {
    /// The depth, mm.
    pub depth: f64,
    /// The curve.
    pub value: f64,
    /// Where the mean of the timber lies, by draws; `None` without draws.
    pub interval: Option<[f64; 2]>,
}

/// What was measured between two depths.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct DepthLevel {
    /// Depth from and to, mm.
    pub depth: [f64; 2],
    /// Mean of the increments.
    pub measured: f64,
    /// Level of the closest curve that never turns.
    pub level: f64,
}

/// Up to which value wood counts as sound.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct DepthThreshold {
    /// The value, in `unit`.
    pub value: f64,
    /// UCUM code.
    pub unit: String,
    /// Whether wood is degraded `below` or `above` it.
    pub degraded: &'static str,
    /// Where it comes from.
    pub reason: String,
    /// How well that is known.
    pub evidence: Evidence,
}

/// The soft rim.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct SoftRimDepth {
    /// `none`, `found`, `beyond_cores`, or `no_curve` where there is no curve or it disagrees, so that only `between` is known.
    pub end: &'static str,
    /// Its depth, mm; `None` where its end was not reached or there is no curve.
    pub depth: Option<DepthNumber>,
    /// Between which depths it ends by the increments alone, mm; an end that they do not reach is `None`.
    pub between: [Option<f64>; 2],
    /// Share of the draws in which it ends within the sampled depth; `None` without draws.
    pub reached: Option<f64>,
}

/// The section of a timber.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct TimberSection {
    /// round, rectangular or polygon.
    pub form: &'static str,
    /// Diameter, or width and height, mm; none for a polygon.
    pub sizes: Vec<f64>,
    /// Area, mm2.
    pub area: f64,
    /// Depth of its deepest point below the nearest face, mm.
    pub middle: f64,
}

/// What is left inside the soft rim.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct SoundCore {
    /// Diameter, or width and height, mm; none for a polygon.
    pub sizes: Vec<DepthNumber>,
    /// Share of the section that is sound, %. The rest is degraded: the proportion of sound to degraded material.
    pub share: DepthNumber,
}

/// A part of the section.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PartState {
    /// Depth from and to, mm.
    pub depth: [f64; 2],
    /// Share of the section, %; `None` where the section is unknown.
    pub share: Option<f64>,
    /// Share of the part that increments cover, %; the rest lies in gaps or outside the shallowest one.
    pub covered: f64,
    /// Cores behind it.
    pub n_cores: usize,
    /// Means, weighed by how much of the section each increment stands for.
    pub values: Vec<PartValue>,
    /// Its class; `None` for the whole section, which is no zone.
    pub degradation_class: Option<ClassReading>,
}

/// A mean over a part of the section.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PartValue {
    /// The quantity.
    pub quantity: &'static str,
    /// The mean.
    #[serde(flatten)]
    pub mean: DepthNumber,
}

/// Cores beside each other.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct BetweenCores {
    /// Number of cores.
    pub n_cores: usize,
    /// Standard deviation between cores, in the unit of the value; `None` for one core.
    pub between: Option<f64>,
    /// Standard deviation of an increment of mean thickness within its core.
    pub within: Option<f64>,
    /// Probability of cores as different as these if all were alike.
    pub probability: Option<f64>,
    /// Unit.
    pub unit: String,
    /// What it means for the timber.
    pub meaning: String,
}

/// A piece that is in no profile.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct NotInProfile {
    /// Its name.
    pub sample: Option<String>,
    /// Its timber.
    pub timber: Option<String>,
    /// Rows of the file, counted as there.
    pub rows: Vec<usize>,
    /// Why.
    pub reason: &'static str,
}

/// A caution of a profile with its long story.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct DepthLegend {
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

impl DepthLegend {
    /// The cautions of some profiles, in the order of the registry.
    pub(super) fn of(profiles: &[TimberDepth]) -> Vec<Self> {
        let entry = |of: DepthCautionCode| {
            let story = of.story();
            let has = |profile: &&TimberDepth| profile.cautions.iter().any(|caution| caution.of == of);
            let timbers = profiles.iter().filter(has).count();
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
        DepthCautionCode::ALL.iter().filter_map(|code| entry(*code)).collect()
    }
}
