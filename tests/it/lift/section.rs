//! Shapes and layered sections: areas, moments, stresses.

use std::f64::consts::PI;

use woodstate::lift::{LayeredSection, Rim, Shape};

use super::near;

/// Width of a section at a height.
type Width = Box<dyn Fn(f64) -> f64>;

/// Integrals over the height of a section, by strips.
fn by_strips(width_at: impl Fn(f64) -> f64, height: f64) -> [f64; 3] {
    let n = 200_000;
    let step = height / f64::from(n);
    let mut found = [0.0; 3];
    for strip in 0..n {
        let y = -height / 2.0 + step * (f64::from(strip) + 0.5);
        let area = width_at(y) * step;
        found[0] += area;
        found[1] += area * y * y;
        found[2] += if y > 0.0 { area * y } else { 0.0 };
    }
    found
}

#[test]
fn moments_of_shapes_are_those_of_strips() {
    let chord = |diameter: f64, y: f64| 2.0 * (diameter * diameter / 4.0 - y * y).max(0.0).sqrt();
    let cases: [(Shape, Width); 3] = [
        (Shape::rectangle(0.3, 0.2).unwrap(), Box::new(|_| 0.3)),
        (Shape::round(0.4).unwrap(), Box::new(move |y| chord(0.4, y))),
        (Shape::hollow(0.4, 0.25).unwrap(), Box::new(move |y| chord(0.4, y) - chord(0.25, y))),
    ];
    for (shape, width_at) in cases {
        let [area, second, first] = by_strips(width_at, shape.height());
        near(shape.area() / area, 1.0, 1e-6);
        near(shape.second_moment() / second, 1.0, 1e-6);
        near(shape.first_moment() / first, 1.0, 1e-6);
        near(shape.breadth(), if shape.hollow_area() > 0.0 { 0.15 } else { shape.width() }, 1e-12);
    }
}

/// Source: Forest Products Laboratory 2021, Wood Handbook, FPL-GTR-282, Eq. 9-13 and 9-14 (read in a transcription): M/S with
/// S = b h²/6 or π d³/32; 1.5 V/A and 4/3 V/A.
#[test]
fn stresses_of_one_wood_are_those_of_the_handbook() {
    let plank = LayeredSection::of(&Shape::rectangle(0.3, 0.05).unwrap(), Rim::NONE).unwrap();
    near(plank.core_bending(100.0), 100.0 / (0.3 * 0.05 * 0.05 / 6.0) / 1e6, 1e-12);
    near(plank.shear(1000.0), 1.5 * 1000.0 / 0.015 / 1e6, 1e-12);
    let log = LayeredSection::of(&Shape::round(0.3).unwrap(), Rim::NONE).unwrap();
    near(log.core_bending(100.0), 100.0 / (PI * 0.027 / 32.0) / 1e6, 1e-12);
    near(log.shear(1000.0), 4.0 / 3.0 * 1000.0 / (PI * 0.0225) / 1e6, 1e-12);
}

#[test]
fn a_rim_that_only_weighs_leaves_the_core() {
    let shape = Shape::round(0.3).unwrap();
    let core = LayeredSection::of(&Shape::round(0.2).unwrap(), Rim::NONE).unwrap();
    let layered = LayeredSection::of(&shape, Rim::weight_only(0.05).unwrap()).unwrap();
    near(layered.core_bending(500.0), core.core_bending(500.0), 1e-15);
    near(layered.shear(500.0), core.shear(500.0), 1e-15);
    assert_eq!(LayeredSection::of(&shape, Rim::weight_only(0.15).unwrap()), None);
}

/// A rim of the stiffness of the core is no rim; a soft one takes its share: stress over modulus is a straight line.
#[test]
fn a_rim_that_counts_takes_its_share() {
    let shape = Shape::rectangle(0.25, 0.2).unwrap();
    let whole = LayeredSection::of(&shape, Rim::NONE).unwrap();
    let alike = LayeredSection::of(&shape, Rim::carrying(0.03, 1.0).unwrap()).unwrap();
    near(alike.rim_bending(900.0).unwrap(), whole.core_bending(900.0), 1e-12);
    near(alike.core_bending(900.0), whole.core_bending(900.0) * 0.07 / 0.1, 1e-12);
    near(alike.shear(900.0), whole.shear(900.0), 1e-12);
    let soft = LayeredSection::of(&shape, Rim::carrying(0.03, 0.2).unwrap()).unwrap();
    let [core, rim] = [soft.core_bending(900.0), soft.rim_bending(900.0).unwrap()];
    near(rim / core, 0.2 * 0.1 / 0.07, 1e-12);
    // The moment of the stresses is the moment: σ I of each part over its edge.
    let inner = Shape::rectangle(0.19, 0.14).unwrap().second_moment();
    let moment = core * 1e6 * inner / 0.07 + rim * 1e6 * (shape.second_moment() - inner) / 0.1;
    near(moment, 900.0, 1e-9);
}

#[test]
fn a_rim_goes_in_from_a_hollow_too() {
    let log = Shape::hollow(0.4, 0.2).unwrap();
    let core = log.inside(0.03).unwrap();
    near(core.width(), 0.34, 1e-12);
    near(core.breadth(), 0.08, 1e-12);
    assert_eq!(log.inside(0.05), None);
}
