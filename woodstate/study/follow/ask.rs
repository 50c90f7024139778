//! What the study file should answer: nothing that decides has a default.

use super::FollowOptions;
use super::log::Entry;
use super::outcome::{FollowAsk, TankCourse, TimberCourse, TreatedTimber};
use super::tank::{MOVED, range};

/// What the study file should answer.
pub(super) fn questions(
    asked: &FollowOptions,
    entries: &[Entry],
    timbers: &[TimberCourse],
    tanks: &[TankCourse],
    treated: &[TreatedTimber],
) -> Vec<FollowAsk> {
    let mut questions = Vec::new();
    let mut ask = |is: bool, key: &'static str, text: String, line: &str| {
        if is {
            questions.push(FollowAsk { key, text, line: line.to_owned() });
        }
    };
    let is_impregnated = tanks.iter().any(|tank| !tank.strengths.is_empty());
    let is_fitted = timbers.iter().any(|timber| timber.diffusivity.is_some());
    ask(
        is_impregnated && asked.target.is_none(),
        "target",
        "which share of the concentration of the bath shall the timbers reach? Without it no day is foretold."
            .to_owned(),
        "target = \"90 %\"",
    );
    let unnamed: Vec<&str> = tanks
        .iter()
        .filter(|tank| !tank.strengths.is_empty() && tank.impregnant.is_none())
        .map(|tank| tank.tank.as_deref().unwrap_or("unnamed"))
        .collect();
    ask(
        !unnamed.is_empty(),
        "impregnant",
        format!("what is in {}? A bath of sugar is watched for fermenting.", unnamed.join(", ")),
        "impregnant = \"sucrose\"",
    );
    let is_without = entries.iter().any(|entry| {
        entry.mass_fraction.is_some_and(|found| found > 0.0)
            && entry.mass_per_volume.is_none()
            && asked.of_tank(entry.tank.as_deref()).apparent_volume.is_none()
    });
    ask(
        is_without,
        "apparent_volume",
        "which volume does 1 g of the impregnant take up in the solution? It joins % by mass and g/L.".to_owned(),
        "apparent_volume = \"0.84 cm3/g\"",
    );
    let is_stepped = |tank: &TankCourse| {
        let values = tank.strengths.iter().map(|strength| strength.value);
        range(values) > 0.0 && asked.of_tank(tank.tank.as_deref()).step.is_none()
    };
    ask(
        tanks.iter().any(is_stepped),
        "step",
        "how large is a step of the plan? Without it no addition is judged.".to_owned(),
        "step = \"10 %\"",
    );
    let is_open = timbers
        .iter()
        .any(|timber| timber.shape.is_some() && timber.diffusivity.is_none() && !timber.weighings.is_empty());
    ask(
        is_impregnated && is_open && asked.diffusivity.is_none(),
        "diffusivity",
        "between which two diffusivities may the wood lie where the masses do not tell? For whole timbers next to nothing is \
         published."
            .to_owned(),
        "diffusivity = [\"1e-12 m2/s\", \"1e-10 m2/s\"]",
    );
    let washes =
        |column: &str| tanks.iter().filter_map(|tank| tank.washing.as_ref()).any(|washing| washing.column == column);
    ask(
        washes("chloride_in_water") && (asked.flat_chloride.is_none() || asked.flat_readings.is_none()),
        "flat_chloride",
        "below which rise a week, how often in turn, is a washing curve flat? No published number is known to us."
            .to_owned(),
        "flat_chloride = \"2 mg/L\", flat_readings = 3",
    );
    ask(
        washes("conductivity") && (asked.flat_conductivity.is_none() || asked.flat_readings.is_none()),
        "flat_conductivity",
        "below which rise a week, how often in turn, is a washing curve flat? No published number is known to us."
            .to_owned(),
        "flat_conductivity = \"10 uS/cm\", flat_readings = 3",
    );
    ask(
        treated.iter().any(|one| one.no_efficiency.is_none()) && asked.accepted_efficiency.is_none(),
        "accepted_efficiency",
        "from which anti-shrink efficiency is a treatment accepted? No limit of an author could be read by us."
            .to_owned(),
        "accepted_efficiency = \"75 %\"",
    );
    ask(
        is_fitted && asked.activation_energy.is_none() && range(entries.iter().filter_map(|e| e.temperature)) > MOVED,
        "activation_energy",
        "how does the diffusivity change with temperature? Without it warm and cold days count alike.".to_owned(),
        "activation_energy = \"36.5 kJ/mol\", reference_temperature = \"20 Cel\"",
    );
    questions
}
