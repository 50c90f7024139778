//! `schema`, `completions` and `man`: what other programs are told about this one.

use jsonschema::Validator;
use serde_json::Value;

use crate::support::program::{Folder, demo};

fn validator(kind: &str) -> Validator {
    let ended = Folder::of(&[]).run(&format!("schema {kind}"));
    assert_eq!((ended.code, ended.err.as_str()), (0, ""));
    let schema: Value = serde_json::from_str(&ended.out).unwrap();
    assert_eq!(schema["$schema"], "https://json-schema.org/draft/2020-12/schema");
    assert!(schema["title"].as_str().unwrap().contains(kind));
    jsonschema::validator_for(&schema).unwrap()
}

fn study(text: &str) -> Value {
    serde_json::to_value(toml::from_str::<toml::Value>(text).unwrap()).unwrap()
}

#[test]
fn the_study_files_of_the_demonstration_data_are_valid() {
    let validator = validator("study");
    for part in ["harbour", "messy"] {
        let text = std::fs::read_to_string(demo(part).join("woodstate.toml")).unwrap();
        let errors: Vec<String> = validator.iter_errors(&study(&text)).map(|error| error.to_string()).collect();
        assert_eq!(errors, Vec::<String>::new(), "{part}");
    }
}

#[test]
fn every_part_of_a_study_file_is_valid() {
    let text = r#"
title = "Drowned harbour (invented)"
missing = ["n.d."]
[samples]
sheet = "Proben"
header_row = 3
decimal = ","
delimiter = ";"
sample = ["core_id", "depth_from"]
[samples.columns]
"Nassgewicht [g]" = "mass_saturated [g]"
[samples.words.taxon]
"Eiche" = "Quercus robur"
[instruments]
balance = "0.01 g"
[water]
pore_salinity = "7.0 ± 0.5 g/kg"
[assess]
boundary = "worse"
scheme = "my-poplar"
decided_at = 0.80
seed = 1
[references."Quercus robur"]
basic_density = "560 ± 30 kg/m3"
source = "own measurement"
[schemes.my-poplar]
title = "Poplar"
quantity = "max_water_content"
scope = ["Populus"]
source = "own"
classes = [ { label = "I", from = 500.0 }, { label = "II", to = 500.0 } ]
[protocol]
standards = ["EN 13183-1:2002"]
"#;
    let folder = Folder::of(&[("woodstate.toml", text.as_bytes())]);
    assert!(validator("study").is_valid(&study(text)));
    // The program reads the same text: what fails is the table that is not there.
    let ended = folder.run("check d.csv");
    assert!(ended.code == 5 && ended.err.contains("d.csv"), "{}", ended.err);
}

#[test]
fn the_schema_of_the_study_file_refuses_what_the_program_refuses() {
    let validator = validator("study");
    for text in [
        "titel = \"x\"",
        "[samples]\nheader = 3",
        "[samples]\nheader_row = 0",
        "[assess]\nboundary = \"best\"",
        "[assess]\noutside_scope = \"guess\"",
        "[instruments]\nbalance = 0.01",
        "[references.oak]\nsource = \"x\"",
        "[schemes.x]\ntitle = \"x\"",
    ] {
        assert!(!validator.is_valid(&study(text)), "{text}");
        let folder =
            Folder::of(&[("woodstate.toml", text.as_bytes()), ("d.csv", b"sample,mass_saturated [g]\nK1,5\n")]);
        assert_eq!(folder.run("check d.csv").code, 2, "{text}");
    }
}

#[test]
fn every_kind_that_is_listed_has_a_schema() {
    let list = Folder::of(&[]).json("schema");
    let kinds: Vec<&str> = list["kinds"].as_array().unwrap().iter().map(|kind| kind[0].as_str().unwrap()).collect();
    for kind in ["study", "assess", "check", "report", "explain", "template", "schema"] {
        assert!(kinds.contains(&kind), "{kind}");
    }
    for kind in kinds {
        validator(kind);
    }
    assert!(validator("schema").is_valid(&list));
}

#[test]
fn a_misspelt_kind_ends_with_2_and_the_nearest_one() {
    let ended = Folder::of(&[]).run("schema studdy");
    assert_eq!(ended.code, 2);
    assert!(ended.err.contains("woodstate schema study"), "{}", ended.err);
}

#[test]
fn completions_name_every_command() {
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let ended = Folder::of(&[]).run(&format!("completions {shell}"));
        assert_eq!(ended.code, 0, "{shell}");
        for word in ["assess", "template", "schema", "coverage"] {
            assert!(ended.out.contains(word), "{shell}: {word}");
        }
    }
}

#[test]
fn every_page_of_the_manual_has_its_example_and_the_exit_codes() {
    let folder = Folder::of(&[]);
    let ended = folder.run("man -o pages");
    assert_eq!(ended.code, 0, "{}", ended.err);
    let text = |name: &str| String::from_utf8(folder.bytes(&format!("pages/{name}.1"))).unwrap();
    for command in ["assess", "check", "explain", "template", "schema", "completions", "man"] {
        let page = text(&format!("woodstate-{command}"));
        assert!(page.contains("Example:") && page.contains("not assessed"), "{command}");
        assert_eq!(folder.run(&format!("man {command}")).out, page, "{command}");
    }
    assert!(text("woodstate").contains("interrupted"));
    assert_eq!(folder.run("man -o pages").code, 0);
    assert_eq!(folder.run("man nothing").code, 2);
}
