//! `[bath]` of the study file.

use woodstate::study::{BathPlan, Study};

#[test]
fn the_study_file_states_a_bath() {
    let text =
        "[bath]\ntank = \"2.4 m3\"\nimpregnant = \"PEG 2000\"\nsteps = [\"10 % by mass for 60 d\", \"20 % by mass\"]\n";
    let plan = Study::parse(text, "woodstate.toml").unwrap().bath;
    assert_eq!((plan.tank, plan.steps.len()), (Some(2400.0), 2));
    assert_eq!(plan.steps[0].duration, Some(60.0));
}

#[test]
fn a_fault_is_told_with_its_place() {
    let fault = |text: &str| Study::parse(text, "woodstate.toml").unwrap_err().to_string();
    let said = fault("[bath]\ntnak = \"2400 L\"\n");
    assert!(said.starts_with("woodstate.toml:2:1: ") && said.contains("tank"), "{said}");
    let said = fault("[bath]\ntank = 2400\n");
    assert!(said.starts_with("woodstate.toml:2:8: ") && said.contains("2400 L"), "{said}");
    let said = fault("[bath]\nsteps = [\"40 %\"]\n");
    assert!(said.starts_with("woodstate.toml:2:9: ") && said.contains("two different baths"), "{said}");
}

/// Every key of the table can be set, and has an example that can be read.
#[test]
fn every_key_has_an_example_that_is_read() {
    for (key, meaning) in BathPlan::KEYS {
        let text = match meaning.split_once("such as \"") {
            Some((_, rest)) => rest.split('"').next().unwrap(),
            None => match key {
                "impregnant" | "agent" | "base" => continue,
                _ => panic!("{key} has no example"),
            },
        };
        BathPlan::default().set(key, text).unwrap_or_else(|error| panic!("{key}: {error}"));
    }
}
