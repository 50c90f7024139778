//! What a person states about a batch: instruments, water, cell wall, references, scheme.

use crate::quantity::{Cited, Evidence, Measured, Quantity};
use crate::reference::{Boundary, Reference, Scheme};

use super::{Propagation, Rules};

/// Instruments and their uncertainties; `None` where not stated.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Instruments {
    /// Resolution of the balance, g: a rectangular error of each reading.
    pub balance: Option<f64>,
    /// Relative standard uncertainty common to all weighings, %.
    pub balance_calibration: Option<f64>,
    /// Resolution of the calliper, mm: a rectangular error of each reading.
    pub calliper: Option<f64>,
    /// Standard uncertainty of a volume reading.
    pub volume: Option<VolumeUncertainty>,
    /// Standard uncertainty of the thermometer, °C.
    pub thermometer: Option<f64>,
}

/// Standard uncertainty of a volume reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum VolumeUncertainty {
    /// cm3.
    Absolute(f64),
    /// % of the volume.
    Relative(f64),
}

/// Water of weighing and in the pores; `None` where not stated.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Waters {
    /// Temperature of the water for weighing, °C.
    pub weighing_temperature: Option<Measured>,
    /// Its salinity, g/kg.
    pub weighing_salinity: Option<Measured>,
    /// Salinity of the pore water, g/kg.
    pub pore_salinity: Option<Measured>,
    /// Density of all water, kg/m3, where it is stated instead of computed.
    pub density: Option<Measured>,
}

/// A density of sound wood that the user states for a taxon.
#[derive(Debug, Clone, PartialEq)]
pub struct StatedReference {
    /// The taxon.
    pub taxon: String,
    /// Basic density, kg/m3.
    pub density: Measured,
    /// Where it comes from, in the user's words.
    pub source: String,
}

/// What is done outside the scope of a scheme.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OutsideScope {
    /// No class, with the reason.
    NoClass,
    /// A class, marked and kept apart.
    Classify,
}

/// Everything that decides how a batch is assessed.
#[derive(Debug, Clone, PartialEq)]
pub struct StateOptions {
    /// Instruments.
    pub instruments: Instruments,
    /// Waters.
    pub waters: Waters,
    /// Density of the cell wall, kg/m3.
    pub cell_wall_density: Measured,
    /// Density of ash, kg/m3: stated, the cell wall of a piece of known ash content is corrected for it.
    pub ash_density: Option<Measured>,
    /// References of the user, which come before published ones.
    pub references: Vec<StatedReference>,
    /// Class scheme.
    pub scheme: Scheme,
    /// Which class owns a value exactly on a boundary.
    pub boundary: Boundary,
    /// Least probability of a decided class, 0 to 1.
    pub decided_at: f64,
    /// What is done outside the scope of the scheme.
    pub outside_scope: OutsideScope,
    /// Whether stated values come before measured ones.
    pub stated_first: bool,
    /// Share lost to borers above which no decay reading is given, %.
    pub borer_damage_limit: f64,
    /// Ash content above which no decay reading is given, %.
    pub ash_limit: f64,
    /// How uncertainty is propagated.
    pub propagation: Propagation,
    /// Quantities whose uncertainty is kept by origin for means over pieces, beside those that timbers need.
    pub parts_of: Vec<Quantity>,
    /// Threads that work at a batch, on which nothing in the results depends; `None` takes all there are.
    pub threads: Option<usize>,
}

impl Propagation {
    /// Coverage 0.95, seed 1, 10 000 draws where a piece needs them; the limits are proposals of ours.
    #[must_use]
    pub fn usual() -> Self {
        Self {
            coverage: 0.95,
            seed: 1,
            draws: 10_000,
            second_order_share: 0.1,
            second_order_share_compared: 0.25,
            ruling: Quantity::MaxWaterContent,
            disagreement: 3.0,
            disagreement_share: 0.1,
        }
    }
}

impl StateOptions {
    /// Nothing stated: every instrument and water unknown, the shipped cell wall and scheme, the limits that are proposals
    /// of ours.
    ///
    /// # Errors
    /// A broken build of the reference files.
    pub fn unstated(reference: &Reference) -> crate::error::Result<Self> {
        let share = |name| reference.constant(name).map_or(f64::NAN, |constant| constant.value);
        let wall = reference.constant("cell_wall_density");
        let mut propagation = Propagation::usual();
        propagation.second_order_share = share("second_order_share") / 100.0;
        propagation.second_order_share_compared = share("second_order_share_compared") / 100.0;
        propagation.disagreement = share("routes_disagree");
        propagation.disagreement_share = share("routes_disagree_share") / 100.0;
        Ok(Self {
            instruments: Instruments::default(),
            waters: Waters::default(),
            cell_wall_density: Measured {
                value: wall.map_or(f64::NAN, |wall| wall.value),
                u: wall.and_then(|wall| wall.u),
            },
            ash_density: None,
            references: Vec::new(),
            scheme: reference.scheme("oak-water-content")?.clone(),
            boundary: Boundary::Worse,
            decided_at: share("decided_at") / 100.0,
            outside_scope: OutsideScope::NoClass,
            stated_first: false,
            borer_damage_limit: share("borer_damage_limit"),
            ash_limit: share("ash_limit"),
            propagation,
            parts_of: Vec::new(),
            threads: None,
        })
    }

    /// Threads that work at a batch.
    #[must_use]
    pub fn threads(&self) -> usize {
        self.threads.unwrap_or_else(|| std::thread::available_parallelism().map_or(1, std::num::NonZero::get))
    }
}

impl StatedReference {
    /// Its origin as it is cited.
    #[must_use]
    pub fn cited(&self) -> Cited {
        Cited {
            used_for: format!("basic density of sound {}: {} kg/m3", self.taxon, self.density),
            id: format!("stated: {}", self.taxon),
            citation: if self.source.is_empty() { "no source given".to_owned() } else { self.source.clone() },
            place: format!("basic density of {}", self.taxon),
            evidence: Evidence::Stated,
        }
    }
}

impl<'a> Rules<'a> {
    /// Rules for a piece of which nothing is stated.
    #[must_use]
    pub fn plain(reference: &'a Reference) -> Self {
        Self { stated_first: false, is_conditioned: false, water: reference.water() }
    }
}
