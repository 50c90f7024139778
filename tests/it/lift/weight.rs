//! Weight by density, water and the part that is out, against worked numbers, with slopes.

use woodstate::lift::{attached_weight, growth_at_surface, piece_density, weight_partly_out};
use woodstate::quantity::{Jet, Number};

use super::{GRAVITY, near};

/// Source: worked numbers, derived: basic density, water, and what comes of a cell wall of 1500 kg/m3, in kg/m3.
#[test]
fn densities_are_the_worked_ones() {
    let cases = [
        (200.0, 1000.0, 1066.667, 66.667),
        (200.0, 1025.0, 1088.333, 63.333),
        (560.0, 1000.0, 1186.667, 186.667),
        (560.0, 1025.0, 1202.333, 177.333),
        (300.0, 1025.0, 1120.0, 95.0),
    ];
    for (basic, water, saturated, submerged) in cases {
        let full = piece_density(basic, water, 1500.0, 1.0);
        near(full, saturated, 5e-4);
        near(weight_partly_out(full, water, 1.0, 0.0, GRAVITY) / GRAVITY, submerged, 5e-4);
    }
}

/// Source: worked numbers, derived: in fresh water a timber grows 6.4, 11, 16 and 31 times heavier at the surface.
#[test]
fn a_timber_grows_six_to_thirty_times_heavier_at_the_surface() {
    for (basic, times, digits) in [(560.0, 6.4, 0.05), (300.0, 11.0, 0.5), (200.0, 16.0, 0.5), (100.0, 31.0, 0.5)] {
        near(growth_at_surface(piece_density(basic, 1000.0, 1500.0, 1.0), 1000.0), times, digits);
    }
}

#[test]
fn the_surface_breaks_step_by_step() {
    let density = piece_density(400.0, 1010.0, 1500.0, 1.0);
    let weight = |out: f64| weight_partly_out(density, 1010.0, 0.5, out, GRAVITY);
    near(weight(0.5), f64::midpoint(weight(0.0), weight(1.0)), 1e-9);
    near(weight(1.0) - weight(0.0), GRAVITY * 0.5 * 1010.0, 1e-9);
}

/// Half-dried wood floats: its weight under water is below 0.
#[test]
fn dry_pores_make_wood_float() {
    let density = piece_density(400.0, 1000.0, 1500.0, 0.5);
    near(density, 400.0 + 0.5 * 1000.0 * (1.0 - 400.0 / 1500.0), 1e-9);
    assert!(weight_partly_out(density, 1000.0, 1.0, 0.0, GRAVITY) < 0.0);
    near(piece_density(400.0, 1000.0, 1500.0, 0.0), 400.0, 1e-12);
}

#[test]
fn water_in_a_hollow_weighs_only_in_the_air() {
    near(attached_weight(80.0, 1025.0, 1025.0, 0.0, GRAVITY), 0.0, 1e-12);
    near(attached_weight(80.0, 1025.0, 1025.0, 1.0, GRAVITY), 80.0 * GRAVITY, 1e-12);
}

/// Slopes by jets are those of differences.
#[test]
fn uncertainty_comes_along() {
    let x = [480.0, 1012.0, 1480.0, 0.9, 0.35];
    let weight =
        |x: [f64; 5], out: f64| weight_partly_out(piece_density(x[0], x[1], x[2], x[3]), x[1], x[4], out, GRAVITY);
    for out in [0.0, 0.4, 1.0] {
        let [basic, water, wall, filled, volume]: [Jet<5>; 5] = std::array::from_fn(|row| Jet::cause(x[row], row));
        let density = piece_density(basic, water, wall, filled);
        let jet = weight_partly_out(density, water, volume, Jet::exact(out), GRAVITY);
        near(jet.value, weight(x, out), 1e-9);
        for row in 0..5 {
            let step = 1e-4 * x[row];
            let moved = |by: f64| weight(std::array::from_fn(|i| x[i] + if i == row { by } else { 0.0 }), out);
            let slope = (moved(step) - moved(-step)) / (2.0 * step);
            near(jet.slope[row], slope, 1e-6 * slope.abs().max(1e-3));
        }
    }
}

/// What the stories and notes say: sea water adds 1 to 2 % in the air and takes about 5 % under water; degraded wood of 50 kg in
/// the air weighs a few kilograms under water.
#[test]
fn numbers_in_prose_are_those_of_the_formulas() {
    let of = |basic: f64, water: f64| {
        let density = piece_density(basic, water, 1500.0, 1.0);
        [density, weight_partly_out(density, water, 1.0, 0.0, GRAVITY) / GRAVITY]
    };
    for basic in [200.0, 400.0, 560.0] {
        let ([air, under], [sea, under_sea]) = (of(basic, 1000.0), of(basic, 1025.0));
        assert!((1.01..1.025).contains(&(sea / air)), "{basic}");
        near(under_sea / under, 0.95, 0.001);
    }
    let [air, under] = of(150.0, 1000.0);
    near(50.0 * under / air, 2.4, 0.05);
}
