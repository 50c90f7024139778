//! What a look at a timber comes to, as plain data.

use crate::numeric::Interval;

use super::{BestSlings, Cut, Held, Support};

/// What is compared: a stress with the strength that stands against it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Check {
    /// Bending of the core on the side that is stretched, against the bending strength.
    BendingTension,
    /// Bending of the core on the side that is pressed, and the push of leaning slings, against compression along the grain.
    BendingCompression,
    /// Bending of a rim that counts, on the side that is stretched.
    RimTension,
    /// Bending of a rim that counts, on the side that is pressed.
    RimCompression,
    /// Shear at mid-height, against the shear strength along the grain.
    Shear,
    /// Pressure under slings or in the tray, against compression across the grain of the surface.
    Bearing,
}

impl Check {
    /// How many there are.
    pub const COUNT: usize = 6;

    /// All of them.
    pub const ALL: [Self; Self::COUNT] = [
        Self::BendingTension,
        Self::BendingCompression,
        Self::RimTension,
        Self::RimCompression,
        Self::Shear,
        Self::Bearing,
    ];

    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::BendingTension => "bending_tension",
            Self::BendingCompression => "bending_compression",
            Self::RimTension => "rim_tension",
            Self::RimCompression => "rim_compression",
            Self::Shear => "shear",
            Self::Bearing => "bearing",
        }
    }

    /// What it is, for a person.
    #[must_use]
    pub fn title(self) -> &'static str {
        match self {
            Self::BendingTension => "bending, stretched side",
            Self::BendingCompression => "bending, pressed side",
            Self::RimTension => "bending of the rim, stretched side",
            Self::RimCompression => "bending of the rim, pressed side",
            Self::Shear => "shear",
            Self::Bearing => "pressure under slings",
        }
    }

    /// The column of the strength that stands against it.
    #[must_use]
    pub fn strength(self) -> &'static str {
        match self {
            Self::BendingTension | Self::RimTension => "bending_strength",
            Self::BendingCompression | Self::RimCompression => "compression_parallel",
            Self::Shear => "shear_parallel",
            Self::Bearing => "compression_perpendicular",
        }
    }
}

/// A number with its standard uncertainty and its interval, as far as they are known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    /// The number from the stated values.
    pub value: f64,
    /// One standard uncertainty; `None` where unknown.
    pub u: Option<f64>,
    /// Interval of the coverage asked for; `None` where unknown.
    pub interval: Option<Interval>,
}

impl Estimate {
    /// A number whose uncertainty is unknown.
    #[must_use]
    pub fn plain(value: f64) -> Self {
        Self { value, u: None, interval: None }
    }
}

/// A share of random draws.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Share {
    /// The share, 0 to 1.
    pub value: f64,
    /// Where it lies as far as so many draws tell, with the coverage asked for.
    pub interval: Interval,
    /// How many draws.
    pub draws: usize,
}

/// One stress and what stands against it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Checked {
    /// What is compared.
    pub check: Check,
    /// The stress, `MPa`; `None` where it is not known, such as pressure without a width of slings.
    pub stress: Option<Estimate>,
    /// The strength, `MPa`; `None` where unknown.
    pub strength: Option<Estimate>,
    /// Strength over stress; `None` where one is unknown, or nothing is stressed.
    pub margin: Option<Estimate>,
}

/// A timber under one way of support.
#[derive(Debug, Clone, PartialEq)]
pub struct SupportOutcome {
    /// The way of support.
    pub support: Support,
    /// What holds it, in the air and without uncertainty: one set of forces, or one for each pair that could carry all.
    pub held: Vec<Vec<Held>>,
    /// Why it cannot hold the timber: slings outside it, or it would tip.
    pub impossible: Option<String>,
    /// Largest bending moment, N.m, without its sign.
    pub moment_max: Option<Estimate>,
    /// Whether it hogs: the upper edge is stretched.
    pub hogs: bool,
    /// Where that is, m from the start.
    pub moment_place: Option<f64>,
    /// Largest pull in a sling, N.
    pub sling_tension: Option<Estimate>,
    /// Every check there is something to check for.
    pub checks: Vec<Checked>,
    /// Largest distance from the line through the outermost supports, mm; `None` where the modulus is unknown.
    pub deflection: Option<Estimate>,
    /// Least margin of the checks with a known strength; `None` without one.
    pub margin: Option<Estimate>,
    /// Which check that is.
    pub governing: Option<Check>,
    /// Share of draws whose margin lies below the required one; `None` where none is required or an uncertainty is unknown.
    pub probability_below: Option<Share>,
    /// Moment and shear force along the timber, in the air and without uncertainty; for several pairs those of the worst.
    pub course: Vec<Cut>,
}

impl SupportOutcome {
    /// Checks for which stress or strength is unknown.
    #[must_use]
    pub fn unknown(&self) -> Vec<Check> {
        let is_unknown = |checked: &&Checked| checked.stress.is_none() || checked.strength.is_none();
        self.checks.iter().filter(is_unknown).map(|checked| checked.check).collect()
    }
}

/// Two slings where they bend the timber least, and what it costs to miss the places.
#[derive(Debug, Clone, PartialEq)]
pub struct SlingAdvice {
    /// Where.
    pub best: BestSlings,
    /// How many times larger the bending is for errors of places, m.
    pub cost: Vec<[f64; 2]>,
}

/// What a timber weighs and bears.
#[derive(Debug, Clone, PartialEq)]
pub struct LiftOutcome {
    /// Weight in the air, N, without jerks.
    pub weight_in_air: Estimate,
    /// Weight under water, N; negative where it floats.
    pub weight_submerged: Estimate,
    /// Weight in the air over weight under water; `None` where it floats.
    pub growth: Option<Estimate>,
    /// Weight, N, by the share that is out of the water, from 0 to 1.
    pub surfacing: Vec<[f64; 2]>,
    /// Every way of support that was asked for, in that order.
    pub supports: Vec<SupportOutcome>,
    /// The two best slings; `None` where nothing carries.
    pub slings: Option<SlingAdvice>,
    /// Inputs whose uncertainty is unknown, so that u, intervals and probabilities are unknown too.
    pub unsure: Vec<&'static str>,
    /// Random draws that could be, and those that could not and were left out.
    pub draws: [usize; 2],
}
