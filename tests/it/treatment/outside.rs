//! Diffusion against `SciPy`, frozen by `tests/outside/freeze_treatment.py` with versions and calls.

use serde_json::Value;
use woodstate::error::Result;
use woodstate::numeric::{Watch, bessel_j0_zeros};
use woodstate::treatment::{
    BathStep, Block, Form, Grain, Layer, Layered, SoakOptions, Soaking, cylinder_uptake, cylinder_uptake_stirred,
    cylinder_value, slab_uptake, slab_uptake_stirred, slab_value, sphere_uptake, sphere_uptake_stirred, sphere_value,
};

use super::near;

fn frozen() -> Value {
    serde_json::from_str(include_str!("../expected/outside/treatment.json")).unwrap()
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(number).collect()
}

fn each(part: &str, check: impl Fn(&str, &Value)) {
    for case in frozen()[part].as_array().unwrap() {
        check(case["name"].as_str().unwrap(), case);
    }
}

fn rows(case: &Value) -> Vec<Vec<f64>> {
    case["values"].as_array().unwrap().iter().map(numbers).collect()
}

/// Source: `scipy.special.jn_zeros(0, 1000)`.
#[test]
fn zeros_of_the_bessel_function_are_those_of_scipy() {
    let ours: Vec<f64> = bessel_j0_zeros().take(1000).collect();
    for (index, zero) in [0, 1, 2, 9, 99, 999].into_iter().zip(numbers(&frozen()["zeros"])) {
        near(ours[index], zero, 2e-15 * zero);
    }
}

/// Source: the series for long times with 1000 terms, zeros by `scipy.special.jn_zeros`.
#[test]
fn uptakes_are_those_of_a_thousand_terms() {
    each("uptake", |name, case| {
        let uptake: fn(f64) -> Result<f64> = match name {
            "slab" => slab_uptake,
            "cylinder" => cylinder_uptake,
            _ => sphere_uptake,
        };
        for row in rows(case) {
            near(uptake(row[0]).unwrap(), row[1], 1e-14);
        }
    });
}

/// Source: as above.
#[test]
fn values_at_a_place_are_those_of_a_thousand_terms() {
    each("value", |name, case| {
        let value: fn(f64, f64) -> Result<f64> = match name {
            "slab" => slab_value,
            "cylinder" => cylinder_value,
            _ => sphere_value,
        };
        for row in rows(case) {
            near(value(row[0], row[1]).unwrap(), row[2], 1e-14);
        }
    });
}

/// Source: the series for long times, roots by `scipy.optimize.brentq`.
#[test]
fn uptakes_from_a_stirred_bath_are_those_of_four_hundred_roots() {
    each("stirred", |_, case| {
        let uptake: fn(f64, f64) -> Result<f64> = match case["kind"].as_str().unwrap() {
            "slab" => slab_uptake_stirred,
            "cylinder" => cylinder_uptake_stirred,
            _ => sphere_uptake_stirred,
        };
        for row in rows(case) {
            near(uptake(row[0], number(&case["ratio"])).unwrap(), row[1], 1e-13);
        }
    });
}

/// A soaking that was frozen, computed again: the mean, the innermost and the outermost cell after each bath.
#[track_caller]
fn soaked_as_frozen(case: &Value, tolerance: f64, soak: impl Fn(&[BathStep], &SoakOptions) -> Soaking, within: f64) {
    let bath = |row: &Value| BathStep { duration: number(&row[0]), concentration: number(&row[1]) };
    let baths: Vec<BathStep> = case["baths"].as_array().unwrap().iter().map(bath).collect();
    let mut end = 0.0;
    let times: Vec<f64> = baths.iter().map(|bath| (end += bath.duration, end).1).collect();
    let cells = usize::try_from(case["cells"].as_u64().unwrap()).unwrap();
    let options = SoakOptions { initial: number(&case["initial"]), cells, tolerance, ..SoakOptions::at(&times) };
    let found = soak(&baths, &options);
    let ends = case["ends"].as_array().unwrap();
    assert_eq!(found.moments.len(), ends.len());
    for (moment, end) in found.moments.iter().zip(ends) {
        near(moment.mean, number(&end["mean"]), within);
        near(moment.concentration[0], number(&end["innermost"]), within);
        near(*moment.concentration.last().unwrap(), number(&end["outermost"]), within);
    }
}

/// Source: `scipy.integrate.solve_ivp(..., method="Radau", rtol=1e-11)` on the same cells. A step of ours may err by 1e-10
/// of up to 400, and there are some thousands.
#[test]
fn layers_are_those_of_a_stiff_integrator() {
    each("soaking", |name, case| {
        let form = match name {
            "slab" => Form::Slab,
            "cylinder" => Form::Cylinder,
            _ => Form::Sphere,
        };
        let layer = |row: &Value| {
            let row = numbers(row);
            Layer { thickness: row[0], diffusivity: row[1], porosity: row[2] }
        };
        let layers: Vec<Layer> = case["layers"].as_array().unwrap().iter().map(layer).collect();
        let piece = Layered::new(form, &layers).unwrap();
        soaked_as_frozen(case, 1e-10, |baths, options| piece.soak(baths, options, &Watch::silent()).unwrap(), 1e-5);
    });
}

/// Source: as above; the integrator knows no directions one after the other.
#[test]
fn a_beam_with_a_rim_is_that_of_a_stiff_integrator() {
    let case = &frozen()["beam"];
    let pair = |value: &Value| <[f64; 2]>::try_from(numbers(value)).unwrap();
    let grain =
        |diffusivity: &Value, porosity: &Value| Grain { diffusivity: pair(diffusivity), porosity: number(porosity) };
    let rims: Vec<(f64, Grain<2>)> =
        case["rims"].as_array().unwrap().iter().map(|rim| (number(&rim[0]), grain(&rim[1], &rim[2]))).collect();
    let beam = Block::new(pair(&case["half"]), &rims, grain(&case["core"][0], &case["core"][1])).unwrap();
    soaked_as_frozen(case, 1e-8, |baths, options| beam.soak(baths, options, &Watch::silent()).unwrap(), 1e-4);
}
