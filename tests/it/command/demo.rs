//! What the page of the demonstration data says of its pieces. All of it is invented.

use serde_json::Value;

use crate::support::program::Folder;

use super::cautioned;

fn check(data: &str) -> Value {
    Folder::with_demo().json(&format!("assess datasets-demo/{data}"))
}

fn samples(outcome: &Value) -> &[Value] {
    outcome["samples"].as_array().unwrap()
}

fn names(outcome: &Value, is: impl Fn(&Value) -> bool) -> Vec<&str> {
    let mut names: Vec<&str> =
        samples(outcome).iter().filter(|sample| is(sample)).map(|sample| sample["sample"].as_str().unwrap()).collect();
    names.sort_unstable();
    names
}

#[test]
fn the_harbour_has_its_special_pieces_and_no_others() {
    let outcome = check("harbour/harbour.xlsx");
    let special = [
        ("not-saturated", vec!["B06-K2-3", "F03-K1-4", "Q07-K1-3"]),
        ("surface-water", vec!["Q06-K1-2"]),
        ("mineralised", vec!["Q02-K2-1"]),
        ("charred", vec!["F02-K1-1", "Q01-K3-1", "Q06-K2-1"]),
        ("borer-damage", vec!["W01-K1-1", "W02-K1-1"]),
        ("prior-treatment", vec!["B10-K1-1", "B10-K1-2", "B10-P2"]),
        ("cell-wall-decides", vec!["B08-U2", "B08-U3", "Q04-U2", "Q04-U3", "W03-U3", "W04-U3", "W06-U3", "W06-U4"]),
        ("salt-possible", vec![]),
        ("water-assumed", vec![]),
        ("uncertainty-unknown", vec![]),
        ("taxon-unknown", vec![]),
    ];
    for (code, expected) in special {
        assert_eq!(cautioned(&outcome, code), expected, "{code}");
    }
    assert_eq!(names(&outcome, |sample| sample["timber"] == "B10"), ["B10-K1-1", "B10-K1-2", "B10-P2"]);
}

#[test]
fn the_fillings_of_the_harbour_are_about_those_of_its_page() {
    let outcome = check("harbour/harbour.xlsx");
    for (name, expected) in [("F03-K1-4", 85.0), ("B06-K2-3", 85.0), ("Q07-K1-3", 62.0), ("Q06-K1-2", 108.0)] {
        let sample = samples(&outcome).iter().find(|sample| sample["sample"] == name).unwrap();
        let saturation = sample["values"]["saturation"]["value"].as_f64().unwrap();
        // The page says two digits.
        assert!((saturation - expected).abs() < 0.5, "{name}: {saturation}");
    }
}

#[test]
fn pieces_without_a_decay_reading_have_a_reason_and_no_loss() {
    let outcome = check("harbour/harbour.xlsx");
    for code in ["mineralised", "charred", "borer-damage", "prior-treatment"] {
        for name in cautioned(&outcome, code) {
            let sample = samples(&outcome).iter().find(|sample| sample["sample"] == name.as_str()).unwrap();
            assert_eq!(sample["degradation_class"]["most_likely"], Value::Null, "{name}");
            assert!(sample["degradation_class"]["reason"].is_string(), "{name}");
            assert_eq!(sample["values"]["loss_of_wood_substance"], Value::Null, "{name}");
            assert!(sample["values"]["max_water_content"]["value"].is_f64(), "{name}");
        }
    }
}

#[test]
fn only_pieces_near_a_class_limit_or_measured_wrongly_are_not_decided() {
    let outcome = check("harbour/harbour.xlsx");
    let is_classed = |sample: &Value| sample["degradation_class"]["most_likely"].is_string();
    let undecided = names(&outcome, |sample| is_classed(sample) && sample["degradation_class"]["decided"] == false);
    let near_400 = ["B03-K1-2", "B08-K1-3", "F01-K2-1"];
    let near_185 = ["B03-K2-2", "B09-K1-3", "B09-K2-3", "Q02-K1-3", "W02-K1-3"];
    // Oak with air or surface water in it.
    let measured_wrongly = ["B06-K2-3", "F03-K1-4", "Q06-K1-2"];
    let mut expected = [near_400.as_slice(), &near_185, &measured_wrongly].concat();
    expected.sort_unstable();
    assert_eq!(undecided, expected);
}

#[test]
fn only_oak_is_classed() {
    let outcome = check("harbour/harbour.xlsx");
    let classed = |sample: &Value| sample["degradation_class"]["most_likely"].is_string();
    assert!(
        samples(&outcome).iter().filter(|sample| classed(sample)).all(|sample| sample["taxon"] == "Quercus, deciduous")
    );
    let others = names(&outcome, |sample| sample["taxon"] != "Quercus, deciduous");
    assert_eq!(others.len(), 158 - 109);
}

#[test]
fn pieces_measured_twice_are_one_piece_of_two_rows() {
    let outcome = check("harbour/harbour.xlsx");
    let twice = names(&outcome, |sample| sample["rows"].as_array().unwrap().len() == 2);
    assert_eq!(twice, ["B02-K1-1", "F04-K1-2", "Q01-K1-3"]);
    let counts = &outcome["counts"];
    assert_eq!((&counts["rows"], &counts["pieces"], &counts["undried"]), (&161.into(), &158.into(), &8.into()));
}

#[test]
fn the_messy_workbook_gives_exactly_its_listed_flaws() {
    let outcome = check("messy/barge.xlsx");
    let findings = outcome["findings"].as_array().unwrap();
    let is_loss = |finding: &&Value| finding["severity"] != "note";
    let mut lost: Vec<String> = findings
        .iter()
        .filter(is_loss)
        .map(|f| format!("{} {}", f["code"].as_str().unwrap(), f["place"]["cell"].as_str().unwrap()))
        .collect();
    lost.sort();
    let expected =
        ["mass-missing G8", "pair-impossible G19", "pair-impossible G27", "sample-twice B32", "sample-twice B33"];
    assert_eq!(lost, expected);
    let notes = |code: &str| findings.iter().filter(|finding| finding["code"] == code).count();
    assert_eq!((notes("unit-overridden"), notes("number-as-text")), (1, 4));
    assert_eq!(findings.len(), expected.len() + 5);
}

#[test]
fn the_messy_pieces_go_on_as_far_as_they_can() {
    let outcome = check("messy/barge.xlsx");
    let counts = &outcome["counts"];
    assert_eq!((&counts["rows"], &counts["assessed"], &counts["not_assessed"]), (&40.into(), &36.into(), &4.into()));
    let of = |name: &str| samples(&outcome).iter().find(|sample| sample["sample"] == name).unwrap();
    assert_eq!(of("K2/10")["values"]["basic_density"]["route"], "saturated_undried");
    // No reading under water: both masses are left.
    assert_eq!(of("K4/20")["values"]["max_water_content"]["route"], "weighed");
    assert_eq!(of("K4/20")["values"]["basic_density"]["route"], "saturated_dried");
    for name in ["K6/0", "K8/20", "K10/10"] {
        assert_eq!(of(name)["status"], "not_assessed", "{name}");
    }
}
