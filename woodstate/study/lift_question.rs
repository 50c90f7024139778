//! What a lift is asked for: handling, water, what is required.

use std::collections::BTreeMap;

use crate::error::{Error, ErrorKind, Result};
use crate::lift::{Requirement, Rim};
use crate::quantity::{Measured, Unit};

use super::lift_stated::{StatedLoad, StatedTimber};
use super::lift_support::SupportChoice;

/// What may be typed.
const WATERS: &str = "a water: fresh, sea, a salinity such as \"12 g/kg\" or a density such as \"1010 kg/m3\"";

/// The water in and around a timber.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum WaterChoice {
    /// By its salinity, g/kg.
    Salinity(Measured),
    /// By its density, kg/m3.
    Density(Measured),
    /// Sea water of standard salinity.
    Sea,
}

impl WaterChoice {
    /// Reads `fresh`, `sea`, a salinity such as `12 g/kg` or a density such as `1010 kg/m3`.
    ///
    /// # Errors
    /// [`ErrorKind::Quantity`] with what is allowed; brackish water is asked for its salinity.
    pub fn parse(text: &str) -> Result<Self> {
        let wrong = |allowed: &str| {
            Error::new(ErrorKind::Quantity { found: text.trim().to_owned(), allowed: allowed.to_owned() })
        };
        match text.trim().to_lowercase().as_str() {
            "fresh" => return Ok(Self::Salinity(Measured::new(0.0, 0.0))),
            "sea" => return Ok(Self::Sea),
            "brackish" => return Err(wrong("enough to compute with: state its salinity, such as --water \"12 g/kg\"")),
            _ => {}
        }
        let of = |unit: &str| Measured::parse(text, Unit::parse(unit)?);
        if let Ok(salinity) = of("g/kg") {
            return if (0.0..=42.0).contains(&salinity.value) {
                Ok(Self::Salinity(salinity))
            } else {
                Err(wrong("a salinity from 0 to 42 g/kg"))
            };
        }
        match of("kg/m3") {
            Ok(density) if (950.0..=1100.0).contains(&density.value) => Ok(Self::Density(density)),
            Ok(_) => Err(wrong("a density of water from 950 to 1100 kg/m3")),
            Err(_) => Err(wrong(WATERS)),
        }
    }
}

/// A strength or stiffness that the user states for every timber, `MPa`.
#[derive(Debug, Clone, PartialEq)]
pub struct StatedStrength {
    /// The column: `bending_strength`, `compression_parallel`, `shear_parallel`, `compression_perpendicular`, `bending_modulus`; of
    /// a rim that counts `rim_bending_strength`, `rim_compression_parallel`, `rim_shear_parallel`.
    pub property: String,
    /// The value.
    pub value: Measured,
}

/// What a lift is asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct LiftQuestion {
    /// Ways of support.
    pub supports: Vec<SupportChoice>,
    /// Margin and probability, the user's own.
    pub required: Requirement,
    /// Width of slings along the timber, m.
    pub sling_width: Option<f64>,
    /// Angle between slings and level, degrees; `None` takes them as upright, and says so.
    pub sling_angle: Option<f64>,
    /// Dynamic factor.
    pub dynamic: Option<Measured>,
    /// Standard uncertainty of the place of a sling, m.
    pub placing: Option<f64>,
    /// Water in and around the timber.
    pub water: Option<WaterChoice>,
    /// Its temperature, °C.
    pub temperature: Option<Measured>,
    /// Share of the pores that water fills, 0 to 1.
    pub saturation: Option<Measured>,
    /// Share of the water in the pores that is left after draining, 0 to 1: for the drained weight.
    pub drained: Option<Measured>,
    /// What hangs on each timber.
    pub attached: Vec<StatedLoad>,
    /// Whether a hollow drains when it leaves the water.
    pub hollow_drains: bool,
    /// Strengths that are stated; they come before all others.
    pub strengths: Vec<StatedStrength>,
    /// What damage takes from every strength, 0 to 1.
    pub reduction: Option<f64>,
    /// Relative standard uncertainty of every size without one of its own.
    pub size_uncertainty: Option<f64>,
    /// Whether bending strength is lowered for the size of the timber.
    pub size_effect: bool,
    /// Time under load for which strength is lowered, s.
    pub time_under_load: Option<f64>,
    /// Modulus of the rim over that of the core, where the rim is to count as strength; `None` lets it only weigh.
    pub rim_stiffness: Option<f64>,
    /// What is stated of single timbers, by their names; a typed timber is called `timber`.
    pub timbers: BTreeMap<String, StatedTimber>,
    /// Random draws.
    pub draws: usize,
    /// Which pieces of a batch; `None` for all.
    pub condition: Option<String>,
}

impl LiftQuestion {
    /// The usual ways of support, 10 000 draws, and nothing else stated.
    #[must_use]
    pub fn usual() -> Self {
        Self {
            supports: SupportChoice::usual(),
            required: Requirement::default(),
            sling_width: None,
            sling_angle: None,
            dynamic: None,
            placing: None,
            water: None,
            temperature: None,
            saturation: None,
            drained: None,
            attached: Vec::new(),
            hollow_drains: false,
            strengths: Vec::new(),
            reduction: None,
            size_uncertainty: None,
            size_effect: false,
            time_under_load: None,
            rim_stiffness: None,
            timbers: BTreeMap::new(),
            draws: 10_000,
            condition: None,
        }
    }

    /// Reads a factor such as `1.3` or `1.3 ± 0.1`.
    ///
    /// # Errors
    /// [`ErrorKind::Quantity`] with what is allowed.
    ///
    /// # Example
    /// ```
    /// let factor = woodstate::study::LiftQuestion::factor("1.3 ± 0.1")?;
    /// assert_eq!((factor.value, factor.u), (1.3, Some(0.1)));
    /// # Ok::<(), woodstate::error::Error>(())
    /// ```
    pub fn factor(text: &str) -> Result<Measured> {
        let plain = text.replace("+/-", "±").replace("+-", "±");
        let mut numbers =
            plain.split('±').map(|part| part.trim().parse::<f64>().ok().filter(|number| number.is_finite()));
        match (numbers.next().flatten(), numbers.next(), numbers.next()) {
            (Some(value), None, None) => Ok(Measured::of_unknown_uncertainty(value)),
            (Some(value), Some(Some(u)), None) => Ok(Measured::new(value, u)),
            _ => Err(Error::new(ErrorKind::Quantity {
                found: text.trim().to_owned(),
                allowed: "a factor without a unit and with a decimal point, such as \"1.3\" or \"1.3 ± 0.1\""
                    .to_owned(),
            })),
        }
    }

    /// What is stated of a timber alone.
    pub(super) fn of_timber(&self, name: &str) -> StatedTimber {
        self.timbers.get(name).cloned().unwrap_or_default()
    }

    pub(super) fn check(&self) -> Result<()> {
        self.required.check()?;
        let share = |name: &str, value: Option<f64>| match value {
            Some(value) if !(0.0..1.0).contains(&value) => Err(Error::new(ErrorKind::Range {
                name: name.to_owned(),
                value,
                allowed: "a number from 0 to below 1".to_owned(),
            })),
            _ => Ok(()),
        };
        share("reduction for damage", self.reduction)?;
        self.timbers.values().try_for_each(|timber| share("reduction for damage", timber.reduction))?;
        share("uncertainty of sizes", self.size_uncertainty)?;
        match self.rim_stiffness {
            Some(stiffness) => Rim::carrying(0.0, stiffness).map(|_| ()),
            None => Ok(()),
        }
    }
}

/// A timber of which only sizes and density are known; lengths in m, densities in kg/m3.
#[derive(Debug, Clone, PartialEq)]
pub struct TypedTimber {
    /// Length.
    pub length: Measured,
    /// Width at the start, and at the end where it changes.
    pub width: Option<(Measured, Option<f64>)>,
    /// Height at the start, and at the end where it changes.
    pub height: Option<(Measured, Option<f64>)>,
    /// Diameter at the start, and at the end where it changes.
    pub diameter: Option<(Measured, Option<f64>)>,
    /// Diameter of a hollow all along.
    pub bore: Option<f64>,
    /// Basic density of the core, or of all of it.
    pub basic_density: Measured,
    /// Depth of the soft rim, m, and its basic density.
    pub rim: Option<(Measured, Measured)>,
    /// Its wood.
    pub taxon: Option<String>,
}
