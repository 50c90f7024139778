//! Fits of a treatment against `SciPy`, frozen by `tests/outside/freeze_follow.py` with versions and calls.

use serde_json::Value;
use woodstate::treatment::{BathHistory, Body, Ranged, WashBath, WashMoment, Weighing, fit_course, washing_course};

use super::near;

fn each(part: &str, check: impl Fn(&str, &Value)) {
    let frozen: Value = serde_json::from_str(include_str!("../expected/outside/follow.json")).unwrap();
    for case in frozen[part].as_array().unwrap() {
        check(case["name"].as_str().unwrap(), case);
    }
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(number).collect()
}

fn body(name: &str, sizes: &[f64]) -> Body {
    let one = Ranged::exact(1.0).unwrap();
    let body = match (name, sizes) {
        ("slab", [half]) => Body::slab(*half, one),
        ("beam", [width, height]) => Body::beam([*width, *height], [one, one]),
        ("round", [radius]) => Body::cylinder(*radius, one),
        _ => panic!("{name}"),
    };
    body.unwrap()
}

/// Source: `scipy.optimize.curve_fit`, and `scipy.optimize.brentq` for the ends of the profile.
#[test]
fn diffusivities_and_their_intervals_are_those_of_scipy() {
    each("weighed", |name, case| {
        let bath = BathHistory::new(&numbers(&case["begins"]), &numbers(&case["concentrations"])).unwrap();
        let weighings: Vec<Weighing> = numbers(&case["times"])
            .into_iter()
            .zip(numbers(&case["masses"]))
            .map(|(time, mass)| Weighing { time, mass, u: None })
            .collect();
        let fit = fit_course(&body(name, &numbers(&case["half_sizes"])), &bath, &weighings, 0.95).unwrap();
        // Squares are flat at their least: the place is known to half the digits.
        near(fit.diffusivity / number(&case["diffusivity"]), 1.0, 1e-6);
        near(fit.start_mass, number(&case["start"]), 1e-5);
        near(fit.gain / number(&case["gain"]), 1.0, 1e-6);
        // The uptake is looked up in a table to 1e-9; masses scatter by a few thousandths of what they gain.
        near(fit.scatter / number(&case["scatter"]), 1.0, 1e-6);
        for (ours, theirs) in fit.interval.into_iter().zip(numbers(&case["interval"])) {
            near(ours.unwrap() / theirs, 1.0, 1e-7);
        }
    });
}

/// Source: `scipy.integrate.solve_ivp` on 400 cells and the bath; cells leave an error of 1e-5, our steps of time one of 1e-4.
#[test]
fn baths_of_a_washing_are_those_of_a_system_of_equations() {
    each("washed", |name, case| {
        let length = number(&case["length"]);
        let ratios = numbers(&case["ratios"]);
        let begins = std::iter::successors(Some(0.0), |begin| Some(begin + length));
        let baths: Vec<WashBath> =
            begins.zip(&ratios).map(|(begin, ratio)| WashBath { begin, ratio: *ratio }).collect();
        let rows: Vec<Vec<f64>> = case["values"].as_array().unwrap().iter().map(numbers).collect();
        // Three moments a bath, in their order.
        let moments: Vec<WashMoment> =
            rows.iter().enumerate().map(|(place, row)| WashMoment { bath: place / 3, time: row[1] }).collect();
        let pieces = [(body(name, &[number(&case["half"])]), 1.0)];
        let found = washing_course(&pieces, number(&case["diffusivity"]), &baths, &moments).unwrap();
        for (row, found) in rows.iter().zip(found) {
            near(found, row[2], 3e-4 * rows[2][2]);
        }
    });
}
