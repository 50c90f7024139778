//! Curves against values from outside: `SciPy`, statsmodels and decimals of 50 digits, frozen by
//! `tests/outside/freeze_strength.py` with version and call beside each value.

use serde_json::Value;
use woodstate::numeric::{Interval, Watch};
use woodstate::strength::{
    CurveFit, CurveModel, CurveOptions, NestedTest, Pair, ScatterTest, Weighting, compare, group_curves, monotone,
};

use super::{agrees, by_timber, fitted, plain};

/// The two sets: 12 and 60 invented pieces.
fn sets() -> Vec<Value> {
    let all: Value = serde_json::from_str(include_str!("../expected/outside/strength.json")).unwrap();
    ["small", "large"].map(|name| all["sets"][name].clone()).to_vec()
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(number).collect()
}

fn words(value: &Value) -> Vec<&str> {
    value.as_array().unwrap().iter().map(|word| word.as_str().unwrap()).collect()
}

fn pairs(set: &Value) -> Vec<Pair> {
    let timbers = words(&set["timber"]);
    let of = |((x, y), timber): ((f64, f64), &&str)| Pair::new(x, y).of_timber(timber);
    numbers(&set["x"]).into_iter().zip(numbers(&set["y"])).zip(&timbers).map(of).collect()
}

/// Each model of a set with its curve.
fn check(each: impl Fn(&CurveFit, &Value, &[Pair])) {
    for set in sets() {
        for (word, expected) in set["models"].as_object().unwrap() {
            let pairs = pairs(&set);
            each(&fitted(&pairs, CurveModel::of_word(word).unwrap(), &plain()), expected, &pairs);
        }
    }
}

#[track_caller]
fn all_agree(actual: impl IntoIterator<Item = f64>, expected: &Value, relative: f64) {
    let expected = numbers(expected);
    let actual: Vec<f64> = actual.into_iter().collect();
    assert_eq!(actual.len(), expected.len());
    for (actual, expected) in actual.into_iter().zip(expected) {
        agrees(actual, expected, relative);
    }
}

#[track_caller]
fn ends_agree(actual: Option<Interval>, expected: &Value, size: f64) {
    let actual = actual.unwrap();
    for (actual, expected) in [actual.low, actual.high].into_iter().zip(numbers(expected)) {
        assert!((actual - expected).abs() <= 1e-9 * size.max(expected.abs()), "{actual} {expected}");
    }
}

#[test]
fn parameters_and_their_uncertainties_agree_to_nine_digits() {
    check(|curve, expected, _| {
        all_agree(curve.fit.parameters.clone(), &expected["parameters"], 1e-9);
        all_agree((0..curve.fit.p).map(|k| curve.u(k).unwrap()), &expected["sd"], 1e-8);
        for (i, row) in expected["correlation"].as_array().unwrap().iter().enumerate() {
            for (j, r) in numbers(row).into_iter().enumerate() {
                assert!((curve.correlation(i, j).unwrap() - r).abs() < 1e-9);
            }
        }
        agrees(curve.fit.rss, number(&expected["rss"]), 1e-12);
        agrees(curve.scatter().unwrap(), number(&expected["residual_sd"]), 1e-12);
        agrees(curve.r_squared().unwrap(), number(&expected["r_squared"]), 1e-12);
        agrees(curve.aicc().unwrap(), number(&expected["aicc"]), 1e-12);
        agrees(curve.bic().unwrap(), number(&expected["bic"]), 1e-12);
        // Of the large set for the line alone.
        if let Some(error) = expected.get("loo_rmse") {
            agrees(curve.left_out_error(&Watch::silent()).unwrap().unwrap(), number(error), 1e-9);
        }
    });
}

/// Given with eight digits; an end that is never reached is open in both.
#[test]
fn profiles_agree_to_their_digits() {
    check(|curve, expected, _| {
        let profile = curve.profile(&Watch::silent()).unwrap().unwrap();
        for (found, expected) in profile.iter().zip(expected["profile"].as_array().unwrap()) {
            let found = found.unwrap();
            for (found, expected) in [found.low, found.high].into_iter().zip(expected.as_array().unwrap()) {
                match expected.as_f64() {
                    Some(expected) => agrees(found.unwrap(), expected, 2e-7),
                    None => assert_eq!(found, None),
                }
            }
        }
    });
}

#[test]
fn bands_agree_to_nine_digits() {
    check(|curve, expected, _| {
        for expected in expected["bands"].as_array().unwrap() {
            let here = curve.predict(number(&expected["x"])).unwrap();
            agrees(here.value, number(&expected["fit"]), 1e-9);
            agrees(here.u.unwrap(), number(&expected["u"]), 1e-8);
            ends_agree(here.confidence, &expected["confidence"], 1.0);
            ends_agree(here.prediction, &expected["prediction"], 1.0);
            ends_agree(here.simultaneous, &expected["simultaneous"], 1.0);
        }
    });
}

#[test]
fn influence_and_tests_of_the_scatter_agree() {
    check(|curve, expected, pairs| {
        let found = curve.diagnostics().unwrap().unwrap();
        assert_eq!(found.pieces.len(), pairs.len());
        let influence = &expected["influence"];
        all_agree(found.pieces.iter().map(|piece| piece.leverage), &influence["leverage"], 1e-7);
        all_agree(found.pieces.iter().map(|piece| piece.studentised.unwrap()), &influence["studentised"], 1e-6);
        all_agree(found.pieces.iter().map(|piece| piece.cook.unwrap()), &influence["cook"], 1e-6);
        let agree = |test: Option<ScatterTest>, expected: &Value, relative| {
            agrees(test.unwrap().statistic, number(&expected["statistic"]), relative);
            agrees(test.unwrap().probability, number(&expected["probability"]), 10.0 * relative);
        };
        agree(found.equal_scatter, &expected["scatter"]["breusch_pagan"], 1e-8);
        // SciPy takes the scores of the order statistics with fewer digits.
        agree(found.normality, &expected["scatter"]["shapiro"], 1e-6);
    });
}

#[test]
fn weights_of_models_agree() {
    for set in sets() {
        let expected = set["aicc_weights"].as_object().unwrap();
        let models: Vec<CurveModel> = expected.keys().map(|word| CurveModel::of_word(word).unwrap()).collect();
        let found = compare(&pairs(&set), &models, &plain(), &Watch::silent()).unwrap();
        for entry in found.entries {
            agrees(entry.weight.unwrap(), number(&expected[entry.model.word()]), 1e-9);
        }
    }
}

#[test]
fn uncertainty_by_timber_agrees_with_that_of_clusters() {
    for set in sets() {
        let line = fitted(&pairs(&set), CurveModel::Linear, &by_timber());
        let expected = &set["line"];
        let covariance = line.covariance.as_ref().unwrap();
        for i in 0..2 {
            all_agree(covariance.row(i).to_vec(), &expected["clustered_covariance"][i], 1e-9);
        }
        assert_eq!(line.n_timbers().map(|n| n as u64), expected["n_timbers"].as_u64());
    }
}

#[test]
fn comparisons_of_groups_agree() {
    for set in sets() {
        let expected = &set["groups"];
        let woods = words(&set["wood"]);
        let of = |wood: &str| {
            let mine = pairs(&set).into_iter().zip(&woods).filter(|(_, other)| **other == wood);
            mine.map(|(pair, _)| pair).collect::<Vec<Pair>>()
        };
        let groups: Vec<Vec<Pair>> = words(&expected["woods"]).into_iter().map(of).collect();
        let found = group_curves(&groups, CurveModel::Power, &plain(), &Watch::silent()).unwrap();
        let shared = found.shared.unwrap();
        all_agree(shared.fit.parameters.clone(), &expected["shared_exponent"]["parameters"], 1e-9);
        all_agree((0..3).map(|k| shared.fit.sd(k).unwrap()), &expected["shared_exponent"]["sd"], 1e-8);
        let agree = |test: Option<NestedTest>, expected: &Value| {
            let test = test.unwrap();
            agrees(test.f, number(&expected["f"]), 1e-8);
            all_agree([test.more, test.left], &expected["df"], 1e-15);
            agrees(test.probability, number(&expected["probability"]), 1e-7);
        };
        agree(found.one_or_separate, &expected["one_or_apart"]);
        agree(found.one_or_scaled, &expected["one_or_shared"]);
        agree(found.scaled_or_separate, &expected["shared_or_apart"]);
        let lines = group_curves(&groups, CurveModel::Linear, &plain(), &Watch::silent()).unwrap();
        agree(lines.one_or_separate, &expected["line_one_or_apart"]);
    }
}

#[test]
fn known_uncertainties_agree() {
    for set in sets() {
        let expected = &set["known"];
        let u = numbers(&expected["u"]);
        let pairs: Vec<Pair> = pairs(&set).into_iter().zip(u).map(|(pair, u)| Pair { u: Some(u), ..pair }).collect();
        let options = CurveOptions { weighting: Weighting::Known, ..plain() };
        let curve = fitted(&pairs, CurveModel::Power, &options);
        all_agree(curve.fit.parameters.clone(), &expected["parameters"], 1e-9);
        all_agree((0..2).map(|k| curve.u(k).unwrap()), &expected["sd"], 1e-8);
        agrees(curve.fit.rss, number(&expected["chi_squared"]), 1e-10);
        agrees(curve.fit.chi_squared_probability.unwrap(), number(&expected["probability"]), 1e-9);
    }
}

#[test]
fn monotone_curves_agree() {
    for set in sets() {
        let found = monotone(&pairs(&set)).unwrap();
        let expected = &set["monotone"];
        for (x, value) in numbers(&expected["x"]).into_iter().zip(numbers(&expected["rising"])) {
            agrees(found.at(x).unwrap(), value, 1e-12);
        }
    }
}
