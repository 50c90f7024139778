//! The command, as each of its users types it.

use jsonschema::Validator;
use serde_json::Value;
use woodstate::error::DepthCautionCode;
use woodstate::profile::DepthModel;
use woodstate::report::{explanation_view, text};
use woodstate::study::explain;

use crate::support::expected::equals;
use crate::support::program::{Ended, Folder, ended};

const DATA: &str = "datasets-demo/harbour/harbour.xlsx";

fn run(condition: &str, others: &str) -> Ended {
    let folder = Folder::with_demo();
    let mut command = folder.command(&format!("profile {DATA} --quiet {others}"));
    ended(command.args(["--where", condition]), b"")
}

fn json(condition: &str, others: &str) -> Value {
    let found = run(condition, &format!("{others} --json"));
    serde_json::from_str(&found.out).unwrap_or_else(|error| panic!("{error}: {}", found.err))
}

/// A small table with a study file, and what the command says of it.
fn small(table: &str, others: &str) -> Ended {
    let study = "[instruments]\nbalance = \"0.01 g\"\n";
    let folder = Folder::of(&[("t.csv", table.as_bytes()), ("woodstate.toml", study.as_bytes())]);
    folder.run(&format!("profile t.csv {others}"))
}

/// Three increments of one core of oak: rows, then what else is in the table.
fn table(head: &str, rows: &[&str]) -> String {
    let mut text =
        format!("sample,timber,core_id,taxon,mass_saturated [g],mass_oven_dry [g],volume_saturated [cm3],{head}\n");
    for (place, row) in rows.iter().enumerate() {
        let masses = ["4.1,0.76,3.9", "4.2,1.2,3.9", "4.4,1.9,3.9"][place % 3];
        text.push_str(&format!("S{place},T1,K1,Quercus robur,{masses},{row}\n"));
    }
    text
}

#[test]
fn the_text_reads_as_expected() {
    equals("profile/harbour.txt", &run("not unknown(sample)", "").out);
    equals("profile/one.txt", &run("timber == 'F01'", "").out);
    equals("profile/water.txt", &run("timber == 'Q01'", "--value max_water_content --threshold II").out);
    equals("profile/no-curve.txt", &run("timber == 'W01'", "").out);
    equals("profile/plain.txt", &run("timber == 'F01'", "--plain").out);
}

#[test]
fn outcomes_are_valid_under_the_schema() {
    let schema = Folder::of(&[]).run("schema profile").out;
    let validator: Validator = jsonschema::validator_for(&serde_json::from_str(&schema).unwrap()).unwrap();
    for others in
        ["", "--replicates 0", "--value basic_density", "--value pin_penetration", "--model linear", "--section round"]
    {
        let outcome = json("not unknown(sample)", others);
        let errors: Vec<String> =
            validator.iter_errors(&outcome).map(|error| format!("{}: {error}", error.instance_path)).collect();
        assert_eq!(errors, Vec::<String>::new(), "{others}");
    }
}

#[test]
fn every_piece_is_in_a_profile_or_listed_with_a_reason() {
    let outcome = json("not unknown(sample)", "--replicates 0");
    let profiles = outcome["profiles"].as_array().unwrap();
    let used: u64 = profiles.iter().map(|profile| profile["n"].as_u64().unwrap()).sum();
    let left = outcome["left_out"].as_array().unwrap().len();
    assert_eq!(
        usize::try_from(used).unwrap() + left,
        usize::try_from(outcome["counts"]["pieces"].as_u64().unwrap()).unwrap()
    );
    let timbers = profiles.len() + outcome["without"].as_array().unwrap().len();
    assert_eq!(timbers, usize::try_from(outcome["counts"]["timbers"].as_u64().unwrap()).unwrap());
}

/// The invented harbour was made with a soft rim of stated depth (`datasets-demo/README.md`).
#[test]
fn a_class_may_be_the_limit_of_sound_wood() {
    let outcome = json("timber == 'Q01'", "--value max_water_content --threshold II");
    let threshold = &outcome["profiles"][0]["threshold"];
    assert_eq!((threshold["value"].as_f64(), threshold["degraded"].as_str()), (Some(400.0), Some("above")));
    let usual = json("timber == 'Q01'", "--value max_water_content");
    assert_eq!(usual["profiles"][0]["threshold"]["value"].as_f64(), Some(185.0));
}

#[test]
fn a_threshold_without_its_unit_shows_the_line_with_one() {
    let found = run("timber == 'Q01'", "--threshold 60");
    assert_eq!(found.code, 2);
    assert!(found.err.contains("write it with its unit, as in \"60 %\""), "{}", found.err);
    let found = run("timber == 'Q01'", "--threshold III");
    assert!(found.err.contains("classes divide max_water_content: add --value max_water_content"), "{}", found.err);
    let found = run("timber == 'Q01'", "--value max_water_content --threshold I");
    assert!(found.err.contains("a class that is not the worst one"), "{}", found.err);
}

#[test]
fn a_misspelt_word_is_met_with_the_right_one() {
    let found = run("timber == 'Q01'", "--value residual_density");
    assert!(found.err.contains("residual_basic_density"), "{}", found.err);
    let found = run("timber == 'Q01'", "--model brokenstick");
    assert!(found.err.contains("broken_stick"), "{}", found.err);
    assert_eq!(run("timber == 'Q01'", "--section oval").code, 2);
}

#[test]
fn without_depths_it_says_what_is_missing() {
    let found = small(&table("note", &["a", "b", "c"]), "");
    assert_eq!(found.code, 1);
    assert!(found.err.contains("of 3 pieces 0 have a depth, 3 have residual_basic_density"), "{}", found.err);
    assert!(found.err.contains("fill in depth_from and depth_to"), "{}", found.err);
}

#[test]
fn an_outline_gives_a_section_and_a_bad_one_a_finding() {
    let rows =
        ["0,10,0 0; 200 0; 200 100; 0 100", "10,20,0 0; 200 0; 200 100; 0 100", "20,40,0 0; 200 0; 200 100; 0 100"];
    let head = "depth_from [mm],depth_to [mm],section_outline";
    let found = small(&table(head, &rows), "--json");
    let outcome: Value = serde_json::from_str(&found.out).unwrap();
    let section = &outcome["profiles"][0]["section"];
    assert_eq!((section["form"].as_str(), section["area"].as_f64()), (Some("polygon"), Some(20_000.0)));
    let bad = rows.map(|row| row.replace("200 100", "200;100"));
    let found = small(&table(head, &bad.each_ref().map(String::as_str)), "");
    assert!(found.err.contains("outline-unreadable"), "{}", found.err);
    assert!(found.err.contains("corners in mm with semicolons between"), "{}", found.err);
}

#[test]
fn sizes_of_two_forms_are_asked_about() {
    let head = "depth_from [mm],depth_to [mm],timber_diameter [mm],timber_width [mm],timber_height [mm]";
    let rows = ["0,10,200,180,170", "10,20,200,180,170", "20,40,200,180,170"];
    let found = small(&table(head, &rows), "");
    assert!(found.out.contains("choose with --section round or rectangular"), "{}", found.out);
    let round = small(&table(head, &rows), "--section round");
    assert!(!round.out.contains("section-unknown"), "{}", round.out);
}

/// Iron says nothing of how sound wood is: no soft rim, no word of preservation, and levels that fall as the iron does.
#[test]
fn a_column_of_unknown_meaning_has_levels_and_no_rim() {
    let head = "depth_from [mm],depth_to [mm],iron_in_wood [mg/kg]";
    let found = small(&table(head, &["0,10,900", "10,20,400", "20,40,90"]), "--value iron_in_wood --json");
    let outcome: Value = serde_json::from_str(&found.out).unwrap();
    let profile = &outcome["profiles"][0];
    let levels: Vec<f64> =
        profile["levels"].as_array().unwrap().iter().map(|one| one["level"].as_f64().unwrap()).collect();
    assert_eq!(levels, [900.0, 400.0, 90.0]);
    assert!(profile["soft_rim"].is_null() && !found.out.contains("not-monotone"));
}

#[test]
fn depths_from_different_surfaces_are_said() {
    let head = "depth_from [mm],depth_to [mm],depth_reference";
    let rows = ["0,10,present_surface", "10,20,worked_face", "20,40,present_surface"];
    let found = small(&table(head, &rows), "");
    assert!(found.out.contains("surfaces-differ"), "{}", found.out);
}

#[test]
fn a_file_is_written_and_written_again() {
    let folder = Folder::with_demo();
    for _ in 0..2 {
        let found = folder.run(&format!("profile {DATA} --quiet --replicates 0 -o depth.csv"));
        assert_eq!((found.code, found.err.as_str()), (0, ""));
    }
    let found = folder.run(&format!("profile {DATA} -o depth.docx"));
    assert!(found.err.contains("json") && found.err.contains("csv"), "{}", found.err);
}

#[test]
fn every_caution_and_model_has_a_story() {
    for word in
        DepthCautionCode::ALL.iter().map(|code| code.word()).chain(DepthModel::ALL.iter().map(|model| model.word()))
    {
        let story = text(&explanation_view(&explain(word).unwrap()), 100);
        assert!(story.contains("meaning"), "{word}");
    }
}

/// The soft rim of `assess` is the interval that increments allow, the same as in `profile`.
#[test]
fn assess_and_profile_agree_on_what_increments_allow() {
    let folder = Folder::with_demo();
    let found: Value = serde_json::from_str(&folder.run(&format!("assess {DATA} --quiet --json")).out).unwrap();
    let profiles = json("not unknown(sample)", "--replicates 0");
    let mut compared = 0;
    for profile in profiles["profiles"].as_array().unwrap() {
        let timber = found["timbers"].as_array().unwrap().iter().find(|timber| timber["timber"] == profile["timber"]);
        let rim = &timber.unwrap()["soft_rim"];
        if !rim.is_null() {
            assert_eq!(rim["between"], profile["soft_rim"]["between"], "{}", profile["timber"]);
            compared += 1;
        }
    }
    assert!(compared > 20, "{compared}");
}
