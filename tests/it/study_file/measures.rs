//! Instruments, waters and protocol.
//!
//! Expected numbers follow from the formulas by hand: a resolution r is a rectangle with u = r / sqrt(12).

use woodstate::error::CautionCode;
use woodstate::quantity::Quantity;

use crate::support::batch::{assessed, is_raised};

use super::{agrees, number, u};

/// 10 g dry without uncertainty in 30 cm3: 333.33 kg/m3.
const VOLUME: &str = "sample,mass_saturated [g],u(mass_saturated) [g],mass_oven_dry [g],u(mass_oven_dry) [g],\
                      volume_saturated [cm3]\nK1,33,0,10,0,30\n";

/// 10 g dry; the water pushed aside weighs 30 g.
const DISPLACED: &str = "sample,mass_oven_dry [g],mass_saturated [g],mass_displaced [g]\nK1,10,33,30\n";

const FRESH: &str = "[water]\npore_salinity = \"0 g/kg\"\nweighing_salinity = \"0 g/kg\"\n";

#[track_caller]
fn check(csv: &str, study: &str) -> f64 {
    number(csv, study, Quantity::BasicDensity)
}

#[test]
fn balance_is_a_resolution() {
    let csv = "sample,mass_saturated [g],mass_oven_dry [g]\nK1,5,1\n";
    let found =
        u(csv, "[instruments]\nbalance = \"0.01 g\"\n[water]\npore_salinity = \"0 g/kg\"\n", Quantity::MaxWaterContent);
    // 0.0028868 sqrt(100^2 + 500^2)
    agrees(found, 1.47196, 5e-5);
}

#[test]
fn balance_calibration_is_common_to_all_weighings() {
    let study = |more: &str| format!("[instruments]\nvolume_uncertainty = \"0.3 cm3\"\n{more}{FRESH}");
    let density = |more: &str| u(VOLUME, &study(more), Quantity::BasicDensity);
    let (with, without) = (density("balance_calibration = \"1 %\"\n"), density(""));
    agrees((with * with - without * without).sqrt(), 3.33333, 5e-5);
    // A common factor leaves a ratio of masses alone.
    agrees(u(VOLUME, &study("balance_calibration = \"1 %\"\n"), Quantity::MaxWaterContent), 0.0, 1e-9);
}

#[test]
fn calliper_is_a_resolution() {
    let csv = "sample,mass_oven_dry [g],u(mass_oven_dry) [g],mass_saturated [g],u(mass_saturated) [g],\
               piece_length [mm],piece_width [mm],piece_thickness [mm]\nK1,0.5,0,1.1,0,10,10,10\n";
    // 500 kg/m3 * sqrt(3) * 0.05 / sqrt(12) / 10
    agrees(u(csv, &format!("[instruments]\ncalliper = \"0.05 mm\"\n{FRESH}"), Quantity::BasicDensity), 1.25, 5e-5);
}

#[test]
fn volume_uncertainty_is_absolute_or_a_share() {
    for volume in ["0.3 cm3", "1 %", "0.3 mL"] {
        let study = format!("[instruments]\nvolume_uncertainty = \"{volume}\"\n{FRESH}");
        agrees(u(VOLUME, &study, Quantity::BasicDensity), 3.33333, 5e-5);
    }
}

#[test]
fn volume_method_is_told() {
    let outcome = assessed(VOLUME, "[instruments]\nvolume_method = \"rise in a cylinder\"\n");
    assert_eq!(outcome.settings.volume_method.as_deref(), Some("rise in a cylinder"));
}

#[test]
fn thermometer_is_the_uncertainty_of_a_temperature_without_one() {
    let study = |more: &str| format!("[instruments]\n{more}{FRESH}weighing_temperature = \"18 Cel\"\n");
    assert!(is_raised(&assessed(DISPLACED, &study("")), CautionCode::WaterAssumed));
    assert!(!is_raised(&assessed(DISPLACED, &study("thermometer = \"0.5 Cel\"\n")), CautionCode::WaterAssumed));
    agrees(assessed(DISPLACED, &study("thermometer = \"0.5 K\"\n")).settings.thermometer.unwrap().value, 0.5, 0.0);
}

/// Source: [memory] density of water at 4 °C 999.97 kg/m3 and at 30 °C 995.65 kg/m3.
#[test]
fn weighing_temperature_decides_the_density_of_the_water() {
    for (temperature, water) in [(4, 999.97), (30, 995.65)] {
        let study = format!("{FRESH}weighing_temperature = \"{temperature} ± 1 Cel\"\n");
        agrees(check(DISPLACED, &study), water / 3.0, 5e-3);
    }
}

/// Source: [memory] density of sea water of 35 g/kg at 20 °C 1024.8 kg/m3.
#[test]
fn weighing_salinity_decides_the_density_of_the_water() {
    let study = "[water]\npore_salinity = \"0 g/kg\"\nweighing_salinity = \"35 ± 1 g/kg\"\nweighing_temperature = \"20 ± 1 Cel\"\n";
    agrees(check(DISPLACED, study), 1024.8 / 3.0, 0.02);
}

/// Source: the story of `salt-possible`: a true 450 % reads 387 % at 35 g/kg, to three digits.
#[test]
fn pore_salinity_is_taken_out_of_the_dry_mass() {
    let csv = "sample,mass_saturated [g],mass_oven_dry [g]\nK1,4.87,1\n";
    let found = number(csv, "[water]\npore_salinity = \"35 ± 1 g/kg\"\n", Quantity::MaxWaterContent);
    agrees(found, 450.0, 1.0);
}

#[test]
fn a_stated_density_is_that_of_all_water() {
    agrees(check(DISPLACED, "[water]\ndensity = \"1000 kg/m3\"\n"), 1000.0 / 3.0, 1e-9);
    agrees(check(DISPLACED, "[water]\ndensity = \"1.02 g/cm3\"\n"), 340.0, 1e-9);
}

#[test]
fn every_item_of_the_protocol_is_told_in_its_own_words() {
    let study = "[protocol]\nsaturation = \"a\"\nsurface_water = \"b\"\ndrying_temperature = \"c\"\nconstant_mass = \"d\"\n\
                 storage = \"e\"\noperator = \"f\"\nlaboratory = \"g\"\ndates = \"h\"\nstandards = [\"i\", \"j\"]\n";
    let items = assessed(VOLUME, study).settings.protocol.items();
    let texts: Vec<String> = items.into_iter().map(|(_, text)| text.unwrap()).collect();
    assert_eq!(texts, ["a", "b", "c", "d", "e", "f", "g", "h", "i; j"]);
    assert!(assessed(VOLUME, "").settings.protocol.items().iter().all(|(_, text)| text.is_none()));
}
