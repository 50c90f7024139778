//! The program as a person or a script meets it: exit codes, streams, files in and out, the demonstration data.

mod demo;
mod ending;
mod help;
mod order;
mod published;
mod reading;
mod shown;
mod single;
mod written;

/// Two pieces that can be assessed.
const TWO: &[u8] = b"sample,mass_saturated [g],mass_oven_dry [g]\nK1,5.25,1.05\nK2,9.5,4.5\n";

/// The numbers of a quantity by sample, with the text of the whole value to compare.
fn values(outcome: &serde_json::Value, quantity: &str) -> Vec<(String, serde_json::Value)> {
    let of = |sample: &serde_json::Value| {
        let name = sample["sample"].as_str().unwrap_or_default().to_owned();
        (name, sample["values"][quantity]["value"].clone())
    };
    let mut values: Vec<_> = outcome["samples"].as_array().unwrap().iter().map(of).collect();
    values.sort_by(|a, b| a.0.cmp(&b.0));
    values
}

/// The samples that have a caution.
fn cautioned(outcome: &serde_json::Value, code: &str) -> Vec<String> {
    let has = |sample: &&serde_json::Value| {
        sample["cautions"].as_array().unwrap().iter().any(|caution| caution["code"] == code)
    };
    let samples = outcome["samples"].as_array().unwrap().iter().filter(has);
    let mut names: Vec<String> = samples.map(|sample| sample["sample"].as_str().unwrap().to_owned()).collect();
    names.sort();
    names
}
