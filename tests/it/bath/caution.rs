//! Each caution fires, and is quiet just beside.

use woodstate::error::BathCautionCode::{self as Code};
use woodstate::numeric::Watch;
use woodstate::study::{
    BathCaution, BathPiece, BathPlan, BathWood, FreezeQuestion, SafetyForm, Study, assess, bath_freeze, bath_mix,
    bath_time, bath_wash, bath_water_density,
};
use woodstate::table::{SourceFile, batch_of};

use super::{beam, plan};

fn has(cautions: &[BathCaution], of: Code) -> bool {
    cautions.iter().any(|caution| caution.code == of.word())
}

fn mixed(texts: &[(&str, &str)]) -> Vec<BathCaution> {
    let mut all = vec![("tank", "3000 L"), ("temperature", "20 Cel"), ("impregnant", "PEG 2000")];
    all.extend(texts);
    bath_mix(&beam(20.0), &plan(&all)).unwrap().cautions
}

fn timed(texts: &[(&str, &str)], piece: BathPiece) -> Vec<BathCaution> {
    bath_time(&[piece], None, &plan(texts), 1, &Watch::silent()).unwrap().cautions
}

fn pole(rim: Option<f64>) -> BathPiece {
    BathPiece::stated(Some(100.0), [None, None], Some(1000.0), rim).unwrap()
}

fn of_table(csv: &str, texts: &[(&str, &str)]) -> (BathWood, BathPlan) {
    let study = Study::unstated().unwrap();
    let batch = batch_of(&SourceFile::from_bytes("t.csv", csv.as_bytes().to_vec()), &study.read, &Watch::silent());
    let assessment = assess(&study, batch.unwrap(), &Watch::silent()).unwrap();
    let density = bath_water_density(20.0).unwrap();
    (BathWood::of(&study, &assessment, density, &Watch::silent()).unwrap(), plan(texts))
}

const HEAD: &str =
    "sample,timber,mass_saturated [g],mass_oven_dry [g],timber_length [m],timber_width [mm],timber_height [mm]";

#[test]
fn a_timber_without_sizes_is_not_counted() {
    let rows = |second: &str| format!("{HEAD}\nA,T1,5,1,2,200,100\nB,T2,5,1,{second}\n");
    let (wood, plan) = of_table(&rows("2,,"), &[("tank", "3000 L")]);
    let cautions = bath_wash(&wood, &plan).unwrap().cautions;
    assert!(has(&cautions, Code::TimberNotCounted));
    assert_eq!(cautions[0].timbers, ["T2"]);
    let (wood, plan) = of_table(&rows("2,200,100"), &[("tank", "3000 L")]);
    assert!(!has(&bath_wash(&wood, &plan).unwrap().cautions, Code::TimberNotCounted));
}

#[test]
fn a_volume_from_memory_is_said() {
    assert!(has(&mixed(&[("steps", "5 % by mass")]), Code::VolumeNotSure));
    assert!(!has(&mixed(&[("steps", "5 % by mass"), ("apparent_volume", "0.837 cm3/g")]), Code::VolumeNotSure));
}

#[test]
fn baths_beyond_the_published_ones_are_said() {
    // The large tank makes the fresh bath hardly stronger than what it comes to.
    assert!(!has(&mixed(&[("steps", "9 % by mass, 18 % by mass")]), Code::BeyondPublished));
    assert!(has(&mixed(&[("steps", "11 % by mass")]), Code::BeyondPublished));
    assert!(has(&mixed(&[("steps", "9 % by mass, 20 % by mass")]), Code::BeyondPublished));
    assert!(has(
        &mixed(&[("steps", "9 % by mass, 18 % by mass, 27 % by mass, 36 % by mass, 41 % by mass")]),
        Code::BeyondPublished
    ));
    assert!(!has(
        &mixed(&[("steps", "9 % by mass, 18 % by mass, 27 % by mass, 36 % by mass, 40 % by mass")]),
        Code::BeyondPublished
    ));
}

/// Source: Brather, lactitol: start at 40 to 50 % mass per volume, steps of 5 to 10 % \[read]; a volume is stated, since none is at hand.
#[test]
fn a_published_range_is_judged_by_its_upper_end() {
    let lactitol =
        |steps: &'static str| mixed(&[("impregnant", "lactitol"), ("apparent_volume", "0.62 cm3/g"), ("steps", steps)]);
    assert!(!has(&lactitol("480 g/L, 570 g/L"), Code::BeyondPublished));
    assert!(has(&lactitol("480 g/L, 600 g/L"), Code::BeyondPublished));
    let strong = lactitol("520 g/L");
    let said = strong.iter().find(|caution| caution.code == Code::BeyondPublished.word()).unwrap();
    assert!(said.detail.as_ref().unwrap().contains("published 500 g/L"), "{said:?}");
}

#[test]
fn an_impregnant_without_published_baths_is_said() {
    let other = [("impregnant", "PEG 400"), ("steps", "5 % by mass")];
    assert!(has(&mixed(&other), Code::NoPublishedBaths));
    assert!(!has(&mixed(&[("steps", "5 % by mass")]), Code::NoPublishedBaths));
}

/// Source: Brather, sugar: at most 20 °C \[read].
#[test]
fn a_warm_bath_of_sugar_is_said() {
    let at =
        |temperature: &'static str| [("impregnant", "sucrose"), ("temperature", temperature), ("steps", "5 % by mass")];
    assert!(has(&mixed(&at("20.5 Cel")), Code::BathTooWarm));
    assert!(!has(&mixed(&at("20 Cel")), Code::BathTooWarm));
    assert!(!has(&mixed(&[("temperature", "50 Cel"), ("steps", "5 % by mass")]), Code::BathTooWarm));
}

#[test]
fn additions_to_a_full_tank_are_said() {
    assert!(has(&mixed(&[("steps", "5 % by mass, 10 % by mass")]), Code::TankOverfull));
    assert!(!has(&mixed(&[("steps", "5 % by mass")]), Code::TankOverfull));
}

/// Bound water of 30 % and a density of 1125 kg/m³ need 0.338 kg/kg.
#[test]
fn walls_that_are_not_filled_are_said() {
    let at = |steps: &'static str| [("bound_water", "30 %"), ("impregnant_density", "1125 kg/m3"), ("steps", steps)];
    assert!(has(&mixed(&at("7.5 % by mass")), Code::BulkingNotReached));
    assert!(!has(&mixed(&at("8.5 % by mass")), Code::BulkingNotReached));
}

#[test]
fn hardness_and_iron_are_asked_for_with_an_agent() {
    let washed = |texts: &[(&str, &str)]| {
        let all: Vec<(&str, &str)> = [("tank", "400 L")].into_iter().chain(texts.iter().copied()).collect();
        bath_wash(&beam(20.0), &plan(&all)).unwrap().cautions
    };
    assert!(has(&washed(&[("agent", "EDTA")]), Code::HardnessUnknown));
    assert!(!has(&washed(&[("agent", "EDTA"), ("hardness", "0 mmol/L")]), Code::HardnessUnknown));
    assert!(has(&washed(&[("agent", "EDTA")]), Code::IronNotMeasured));
    assert!(has(&washed(&[("base", "soda")]), Code::IronNotMeasured));
    assert!(washed(&[]).is_empty());
    let csv = format!("{HEAD},iron_in_wood [mg/kg]\nA,T1,5,1,2,200,100,2000\n");
    let (wood, plan) = of_table(&csv, &[("tank", "400 L"), ("agent", "EDTA")]);
    let washed = bath_wash(&wood, &plan).unwrap();
    assert!(!has(&washed.cautions, Code::IronNotMeasured));
    // 2000 mg in each kg of oven-dry wood.
    let iron = washed.agent.unwrap().iron.unwrap().value;
    assert!((iron / wood.dry_mass.unwrap().value - 0.002).abs() < 1e-12);
}

#[test]
fn what_is_assumed_of_diffusion_is_said() {
    assert!(has(&timed(&[], pole(None)), Code::DiffusivityAssumed));
    assert!(has(&timed(&[("diffusivity", "1e-11 m2/s")], pole(None)), Code::DiffusivityBare));
    let stated = timed(&[("diffusivity", "1e-12 to 1e-10 m2/s")], pole(None));
    assert!(!has(&stated, Code::DiffusivityAssumed) && !has(&stated, Code::DiffusivityBare));
    // That diffusion knows no collapse is said every time.
    assert!(has(&stated, Code::DiffusionOnly));
    assert!(has(&stated, Code::EndsNotCounted));
    let along = [("diffusivity", "1e-12 to 1e-10 m2/s"), ("diffusivity_along", "1e-11 to 1e-9 m2/s")];
    assert!(!has(&timed(&along, pole(None)), Code::EndsNotCounted));
    let rim = [("diffusivity", "1e-12 to 1e-10 m2/s"), ("diffusivity_rim", "1e-11 to 1e-9 m2/s")];
    assert!(has(&timed(&rim, pole(None)), Code::RimDepthUnknown));
    assert!(!has(&timed(&rim, pole(Some(10.0))), Code::RimDepthUnknown));
}

#[test]
fn freezing_asks_for_the_eutectic_and_a_low_pressure() {
    let frozen = |wood_temperature: f64, chamber_pressure: f64, eutectic: Option<f64>| {
        let question = FreezeQuestion { wood_temperature, chamber_pressure, eutectic, safety: SafetyForm::Short };
        bath_freeze(&question).unwrap().cautions
    };
    assert!(has(&frozen(-30.0, 10.0, None), Code::EutecticUnknown));
    assert!(frozen(-30.0, 10.0, Some(-27.0)).is_empty());
    assert!(has(&frozen(-27.0, 10.0, Some(-27.0)), Code::NotFrozenThrough));
    // Source: ice at −30 °C has 38.27 Pa (derived, from a formula from memory).
    assert!(has(&frozen(-30.0, 38.3, Some(-35.0)), Code::PressureTooHigh));
    assert!(!has(&frozen(-30.0, 38.2, Some(-35.0)), Code::PressureTooHigh));
}
