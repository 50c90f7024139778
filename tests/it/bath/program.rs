//! The program, as each of its users types it.

use jsonschema::Validator;
use serde_json::Value;

use crate::support::expected::equals;
use crate::support::program::{Ended, Folder, ended};

const DATA: &str = "datasets-demo/harbour/harbour.xlsx";

fn run(folder: &Folder, line: &str, texts: &[(&str, &str)]) -> Ended {
    let mut command = folder.command(&format!("bath {line}"));
    for (option, text) in texts {
        command.args([*option, *text]);
    }
    ended(&mut command, b"")
}

const MIX: [(&str, &str); 5] = [
    ("--where", "timber in ('B01', 'B02', 'B03')"),
    ("--tank", "2400 L"),
    ("--temperature", "20 Cel"),
    ("--impregnant", "PEG 2000"),
    ("--steps", "10 % by mass, 20 % by mass, 30 % by mass, 40 % by mass"),
];

const WASH: [(&str, &str); 5] = [
    ("--tank", "9000 L"),
    ("--salt-left", "1 %"),
    ("--agent", "EDTA"),
    ("--hardness", "2.5 mmol/L"),
    ("--base", "sodium hydrogen carbonate"),
];

const TIME: [(&str, &str); 6] = [
    ("--where", "timber in ('B01', 'Q01', 'F02')"),
    ("--diffusivity", "1e-12 to 1e-11 m2/s"),
    ("--diffusivity-rim", "1e-11 to 1e-10 m2/s"),
    ("--temperature", "20 Cel"),
    ("--impregnant", "PEG 2000"),
    ("--steps", "10 % by mass for 90 d, 20 % by mass for 90 d, 30 % by mass for 180 d"),
];

const FREEZE: [(&str, &str); 3] =
    [("--wood-temperature", "-30 Cel"), ("--chamber-pressure", "0.1 mbar"), ("--eutectic", "-27 Cel")];

#[test]
fn the_texts_read_as_expected() {
    let folder = Folder::with_demo();
    let mix = run(&folder, &format!("mix {DATA} --quiet"), &MIX);
    equals("bath/mix.txt", &mix.out);
    equals("bath/wash.txt", &run(&folder, &format!("wash {DATA} --quiet --safety short"), &WASH).out);
    equals("bath/time.txt", &run(&folder, &format!("time {DATA} --quiet --safety short"), &TIME).out);
    equals("bath/freeze.txt", &run(&folder, "freeze --safety short", &FREEZE).out);
    equals("bath/mix-plain.txt", &run(&folder, &format!("mix {DATA} --quiet --plain"), &MIX).out);
}

#[test]
fn outcomes_are_valid_under_their_schemas() {
    let folder = Folder::with_demo();
    let kinds = [("bath_mix", "mix"), ("bath_wash", "wash"), ("bath_time", "time"), ("bath_freeze", "freeze")];
    let texts: [&[(&str, &str)]; 4] = [&MIX, &WASH, &TIME, &FREEZE];
    for ((kind, what), texts) in kinds.into_iter().zip(texts) {
        let line = if what == "freeze" { what.to_owned() } else { format!("{what} {DATA}") };
        let schema = folder.run(&format!("schema {kind}")).out;
        let validator: Validator = jsonschema::validator_for(&serde_json::from_str(&schema).unwrap()).unwrap();
        let out = run(&folder, &format!("{line} --quiet --json"), texts).out;
        let outcome: Value = serde_json::from_str(&out).unwrap();
        let faults: Vec<String> = validator.iter_errors(&outcome).map(|error| error.to_string()).collect();
        assert!(faults.is_empty(), "{kind}: {faults:?}");
        assert_eq!(outcome["kind"], kind);
        // Safety can be shortened, never switched off.
        assert!(!outcome["safety"]["notes"].as_array().unwrap().is_empty(), "{kind}");
        assert!(outcome["safety"]["deferral"].as_str().unwrap().contains("local codes"), "{kind}");
    }
}

#[test]
fn the_same_line_gives_the_same_bytes_and_a_file() {
    let folder = Folder::with_demo();
    let line = format!("mix {DATA} --quiet --out mixed.csv --out-decimal ,");
    assert_eq!(run(&folder, &line, &MIX).out, run(&folder, &line, &MIX).out);
    let written = String::from_utf8(folder.bytes("mixed.csv")).unwrap();
    assert!(written.starts_with("bath;"), "{written}");
    let wrong = run(&folder, &format!("mix {DATA} --quiet --out mixed.pdf"), &MIX);
    assert_eq!(wrong.code, 2);
}

#[test]
fn what_is_missing_is_asked_with_exit_code_2() {
    let folder = Folder::with_demo();
    let asked = run(&folder, "mix", &MIX[1..]);
    assert_eq!(asked.code, 2);
    assert!(asked.err.contains("name a file with samples and timbers, or give --wood-volume and --wood-water"));
    let bare = run(&folder, &format!("mix {DATA}"), &[("--tank", "2400")]);
    assert!(bare.code == 2 && bare.err.contains("2400 L") && bare.err.contains("--tank"), "{}", bare.err);
    let two = run(&folder, &format!("mix {DATA}"), &[("--steps", "40 %")]);
    assert!(two.code == 2 && two.err.contains("two different baths"), "{}", two.err);
}

#[test]
fn cautions_end_with_4_under_strict() {
    let folder = Folder::with_demo();
    assert_eq!(run(&folder, &format!("mix {DATA} --quiet --strict"), &MIX).code, 4);
    assert_eq!(run(&folder, "freeze --strict", &FREEZE).code, 0);
    assert_eq!(run(&folder, "freeze --strict", &FREEZE[..2]).code, 4);
}
