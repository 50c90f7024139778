//! Published numbers through the program, from text in to JSON out.

use std::fmt::Write;

use serde_json::Value;

use crate::support::program::Folder;

use super::{cautioned, values};

fn check(csv: &str, study: &str) -> Value {
    Folder::of(&[("d.csv", csv.as_bytes()), ("woodstate.toml", study.as_bytes())]).json("assess d.csv")
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

/// Source: common practice, no source: "90 % water" of a report is a share of the total mass, so 900 % of the dry mass.
/// By the two stated densities 1000 / (9 + 1000/1500) = 103.448 kg/m3.
#[test]
fn ninety_per_cent_water_is_nine_hundred_on_dry_mass() {
    let study = "[water]\ndensity = \"1000 kg/m3\"\n[assess]\ncell_wall_density = \"1500 kg/m3\"\n";
    let csv = "sample,taxon,water_content_wet_basis [%]\nX1,oak,90\n";
    let outcome = check(csv, study);
    let sample = &outcome["samples"][0];
    assert!((number(&sample["values"]["max_water_content"]["value"]) - 900.0).abs() < 1e-9);
    assert!((number(&sample["values"]["basic_density"]["value"]) - 103.448).abs() < 5e-4);
    let class = &sample["degradation_class"];
    assert_eq!((&class["most_likely"], &class["decided"]), (&"I".into(), &false.into()));
    assert_eq!((&class["probability"], &sample["values"]["basic_density"]["u"]), (&Value::Null, &Value::Null));
    assert!(cautioned(&outcome, "uncertainty-unknown").contains(&"X1".to_owned()));
}

/// Code of the tree, density at 12 % in g/cm3, shrinkage in % per %, fibre saturation in %, basic density in g/cm3 as
/// printed.
///
/// Source: Vieilledent G, Fischer FJ, Chave J, Guibal D, Langbour P, Gerard J 2018, Am. J. Bot. 105:1653-1661,
/// doi:10.1002/ajb2.1175; single rows of its data, doi:10.18167/DVN1/KRVF0E, [read], licence CC BY-SA 4.0.
const TREES: [(&str, f64, f64, f64, f64); 12] = [
    ("0801", 0.50, 0.34, 37.0, 0.41),
    ("1760", 0.54, 0.52, 25.0, 0.45),
    ("2184", 0.69, 0.50, 33.0, 0.55),
    ("0214", 0.68, 0.48, 35.0, 0.54),
    ("1945", 0.71, 0.52, 31.0, 0.57),
    ("2136", 0.62, 0.34, 27.0, 0.53),
    ("1044", 0.54, 0.42, 31.0, 0.44),
    ("0802", 0.43, 0.40, 34.0, 0.35),
    ("1058", 0.53, 0.34, 36.0, 0.43),
    ("1940", 0.72, 0.45, 27.0, 0.60),
    ("1986", 0.78, 0.39, 34.0, 0.64),
    ("2324", 0.97, 0.48, 29.0, 0.80),
];

#[test]
fn densities_at_12_per_cent_give_the_basic_densities_of_the_source() {
    let mut csv = String::from("sample,density_12 [g/cm3],shrinkage_coefficient [1],fibre_saturation [%]\n");
    for (code, density, shrinkage, fibre, _) in TREES {
        writeln!(csv, "T{code},{density},{shrinkage},{fibre}").unwrap();
    }
    let outcome = check(&csv, "");
    for (code, .., printed) in TREES {
        let found = values(&outcome, "basic_density");
        let (_, value) = found.iter().find(|(name, _)| *name == format!("T{code}")).unwrap();
        // Printed with two decimals of g/cm3.
        assert!((number(value) - 1000.0 * printed).abs() <= 5.0 + 1e-9, "{code}: {value} instead of {printed}");
    }
    assert!(
        outcome["samples"].as_array().unwrap().iter().all(|s| s["values"]["basic_density"]["route"] == "density_12")
    );
}

/// Piece, fresh and oven-dry mass of its disc in g, fresh bulk density and basic density in kg/m3 as printed.
///
/// Source: Pitcher LF, Muller-Landau HC 2025, doi:10.5281/zenodo.16410468, file `LongT_CWD_2010.csv`; single rows, [read],
/// licence CC BY 4.0. Decayed forest wood, not waterlogged; used as a check of arithmetic only, as its authors ask.
const DISCS: [(&str, f64, f64, f64, f64); 12] = [
    ("longCWD001", 788.0, 237.7, 282.8779, 85.3301),
    ("longCWD002", 237.3, 164.7, 242.8625, 168.5607),
    ("longCWD004", 266.0, 110.8, 347.9490, 144.9351),
    ("longCWD005", 852.7, 200.4, 479.2395, 112.6300),
    ("longCWD007", 210.8, 47.3, 526.1191, 118.0523),
    ("longCWD008", 638.0, 295.0, 904.2221, 418.0964),
    ("longCWD010", 1574.7, 218.8, 512.1200, 71.1576),
    ("longCWD011", 903.6, 605.3, 578.3512, 387.4236),
    ("longCWD013", 1424.1, 749.5, 1140.9208, 600.4635),
    ("longCWD016", 475.5, 268.2, 341.7178, 192.7418),
    ("longCWD017", 680.5, 478.9, 848.3252, 597.0066),
    ("longCWD019", 629.8, 327.7, 512.8524, 266.8494),
];

#[test]
fn decayed_discs_have_the_printed_density_and_are_not_saturated() {
    let mut csv = String::from("sample,mass_saturated [g],mass_oven_dry [g],volume_saturated [cm3]\n");
    for (name, fresh, dry, bulk, _) in DISCS {
        writeln!(csv, "{name},{fresh},{dry},{}", 1000.0 * fresh / bulk).unwrap();
    }
    let outcome = check(&csv, "");
    let found = values(&outcome, "basic_density");
    for ((name, value), (expected_name, .., printed)) in found.iter().zip(DISCS) {
        assert_eq!(name, expected_name);
        // The identity of the source holds to a thousandth.
        assert!((number(value) - printed).abs() <= 1e-3 * printed, "{name}: {value} instead of {printed}");
    }
    assert_eq!(cautioned(&outcome, "not-saturated"), DISCS.map(|disc| disc.0));
}
