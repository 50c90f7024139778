//! Arguments of `woodstate bath`.

use std::path::PathBuf;

use clap::{Args, Subcommand};

use crate::args::{CommonArgs, ReadingArgs};

/// Arguments of `bath`.
#[derive(Debug, Args)]
pub struct BathArgs {
    /// What about the bath.
    #[command(subcommand)]
    pub what: BathCommand,
}

/// What about the bath.
#[derive(Debug, Subcommand)]
pub enum BathCommand {
    /// What to weigh for a tank, and what the wood will hold
    Mix(MixArgs),
    /// How many baths of clean water; the least of chelating agent and base
    Wash(WashArgs),
    /// How long until the wood has come near its bath
    Time(TimeArgs),
    /// Whether ice in the wood can dry at the pressure of a chamber
    Freeze(FreezeArgs),
}

/// The wood, and what is done with the answer.
#[derive(Debug, Args)]
pub struct WoodArgs {
    /// Workbook, text file, or folder with samples and timbers; without it the wood is typed
    pub file: Option<PathBuf>,
    /// Study file; without it, woodstate.toml beside the data
    #[arg(long, value_name = "FILE")]
    pub study: Option<PathBuf>,
    /// How to read it.
    #[command(flatten)]
    pub reading: ReadingArgs,
    /// Which rows: a condition on columns, such as "timber in ('B01', 'B02')"
    #[arg(long = "where", value_name = "CONDITION")]
    pub condition: Option<String>,
    /// Write a file: all as .json, one row a bath or timber as .csv or .tsv
    #[arg(long, short, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// Decimal mark in a .csv or .tsv that is written
    #[arg(long, value_name = "MARK", value_parser = [".", ","], default_value = ".")]
    pub out_decimal: String,
    /// Replace a file that woodstate did not write
    #[arg(long)]
    pub force: bool,
    /// Safety notes: long or short
    #[arg(long, value_name = "FORM", value_parser = ["long", "short"])]
    pub safety: Option<String>,
    /// Exit with 4 if any caution was raised
    #[arg(long)]
    pub strict: bool,
    /// How to show it.
    #[command(flatten)]
    pub common: CommonArgs,
}

/// Wood that is typed.
#[derive(Debug, Args)]
pub struct StatedWoodArgs {
    /// Volume of the wood, such as "80 L"
    #[arg(long, value_name = "VOLUME", requires = "wood_water", conflicts_with = "file")]
    pub wood_volume: Option<String>,
    /// Water in the wood, such as "68.6 kg"
    #[arg(long, value_name = "MASS", requires = "wood_volume")]
    pub wood_water: Option<String>,
    /// Oven-dry mass of the wood, such as "17.1 kg"
    #[arg(long, value_name = "MASS", requires = "wood_volume")]
    pub wood_dry_mass: Option<String>,
}

/// Arguments of `bath mix`.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  woodstate bath mix datasets-demo/harbour/harbour.xlsx --where \"timber in ('B01', 'B02')\" --tank \"2400 L\" --temperature \"20 Cel\" --impregnant \"PEG 2000\" --steps \"10 % by mass, 20 % by mass\"\n  woodstate bath mix --wood-volume \"80 L\" --wood-water \"68.6 kg\" --tank \"300 L\" --temperature \"20 Cel\" --impregnant \"PEG 2000\" --steps \"10 % by mass\""
)]
pub struct MixArgs {
    /// The wood.
    #[command(flatten)]
    pub wood: WoodArgs,
    /// The wood, typed.
    #[command(flatten)]
    pub stated: StatedWoodArgs,
    /// Volume of the tank up to the level of the bath, wood included, such as "2400 L"
    #[arg(long, value_name = "VOLUME")]
    pub tank: Option<String>,
    /// Name of the impregnant, such as "PEG 2000"
    #[arg(long, value_name = "NAME")]
    pub impregnant: Option<String>,
    /// Volume that 1 g of it takes up in water, such as "0.837 ± 0.003 cm3/g"
    #[arg(long, value_name = "VALUE")]
    pub apparent_volume: Option<String>,
    /// Density of the pure impregnant, such as "1125 kg/m3"
    #[arg(long, value_name = "VALUE")]
    pub impregnant_density: Option<String>,
    /// Temperature of the bath, such as "20 Cel"
    #[arg(long, value_name = "VALUE")]
    pub temperature: Option<String>,
    /// Strengths that bath and wood come to, such as "10 % by mass, 20 % by mass" or "104 g/L"
    #[arg(long, value_name = "STRENGTHS")]
    pub steps: Option<String>,
    /// Water that cell walls hold when all else is gone, such as "30 %" of oven-dry mass
    #[arg(long, value_name = "SHARE")]
    pub bound_water: Option<String>,
    /// Water in the wood that the molecules do not reach, such as "20 %" of oven-dry mass
    #[arg(long, value_name = "SHARE")]
    pub excluded_water: Option<String>,
}

/// Arguments of `bath wash`.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  woodstate bath wash datasets-demo/harbour/harbour.xlsx --where \"timber in ('B01', 'B02')\" --tank \"2400 L\" --salt-left \"1 %\"\n  woodstate bath wash --wood-volume \"80 L\" --wood-water \"68.6 kg\" --tank \"400 L\" --salt-left \"1 %\" --agent EDTA --hardness \"2.5 mmol/L\""
)]
pub struct WashArgs {
    /// The wood.
    #[command(flatten)]
    pub wood: WoodArgs,
    /// The wood, typed.
    #[command(flatten)]
    pub stated: StatedWoodArgs,
    /// Volume of the tank up to the level of the bath, wood included, such as "2400 L"
    #[arg(long, value_name = "VOLUME")]
    pub tank: Option<String>,
    /// Temperature of the bath, such as "20 Cel"
    #[arg(long, value_name = "VALUE")]
    pub temperature: Option<String>,
    /// Share of the salts that may be left, such as "1 %"
    #[arg(long, value_name = "SHARE")]
    pub salt_left: Option<String>,
    /// A chelating agent, such as "disodium EDTA"
    #[arg(long, value_name = "NAME")]
    pub agent: Option<String>,
    /// Calcium and magnesium of the water, such as "2.5 mmol/L"
    #[arg(long, value_name = "VALUE")]
    pub hardness: Option<String>,
    /// A base, such as "sodium hydrogen carbonate"
    #[arg(long, value_name = "NAME")]
    pub base: Option<String>,
}

/// Arguments of `bath time`.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  woodstate bath time --diameter \"100 mm\" --diffusivity \"1e-12 to 1e-10 m2/s\"\n  woodstate bath time datasets-demo/harbour/harbour.xlsx --impregnant \"PEG 2000\" --temperature \"20 Cel\" --steps \"10 % by mass for 90 d, 20 % by mass for 90 d\""
)]
pub struct TimeArgs {
    /// The wood.
    #[command(flatten)]
    pub wood: WoodArgs,
    /// Diameter of a round piece, such as "100 mm"
    #[arg(long, value_name = "SIZE", conflicts_with_all = ["width", "height", "file"])]
    pub diameter: Option<String>,
    /// Width of a rectangular piece, such as "250 mm"
    #[arg(long, value_name = "SIZE", requires = "height", conflicts_with = "file")]
    pub width: Option<String>,
    /// Its height, such as "60 mm"
    #[arg(long, value_name = "SIZE", requires = "width")]
    pub height: Option<String>,
    /// Its length, such as "2 m"; counts where --diffusivity-along is given
    #[arg(long, value_name = "SIZE", conflicts_with = "file")]
    pub length: Option<String>,
    /// Depth of its soft rim, such as "15 mm"; counts where --diffusivity-rim is given
    #[arg(long, value_name = "DEPTH", conflicts_with = "file")]
    pub rim: Option<String>,
    /// Diffusivity across the grain, such as "1e-12 to 1e-10 m2/s"
    #[arg(long, value_name = "VALUE")]
    pub diffusivity: Option<String>,
    /// Diffusivity along the grain
    #[arg(long, value_name = "VALUE")]
    pub diffusivity_along: Option<String>,
    /// Diffusivity of the soft rim across the grain
    #[arg(long, value_name = "VALUE")]
    pub diffusivity_rim: Option<String>,
    /// Temperature at which the diffusivities hold, such as "20 Cel"
    #[arg(long, value_name = "VALUE")]
    pub diffusivity_temperature: Option<String>,
    /// Activation energy of diffusion, such as "36.5 ± 3 kJ/mol"
    #[arg(long, value_name = "VALUE")]
    pub activation_energy: Option<String>,
    /// Temperature of the bath, such as "20 Cel"
    #[arg(long, value_name = "VALUE")]
    pub temperature: Option<String>,
    /// Volume of the tank with the wood in it: the bath then grows poorer
    #[arg(long, value_name = "VOLUME", requires = "file")]
    pub tank: Option<String>,
    /// Name of the impregnant, where baths follow one another
    #[arg(long, value_name = "NAME")]
    pub impregnant: Option<String>,
    /// Volume that 1 g of it takes up in water
    #[arg(long, value_name = "VALUE")]
    pub apparent_volume: Option<String>,
    /// The baths one after the other, such as "10 % by mass for 60 d, 20 % by mass for 60 d"
    #[arg(long, value_name = "BATHS")]
    pub steps: Option<String>,
    /// An impregnant that follows in baths of its own
    #[arg(long, value_name = "NAME", requires = "second_steps")]
    pub second_impregnant: Option<String>,
    /// Volume that 1 g of it takes up in water
    #[arg(long, value_name = "VALUE")]
    pub second_apparent_volume: Option<String>,
    /// Its baths
    #[arg(long, value_name = "BATHS", requires = "second_impregnant")]
    pub second_steps: Option<String>,
    /// Its diffusivity across the grain
    #[arg(long, value_name = "VALUE")]
    pub second_diffusivity: Option<String>,
}

/// Arguments of `bath freeze`.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  woodstate bath freeze --wood-temperature \"-30 Cel\" --chamber-pressure \"10 Pa\"")]
pub struct FreezeArgs {
    /// Temperature in the centre of the wood, such as "-30 Cel"
    #[arg(long, value_name = "VALUE", allow_hyphen_values = true)]
    pub wood_temperature: String,
    /// Pressure in the chamber at the wood, such as "10 Pa" or "0.1 mbar"
    #[arg(long, value_name = "VALUE")]
    pub chamber_pressure: String,
    /// Eutectic temperature of the solution in the wood, as measured or stated by whoever supplies the impregnant
    #[arg(long, value_name = "VALUE", allow_hyphen_values = true)]
    pub eutectic: Option<String>,
    /// Safety notes: long or short
    #[arg(long, value_name = "FORM", value_parser = ["long", "short"])]
    pub safety: Option<String>,
    /// Exit with 4 if any caution was raised
    #[arg(long)]
    pub strict: bool,
    /// How to show it.
    #[command(flatten)]
    pub common: CommonArgs,
}

impl BathArgs {
    /// How to show it.
    pub fn common(&self) -> &CommonArgs {
        match &self.what {
            BathCommand::Mix(mix) => &mix.wood.common,
            BathCommand::Wash(wash) => &wash.wood.common,
            BathCommand::Time(time) => &time.wood.common,
            BathCommand::Freeze(freeze) => &freeze.common,
        }
    }
}
