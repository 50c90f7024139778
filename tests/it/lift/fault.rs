//! Bad input: a clear error, or a way of support that cannot be.

use std::sync::atomic::AtomicBool;

use woodstate::error::ErrorKind;
use woodstate::lift::{
    Attached, Case, LiftOptions, Requirement, Shape, Spot, Station, Strength, Support, Timber, lift,
};
use woodstate::numeric::Watch;
use woodstate::quantity::Measured;

use super::{exactly, worked_case};

fn refused(case: &Case) -> String {
    lift(case, &[], &LiftOptions::usual(), &Watch::silent()).unwrap_err().to_string()
}

fn impossible(support: Support) -> String {
    let found = lift(&worked_case(), &[support], &LiftOptions::usual(), &Watch::silent()).unwrap();
    found.supports[0].impossible.clone().unwrap()
}

#[test]
fn sizes_must_be_above_nothing() {
    let text = |shape: woodstate::error::Result<Shape>| shape.unwrap_err().to_string();
    assert_eq!(text(Shape::rectangle(0.0, 0.2)), "width of the timber (m) is 0; allowed is a finite number above 0");
    assert_eq!(text(Shape::round(f64::NAN)), "diameter of the timber (m) is NaN; allowed is a finite number above 0");
    assert_eq!(
        text(Shape::hollow(0.3, 0.3)),
        "diameter of the hollow (m) is 0.3; allowed is above 0 and below the diameter, 0.3 m"
    );
    let log = Shape::round(0.3).unwrap();
    assert!(Timber::prismatic(-1.0, log).unwrap_err().to_string().starts_with("length of the timber (m) is -1"));
    let stations = [Station { at: 0.0, shape: log }, Station { at: 1.0, shape: Shape::rectangle(0.2, 0.2).unwrap() }];
    assert!(Timber::of_stations(&stations).unwrap_err().to_string().contains("one kind of shape in a timber"));
    let back = [0.0, 2.0, 1.0].map(|at| Station { at, shape: log });
    assert!(Timber::of_stations(&back).unwrap_err().to_string().contains("place of station 3 (m) is 1"));
}

#[test]
fn slings_outside_the_timber_are_told() {
    let out = impossible(Support::Slings { first: -0.1, second: 5.0 });
    assert_eq!(out, "place of a sling (m) is -0.1; allowed is a place on the timber, 0 to 6 m");
    let turned = impossible(Support::Slings { first: 4.0, second: 2.0 });
    assert_eq!(turned, "place of a sling (m) is 2; allowed is a place beyond the sling before it, 4 m");
    let tips = impossible(Support::Slings { first: 0.5, second: 2.0 });
    assert!(tips.starts_with("centre of weight, from the start of the timber (m) is 3"), "{tips}");
    assert!(tips.ends_with("0.5 m and 2 m; otherwise the timber tips"), "{tips}");
    assert!(impossible(Support::EndOnGround { sling: 2.9 }).contains("tips"));
    assert!(impossible(Support::Fixed { places: vec![0.0, 6.0] }).contains("3 to 50"));
    let none = lift(&worked_case(), &[Support::Equalised { count: 0 }], &LiftOptions::usual(), &Watch::silent());
    assert!(none.unwrap_err().to_string().contains("number of equalised slings is 0"));
}

#[test]
fn wood_must_be_lighter_than_its_cell_wall() {
    let case = Case { core_density: exactly(1500.0), ..worked_case() };
    assert_eq!(
        refused(&case),
        "basic density of the core (kg/m3) is 1500; allowed is a number below the density of the cell wall, 1500 kg/m3"
    );
    assert!(refused(&Case { core_density: exactly(0.0), ..worked_case() }).contains("above 0"));
}

#[test]
fn numbers_of_handling_must_make_sense() {
    let mut case = worked_case();
    case.handling.sling_angle = 0.0;
    assert!(refused(&case).contains("angle between sling and level (degrees) is 0"));
    case = worked_case();
    case.handling.dynamic = Some(exactly(0.0));
    assert!(refused(&case).contains("dynamic factor is 0"));
    case = worked_case();
    case.handling.placing = Some(-0.1);
    assert!(refused(&case).contains("standard uncertainty of the place of a sling (m) is -0.1"));
    case = worked_case();
    case.waters.saturation = exactly(1.2);
    assert!(refused(&case).contains("saturation of the pores is 1.2; allowed is a number from 0 to 1"));
    case = worked_case();
    case.attached = vec![Attached { mass: exactly(5.0), density: 2500.0, spot: Spot::At(6.5) }];
    assert!(refused(&case).contains("place of a load (m) is 6.5; allowed is a place on the timber, 0 to 6 m"));
    case = worked_case();
    case.core_density = Measured { value: 560.0, u: Some(f64::NAN) };
    assert!(refused(&case).contains("standard uncertainty of the basic density of the core"));
}

#[test]
fn what_is_required_must_make_sense() {
    let of = |margin, probability| Requirement { margin, probability }.check();
    assert!(of(Some(2.0), Some(0.01)).is_ok() && of(None, None).is_ok());
    assert!(of(Some(0.0), None).unwrap_err().to_string().contains("required margin is 0"));
    assert!(of(None, Some(0.01)).unwrap_err().to_string().contains("beside a required margin"));
    assert!(of(Some(2.0), Some(1.0)).unwrap_err().to_string().contains("between 0 and 1"));
    assert!(Strength::measured(0.0, None).unwrap_err().to_string().contains("strength (MPa) is 0"));
    let options = LiftOptions { draws: 10_000_001, ..LiftOptions::usual() };
    let many = lift(&worked_case(), &[], &options, &Watch::silent()).unwrap_err();
    assert!(matches!(many.kind(), ErrorKind::Range { .. }));
}

#[test]
fn a_stop_is_obeyed() {
    let stop = AtomicBool::new(true);
    let watch = Watch::new(None, Some(&stop));
    let found = lift(&worked_case(), &[Support::Tray], &LiftOptions::usual(), &watch);
    assert_eq!(*found.unwrap_err().kind(), ErrorKind::Stopped);
}
