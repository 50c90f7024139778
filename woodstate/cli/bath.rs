//! `woodstate bath`: mix, wash, time, freeze.

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

use crate::assess::said;
use crate::bath_args::{BathArgs, BathCommand, FreezeArgs, MixArgs, StatedWoodArgs, TimeArgs, WashArgs, WoodArgs};
use crate::output::{Ending, Output};
use crate::{Outcome, input, progress};

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
