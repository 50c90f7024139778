//! The solver against the series, its order, and what it says.

use std::sync::atomic::AtomicBool;

use woodstate::error::{ErrorKind, Result};
use woodstate::numeric::{Progress, Watch};
use woodstate::treatment::{
    BathStep, Form, Layer, Layered, SoakOptions, Soaking, cylinder_uptake, cylinder_value, slab_uptake, slab_value,
    sphere_uptake, sphere_value,
};

use super::near;

type Uptake = fn(f64) -> Result<f64>;
type Value = fn(f64, f64) -> Result<f64>;

const SHAPES: [(Form, Uptake, Value); 3] = [
    (Form::Slab, slab_uptake, slab_value),
    (Form::Cylinder, cylinder_uptake, cylinder_value),
    (Form::Sphere, sphere_uptake, sphere_value),
];

fn layer(thickness: f64, diffusivity: f64) -> Layer {
    Layer { thickness, diffusivity, porosity: 0.7 }
}

/// Size 1 and diffusivity 1 in one bath of concentration 1, so that the time is the reduced time.
fn unit(form: Form, cells: usize, time: f64) -> Soaking {
    let options = SoakOptions { cells, tolerance: 1e-10, ..SoakOptions::at(&[time]) };
    let bath = BathStep { duration: time, concentration: 1.0 };
    Layered::new(form, &[layer(1.0, 1.0)]).unwrap().soak(&[bath], &options, &Watch::silent()).unwrap()
}

#[test]
fn errors_fall_as_the_square_of_the_cells() {
    for (form, uptake, value) in SHAPES {
        let error = |cells: usize| {
            let moment = unit(form, cells, 0.2).moments.remove(0);
            [moment.mean - uptake(0.2).unwrap(), moment.centre - value(0.2, 0.0).unwrap()].map(f64::abs)
        };
        let (coarse, fine) = (error(20), error(40));
        for (coarse, fine) in coarse.into_iter().zip(fine) {
            let order = (coarse / fine).log2();
            near(order, 2.0, 0.1);
            assert!(fine < 5e-4, "{form:?} {fine}");
        }
    }
}

#[test]
fn every_cell_is_near_the_series() {
    for (form, _, value) in SHAPES {
        let found = unit(form, 200, 0.05);
        for (place, c) in found.places[0].iter().zip(&found.moments[0].concentration) {
            near(*c, value(0.05, *place).unwrap(), 2e-5);
        }
    }
}

/// The same wood, called two layers, is the same piece.
#[test]
fn a_layer_may_be_cut_in_two() {
    let baths = [BathStep { duration: 1e7, concentration: 100.0 }, BathStep { duration: 1e7, concentration: 20.0 }];
    let options = SoakOptions { cells: 60, ..SoakOptions::at(&[5e6, 1e7, 2e7]) };
    for (form, ..) in SHAPES {
        let soak =
            |layers: &[Layer]| Layered::new(form, layers).unwrap().soak(&baths, &options, &Watch::silent()).unwrap();
        let (one, two) = (soak(&[layer(0.03, 1e-11)]), soak(&[layer(0.01, 1e-11), layer(0.02, 1e-11)]));
        for (one, two) in one.moments.iter().zip(&two.moments) {
            near(one.mean, two.mean, 1e-8 * one.mean);
            near(one.centre, two.centre, 1e-8 * one.mean);
        }
    }
}

/// Two baths in a row are a sum of series, since the equation is linear.
#[test]
fn steps_of_concentration_add_up() {
    let baths = [BathStep { duration: 0.1, concentration: 10.0 }, BathStep { duration: 0.2, concentration: 30.0 }];
    for (form, uptake, value) in SHAPES {
        let options = SoakOptions { cells: 200, ..SoakOptions::at(&[0.3]) };
        let piece = Layered::new(form, &[layer(1.0, 1.0)]).unwrap();
        let found = piece.soak(&baths, &options, &Watch::silent()).unwrap();
        let mean = 10.0 * uptake(0.3).unwrap() + 20.0 * uptake(0.2).unwrap();
        let centre = 10.0 * value(0.3, 0.0).unwrap() + 20.0 * value(0.2, 0.0).unwrap();
        near(found.moments[0].mean, mean, 5e-4);
        near(found.moments[0].centre, centre, 1e-3);
    }
}

/// A rim that conducts well is filled at once: the core alone is then a smaller piece.
#[test]
fn an_open_rim_is_as_good_as_none() {
    let piece = Layered::new(Form::Slab, &[layer(0.2, 1e4), layer(0.8, 1.0)]).unwrap();
    let options = SoakOptions { cells: 200, ..SoakOptions::at(&[0.3]) };
    let bath = BathStep { duration: 0.3, concentration: 1.0 };
    let found = piece.soak(&[bath], &options, &Watch::silent()).unwrap();
    let reduced = 0.3 / 0.64;
    near(found.moments[0].mean, 0.2 + 0.8 * slab_uptake(reduced).unwrap(), 1e-4);
    near(found.moments[0].centre, slab_value(reduced, 0.0).unwrap(), 2e-4);
}

#[test]
fn a_watch_sees_the_baths_and_stops_them() {
    let piece = Layered::new(Form::Slab, &[layer(1.0, 1.0)]).unwrap();
    let baths = [BathStep { duration: 0.1, concentration: 1.0 }; 3];
    let seen = std::sync::Mutex::new(Vec::new());
    let note = |progress: Progress| seen.lock().unwrap().push((progress.done, progress.total));
    piece.soak(&baths, &SoakOptions::at(&[]), &Watch::new(Some(&note), None)).unwrap();
    let mut seen = seen.into_inner().unwrap();
    seen.dedup();
    assert_eq!(seen, [(0, 3), (1, 3), (2, 3), (3, 3)]);
    let stop = AtomicBool::new(true);
    let stopped = piece.soak(&baths, &SoakOptions::at(&[]), &Watch::new(None, Some(&stop))).unwrap_err();
    assert_eq!(stopped.kind(), &ErrorKind::Stopped);
}

/// A bath that is only just stronger than the wood: its difference is a few roundings, and the steps of time do not chase them.
#[test]
fn a_difference_below_rounding_is_no_work() {
    let piece = Layered::new(Form::Slab, &[layer(1.0, 1.0)]).unwrap();
    for above in [0.0, 1e-13, 1e-10] {
        let options = SoakOptions { initial: 1000.0, ..SoakOptions::at(&[1.0]) };
        let bath = BathStep { duration: 1.0, concentration: 1000.0 + above };
        let found = piece.soak(&[bath], &options, &Watch::silent()).unwrap();
        assert!(found.n_steps < 200, "{}", found.n_steps);
        near(found.moments[0].mean, 1000.0, 1e-9);
    }
}

#[test]
fn nothing_stays_nothing() {
    let piece = Layered::new(Form::Sphere, &[layer(1.0, 1.0)]).unwrap();
    let bath = BathStep { duration: 1.0, concentration: 0.0 };
    let found = piece.soak(&[bath], &SoakOptions::at(&[0.0, 1.0]), &Watch::silent()).unwrap();
    assert!(found.moments.iter().all(|moment| moment.mean.abs() + moment.centre.abs() < f64::MIN_POSITIVE));
}

#[test]
fn each_fault_is_named() {
    let said = |layers: &[Layer]| Layered::new(Form::Slab, layers).unwrap_err().to_string();
    assert_eq!(said(&[]), "number of layers is 0; allowed is at least 1");
    assert_eq!(said(&[layer(0.0, 1.0)]), "thickness of a layer is 0; allowed is a number from 1e-30 to 1e30");
    assert_eq!(said(&[layer(1.0, -1.0)]), "diffusivity of a layer is -1; allowed is a number from 1e-30 to 1e30");
    let dense = Layer { porosity: 1.2, ..layer(1.0, 1.0) };
    assert_eq!(said(&[dense]), "porosity is 1.2; allowed is a number above 0 and up to 1");

    let piece = Layered::new(Form::Slab, &[layer(1.0, 1.0)]).unwrap();
    let bath = BathStep { duration: 1.0, concentration: 1.0 };
    let said = |baths: &[BathStep], options: &SoakOptions| {
        piece.soak(baths, options, &Watch::silent()).unwrap_err().to_string()
    };
    let plain = SoakOptions::at(&[1.0]);
    assert_eq!(said(&[], &plain), "number of baths is 0; allowed is at least 1");
    let short = BathStep { duration: 0.0, ..bath };
    assert_eq!(said(&[short], &plain), "duration of a bath is 0; allowed is a number from 1e-30 to 1e30");
    let weak = BathStep { concentration: -1.0, ..bath };
    assert_eq!(said(&[weak], &plain), "concentration of a bath is -1; allowed is a finite number, 0 or above");
    assert_eq!(
        said(&[bath], &SoakOptions::at(&[0.5, 0.25])),
        "time to look at is 0.25; allowed is a time from 0.5 s, the one before it, to 1 s, the end of the last bath"
    );
    let coarse = SoakOptions { cells: 2, ..plain.clone() };
    assert_eq!(said(&[bath], &coarse), "number of cells is 2; allowed is 4 to 10000");
    let loose = SoakOptions { tolerance: 0.5, ..plain };
    assert_eq!(said(&[bath], &loose), "tolerance is 0.5; allowed is a number from 1e-12 to 0.01");
}
