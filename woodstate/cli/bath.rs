//! `woodstate bath`: mix, wash, time, freeze.

use std::path::PathBuf;

use clap::{Args, Subcommand};
use woodstate::error::{Error, ErrorKind, Result};
use woodstate::quantity::{Measured, Unit};
use woodstate::report::{
    BathOutcome, bath_ending, bath_file, bath_freeze_plain, bath_freeze_view, bath_mix_plain, bath_mix_view,
    bath_time_plain, bath_time_view, bath_wash_plain, bath_wash_view, findings_view,
};
use woodstate::study::{
    BathPiece, BathPlan, BathWood, FreezeQuestion, SafetyForm, Study, assess, bath_freeze, bath_mix, bath_time,
    bath_wash, bath_water_density, choose,
};
use woodstate::table::{Overwrite, TextStyle, write_file};

use crate::args::{CommonArgs, ReadingArgs};
use crate::assess::said;
use crate::output::{Ending, Output};
use crate::{Outcome, input, progress};

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

/// Reads the wood, computes, shows, writes.
pub fn run(arguments: &BathArgs, output: &Output) -> Outcome {
    match &arguments.what {
        BathCommand::Mix(arguments) => mix(arguments, output),
        BathCommand::Wash(arguments) => wash(arguments, output),
        BathCommand::Time(arguments) => time(arguments, output),
        BathCommand::Freeze(arguments) => freeze(arguments, output),
    }
}

fn mix(arguments: &MixArgs, output: &Output) -> Outcome {
    let ending = ending(&arguments.wood)?;
    let (study, plan) = planned(
        &arguments.wood,
        &[
            ("tank", &arguments.tank),
            ("impregnant", &arguments.impregnant),
            ("apparent_volume", &arguments.apparent_volume),
            ("impregnant_density", &arguments.impregnant_density),
            ("temperature", &arguments.temperature),
            ("steps", &arguments.steps),
            ("bound_water", &arguments.bound_water),
            ("excluded_water", &arguments.excluded_water),
        ],
    )?;
    let wood = wood(&arguments.wood, &arguments.stated, &study, &plan, output)?;
    let outcome = bath_mix(&wood, &plan)?;
    written(&arguments.wood, ending, BathOutcome::Mixing(&outcome), output)?;
    output.result(&outcome, || bath_mix_view(&outcome), || bath_mix_plain(&outcome))?;
    Ok(ended(
        wood.timbers.iter().any(|timber| timber.not_counted.is_some()),
        arguments.wood.strict && !outcome.cautions.is_empty(),
    ))
}

fn wash(arguments: &WashArgs, output: &Output) -> Outcome {
    let ending = ending(&arguments.wood)?;
    let (study, plan) = planned(
        &arguments.wood,
        &[
            ("tank", &arguments.tank),
            ("temperature", &arguments.temperature),
            ("salt_left", &arguments.salt_left),
            ("agent", &arguments.agent),
            ("hardness", &arguments.hardness),
            ("base", &arguments.base),
        ],
    )?;
    let wood = wood(&arguments.wood, &arguments.stated, &study, &plan, output)?;
    let outcome = bath_wash(&wood, &plan)?;
    written(&arguments.wood, ending, BathOutcome::Washing(&outcome), output)?;
    output.result(&outcome, || bath_wash_view(&outcome), || bath_wash_plain(&outcome))?;
    Ok(ended(
        wood.timbers.iter().any(|timber| timber.not_counted.is_some()),
        arguments.wood.strict && !outcome.cautions.is_empty(),
    ))
}

fn time(arguments: &TimeArgs, output: &Output) -> Outcome {
    let ending = ending(&arguments.wood)?;
    let (study, plan) = planned(
        &arguments.wood,
        &[
            ("diffusivity", &arguments.diffusivity),
            ("diffusivity_along", &arguments.diffusivity_along),
            ("diffusivity_rim", &arguments.diffusivity_rim),
            ("diffusivity_temperature", &arguments.diffusivity_temperature),
            ("activation_energy", &arguments.activation_energy),
            ("temperature", &arguments.temperature),
            ("tank", &arguments.tank),
            ("impregnant", &arguments.impregnant),
            ("apparent_volume", &arguments.apparent_volume),
            ("steps", &arguments.steps),
            ("second_impregnant", &arguments.second_impregnant),
            ("second_apparent_volume", &arguments.second_apparent_volume),
            ("second_steps", &arguments.second_steps),
            ("second_diffusivity", &arguments.second_diffusivity),
        ],
    )?;
    let none = StatedWoodArgs { wood_volume: None, wood_water: None, wood_dry_mass: None };
    let (pieces, wood) = match &arguments.wood.file {
        Some(_) => {
            let wood = wood(&arguments.wood, &none, &study, &plan, output)?;
            (wood.timbers.iter().map(BathPiece::of).collect::<Vec<_>>(), Some(wood))
        }
        None => {
            let size = |text: &Option<String>| text.as_deref().map(|text| exact(text, "mm")).transpose();
            let sides = [size(&arguments.width)?, size(&arguments.height)?];
            let piece =
                BathPiece::stated(size(&arguments.diameter)?, sides, size(&arguments.length)?, size(&arguments.rim)?)?;
            (vec![piece], None)
        }
    };
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    let outcome = progress::watched(output.is_quiet, |watch| bath_time(&pieces, wood.as_ref(), &plan, threads, watch))?;
    written(&arguments.wood, ending, BathOutcome::Timing(&outcome), output)?;
    output.result(&outcome, || bath_time_view(&outcome), || bath_time_plain(&outcome))?;
    Ok(ended(
        outcome.timbers.iter().any(|timber| timber.not_computed.is_some()),
        arguments.wood.strict && !outcome.cautions.is_empty(),
    ))
}

fn freeze(arguments: &FreezeArgs, output: &Output) -> Outcome {
    let question = FreezeQuestion {
        wood_temperature: exact(&arguments.wood_temperature, "Cel")?,
        chamber_pressure: exact(&arguments.chamber_pressure, "Pa")?,
        eutectic: arguments.eutectic.as_deref().map(|text| exact(text, "Cel")).transpose()?,
        safety: form(arguments.safety.as_deref()).unwrap_or_default(),
    };
    let outcome = bath_freeze(&question)?;
    output.result(&outcome, || bath_freeze_view(&outcome), || bath_freeze_plain(&outcome))?;
    Ok(ended(false, arguments.strict && !outcome.cautions.is_empty()))
}

fn ended(is_partial: bool, is_strict: bool) -> Ending {
    match (is_partial, is_strict) {
        (true, _) => Ending::NotAssessed,
        (false, true) => Ending::Cautions,
        (false, false) => Ending::Done,
    }
}

fn ending(arguments: &WoodArgs) -> Result<Option<&'static str>> {
    arguments.out.as_deref().map(bath_ending).transpose()
}

fn form(word: Option<&str>) -> Option<SafetyForm> {
    SafetyForm::ALL.into_iter().find(|form| Some(form.word()) == word)
}

/// The study, and its plan with what was typed on top.
fn planned(arguments: &WoodArgs, typed: &[(&str, &Option<String>)]) -> Result<(Study, BathPlan)> {
    let study = match (&arguments.study, &arguments.file) {
        (Some(path), _) => Study::open(path)?,
        (None, Some(file)) => Study::beside(file)?.map_or_else(Study::unstated, Ok)?,
        (None, None) => Study::unstated()?,
    };
    let study = input::read_as(study, &arguments.reading);
    let mut plan = study.bath.clone();
    for (key, text) in typed {
        if let Some(text) = text {
            plan.set(key, text).map_err(|error| named(error, key))?;
        }
    }
    plan.safety = form(arguments.safety.as_deref()).unwrap_or(plan.safety);
    Ok((study, plan))
}

/// The same error with the option it is about.
fn named(error: Error, key: &str) -> Error {
    match error.kind() {
        ErrorKind::Quantity { .. } | ErrorKind::Unit { .. } => {
            error.hint_if_none(format!("this is about --{}", key.replace('_', "-")))
        }
        _ => error,
    }
}

/// A quantity without uncertainty.
fn exact(text: &str, unit: &str) -> Result<f64> {
    Ok(Measured::parse(text, Unit::parse(unit)?)?.value)
}

/// The wood of a file, or as it was typed.
fn wood(
    arguments: &WoodArgs,
    stated: &StatedWoodArgs,
    study: &Study,
    plan: &BathPlan,
    output: &Output,
) -> Result<BathWood> {
    // Water of another temperature differs by less than a hundredth; what needs the temperature asks for it.
    let density = bath_water_density(plan.temperature.unwrap_or(ROOM))?;
    let Some(file) = &arguments.file else {
        let (Some(volume), Some(water)) = (&stated.wood_volume, &stated.wood_water) else {
            let what = "how much wood lies in the tank".to_owned();
            let cure = "name a file with samples and timbers, or give --wood-volume and --wood-water".to_owned();
            return Err(Error::missing(what, cure));
        };
        let dry = stated.wood_dry_mass.as_deref().map(|text| exact(text, "kg")).transpose()?;
        return BathWood::stated(exact(volume, "L")?, exact(water, "kg")?, dry, density);
    };
    progress::watched(output.is_quiet, |watch| {
        let batch = woodstate::table::read_batch(file, &study.read, watch)?;
        let batch = match &arguments.condition {
            Some(condition) => choose(batch, condition)?,
            None => batch,
        };
        let assessment = assess(study, batch, watch)?;
        output.note(&findings_view(&said(&assessment.findings)));
        BathWood::of(study, &assessment, density, watch)
    })
}

/// Temperature of a room, °C.
const ROOM: f64 = 20.0;

fn written(
    arguments: &WoodArgs,
    ending: Option<&'static str>,
    outcome: BathOutcome<'_>,
    output: &Output,
) -> Result<()> {
    let (Some(path), Some(ending)) = (arguments.out.as_deref(), ending) else { return Ok(()) };
    let read = arguments.file.iter().chain(&arguments.study).filter_map(|path| path.to_str());
    input::spare(read, path)?;
    let style = TextStyle { decimal: input::mark(&arguments.out_decimal), delimiter: ',' };
    let overwrite = if arguments.force { Overwrite::Force } else { Overwrite::IfOurs };
    write_file(path, &bath_file(outcome, ending, style)?, overwrite)?;
    output.line(&format!("Wrote {}.", path.display()));
    Ok(())
}
