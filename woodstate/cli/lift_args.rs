//! What is typed of a lift: one timber, its handling, its strengths.

use std::collections::BTreeMap;

use clap::Args;
use woodstate::error::Result;
use woodstate::study::{StatedStation, StatedTimber, TypedTimber};

/// One timber that is typed, each size with its unit, and with ± where it is known.
#[derive(Debug, Args)]
#[command(next_help_heading = "One timber")]
pub struct TimberArgs {
    /// Length, such as 6m or "6 ± 0.05 m"
    #[arg(long, value_name = "LENGTH")]
    pub length: Option<String>,
    /// Width across, such as 250mm
    #[arg(long, value_name = "LENGTH")]
    pub width: Option<String>,
    /// Height, as it hangs; a plank lying flat is wider than high
    #[arg(long, value_name = "LENGTH")]
    pub height: Option<String>,
    /// Diameter of a round timber
    #[arg(long, value_name = "LENGTH")]
    pub diameter: Option<String>,
    /// Diameter of a hollow right through
    #[arg(long, value_name = "LENGTH")]
    pub bore: Option<String>,
    /// Width at the other end, where the timber grows thinner
    #[arg(long, value_name = "LENGTH", requires = "width")]
    pub end_width: Option<String>,
    /// Height at the other end
    #[arg(long, value_name = "LENGTH", requires = "height")]
    pub end_height: Option<String>,
    /// Diameter at the other end
    #[arg(long, value_name = "LENGTH", requires = "diameter")]
    pub end_diameter: Option<String>,
    /// Section at a place along a timber that changes: "0 m: 300 x 250 mm" (width x height), "2 m: 280 mm" (diameter) or
    /// "2 m: 280 mm, bore 120 mm"; one for each place, from 0 to the length
    #[arg(long, value_name = "STATION")]
    pub station: Vec<String>,
    /// Basic density: oven-dry mass over waterlogged volume, such as 560kg/m3 or "560 ± 30 kg/m3"
    #[arg(long, value_name = "DENSITY")]
    pub basic_density: Option<String>,
    /// Depth of the soft rim
    #[arg(long, value_name = "LENGTH", requires = "rim_density")]
    pub rim: Option<String>,
    /// Basic density of the soft rim; --basic-density is then that of the core
    #[arg(long, value_name = "DENSITY", requires = "rim")]
    pub rim_density: Option<String>,
    /// Wood, such as oak or "Pinus sylvestris": for handbook strengths
    #[arg(long, value_name = "WOOD")]
    pub taxon: Option<String>,
}

/// How a timber is supported and handled; what is required is yours to state.
#[derive(Debug, Args)]
#[command(next_help_heading = "Support and handling")]
pub struct HandlingArgs {
    /// tray, slings:best, slings:0.2071 (share of the length from each end), slings:1.2m, slings:0.2,0.25, equalised:4,
    /// fixed:0.1,0.5,0.9, ground:best, ground:0.2929; may be repeated
    #[arg(long, value_name = "WAY")]
    pub support: Vec<String>,
    /// Least margin of strength over stress that you require; none is proposed, since none has been published
    #[arg(long, value_name = "NUMBER")]
    pub required_margin: Option<f64>,
    /// Probability with which the margin may be missed, such as 1%
    #[arg(long, value_name = "SHARE")]
    pub accepted_probability: Option<String>,
    /// Water in and around the timber: fresh, sea, a salinity such as "12 g/kg", a density such as "1010 kg/m3"
    #[arg(long, value_name = "WATER")]
    pub water: Option<String>,
    /// Temperature of the water, such as "8 ± 2 Cel"
    #[arg(long, value_name = "TEMPERATURE")]
    pub temperature: Option<String>,
    /// Share of the pores that water fills, such as "80 ± 10 %"; without it all
    #[arg(long, value_name = "SHARE")]
    pub saturation: Option<String>,
    /// Share of the water in the pores that is left after draining, such as "70 ± 10 %": tells the drained weight
    #[arg(long, value_name = "SHARE")]
    pub drained: Option<String>,
    /// Concretion, metal or sediment on each timber: "40 ± 10 kg of 2600 kg/m3" (over its length), "bolt: 12 kg of 7800 kg/m3
    /// at 1.5 m" or "8 kg of 2600 kg/m3 from 0 m to 2 m"; "none" where nothing hangs there; may be repeated
    #[arg(long, value_name = "LOAD")]
    pub attached: Vec<String>,
    /// A hollow loses its water when it leaves the water
    #[arg(long)]
    pub hollow_drains: bool,
    /// Width of each sling along the timber, such as 100mm
    #[arg(long, value_name = "LENGTH")]
    pub sling_width: Option<String>,
    /// Angle between slings and level in degrees; 90 hangs upright, as from a spreader
    #[arg(long, value_name = "DEGREES")]
    pub sling_angle: Option<f64>,
    /// Dynamic factor for jerks and swell, such as "1.3 ± 0.1"
    #[arg(long, value_name = "NUMBER")]
    pub dynamic: Option<String>,
    /// Standard uncertainty of the place of a sling, such as 50mm
    #[arg(long, value_name = "LENGTH")]
    pub placing: Option<String>,
    /// What cracks, borers and holes take from every strength, such as 30%
    #[arg(long, value_name = "SHARE")]
    pub reduction: Option<String>,
    /// Standard uncertainty of every size that has none of its own, such as 2%
    #[arg(long, value_name = "SHARE")]
    pub size_uncertainty: Option<String>,
    /// Lower bending strength for the size of the timber (dry Douglas-fir, handbook)
    #[arg(long)]
    pub size_effect: bool,
    /// Lower strength for a load that lasts, such as 2h (dry wood, curve of Madison)
    #[arg(long, value_name = "TIME")]
    pub time_under_load: Option<String>,
    /// Modulus of the soft rim over that of the core, such as 20%, to let the rim count as strength; without it the rim only weighs
    #[arg(long, value_name = "SHARE")]
    pub rim_stiffness: Option<String>,
}

/// Strengths that are stated for every timber, before damage, size and time.
#[derive(Debug, Args)]
#[command(next_help_heading = "Strengths, where you know them")]
pub struct StrengthArgs {
    /// Bending strength (modulus of rupture), such as "12 ± 3 MPa"
    #[arg(long, value_name = "STRESS")]
    pub bending_strength: Option<String>,
    /// Compression strength along the grain
    #[arg(long, value_name = "STRESS")]
    pub compression_parallel: Option<String>,
    /// Shear strength along the grain
    #[arg(long, value_name = "STRESS")]
    pub shear_parallel: Option<String>,
    /// Compression across the grain at the proportional limit, of the surface
    #[arg(long, value_name = "STRESS")]
    pub compression_perpendicular: Option<String>,
    /// Modulus of elasticity, for the sag
    #[arg(long, value_name = "STRESS")]
    pub bending_modulus: Option<String>,
    /// Bending strength of a soft rim that counts
    #[arg(long, value_name = "STRESS", requires = "rim_stiffness")]
    pub rim_bending_strength: Option<String>,
    /// Its compression strength along the grain
    #[arg(long, value_name = "STRESS", requires = "rim_stiffness")]
    pub rim_compression_parallel: Option<String>,
    /// Its shear strength along the grain
    #[arg(long, value_name = "STRESS", requires = "rim_stiffness")]
    pub rim_shear_parallel: Option<String>,
}

impl TimberArgs {
    pub fn is_typed(&self) -> bool {
        let all = [
            &self.length,
            &self.width,
            &self.height,
            &self.diameter,
            &self.bore,
            &self.basic_density,
            &self.rim,
            &self.taxon,
        ];
        all.into_iter().any(Option::is_some) || !self.station.is_empty()
    }

    /// What the study file has no other place for: sections along the typed timber.
    pub fn stated(&self) -> Result<StatedTimber> {
        let stations = self.station.iter().map(|text| StatedStation::parse(text)).collect::<Result<_>>()?;
        Ok(StatedTimber { stations, ..StatedTimber::default() })
    }

    pub fn timber(&self) -> Result<TypedTimber> {
        TypedTimber::parse(&typed([
            ("length", &self.length),
            ("width", &self.width),
            ("height", &self.height),
            ("diameter", &self.diameter),
            ("bore", &self.bore),
            ("end_width", &self.end_width),
            ("end_height", &self.end_height),
            ("end_diameter", &self.end_diameter),
            ("basic_density", &self.basic_density),
            ("rim", &self.rim),
            ("rim_density", &self.rim_density),
            ("taxon", &self.taxon),
        ]))
    }
}

/// Keys with what was typed of them.
fn typed<'a, const N: usize>(all: [(&'static str, &'a Option<String>); N]) -> BTreeMap<&'static str, &'a str> {
    all.into_iter().filter_map(|(key, text)| Some((key, text.as_deref()?))).collect()
}

/// Texts by a reader of their own; `None` where none was typed.
pub fn each<T>(texts: &[String], read: fn(&str) -> Result<T>) -> Result<Option<Vec<T>>> {
    let read = texts.iter().map(|text| read(text)).collect::<Result<Vec<_>>>()?;
    Ok((!read.is_empty()).then_some(read))
}

impl StrengthArgs {
    /// Keys with what was typed of them.
    pub fn typed(&self) -> BTreeMap<&'static str, &str> {
        typed([
            ("bending_strength", &self.bending_strength),
            ("compression_parallel", &self.compression_parallel),
            ("shear_parallel", &self.shear_parallel),
            ("compression_perpendicular", &self.compression_perpendicular),
            ("bending_modulus", &self.bending_modulus),
            ("rim_bending_strength", &self.rim_bending_strength),
            ("rim_compression_parallel", &self.rim_compression_parallel),
            ("rim_shear_parallel", &self.rim_shear_parallel),
        ])
    }
}

impl HandlingArgs {
    /// Keys with what was typed of them.
    pub fn typed(&self) -> BTreeMap<&'static str, &str> {
        typed([
            ("accepted_probability", &self.accepted_probability),
            ("sling_width", &self.sling_width),
            ("dynamic", &self.dynamic),
            ("placing", &self.placing),
            ("water", &self.water),
            ("temperature", &self.temperature),
            ("saturation", &self.saturation),
            ("drained", &self.drained),
            ("reduction", &self.reduction),
            ("size_uncertainty", &self.size_uncertainty),
            ("time_under_load", &self.time_under_load),
            ("rim_stiffness", &self.rim_stiffness),
        ])
    }
}
