//! The way by which a value was reached.

use std::fmt;

use schemars::JsonSchema;
use serde::Serialize;

/// The way by which a value was reached.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Route {
    /// Stated by the user.
    Stated,
    /// Oven-dry mass and a volume that was measured or displaced.
    Displaced,
    /// Oven-dry mass and a volume from the mass under water.
    Immersed,
    /// Oven-dry mass and a volume from the shape.
    Geometric,
    /// Mass in air and a volume, no drying; the piece is taken as saturated.
    SaturatedUndried,
    /// From the water content alone; the piece is taken as saturated.
    SaturatedDried,
    /// From the density at 12 % moisture content.
    #[serde(rename = "density_12")]
    Density12,
    /// Saturated and oven-dry mass.
    Weighed,
    /// From the basic density; the water content that this piece would hold if saturated.
    FromDensity,
    /// From two volumes.
    Volumes,
    /// From sizes in three directions, or two for a cross-section.
    Dimensions,
    /// From the saturated and the oven-dry size.
    OvenDrySize,
    /// From the saturated and the conditioned size.
    ConditionedSize,
    /// By formula from other results.
    Computed,
}

impl Route {
    /// Routes to the basic density, in the order in which they are reported.
    ///
    /// A value stated by the user comes behind the three that rest on mass and volume, and before those that take the
    /// piece as saturated; with `stated_first` it comes before all.
    pub const TO_BASIC_DENSITY: [Self; 7] = [
        Self::Displaced,
        Self::Immersed,
        Self::Geometric,
        Self::Stated,
        Self::SaturatedUndried,
        Self::SaturatedDried,
        Self::Density12,
    ];

    /// Routes to the maximum water content, in the order in which they are reported.
    pub const TO_MAX_WATER_CONTENT: [Self; 4] =
        [Self::Weighed, Self::Stated, Self::SaturatedUndried, Self::FromDensity];

    /// The word in files and JSON.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Stated => "stated",
            Self::Displaced => "displaced",
            Self::Immersed => "immersed",
            Self::Geometric => "geometric",
            Self::SaturatedUndried => "saturated_undried",
            Self::SaturatedDried => "saturated_dried",
            Self::Density12 => "density_12",
            Self::Weighed => "weighed",
            Self::FromDensity => "from_density",
            Self::Volumes => "volumes",
            Self::Dimensions => "dimensions",
            Self::OvenDrySize => "oven_dry_size",
            Self::ConditionedSize => "conditioned_size",
            Self::Computed => "computed",
        }
    }
}

impl fmt::Display for Route {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}
