//! The line on which saturated wood lies: water content and density of a piece whose every pore holds water.

use crate::error::Result;
use crate::numeric::normal_quantile;
use crate::reference::Reference;
use crate::state::{max_water_content_of_density, water_density};

use super::Assessment;

/// Maximum water content of saturated wood by its basic density.
#[derive(Debug, Clone, PartialEq)]
pub struct SaturatedLine {
    /// Basic density, kg/m3, falling.
    pub basic_density: Vec<f64>,
    /// Maximum water content, %.
    pub max_water_content: Vec<f64>,
    /// Where it lies for a cell wall as light and as dense as its uncertainty allows, %; `None` where that is unknown.
    pub band: Option<Vec<[f64; 2]>>,
    /// Density of the cell wall, kg/m3, and its standard uncertainty.
    pub cell_wall_density: (f64, Option<f64>),
    /// Density of the water in the pores, kg/m3.
    pub water_density: f64,
    /// Coverage of the band.
    pub coverage: f64,
}

/// Temperature at which water is taken where none is stated, °C.
const ROOM: f64 = 20.0;

/// The line of saturated wood from one density to another, for the cell wall and the water of the settings.
///
/// * `densities`: basic density, from and to, kg/m3
///
/// # Errors
/// [`ErrorKind::Range`](crate::error::ErrorKind::Range) for a coverage that is not between 0 and 1.
///
/// # Source
/// [`max_water_content_of_density`].
pub fn saturated_line(assessment: &Assessment, densities: [f64; 2]) -> Result<SaturatedLine> {
    const STEPS: u32 = 160;
    let settings = &assessment.settings;
    let wall = &settings.cell_wall_density;
    let of = |stated: &Option<super::Stated>| stated.as_ref().map(|stated| stated.value);
    let salinity = of(&settings.pore_salinity).unwrap_or(0.0);
    let temperature = of(&settings.weighing_temperature).unwrap_or(ROOM);
    let water = match of(&settings.water_density) {
        Some(density) => density,
        None => water_density(temperature, salinity, Reference::shipped()?.water()),
    };
    let [from, to] = densities;
    let highest = wall.value.min(to.max(from));
    let lowest = from.min(to).max(1.0).min(highest);
    // Steps of equal ratio: the line is steep where wood is light.
    let ratio = (lowest / highest).ln();
    let density = |step: u32| highest * (ratio * f64::from(step) / f64::from(STEPS)).exp();
    let basic_density: Vec<f64> = (0..=STEPS).map(density).collect();
    let content = |density: f64, wall: f64| max_water_content_of_density(density, water, wall, salinity).max(0.0);
    let reach = normal_quantile(0.5 + settings.coverage / 2.0)?;
    let band = wall.u.map(|u| {
        let ends = |density: &f64| {
            [content(*density, (wall.value - reach * u).max(*density)), content(*density, wall.value + reach * u)]
        };
        basic_density.iter().map(ends).collect()
    });
    Ok(SaturatedLine {
        max_water_content: basic_density.iter().map(|density| content(*density, wall.value)).collect(),
        basic_density,
        band,
        cell_wall_density: (wall.value, wall.u),
        water_density: water,
        coverage: settings.coverage,
    })
}
