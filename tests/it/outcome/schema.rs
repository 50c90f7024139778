//! The JSON of each outcome is valid under the schema of its kind, and the schema is strict.

use jsonschema::Validator;
use serde_json::Value;

use woodstate::error::{CautionCode, FindingCode};
use woodstate::quantity::Quantity;
use woodstate::report::{json, json_schema};
use woodstate::study::explain;

use crate::support::program::Folder;

fn validator(kind: &str) -> Validator {
    let schema = Folder::of(&[]).run(&format!("schema {kind}")).out;
    jsonschema::validator_for(&serde_json::from_str(&schema).unwrap()).unwrap()
}

#[track_caller]
fn check(kind: &str, outcome: &Value) {
    let errors: Vec<String> =
        validator(kind).iter_errors(outcome).map(|error| format!("{}: {error}", error.instance_path)).collect();
    assert_eq!(errors, Vec::<String>::new());
    assert_eq!(outcome["kind"], kind);
}

fn demo(command: &str) -> Value {
    Folder::with_demo().json(command)
}

#[test]
fn outcomes_of_the_demonstration_data_are_valid() {
    for data in ["datasets-demo/harbour", "datasets-demo/messy/barge.xlsx"] {
        check("assess", &demo(&format!("assess {data}")));
        check("check", &demo(&format!("check {data}")));
        check("summary", &demo(&format!("summary {data} --by taxon,depth_zone --where unknown(note)")));
    }
    check("starter", &demo("study datasets-demo/messy/barge.xlsx --out starter.toml"));
}

#[test]
fn explanations_of_every_word_are_valid() {
    let codes = CautionCode::ALL.iter().map(|code| code.word());
    let words = codes.chain(FindingCode::ALL.iter().map(|code| code.word()));
    for word in words.chain(Quantity::ALL.iter().map(|quantity| quantity.name())).chain(["assess", "mass_saturated"]) {
        check("explain", &serde_json::from_str(&json(&explain(word).unwrap()).unwrap()).unwrap());
    }
}

#[test]
fn an_unknown_kind_is_refused_with_the_kinds_there_are() {
    let error = json_schema("profil").unwrap_err().to_string();
    assert!(error.contains("assess") && error.contains("check") && error.contains("explain"), "{error}");
}

#[test]
fn the_schema_refuses_what_is_missing_or_of_another_type() {
    let outcome = demo("assess datasets-demo/harbour");
    let assess = validator("assess");
    assert!(assess.is_valid(&outcome));
    for part in ["schema_version", "kind", "program", "source", "settings", "counts", "samples", "timbers", "findings"]
    {
        let mut broken = outcome.clone();
        broken.as_object_mut().unwrap().remove(part);
        assert!(!assess.is_valid(&broken), "{part} may be missing");
        broken[part] = Value::from(true);
        assert!(!assess.is_valid(&broken), "{part} may be of any type");
    }
    let mut broken = outcome.clone();
    broken["samples"][0]["values"].as_object_mut().unwrap().remove("basic_density");
    assert!(!assess.is_valid(&broken));
    let mut broken = outcome;
    broken["samples"][0]["values"]["wood_density"] = Value::Null;
    assert!(!assess.is_valid(&broken));
}

#[test]
fn what_is_unknown_is_null_and_never_a_word_or_nothing() {
    let csv: &[u8] = b"sample,mass_saturated [g],mass_oven_dry [g]\nK1,5,1\nK2,,\n";
    let folder = Folder::of(&[("d.csv", csv)]);
    let text = folder.run("assess d.csv --json").out;
    for word in ["NaN", "Infinity", "inf", "nan"] {
        assert!(!text.contains(&format!(": {word}")) && !text.contains(&format!("\"{word}\"")), "{word}");
    }
    let outcome: Value = serde_json::from_str(&text).unwrap();
    let content = &outcome["samples"][0]["values"]["max_water_content"];
    assert_eq!((&content["value"], &content["u"], &content["interval"]), (&400.0.into(), &Value::Null, &Value::Null));
    let values = outcome["samples"][1]["values"].as_object().unwrap();
    assert_eq!(values.len(), Quantity::COUNT);
    assert!(values.values().all(Value::is_null), "{values:?}");
    assert_eq!(outcome["samples"][1]["taxon"], Value::Null);
    assert_eq!(outcome["settings"]["pore_salinity"], Value::Null);
}

#[test]
fn every_caution_of_a_row_stands_in_the_legend() {
    let outcome = demo("assess datasets-demo/harbour");
    let codes = |list: &Value| -> Vec<String> {
        list.as_array().unwrap().iter().map(|c| c["code"].as_str().unwrap().to_owned()).collect()
    };
    let legend = codes(&outcome["cautions"]);
    for part in ["samples", "timbers"] {
        for row in outcome[part].as_array().unwrap() {
            assert!(codes(&row["cautions"]).iter().all(|code| legend.contains(code)), "{row}");
        }
    }
}
