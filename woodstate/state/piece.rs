//! One piece and what was found out about it.

use schemars::JsonSchema;
use serde::Serialize;

use crate::error::{CautionCode, Cautions};
use crate::quantity::Quantity;

use super::{ByQuantity, ClassReading, Parts, Value};

/// What became of a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Status {
    /// Everything its readings allow was computed.
    Assessed,
    /// A value could not be used; the rest was computed.
    Partial,
    /// Nothing was computed; the finding says why.
    NotAssessed,
}

impl Status {
    /// The word in files and JSON.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Assessed => "assessed",
            Self::Partial => "partial",
            Self::NotAssessed => "not_assessed",
        }
    }
}

/// Every route to the two quantities that have several.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
pub struct Routes {
    /// Maximum water content, %.
    pub max_water_content: Vec<Value>,
    /// Basic density, kg/m3.
    pub basic_density: Vec<Value>,
}

/// Condition of a piece as it was recorded; `None` where it was not.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
pub struct Condition {
    /// How far it is charred.
    pub charring: Option<String>,
    /// Share lost to borers, %.
    pub borer_damage: Option<f64>,
    /// Metal in or on the piece or its timber.
    pub metal: Option<String>,
    /// Treatment before sampling, of the piece or its timber.
    pub prior_treatment: Option<String>,
    /// Ash, % of oven-dry mass.
    pub ash_content: Option<f64>,
}

/// One piece: who it is, what it is worth, how far it is degraded.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Piece {
    /// Its name.
    pub sample: Option<String>,
    /// The timber it comes from.
    pub timber: Option<String>,
    /// The core it was cut from.
    pub core_id: Option<String>,
    /// Depth at which it begins, mm.
    pub depth_from: Option<f64>,
    /// Depth at which it ends, mm.
    pub depth_to: Option<f64>,
    /// Rows of the file that measured it, counted as in the file.
    pub rows: Vec<usize>,
    /// What became of it.
    pub status: Status,
    /// The wood: the name of the list where it is known, otherwise as it was written.
    pub taxon: Option<String>,
    /// Its condition as it was recorded.
    pub condition: Condition,
    /// The results.
    pub values: ByQuantity<Value>,
    /// Every route to water content and density.
    pub routes: Routes,
    /// Its class.
    pub degradation_class: ClassReading,
    /// What to know before using the results.
    pub cautions: Cautions,
    /// Where the uncertainty of each result comes from; not written.
    #[serde(skip)]
    pub parts: ByQuantity<Parts>,
    /// Whether the class was read outside the scope of the scheme; not written, the cautions say it.
    #[serde(skip)]
    pub is_out_of_scope: bool,
}

impl Piece {
    /// The reported value of a quantity; `None` where unknown.
    #[must_use]
    pub fn value(&self, quantity: Quantity) -> Option<Value> {
        self.values.of(quantity)
    }

    /// The first caution that says the water content is known to be measured wrongly, or not well enough for a class.
    #[must_use]
    pub fn bias(&self) -> Option<CautionCode> {
        biased(self.cautions)
    }
}

/// The first caution that says a water content is known to be measured wrongly.
pub(super) fn biased(cautions: Cautions) -> Option<CautionCode> {
    const BIASED: [CautionCode; 7] = [
        CautionCode::SaltDecides,
        CautionCode::BeyondFinds,
        CautionCode::NotSaturated,
        CautionCode::SurfaceWater,
        CautionCode::BelowSound,
        CautionCode::RepeatsDiffer,
        CautionCode::ImpossibleDraws,
    ];
    BIASED.into_iter().find(|code| cautions.contains(*code))
}

/// The first caution that takes the decay reading from a piece.
pub(super) fn unread(cautions: Cautions) -> Option<CautionCode> {
    const BLOCKING: [CautionCode; 4] =
        [CautionCode::Charred, CautionCode::PriorTreatment, CautionCode::BorerDamage, CautionCode::Mineralised];
    BLOCKING.into_iter().find(|code| cautions.contains(*code))
}
