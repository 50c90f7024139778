//! A broken stick against a general-purpose package.

use woodstate::numeric::Watch;
use woodstate::profile::{Degraded, DepthModel, Increment, ProfileOptions, depth_profile, fit_depth};

use super::near;

fn points() -> Vec<Increment> {
    let text = include_str!("../../data/profile/broken_stick.csv");
    let point = |line: &str| {
        let (x, y) = line.split_once(',').unwrap();
        let x: f64 = x.parse().unwrap();
        Increment::new(x, x, y.parse().unwrap())
    };
    text.lines().map(point).collect()
}

/// Source: Python package piecewise-regression 1.5.0, `Fit(x, y, n_breakpoints=1)`: break 6.487060599, slope -4.219978 and then 2.189143 more,
/// constant 100.726017, standard error of the break 0.137046 (`tests/data/profile/README.md`).
#[test]
fn a_broken_stick_agrees_with_a_package_for_breaks() {
    let fit = fit_depth(&points(), DepthModel::BrokenStick, &Watch::silent()).unwrap();
    let [surface, slope, change, at] = fit.shape.parameters[..] else { panic!() };
    near(at, 6.487_060_598_5, 1e-9);
    near(surface, 100.726_017, 5e-7);
    near(slope, -4.219_978, 5e-7);
    near(change, 2.189_143, 5e-7);
    near(fit.u[3].unwrap(), 0.137_046, 5e-7);
}

/// Source: direct search of RSS(break) <= RSS + s² F(0.95; 1, 196), to the printed digits (`tests/data/profile/README.md`).
#[test]
fn its_interval_is_that_of_the_profile_likelihood() {
    let options = ProfileOptions {
        model: Some(DepthModel::BrokenStick),
        replicates: 0,
        ..ProfileOptions::plain(Degraded::Below)
    };
    let profile = depth_profile(&points(), &options, &Watch::silent()).unwrap();
    let [range] = profile.break_depth.unwrap().ranges[..] else { panic!() };
    near(range.low, 6.204_775, 5e-7);
    near(range.high, 6.752_053, 5e-7);
    assert!(!range.is_open_low && !range.is_open_high);
}
