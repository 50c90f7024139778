//! Results read back as stated values are the same results.

use serde_json::Value;

use crate::support::program::Folder;

/// Water content and basic density with their uncertainties, by sample.
fn check(outcome: &Value) -> Vec<(String, Vec<Option<f64>>)> {
    let quantities = ["max_water_content", "basic_density"];
    let of = |sample: &Value| {
        let values = quantities.iter().flat_map(|name| {
            let value = &sample["values"][*name];
            [value["value"].as_f64(), value["u"].as_f64()]
        });
        (sample["sample"].as_str().unwrap().to_owned(), values.collect())
    };
    outcome["samples"].as_array().unwrap().iter().map(of).collect()
}

fn results(folder: &Folder) -> (Value, Value) {
    let harbour = "datasets-demo/harbour";
    let study = format!("--study {harbour}/woodstate.toml");
    let first = folder.json(&format!("assess {harbour}/harbour.xlsx --out state"));
    (first, folder.json(&format!("assess state/results.csv {study}")))
}

#[test]
fn results_read_back_as_stated_have_the_same_water_contents_and_densities() {
    let folder = Folder::with_demo();
    let (first, again) = results(&folder);
    let (first_rows, again_rows) = (check(&first), check(&again));
    assert_eq!(first_rows.len(), 158);
    for ((name, first), (other, again)) in first_rows.iter().zip(&again_rows) {
        assert_eq!(name, other);
        for (first, again) in first.iter().zip(again) {
            // The square of an uncertainty and its root may differ in the last digit.
            let (first, again) = (first.unwrap(), again.unwrap());
            assert!((first - again).abs() <= 1e-14 * first.abs(), "{name}: {first} and {again}");
        }
    }
    let sample = &again["samples"][0]["values"];
    assert_eq!(
        (&sample["max_water_content"]["route"], &sample["basic_density"]["route"]),
        (&"stated".into(), &"stated".into())
    );
}

#[test]
fn classes_of_pieces_that_have_one_are_the_same_when_read_back() {
    let folder = Folder::with_demo();
    let (first, again) = results(&folder);
    let pairs = first["samples"].as_array().unwrap().iter().zip(again["samples"].as_array().unwrap());
    let classed = pairs.filter(|(first, _)| first["degradation_class"]["most_likely"].is_string());
    for (first, again) in classed {
        let (one, other) = (&first["degradation_class"], &again["degradation_class"]);
        assert_eq!((&one["most_likely"], &one["decided"]), (&other["most_likely"], &other["decided"]), "{first}");
    }
}

#[test]
fn the_echo_of_the_input_gives_the_same_results() {
    let folder = Folder::with_demo();
    let harbour = "datasets-demo/harbour";
    let first = folder.json(&format!("assess {harbour}/samples.csv --out state"));
    let again = folder.json(&format!("assess state/input.csv --study {harbour}/woodstate.toml"));
    assert_eq!(first["samples"].as_array().unwrap().len(), 158);
    assert!(first["samples"] == again["samples"]);
}
