//! The command on the demonstration data.

use jsonschema::Validator;
use serde_json::Value;
use woodstate::error::CurveCautionCode;
use woodstate::report::{explanation_view, text};
use woodstate::study::explain;

use crate::support::expected::equals;
use crate::support::program::{Ended, Folder, ended};

const DATA: &str = "datasets-demo/strength/mechanics.csv";
const AXES: &str = "--value compression_parallel --against residual_basic_density";

fn run(condition: &str, others: &str) -> Ended {
    let folder = Folder::with_demo();
    let mut command = folder.command(&format!("fit {DATA} --quiet {others}"));
    ended(command.args(["--where", condition]), b"")
}

fn json(condition: &str, others: &str) -> Value {
    let found = run(condition, &format!("{others} --json"));
    serde_json::from_str(&found.out).unwrap_or_else(|error| panic!("{error}: {}", found.err))
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
}

#[test]
fn the_text_reads_as_expected() {
    equals("strength/oak.txt", &run("taxon == 'oak'", AXES).out);
    let by = "--value bending_strength --against basic_density --model power --by taxon";
    equals("strength/by-taxon.txt", &run("not unknown(sample)", by).out);
    equals("strength/relative.txt", &run("taxon == 'oak'", &format!("{AXES} --relative --model power")).out);
    equals("strength/monotone.txt", &run("taxon == 'oak'", &format!("{AXES} --model monotone")).out);
}

/// Source: the laws by which the demonstration data were made, `datasets-demo/README.md`: exponents 1.25 and 1.7 for oak.
#[test]
fn the_exponents_that_the_data_were_made_with_lie_in_their_intervals() {
    for (value, exponent) in [("bending_strength", 1.25), ("compression_parallel", 1.7)] {
        let outcome =
            json("taxon == 'oak'", &format!("--value {value} --against residual_basic_density --model power"));
        let found = &outcome["fits"][0]["parameters"][1];
        let [low, high] = [0, 1].map(|end| number(&found["interval"][end]));
        assert!(low < exponent && exponent < high, "{value}: {low} to {high}");
        assert_eq!(outcome["fits"][0]["scatter"], "proportional");
    }
}

#[test]
fn outcomes_are_valid_under_the_schema_and_have_the_keys_that_were_promised() {
    let schema = Folder::of(&[]).run("schema fit").out;
    let validator: Validator = jsonschema::validator_for(&serde_json::from_str(&schema).unwrap()).unwrap();
    for others in ["", "--model monotone", "--by taxon --model power", "--relative --replicates 0", "--model linear"] {
        let outcome = json("not unknown(sample)", &format!("{AXES} {others}"));
        let errors: Vec<String> =
            validator.iter_errors(&outcome).map(|error| format!("{}: {error}", error.instance_path)).collect();
        assert_eq!(errors, Vec::<String>::new(), "{others}");
        assert_eq!(outcome["kind"], "fit");
    }
    let outcome = json("taxon == 'oak'", AXES);
    let fit = &outcome["fits"][0];
    for key in "group model formula n n_timbers parameters correlation residual_sd r_squared aicc loo_rmse cautions curve compared"
        .split(' ')
    {
        assert!(fit.get(key).is_some(), "{key}");
    }
    for key in ["name", "value", "u", "interval", "unit"] {
        assert!(fit["parameters"][0].get(key).is_some(), "{key}");
    }
    for key in ["x", "fit", "confidence", "prediction"] {
        assert!(fit["curve"][0].get(key).is_some(), "{key}");
    }
    let weights: f64 = fit["compared"].as_array().unwrap().iter().filter_map(|entry| entry["weight"].as_f64()).sum();
    assert!((weights - 1.0).abs() < 1e-12);
}

#[test]
fn every_piece_with_a_test_is_used_or_listed() {
    let outcome = json("not unknown(sample)", &format!("{AXES} --model power"));
    let used = outcome["fits"][0]["n"].as_u64().unwrap();
    let left_out = outcome["left_out"].as_array().unwrap().len() as u64;
    assert_eq!(used + left_out + outcome["not_tested"].as_u64().unwrap(), 61);
    assert_eq!(outcome["fits"][0]["diagnostics"]["pieces"].as_array().unwrap().len() as u64, used);
}

#[test]
fn the_same_seed_gives_the_same_bytes_and_another_one_other_intervals() {
    let of =
        |seed: u32| run("taxon == 'oak'", &format!("{AXES} --model power --replicates 200 --json --seed {seed}")).out;
    assert_eq!(of(3), of(3));
    assert_ne!(of(3), of(4));
}

#[test]
fn what_is_misspelt_ends_with_2_and_the_nearest_name() {
    for (others, told) in [
        ("--value bending_strenth --against basic_density", "known: bending_strength"),
        ("--value note --against basic_density", "unknown quantity or column of numbers \"note\""),
        ("--value bending_strength --against basic_densty", "known: basic_density"),
        (
            "--value bending_strength --against basic_density --model powr",
            "known: power, auto, linear, exponential, logistic, gompertz, threshold, monotone",
        ),
        ("--value bending_strength --against basic_density --by taxn", "unknown column \"taxn\"; known: taxon"),
        ("--value bending_strength --against basic_density -o curve.xlsx", "known: json, csv, tsv"),
        ("--value basic_density --against pin_penetration --relative", "unknown strength of sound wood"),
    ] {
        let found = run("not unknown(sample)", others);
        assert_eq!((found.code, found.out.as_str()), (2, ""), "{others}: {}", found.err);
        assert!(found.err.contains(told), "{others}: {}", found.err);
    }
}

#[test]
fn a_column_without_numbers_ends_with_1_and_the_tests_there_are() {
    let found = run("not unknown(sample)", "--value janka_side --against basic_density");
    assert_eq!(found.code, 1);
    assert!(found.err.contains("0 of 61 pieces have the first, 61 the second"), "{}", found.err);
    assert!(found.err.contains("tests with numbers: bending_strength, bending_modulus"), "{}", found.err);
}

#[test]
fn files_hold_the_curve_and_are_not_written_over_others() {
    let folder = Folder::with_demo();
    let command = format!("fit {DATA} {AXES} --model power --replicates 0");
    assert_eq!(folder.run(&format!("{command} -o curve.csv")).code, 0);
    let csv = String::from_utf8(folder.bytes("curve.csv")).unwrap();
    let mut lines = csv.lines();
    assert!(lines.next().unwrap().starts_with("model,residual_basic_density [%],compression_parallel [MPa],u("));
    assert_eq!(lines.filter(|line| line.starts_with("power,") && line.split(',').count() == 11).count(), 41);
    assert_eq!(folder.run(&format!("{command} -o curve.json")).code, 0);
    let written: Value = serde_json::from_slice(&folder.bytes("curve.json")).unwrap();
    assert_eq!(written, folder.json(&command));
    folder.put("mine.csv", b"mine");
    assert_eq!(folder.run(&format!("{command} -o mine.csv")).code, 5);
    assert_eq!(folder.run(&format!("{command} -o {DATA} --force")).code, 5);
    assert_eq!(folder.run(&format!("{command} --strict")).code, 4);
}

#[test]
fn plain_lines_have_as_many_fields_as_their_header() {
    let found = run("taxon == 'oak'", &format!("{AXES} --plain"));
    let tables: Vec<&str> = found.out.split("\n\n").collect();
    assert_eq!(tables.len(), 5);
    for table in tables {
        let fields: Vec<usize> = table.lines().map(|line| line.split('\t').count()).collect();
        assert!(fields.len() > 1 && fields.iter().all(|n| *n == fields[0]), "{fields:?}");
    }
}

#[test]
fn every_caution_about_a_curve_tells_its_whole_story() {
    let stories: Vec<String> =
        CurveCautionCode::ALL.iter().map(|code| text(&explanation_view(&explain(code.word()).unwrap()), 100)).collect();
    equals("strength/stories.txt", &stories.join("\n"));
    for story in CurveCautionCode::ALL.iter().map(|code| code.story()) {
        for part in [story.meaning, story.consequence, story.cause] {
            assert!(part.ends_with('.') && part.len() > 8, "{}: {part}", story.code);
        }
        assert!(!story.text.ends_with('.') && !story.cure.is_empty(), "{}", story.code);
    }
}
