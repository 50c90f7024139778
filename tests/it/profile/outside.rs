//! Profiles against `SciPy`, frozen by `tests/outside/freeze_profile.py` with versions and calls.

use serde_json::Value;
use woodstate::numeric::Watch;
use woodstate::profile::{
    Degraded, DepthModel, Increment, ProfileOptions, choose_depth_model, depth_profile, monotone_depth,
};

use super::{fitted, near};

fn frozen() -> Value {
    serde_json::from_str(include_str!("../expected/outside/profile.json")).unwrap()
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(number).collect()
}

fn cores(set: &Value) -> Vec<Increment> {
    let row = |row: &Value| {
        let row = numbers(row);
        Increment::new(row[1], row[2], row[3]).in_core(if row[0] > 0.0 { 1 } else { 0 })
    };
    set["rows"].as_array().unwrap().iter().map(row).collect()
}

fn each(check: impl Fn(&[Increment], DepthModel, &Value)) {
    for (_, set) in frozen()["cores"].as_object().unwrap() {
        for (word, expected) in set["models"].as_object().unwrap() {
            check(&cores(set), DepthModel::of_word(word).unwrap(), expected);
        }
    }
}

/// Source: `scipy.optimize.least_squares`, means over intervals by `scipy.integrate.quad` (`SciPy` 1.17.1). Its differences leave
/// about seven digits of a parameter.
#[test]
fn parameters_are_those_of_scipy() {
    each(|cores, model, expected| {
        let fit = fitted(cores, model);
        for (actual, expected) in fit.shape.parameters.iter().zip(numbers(&expected["parameters"])) {
            near(*actual, expected, 1e-6 * expected.abs().max(1.0));
        }
        near(fit.rss, number(&expected["rss"]), 1e-9 * fit.rss);
        near(fit.aicc.unwrap(), number(&expected["aicc"]), 1e-7);
    });
}

/// Source: as above, inverse of `JᵀJ` times RSS/(n - p).
#[test]
fn standard_uncertainties_are_those_of_scipy() {
    each(|cores, model, expected| {
        let Some(u) = expected.get("u") else { return };
        for (actual, expected) in fitted(cores, model).u.iter().zip(numbers(u)) {
            near(actual.unwrap(), expected, 1e-5 * expected);
        }
    });
}

/// Source: least squares with the break held by `numpy.linalg.lstsq`, ends by `scipy.optimize.brentq`.
#[test]
fn intervals_of_breaks_are_those_of_a_direct_search() {
    each(|cores, model, expected| {
        let Some(interval) = expected.get("interval") else { return };
        let options = ProfileOptions { model: Some(model), replicates: 0, ..ProfileOptions::plain(Degraded::Below) };
        let profile = depth_profile(cores, &options, &Watch::silent()).unwrap();
        let [range] = profile.break_depth.unwrap().ranges[..] else { panic!("{model:?} in pieces") };
        let expected = numbers(interval);
        near(range.low, expected[0], 1e-7);
        near(range.high, expected[1], 1e-7);
    });
}

/// Source: `scipy.optimize.isotonic_regression`(means, weights = thickness times number of increments).
#[test]
fn monotone_levels_are_those_of_scipy() {
    for (_, set) in frozen()["cores"].as_object().unwrap() {
        let treads = monotone_depth(&cores(set), Degraded::Below).unwrap();
        let levels = numbers(&set["monotone"]["levels"]);
        assert_eq!(treads.len(), levels.len());
        for ((tread, level), depth) in treads.iter().zip(levels).zip(set["monotone"]["depths"].as_array().unwrap()) {
            assert_eq!(tread.depth.to_vec(), numbers(depth));
            near(tread.level, level, 1e-12 * level);
        }
    }
}

/// Source: a bounded search by `scipy.optimize.minimize_scalar`.
#[test]
fn points_are_fitted_as_points() {
    let set = &frozen()["points"];
    let pairs = numbers(&set["x"]).into_iter().zip(numbers(&set["y"]));
    let points: Vec<Increment> = pairs.map(|(x, y)| Increment::new(x, x, y)).collect();
    near(fitted(&points, DepthModel::BrokenStick).shape.parameters[3], number(&set["break"]), 1e-6);
}

/// The invented curve behind each set is the one that is chosen.
#[test]
fn the_curve_behind_the_increments_is_chosen() {
    let kinds = [
        ("gradual", DepthModel::Logistic),
        ("sharp", DepthModel::Step),
        ("levelling", DepthModel::Exponential),
        ("bent", DepthModel::BrokenStick),
    ];
    for (name, model) in kinds {
        let choice = choose_depth_model(&cores(&frozen()["cores"][name]), &Watch::silent()).unwrap();
        assert_eq!(choice.fit.unwrap().shape.model, model, "{name}");
    }
}
