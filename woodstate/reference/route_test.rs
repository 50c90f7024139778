//! What a condition of a route asks of a timber, of one of its zones, or of a laboratory.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// How far a zone of a timber is degraded, in three steps.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Grade {
    /// Heavily degraded: the worst class of a scheme made for the wood, or below the laboratory's own limit.
    Heavy,
    /// Between the two.
    Middle,
    /// Slightly degraded: the best class of a scheme made for the wood, or above the laboratory's own limit.
    Slight,
}

impl Grade {
    /// All grades, the worst first.
    pub const ALL: [Self; 3] = [Self::Heavy, Self::Middle, Self::Slight];

    /// The words in results.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Heavy => "heavily degraded",
            Self::Middle => "moderately degraded",
            Self::Slight => "slightly degraded",
        }
    }
}

/// What was recorded of a timber in words.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum RecordedFact {
    /// Metal in or on it.
    Metal,
    /// How far it is charred.
    Charring,
    /// An earlier treatment.
    PriorTreatment,
}

/// A substance in the wood that has a limit of the laboratory.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Substance {
    /// Iron.
    Iron,
    /// Chloride.
    Chloride,
    /// Reduced sulfur.
    ReducedSulfur,
}

/// Room that a route needs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Room {
    /// A bath of water.
    Tank,
    /// A freeze-dryer.
    FreezeDryer,
    /// A bath of solvent.
    SolventTank,
    /// A pressure vessel.
    PressureVessel,
}

/// What a laboratory says yes or no to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Demand {
    /// A treatment that can be undone is wanted.
    Retreatability,
    /// The laboratory is equipped and licensed for work with formaldehyde.
    FormaldehydeWork,
    /// Dating, species or similar work must stay possible after the treatment.
    LaterAnalysis,
    /// The place of reburial is monitored for good.
    BurialMonitored,
}

/// A test on a timber or on one of its zones; it is fulfilled, not fulfilled, or cannot be told.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields, tag = "test", rename_all = "snake_case")]
pub enum RouteTest {
    /// One of these words was recorded.
    Recorded {
        /// What is looked at.
        fact: RecordedFact,
        /// The words.
        among: Vec<String>,
    },
    /// A substance lies above the laboratory's limit.
    AboveLimit {
        /// The substance.
        substance: Substance,
    },
    /// The zone is degraded as far as one of these.
    Grade {
        /// The grades.
        among: Vec<Grade>,
    },
    /// Zones are not degraded alike.
    Mixed,
    /// The wood is one of these taxa or belongs to one.
    Wood {
        /// Names of taxa.
        among: Vec<String>,
    },
    /// The humidity at which it will be kept lies above this.
    HumidityAbove {
        /// Relative humidity, %.
        percent: f64,
    },
    /// The timber does not fit.
    TooLarge {
        /// Into what.
        room: Room,
    },
    /// The timber fits.
    Fits {
        /// Into what.
        room: Room,
    },
    /// The laboratory is not equipped for all of these solvents.
    WithoutSolvent {
        /// The solvents.
        among: Vec<String>,
    },
    /// The laboratory says yes, or no.
    Demanded {
        /// To what.
        demand: Demand,
        /// Yes or no.
        is: bool,
    },
}
