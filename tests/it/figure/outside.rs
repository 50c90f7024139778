//! Boxes and correlations against values from outside, frozen by `tests/outside/freeze_figure.py` with version and call.

use std::fmt::Write;

use serde_json::Value;
use woodstate::figure::{Datum, FigureChoice, Layer};

use super::{assessed, drawn};

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(|number| number.as_f64().unwrap()).collect()
}

/// Source: tests/it/expected/outside/figure.json: `NumPy` 2.4.6 quantile(method='linear'), matplotlib 3.11.2
/// `boxplot_stats(whis=1.5)`, `SciPy` 1.17.1 spearmanr.
#[test]
fn boxes_and_correlations_are_those_of_numpy_matplotlib_and_scipy() {
    let frozen: Value = serde_json::from_str(include_str!("../expected/outside/figure.json")).unwrap();
    let cases = frozen["cases"].as_array().unwrap();
    assert_eq!(cases.len(), 5);
    for case in cases {
        let (values, others) = (numbers(&case["values"]), numbers(&case["others"]));
        let mut csv = "sample,timber,bending_strength [MPa],janka_side [N]\n".to_owned();
        for (place, (value, other)) in values.iter().zip(&others).enumerate() {
            writeln!(csv, "S{place},T,{},{other}", value / 10.0).unwrap();
        }
        let assessment = assessed(&csv);
        let choice = |value: &[&str]| FigureChoice {
            value: value.iter().map(|name| (*name).to_owned()).collect(),
            ..FigureChoice::default()
        };
        let figure = drawn(&assessment, "box-points", &choice(&["bending_strength"])).unwrap();
        let five = figure.panels[0].layers.iter().find_map(|layer| match layer {
            Layer::Box { five, .. } => Some(*five),
            _ => None,
        });
        for (ours, theirs) in five.unwrap().iter().zip(numbers(&case["box"])) {
            assert!((ours * 10.0 - theirs).abs() <= 1e-12 * theirs, "{ours} {theirs}");
        }
        let figure = drawn(&assessment, "correlation", &choice(&["bending_strength", "janka_side"])).unwrap();
        let Datum::Number(r) = figure.data.rows[0][3] else { panic!("no correlation") };
        assert!((r - case["rank_correlation"].as_f64().unwrap()).abs() < 1e-13, "{r}");
    }
}
