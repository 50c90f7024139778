//! One timber in the outcome of `lift`, as plain data.

use schemars::JsonSchema;
use serde::Serialize;

use crate::error::LiftCautionCode;
use crate::quantity::Evidence;

use super::lift_caution::LiftCaution;
use super::lift_number::LiftNumber;
use super::lift_support::SupportChoice;

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
    /// rectangular, round or hollow, and tapered or the number of its stations where it changes.
    pub shape: String,
    /// Places of its sections, m from the start: start and end, or its stations.
    pub stations: Vec<f64>,
    /// Width, or diameter, and height there, mm.
    pub sizes: Vec<[f64; 2]>,
    /// Depth of the soft rim; `None` without one or where it is unknown.
    pub rim_depth: Option<LiftNumber>,
    /// Basic density of the core, or of all of it.
    pub basic_density: LiftNumber,
    /// Basic density of the rim.
    pub rim_basic_density: Option<LiftNumber>,
    /// What hangs on it, as it would be typed.
    pub attached: Vec<String>,
    /// Share of its pores that water fills; `None` where it is taken as full.
    pub saturation: Option<LiftNumber>,
    /// What damage takes from every strength of it; `None` where nobody said.
    pub reduction: Option<LiftNumber>,
    /// Mass in the air, with what hangs on it, before anything drains.
    pub mass_in_air: LiftNumber,
    /// The same when the pores have drained as far as was stated; `None` where nobody said.
    pub mass_drained: Option<LiftNumber>,
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

impl TimberLift {
    /// Of the ways of support in which it bends, the one with the largest margin; `None` where no margin is known.
    #[must_use]
    pub fn best_way(&self) -> Option<&SupportLift> {
        let margin = |way: &&SupportLift| way.margin.as_ref().map(|margin| margin.value);
        let bent = self.supports.iter().filter(|way| way.verdict != "full_length" && margin(way).is_some());
        bent.reduce(|best, way| if margin(&way) > margin(&best) { way } else { best })
    }

    /// What is not known of it and would change the answer, each with its detail.
    #[must_use]
    pub fn unknown(&self) -> Vec<&LiftCaution> {
        const UNKNOWN: [LiftCautionCode; 9] = [
            LiftCautionCode::StrengthUnknown,
            LiftCautionCode::DamageWithoutReduction,
            LiftCautionCode::DamageUnknown,
            LiftCautionCode::RimUnknown,
            LiftCautionCode::SlingWidthUnknown,
            LiftCautionCode::InputUnsure,
            LiftCautionCode::StillLoad,
            LiftCautionCode::NothingAttached,
            LiftCautionCode::WaterTaken,
        ];
        self.cautions.iter().filter(|caution| UNKNOWN.contains(&caution.of)).collect()
    }
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
    /// `met`, `margin_not_met`, `probability_too_large`, `probability_unknown`, `probability_not_asked`, `not_asked`,
    /// `not_assessed`, `impossible` or `full_length`.
    pub verdict: &'static str,
    /// Why it is not known to hold.
    pub reason: Option<String>,
    /// Moment and shear force along the timber.
    pub course: Vec<MomentStep>,
}

impl SupportLift {
    /// A way of support whose best places do not exist, since nothing carries.
    pub(super) fn nothing_carries(choice: &SupportChoice) -> Self {
        Self {
            support: choice.word(),
            title: choice.title(),
            places: Vec::new(),
            moment_max: None,
            hogs: false,
            moment_place: None,
            sling_tension: None,
            bending_stress: None,
            shear_stress: None,
            bearing_stress: None,
            deflection: None,
            checks: Vec::new(),
            margin: None,
            governing: None,
            probability_below_required: None,
            verdict: "impossible",
            reason: Some("the soft rim goes right through the timber, and it is not counted as strength".to_owned()),
            course: Vec::new(),
        }
    }
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
