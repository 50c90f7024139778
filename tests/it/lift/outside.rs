//! Beams against a frame of finite elements, integrals and random draws of others, frozen by `tests/outside/freeze_lift.py` with
//! versions and calls.

use serde_json::Value;
use woodstate::lift::{
    Beam, Handling, Held, LiftOptions, Load, LoadLine, Rim, Shape, SizeDoubt, Stiffness, Strength, Support, Timber,
    Wood, forces_at_one_height, lift,
};
use woodstate::numeric::Watch;
use woodstate::quantity::Measured;

use super::{line_of, near, worked_case};

fn frozen() -> Value {
    serde_json::from_str(include_str!("../expected/outside/lift.json")).unwrap()
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(number).collect()
}

/// E I = 1e6 N.m2: 1e6 Pa times 1 m4 of a square of side 12^(1/4) m.
const BENDING_ONLY: Stiffness = Stiffness { modulus: 1.0, shear_modulus: None };

/// Source: `Pynite.FEModel3D`, `analyze_linear()`; nodes are exact for a straight beam of one section. It prints 1e-12.
#[test]
fn beams_are_those_of_finite_elements() {
    let frames = frozen();
    let frames = frames["frames"].as_object().unwrap();
    assert_eq!(frames.len(), 4);
    for (name, frame) in frames {
        let side = 12.0_f64.powf(0.25);
        let timber = Timber::prismatic(number(&frame["length"]), Shape::rectangle(side, side).unwrap()).unwrap();
        let weight = number(&frame["load"]) / (side * side);
        let point = |row: &Value| Load::At { place: number(&row[0]), force: number(&row[1]) };
        let loads: Vec<Load> = frame["points"].as_array().unwrap().iter().map(point).collect();
        let line = LoadLine::new(&timber, Rim::NONE, [weight, weight], &loads).unwrap();
        let places = numbers(&frame["supports"]);
        let held = forces_at_one_height(&timber, Rim::NONE, &line, &places, BENDING_ONLY).unwrap();
        for (one, force) in held.iter().zip(numbers(&frame["held"])) {
            near(one.force, force, 1e-9 * line.force());
        }
        let beam = Beam { timber: &timber, rim: Rim::NONE, line: &line, held: &held };
        let sag = beam.sag(BENDING_ONLY).unwrap().unwrap();
        let looks = numbers(&frame["looks"]);
        for ((place, moment), below) in looks.iter().zip(numbers(&frame["moment"])).zip(numbers(&frame["below"])) {
            near(beam.moment(*place), moment, 1e-9 * line.force());
            let is_node = sag.places.iter().any(|node| (node - place).abs() < 1e-9);
            if is_node {
                near(sag.at(*place) / 1000.0, below, 1e-12);
            }
        }
        assert!(!looks.is_empty(), "{name}");
    }
}

/// Source: `scipy.integrate.quad(..., epsrel=1e-12)` of moment and curvature of a cone.
#[test]
fn tapered_logs_are_those_of_quadrature() {
    for (name, cone) in frozen()["cones"].as_object().unwrap() {
        let [length, thick, thin] = ["length", "thick", "thin"].map(|key| number(&cone[key]));
        let log = Timber::tapered(length, Shape::round(thick).unwrap(), Shape::round(thin).unwrap()).unwrap();
        let line = line_of(&log, 1.0);
        near(line.force(), number(&cone["volume"]), 1e-12);
        near(line.centre(), number(&cone["centre"]), 1e-12);
        let slings = numbers(&cone["slings"]);
        let held: Vec<Held> = Support::Slings { first: slings[0], second: slings[1] }.held(&line).unwrap().remove(0);
        for (one, force) in held.iter().zip(numbers(&cone["held"])) {
            near(one.force, force, 1e-12);
        }
        let beam = Beam { timber: &log, rim: Rim::NONE, line: &line, held: &held };
        // A modulus of 1 Pa.
        let sag = beam.sag(Stiffness { modulus: 1e-6, shear_modulus: None }).unwrap().unwrap();
        let largest = sag.largest().value / 1000.0;
        for ((place, moment), below) in
            numbers(&cone["looks"]).iter().zip(numbers(&cone["moment"])).zip(numbers(&cone["below"]))
        {
            near(beam.moment(*place), moment, 1e-12);
            if let Some(row) = sag.places.iter().position(|node| (node - place).abs() < 1e-9) {
                near(sag.below[row] / 1000.0 / largest, below / largest, 1e-9);
            } else {
                assert!(*place > 0.0 && *place < length, "{name}: an end is a node");
            }
        }
    }
}

/// Source: `numpy.random.default_rng(1)`, a million draws; ours are 40 000 from another generator, so four standard errors of both.
#[test]
fn draws_are_those_of_another_generator() {
    let expected = &frozen()["random"];
    let mut case = worked_case();
    case.sizes = SizeDoubt { length: Some(0.005), width: Some(0.02), height: Some(0.02) };
    case.core_density = Measured::new(450.0, 45.0);
    case.rim_density = case.core_density;
    case.waters.cell_wall = Measured::new(1500.0, 30.0);
    case.core = Wood { bending: Some(Strength::measured(6.0, Some(1.5)).unwrap()), ..Wood::default() };
    case.handling = Handling { dynamic: Some(Measured::new(1.2, 0.05)), placing: Some(0.05), ..Handling::STILL };
    let supports = [Support::Slings { first: 0.3, second: 5.7 }];
    let n = 40_000;
    let look = |required: f64| {
        let options = LiftOptions { required_margin: Some(required), draws: n, ..LiftOptions::usual() };
        lift(&case, &supports, &options, &Watch::silent()).unwrap()
    };
    let error = |part: &Value| number(&part["standard_error"]) * (1.0 + 1_000_000.0 / 40_000.0_f64).sqrt();
    let found = look(3.0);
    let support = &found.supports[0];
    let bending = support.checks[0];
    for (ours, theirs) in [
        (found.weight_in_air.u, &expected["weight"]["sd"]),
        (bending.stress.unwrap().u, &expected["stress"]["sd"]),
        (support.margin.unwrap().u, &expected["margin"]["sd"]),
    ] {
        near(ours.unwrap(), number(&theirs["value"]), 4.0 * error(theirs));
    }
    for (required, key) in [(3.0, "below_3"), (7.0, "below_7")] {
        let share = look(required).supports[0].probability_below.unwrap();
        assert_eq!(share.draws, n);
        near(share.value, number(&expected[key]["value"]), 4.0 * error(&expected[key]));
    }
}
