//! Where slings go.

use woodstate::lift::{Rim, Shape, Support, Timber, best_sling_from_ground, best_slings, placing_cost};

use super::{hung, line_of, near, worked_beam, worked_weight};

/// Source: statics, exact: a = (√2 - 1)/2 L and M = (3 - 2√2)/8 w L²; from the ground (1 - 1/√2) L and 0.0428932 w L².
#[test]
fn best_places_of_an_even_timber_are_those_of_statics() {
    let root = 2.0_f64.sqrt();
    for shape in [Shape::rectangle(0.25, 0.25).unwrap(), Shape::round(0.3).unwrap(), Shape::hollow(0.5, 0.3).unwrap()] {
        let timber = Timber::prismatic(7.0, shape).unwrap();
        let line = line_of(&timber, worked_weight());
        let best = best_slings(&timber, Rim::NONE, &line).unwrap();
        near(best.places[0] / 7.0, (root - 1.0) / 2.0, 1e-9);
        near(best.places[1] / 7.0, 1.0 - (root - 1.0) / 2.0, 1e-9);
        near(best.moment / (line.force() * 7.0), (3.0 - 2.0 * root) / 8.0, 1e-9);
        let ground = best_sling_from_ground(&timber, Rim::NONE, &line).unwrap();
        near(ground.places[1] / 7.0, 1.0 / root, 1e-9);
        near(ground.moment / (line.force() * 7.0), 0.042_893_2, 5e-8);
    }
}

/// Source: statics: a = 0.20 gives 0.0250 w L² and a = 0.25 gives 0.03125, against 0.0214466 at the best places.
#[test]
fn a_missed_place_costs_what_statics_says() {
    let timber = worked_beam();
    let line = line_of(&timber, worked_weight());
    let best = best_slings(&timber, Rim::NONE, &line).unwrap();
    let cost = |share: f64| placing_cost(&timber, Rim::NONE, &line, best.places, share * 6.0).unwrap();
    near(cost(0.0), 1.0, 1e-12);
    near(cost(0.007_106_781), 0.025 / 0.021_446_609, 1e-6);
    // A quarter point is 4.3 % of the length inwards; the same error outwards is worse, and that is what is told.
    let outwards = 0.207_106_781 - 0.042_893_219;
    near(cost(0.042_893_219), (0.5 * (0.5 - outwards) - 0.125) / 0.021_446_609, 1e-6);
}

/// No other place bends a tapered log less: every shift of either sling raises the largest stress.
#[test]
fn best_places_of_a_log_are_the_best() {
    let log = Timber::tapered(8.0, Shape::round(0.45).unwrap(), Shape::round(0.22).unwrap()).unwrap();
    let line = line_of(&log, worked_weight());
    let best = best_slings(&log, Rim::NONE, &line).unwrap();
    let [first, second] = best.places;
    // The thick end is the start: its sling stands farther in than that of an even timber.
    assert!(first < 8.0 - second && second < 8.0 * 0.8, "{first} {second}");
    let stress = |first: f64, second: f64| {
        hung(&log, &line, &Support::Slings { first, second }, |beam| beam.peaks().unwrap().core_bending.value)
    };
    near(stress(first, second), best.bending_stress, 1e-6 * best.bending_stress);
    for [a, b] in [[0.05, 0.0], [-0.05, 0.0], [0.0, 0.05], [0.0, -0.05], [0.05, 0.05], [-0.05, -0.05], [0.05, -0.05]] {
        assert!(stress(first + a, second + b) > best.bending_stress * 1.001, "{a} {b}");
    }
}

#[test]
fn a_rim_changes_the_stress_and_not_the_places() {
    let timber = worked_beam();
    let line = line_of(&timber, worked_weight());
    let [bare, rim] =
        [Rim::NONE, Rim::weight_only(0.025).unwrap()].map(|rim| best_slings(&timber, rim, &line).unwrap());
    near(rim.places[0], bare.places[0], 1e-8);
    near(rim.bending_stress / bare.bending_stress, (250.0_f64 / 200.0).powi(3), 1e-8);
    assert!(best_slings(&timber, Rim::weight_only(0.13).unwrap(), &line).is_err());
}
