//! What `report` writes: the same bytes, under the rule of overwriting, in the form of its schema.

use jsonschema::Validator;
use serde_json::Value;

use crate::support::program::Folder;

use super::{HARBOUR, harbour, text};

const TWO: &[u8] = b"sample,timber,mass_saturated [g],mass_oven_dry [g]\nK1,B7,2.09,0.34\nK2,B7,2.04,0.54\n";

#[test]
fn the_same_command_gives_the_same_bytes() {
    let (one, two) = (harbour(), harbour());
    let list = text(&one, "out/woodstate-files.sha256");
    assert_eq!(list, text(&two, "out/woodstate-files.sha256"));
    let names: Vec<&str> = list.lines().map(|line| line.split("  ").nth(1).unwrap()).collect();
    for name in [
        "report.html",
        "sheets.html",
        "report.json",
        "report.xlsx",
        "results.csv",
        "timbers.csv",
        "timbers.tex",
        "pieces.md",
    ] {
        assert!(names.contains(&name), "{name} in {names:?}");
    }
    assert!(!names.contains(&"assess.json"));
}

#[test]
fn the_json_is_valid_under_its_schema() {
    let folder = harbour();
    let schema = folder.run("schema report").out;
    let validator: Validator = jsonschema::validator_for(&serde_json::from_str(&schema).unwrap()).unwrap();
    let outcome: Value = serde_json::from_str(&text(&folder, "out/report.json")).unwrap();
    let errors: Vec<String> =
        validator.iter_errors(&outcome).map(|error| format!("{}: {error}", error.instance_path)).collect();
    assert_eq!(errors, Vec::<String>::new());
    assert_eq!((&outcome["kind"], &outcome["schema_version"]), (&"report".into(), &1.into()));
    assert_eq!(outcome["date"], "2026-11-27");
    let mut more = outcome.clone();
    more["more"] = 1.into();
    assert!(!validator.is_valid(&more), "a key that is not there is let through");
    let mut less = outcome;
    less.as_object_mut().unwrap().remove("samples");
    assert!(!validator.is_valid(&less), "pieces may be missing");
}

#[test]
fn the_json_shown_is_the_json_written_but_for_the_command() {
    let folder = Folder::of(&[("d.csv", TWO)]);
    let ended = folder.run("report d.csv --out out --json");
    assert_eq!(ended.code, 0, "{}", ended.err);
    assert_eq!(ended.out.into_bytes(), folder.bytes("out/report.json"));
}

#[test]
fn a_file_that_a_person_changed_is_left_alone() {
    let folder = Folder::of(&[("d.csv", TWO)]);
    assert_eq!(folder.run("report d.csv --out out").code, 0);
    assert_eq!(folder.run("report d.csv --out out").code, 0);
    folder.put("out/report.html", b"mine");
    let ended = folder.run("report d.csv --out out");
    assert_eq!(ended.code, 5);
    assert!(ended.err.contains("report.html exists and is not an unchanged file of woodstate"), "{}", ended.err);
    assert_eq!(folder.bytes("out/report.html"), b"mine");
    assert_eq!(folder.run("report d.csv --out out --force").code, 0);
    assert_ne!(folder.bytes("out/report.html"), b"mine");
}

#[test]
fn what_a_later_run_does_not_have_is_removed() {
    let folder = Folder::of(&[("d.csv", TWO)]);
    assert_eq!(folder.run("report d.csv --out out --tables md").code, 0);
    assert!(folder.path("out/timbers.md").is_file());
    let ended = folder.run("report d.csv --out out");
    assert!(ended.err.contains("Removed pieces.md, timbers.md of an earlier run."), "{}", ended.err);
    assert!(!folder.path("out/timbers.md").exists());
}

#[test]
fn the_package_of_the_folder_names_its_own_json() {
    let package: Value = serde_json::from_str(&text(&harbour(), "out/datapackage.json")).unwrap();
    assert_eq!(package["name"], "woodstate-report");
    let paths: Vec<&str> =
        package["resources"].as_array().unwrap().iter().map(|one| one["path"].as_str().unwrap()).collect();
    assert!(paths.contains(&"report.json") && !paths.contains(&"assess.json"), "{paths:?}");
}

#[test]
fn the_decimal_mark_of_the_text_is_that_which_was_asked_for() {
    let folder = Folder::with_demo();
    assert_eq!(folder.run(&format!("report {HARBOUR} --out out --out-decimal , --quiet")).code, 0);
    assert!(text(&folder, "out/results.csv").starts_with("sample;timber;"));
}
