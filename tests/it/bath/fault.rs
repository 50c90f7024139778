//! What cannot be is said exactly, and nothing is made up.

use woodstate::error::ErrorKind;
use woodstate::study::{BathPiece, BathPlan, BathStrength, BathWood, bath_mix, bath_wash};

use super::{beam, plan};

#[track_caller]
fn says(error: &woodstate::error::Error, text: &str) {
    assert!(error.to_string().contains(text), "{error}");
}

#[test]
fn a_bare_percentage_is_two_different_baths() {
    let error = BathStrength::parse("40 %").unwrap_err();
    says(&error, "a bare percentage is two different baths: write \"40 % by mass\", or the grams in a litre");
    says(&BathStrength::parse("40").unwrap_err(), "a strength with its basis");
    says(&BathStrength::parse("100 % by mass").unwrap_err(), "from 0 to below 100 % by mass");
    says(&BathStrength::parse("10,5 % by mass").unwrap_err(), "10.5");
}

#[test]
fn what_is_not_stated_is_asked_for() {
    let wood = beam(20.0);
    let mut told = plan(&[("steps", "10 % by mass")]);
    for (key, text, ask) in [
        ("tank", "300 L", "the volume of the tank is not known"),
        ("temperature", "20 Cel", "the temperature of the bath is not known"),
        ("impregnant", "PEG 2000", "the impregnant is not known"),
    ] {
        let error = bath_mix(&wood, &told).unwrap_err();
        assert!(matches!(error.kind(), ErrorKind::Missing { .. }), "{error}");
        says(&error, ask);
        told.set(key, text).unwrap();
    }
    bath_mix(&wood, &told).unwrap();
    told.steps.clear();
    says(&bath_mix(&wood, &told).unwrap_err(), "how strong the baths are to be is not known");
}

#[test]
fn an_unknown_impregnant_needs_its_volume() {
    let texts = [("tank", "300 L"), ("temperature", "20 Cel"), ("steps", "10 % by mass")];
    let mut own = plan(&texts);
    own.set("impregnant", "PEG 20000").unwrap();
    let error = bath_mix(&beam(20.0), &own).unwrap_err();
    says(&error, "unknown impregnant \"PEG 20000\"");
    assert!(error.hint().unwrap().contains("apparent_volume"));
    own.set("apparent_volume", "0.84 cm3/g").unwrap();
    bath_mix(&beam(20.0), &own).unwrap();
    // Of lactitol no volume is at hand.
    let mut lactitol = plan(&texts);
    lactitol.set("impregnant", "lactitol").unwrap();
    says(&bath_mix(&beam(20.0), &lactitol).unwrap_err(), "the volume that lactitol takes up in water is not known");
}

#[test]
fn wood_that_does_not_fit_is_refused() {
    let small =
        plan(&[("tank", "70 L"), ("temperature", "20 Cel"), ("impregnant", "PEG 2000"), ("steps", "10 % by mass")]);
    says(&bath_mix(&beam(20.0), &small).unwrap_err(), "volume of the wood in L is 80; allowed is below 70 L");
    says(&bath_wash(&beam(20.0), &small).unwrap_err(), "volume of the wood in L is 80; allowed is below 70 L");
    says(&BathWood::stated(80.0, 100.0, None, 998.0).unwrap_err(), "as much as fits into the volume of the wood");
    says(&BathWood::stated(0.0, 1.0, None, 998.0).unwrap_err(), "volume of the wood is 0; allowed is a number above 0");
}

#[test]
fn baths_that_grow_weaker_are_refused() {
    let told = plan(&[
        ("tank", "300 L"),
        ("temperature", "20 Cel"),
        ("impregnant", "PEG 2000"),
        ("steps", "20 % by mass, 10 % by mass"),
    ]);
    says(&bath_mix(&beam(20.0), &told).unwrap_err(), "only water makes it weaker");
}

#[test]
fn keys_and_units_are_told() {
    let mut plan = BathPlan::default();
    says(&plan.set("tnak", "300 L").unwrap_err(), "unknown key of a bath \"tnak\"; known: tank");
    says(&plan.set("tank", "300 kg").unwrap_err(), "unit \"kg\" is not one of");
    says(&plan.set("tank", "-3 L").unwrap_err(), "allowed is a number above 0 L");
    says(&plan.set("temperature", "120 Cel").unwrap_err(), "allowed is 0 to 100 Cel");
    says(&plan.set("agent", "vinegar").unwrap_err(), "unknown chelating agent \"vinegar\"; known: disodium EDTA");
    says(&plan.set("diffusivity", "0 m2/s").unwrap_err(), "allowed is a number above 0 m2/s");
    says(&plan.set("diffusivity", "1e-11").unwrap_err(), "m2/s");
    says(&plan.set("steps", "10 % by mass for 0 d").unwrap_err(), "a duration above 0");
}

#[test]
fn a_piece_needs_a_section() {
    says(&BathPiece::stated(None, [Some(10.0), None], None, None).unwrap_err(), "the section is not known");
    says(&BathPiece::stated(Some(0.0), [None, None], None, None).unwrap_err(), "timber_diameter");
    says(
        &BathPiece::stated(Some(100.0), [None, None], None, Some(50.0)).unwrap_err(),
        "below 50 mm, the middle of the section",
    );
}
