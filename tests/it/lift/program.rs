//! The command, as people at the quay type it.

use jsonschema::Validator;
use serde_json::Value;
use woodstate::error::LiftCautionCode;
use woodstate::report::{explanation_view, text};
use woodstate::study::explain;

use crate::support::expected::equals;
use crate::support::program::{Ended, Folder, ended};

const DATA: &str = "datasets-demo/harbour/harbour.xlsx";

/// A timber that is typed, with everything stated.
const TYPED: [&str; 26] = [
    "lift",
    "--length",
    "6 ± 0.03 m",
    "--width",
    "250 ± 5 mm",
    "--height",
    "250 ± 5 mm",
    "--basic-density",
    "450 ± 40 kg/m3",
    "--taxon",
    "oak",
    "--water",
    "fresh",
    "--temperature",
    "8 ± 2 Cel",
    "--sling-width",
    "100mm",
    "--dynamic",
    "1.3 ± 0.1",
    "--placing",
    "50mm",
    "--required-margin",
    "3",
    "--accepted-probability",
    "1%",
    "--quiet",
];

fn typed(others: &[&str]) -> Ended {
    let folder = Folder::of(&[]);
    ended(folder.command("").args(TYPED).args(others), b"")
}

/// The sizes of the worked beam, and what else is typed.
fn beam(others: &str) -> Ended {
    let sizes = "lift --length 6m --width 250mm --height 250mm --basic-density 560kg/m3 --quiet";
    Folder::of(&[]).run(&format!("{sizes} {others}"))
}

fn of_file(others: &str) -> Ended {
    Folder::with_demo().run(&format!("lift {DATA} --quiet {others}"))
}

fn parsed(found: &Ended) -> Value {
    serde_json::from_str(&found.out).unwrap_or_else(|error| panic!("{error}: {}", found.err))
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
}

#[test]
fn the_text_reads_as_expected() {
    equals("lift/harbour.txt", &of_file("--draws 0").out);
    equals(
        "lift/required.txt",
        &of_file("--size-uncertainty 2% --sling-width 80mm --required-margin 3 --accepted-probability 5% --draws 500")
            .out,
    );
    equals("lift/beam.txt", &beam("--water fresh --support slings:0.2071").out);
    equals("lift/typed.txt", &typed(&["--draws", "2000"]).out);
    equals("lift/plain.txt", &typed(&["--draws", "0", "--plain"]).out);
}

#[test]
fn every_story_reads_as_expected() {
    let stories: Vec<String> =
        LiftCautionCode::ALL.iter().map(|code| text(&explanation_view(&explain(code.word()).unwrap()), 100)).collect();
    equals("lift/stories.txt", &stories.join("\n"));
}

#[test]
fn outcomes_are_valid_under_the_schema() {
    let schema = Folder::of(&[]).run("schema lift").out;
    let validator: Validator = jsonschema::validator_for(&serde_json::from_str(&schema).unwrap()).unwrap();
    let outcomes = [
        of_file("--draws 0 --json"),
        of_file(
            "--size-uncertainty 2% --draws 200 --json --support tray --support fixed:0.1,0.5,0.9 --support ground:0.3",
        ),
        beam("--json"),
        typed(&["--draws", "200", "--json"]),
    ];
    for outcome in outcomes {
        let errors: Vec<String> =
            validator.iter_errors(&parsed(&outcome)).map(|error| format!("{}: {error}", error.instance_path)).collect();
        assert_eq!(errors, Vec::<String>::new());
    }
}

/// Source: worked beam at 1000 kg/m3, derived; here the water has 20 °C, 998.2067 kg/m3, so its saturated density is
/// 998.2067 + 560 (1 - 998.2067/1500).
#[test]
fn the_worked_beam_is_told_with_units() {
    let outcome = parsed(&beam("--water fresh --support slings:0.2071067812 --support slings:0 --json"));
    let lift = &outcome["lifts"][0];
    let saturated = 998.2067 + 560.0 * (1.0 - 998.2067 / 1500.0);
    let weight = 9.80665 * 0.375 * saturated;
    let near = |value: &Value, expected: f64, unit: &str| {
        assert_eq!(value["unit"], unit);
        assert!((number(&value["value"]) / expected - 1.0).abs() < 1e-6, "{value}, expected {expected}");
    };
    near(&lift["weight_in_air"], weight, "N");
    near(&lift["mass_in_air"], 0.375 * saturated, "kg");
    near(&lift["weight_submerged"], weight - 9.80665 * 0.375 * 998.2067, "N");
    let supports = lift["supports"].as_array().unwrap();
    near(&supports[0]["moment_max"], 0.021_446_609_4 * weight * 6.0, "N.m");
    near(&supports[1]["moment_max"], weight * 6.0 / 8.0, "N.m");
    near(&supports[1]["bending_stress"], weight * 6.0 / 8.0 * 6.0 / 0.015_625 / 1e6, "MPa");
    assert!(supports[1]["deflection"].is_null() && supports[1]["margin"].is_null());
    assert_eq!(lift["weight_in_air"]["u"], Value::Null);
    assert!((number(&lift["best_slings"]["from_start"]) / 6.0 - 0.207_106_781).abs() < 1e-8);
}

#[test]
fn every_timber_of_a_file_is_lifted_or_listed_with_a_reason() {
    let found = of_file("--draws 0 --json");
    assert_eq!(found.code, 3, "{}", found.err);
    let outcome = parsed(&found);
    let (lifts, without) = (outcome["lifts"].as_array().unwrap(), outcome["without"].as_array().unwrap());
    assert_eq!(lifts.len() + without.len(), 28);
    assert!(without.iter().all(|left| !left["reason"].as_str().unwrap().is_empty()));
    let danger: Vec<u64> = lifts.iter().map(|lift| lift["danger"].as_u64().unwrap()).collect();
    assert_eq!(danger, (1..=danger.len() as u64).collect::<Vec<_>>());
    // What is unknown first, then growing margins.
    let largest = |lift: &Value| {
        let supports = lift["supports"].as_array().unwrap().iter().filter(|support| support["support"] != "tray");
        supports.filter_map(|support| support["margin"]["value"].as_f64()).fold(f64::NEG_INFINITY, f64::max)
    };
    let margins: Vec<f64> = lifts.iter().map(largest).collect();
    assert!(margins.windows(2).all(|two| two[0] <= two[1]), "{margins:?}");
    assert!(margins[0] == f64::NEG_INFINITY && margins[margins.len() - 1] > 1.0);
}

/// A timber draws the same numbers whatever timbers stand beside it.
#[test]
fn a_timber_alone_is_the_timber_in_its_batch() {
    let options = "--size-uncertainty 2% --sling-width 80mm --required-margin 3 --draws 300 --json";
    let all = parsed(&of_file(options));
    let folder = Folder::with_demo();
    let mut command = folder.command(&format!("lift {DATA} --quiet {options}"));
    let alone = parsed(&ended(command.args(["--where", "timber == 'Q01'"]), b""));
    let of = |outcome: &Value| {
        let lifts = outcome["lifts"].as_array().unwrap();
        let lift = lifts.iter().find(|lift| lift["timber"] == "Q01").unwrap();
        (lift["supports"].clone(), lift["mass_in_air"].clone(), lift["strengths"].clone())
    };
    assert_eq!(of(&all), of(&alone));
    assert_eq!(of(&all), of(&parsed(&of_file(options))));
}

#[test]
fn a_way_that_meets_what_is_required_is_the_answer() {
    let outcome = parsed(&typed(&["--draws", "2000", "--json"]));
    let answer = &outcome["lifts"][0]["answer"];
    assert_eq!((answer["is_met"].as_bool(), answer["support"].as_str()), (Some(true), Some("equalised:4")));
    let strict = parsed(&typed(&["--draws", "2000", "--json", "--reduction", "95%"]));
    let answer = &strict["lifts"][0]["answer"];
    assert_eq!((answer["is_met"].as_bool(), answer["support"].as_str()), (Some(false), Some("tray")));
}

/// No time out of the water, no factor of safety, nothing that reads as leave to lift.
#[test]
fn nothing_reads_as_an_allowance() {
    for said in [typed(&["--draws", "200"]).out, of_file("--draws 0").out, beam("").out] {
        let text = said.to_lowercase();
        for word in ["safe to lift", "is safe.", "may be lifted", "allowed to", "recommended margin", " minutes out"] {
            assert!(!text.contains(word), "{word}");
        }
        assert!(text.contains("screening estimate") && text.contains("no factor of safety has been published"));
        assert!(text.contains("keep the time out of the water as short as can be"));
    }
}

#[test]
fn what_is_typed_wrongly_is_answered() {
    let said = |found: Ended| (found.code, found.err);
    let has = |found: Ended, code: i32, words: &[&str]| {
        let (ended, error) = said(found);
        assert_eq!(ended, code, "{error}");
        assert!(words.iter().all(|word| error.contains(word)), "{error}");
    };
    has(
        beam("--support slings:0.6"),
        2,
        &["\"slings:0.6\" is not slings with a share of the length from each end, below 0.5"],
    );
    has(beam("--support hook"), 2, &["tray, slings:best, slings:0.2071"]);
    has(beam("--water brackish"), 2, &["state its salinity, such as --water \"12 g/kg\""]);
    has(beam("--required-margin 0"), 1, &["required margin is 0; allowed is a finite number above 0"]);
    has(beam("--accepted-probability 1%"), 1, &["a number beside a required margin, which it belongs to"]);
    has(beam("--required-margin 2 --accepted-probability 1"), 2, &["write it with its unit, as in \"1 %\""]);
    has(beam("--rim-stiffness 0%"), 1, &["modulus of the rim over that of the core is 0"]);
    has(beam("--dynamic 1,3"), 2, &["with a decimal point"]);
    has(beam("--taxon ook"), 2, &["unknown wood \"ook\""]);
    has(beam("--attached 40kg"), 2, &["its mass, its density and where it hangs"]);
    has(beam("--reduction 120%"), 1, &["reduction for damage is 1.2"]);
    let run = |line: &str| Folder::of(&[]).run(line);
    has(run("lift"), 2, &["a file, or the sizes of one timber"]);
    has(
        run("lift --length 6 --diameter 300mm --basic-density 400kg/m3"),
        2,
        &["write it with its unit, as in \"6 m\""],
    );
    has(
        run("lift --length 6m --width 300mm --basic-density 400kg/m3"),
        2,
        &["--width alone", "--width and --height, or --diameter"],
    );
    has(run("lift --length 6m --diameter 0mm --basic-density 400kg/m3"), 1, &["diameter of the timber (m) is 0"]);
    has(
        run("lift --length 6m --diameter 300mm --basic-density 1600kg/m3"),
        1,
        &["below the density of the cell wall, 1500 kg/m3"],
    );
    has(
        run("lift --length 6m --diameter 300mm --bore 300mm --basic-density 400kg/m3"),
        1,
        &["diameter of the hollow (m) is 0.3"],
    );
    has(run("lift --length 6m --diameter 300mm"), 2, &["--basic-density is missing, such as --basic-density 560kg/m3"]);
    has(run("lift x.xlsx --length 6m"), 2, &["a file and the sizes of one timber"]);
}
