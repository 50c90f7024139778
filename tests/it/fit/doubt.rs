//! Each doubt about a fit is raised, and is quiet just beside.

use woodstate::numeric::{
    Differences, Ending, Fit, FitDoubt, FitOptions, Interval, Model, Noise, Points, Starts, Watch, fit,
};

use super::{X, Y, rise, risen};

fn fitted(model: &impl Model, x: &[f64], y: &[f64], starts: &Starts) -> Fit {
    let points = Points::new(x, y, Noise::FromScatter).unwrap();
    fit(model, &points, starts, &FitOptions::plain(), &Watch::silent()).unwrap()
}

fn quiet() -> Fit {
    risen(&X, &Y, Noise::FromScatter, &[90.0, 0.4]).unwrap()
}

#[test]
fn a_plain_fit_raises_none() {
    let fit = quiet();
    assert_eq!((fit.ending, fit.doubts.as_slice(), fit.rank), (Ending::Converged, &[][..], 2));
    assert_eq!((fit.starts_tried, fit.starts_reached), (1, 1));
    assert!(fit.relative_offset.unwrap() < 1e-9 && fit.condition < 10.0);
}

#[test]
fn parameters_that_only_act_together_are_named() {
    let product = |x: &[f64], b: &[f64], slope: &mut [f64]| {
        slope.copy_from_slice(&[1.0, b[2] * x[0], b[1] * x[0]]);
        b[0] + b[1] * b[2] * x[0]
    };
    let fit = fitted(&product, &X, &Y, &Starts::at(&[1.0, 2.0, 3.0]));
    assert_eq!((fit.ending, fit.rank), (Ending::RankDeficient, 2));
    assert!(fit.doubts.contains(&FitDoubt::Undetermined { parameters: vec![1, 2] }), "{:?}", fit.doubts);
    assert_eq!((fit.covariance, fit.condition), (None, f64::INFINITY));
}

/// Source: NIST Statistical Reference Datasets, set `BoxBOD`. At b₁ = 110 the curve is flat: the second column of J has length 1e-46.
#[test]
fn a_curve_that_has_gone_flat_is_not_called_a_minimum() {
    let (x, y) = ([1.0, 2.0, 3.0, 5.0, 7.0, 10.0], [109.0, 149.0, 149.0, 191.0, 213.0, 224.0]);
    let fit = fitted(&rise, &x, &y, &Starts::at(&[172.5, 110.9]));
    assert_eq!((fit.ending, fit.rank), (Ending::RankDeficient, 1));
    assert_eq!(fit.doubts, [FitDoubt::Undetermined { parameters: vec![1] }]);
    assert_eq!((fit.sd(0), fit.sd(1)), (None, None));
}

/// An offset of 0 has no size either, but the curve feels it.
#[test]
fn a_parameter_that_is_zero_is_determined_all_the_same() {
    let line = |x: &[f64], b: &[f64], slope: &mut [f64]| {
        slope.copy_from_slice(&[1.0, x[0]]);
        b[0] + b[1] * x[0]
    };
    for start in [[0.0, 0.0], [1e-17, 1.0], [5.0, -3.0]] {
        let fit = fitted(&line, &[-2.0, -1.0, 0.0, 1.0, 2.0], &[-2.1, -0.9, 0.0, 0.9, 2.1], &Starts::at(&start));
        assert_eq!((fit.ending, fit.rank, fit.doubts.len()), (Ending::Converged, 2, 0), "{fit:?}");
        assert!(fit.parameters[0].abs() < 1e-15 && (fit.parameters[1] - 1.02).abs() < 1e-12);
    }
}

#[test]
fn steps_that_ran_out_are_told() {
    let points = Points::new(&X, &Y, Noise::FromScatter).unwrap();
    let hard = Differences(|x: &[f64], b: &[f64]| b[0] * (b[1] / (x[0] + b[2])).exp());
    let few = FitOptions { steps: 1, ..FitOptions::plain() };
    let fit = fit(&hard, &points, &Starts::at(&[3000.0, -50.0, 20.0]), &few, &Watch::silent()).unwrap();
    assert_eq!(fit.ending, Ending::Unsettled);
    assert!(fit.doubts.contains(&FitDoubt::Unsettled));
    assert_eq!(fit.covariance, None);
}

#[test]
fn nearly_dependent_parameters_are_told_and_keep_their_covariance() {
    let line = |x: &[f64], b: &[f64], slope: &mut [f64]| {
        slope.copy_from_slice(&[1.0, x[0]]);
        b[0] + b[1] * x[0]
    };
    let fit_at = |origin: f64| fitted(&line, &X.map(|x| x + origin), &Y, &Starts::at(&[0.0, 1.0]));
    let is_ill = |fit: &Fit| fit.doubts.iter().any(|doubt| matches!(doubt, FitDoubt::IllConditioned { .. }));
    let far = fit_at(1e10);
    assert!(is_ill(&far) && far.covariance.is_some(), "{:?}", far.doubts);
    assert!(!is_ill(&fit_at(1e7)));
}

/// On whole x, cos(b x) and cos((2π − b) x) are one curve.
#[test]
fn another_minimum_that_fits_as_well_is_told() {
    let x = [1.0, 2.0, 3.0, 4.0, 5.0, 6.0];
    let y = [0.56, -0.43, -0.98, -0.66, 0.29, 0.94];
    let wave = |x: &[f64], b: &[f64], slope: &mut [f64]| {
        slope[0] = -x[0] * (b[0] * x[0]).sin();
        (b[0] * x[0]).cos()
    };
    let starts = Starts::at(&[1.1]).and(&[5.2]);
    let fit = fitted(&wave, &x, &y, &starts);
    assert!((fit.parameters[0] - 1.0).abs() < 0.1, "{:?}", fit.parameters);
    let [FitDoubt::SecondMinimum { parameters, .. }] = &fit.doubts[..] else { panic!("{:?}", fit.doubts) };
    assert!((parameters[0] + fit.parameters[0] - std::f64::consts::TAU).abs() < 1e-9);
    assert_eq!((fit.starts_tried, fit.starts_reached), (2, 1));
    let between: Vec<f64> = x.iter().map(|x| x + 0.5).collect();
    let y: Vec<f64> = between.iter().map(|x| x.cos() + 0.01 * (7.0 * x).sin()).collect();
    assert_eq!(fitted(&wave, &between, &y, &starts).doubts, []);
}

#[test]
fn a_curve_through_all_points_tells_nothing_of_its_uncertainty() {
    let (x, y) = ([1.0, 4.0], [39.0, 86.0]);
    let through = risen(&x, &y, Noise::FromScatter, &[90.0, 0.4]).unwrap();
    assert_eq!((through.doubts.as_slice(), through.sd(0), through.s), (&[FitDoubt::NoFreedom][..], None, None));
    let known = risen(&x, &y, Noise::Known(&[1.0, 1.0]), &[90.0, 0.4]).unwrap();
    assert!(known.doubts.is_empty() && known.sd(0).is_some() && known.chi_squared_probability.is_none());
}

#[test]
fn uncertainties_that_are_too_small_are_told() {
    let fit = |u: f64| risen(&X, &Y, Noise::Known(&[u; 12]), &[90.0, 0.4]).unwrap();
    let s = quiet().s.unwrap();
    assert!(fit(s).doubts.is_empty() && fit(s).chi_squared_probability.unwrap() > 0.3);
    let [FitDoubt::Scatter { probability }] = fit(0.4 * s).doubts[..] else { panic!("{:?}", fit(0.4 * s).doubts) };
    assert!(probability < 0.001);
}

#[test]
fn starts_without_a_value_are_counted() {
    let root = Differences(|x: &[f64], b: &[f64]| b[0] * (x[0] + b[1]).sqrt());
    let y: Vec<f64> = X.iter().map(|x| 2.0 * (x + 1.0).sqrt() + 0.01 * x.sin()).collect();
    let fit = fitted(&root, &X, &y, &Starts::at(&[1.0, 0.5]).and(&[1.0, -2.0]));
    assert_eq!(fit.doubts, [FitDoubt::StartsLost { count: 1 }]);
    assert_eq!(fit.starts_tried, 1);
}

#[test]
fn a_fit_without_error_is_exact() {
    let y = X.map(|x| 80.0 * (1.0 - (-0.5 * x).exp()));
    let fit = risen(&X, &y, Noise::FromScatter, &[10.0, 1.0]).unwrap();
    assert_eq!((fit.ending, fit.doubts.len()), (Ending::Converged, 0));
    assert!((fit.parameters[0] / 80.0 - 1.0).abs() < 1e-14 && (fit.parameters[1] / 0.5 - 1.0).abs() < 1e-14);
}

/// One run is never another minimum of its own, and readings of 0 are readings.
#[test]
fn level_readings_raise_no_false_doubt() {
    let line = |x: &[f64], b: &[f64], slope: &mut [f64]| {
        slope.copy_from_slice(&[1.0, x[0]]);
        b[0] + b[1] * x[0]
    };
    for start in [[0.0, 0.0], [1.0, 2.0], [-3.0, 0.1]] {
        let none = fitted(&line, &[1.0, 2.0, 3.0], &[0.0; 3], &Starts::at(&start));
        assert_eq!((none.ending, none.doubts.as_slice()), (Ending::Converged, &[][..]), "{none:?}");
        assert!(none.parameters.iter().all(|b| b.abs() < 1e-300));
    }
    let level = fitted(&rise, &[1.0, 2.0, 3.0, 4.0, 5.0], &[1.0; 5], &Starts::at(&[1.0, 2.0]));
    assert_eq!(level.doubts, [FitDoubt::Undetermined { parameters: vec![1] }]);
}

/// Scattered starts fill the limits, or the box that is given.
#[test]
fn scattered_starts_find_what_one_start_misses() {
    let (x, y) = ([1.0, 2.0, 3.0, 5.0, 7.0, 10.0], [109.0, 149.0, 149.0, 191.0, 213.0, 224.0]);
    let lost = Starts::at(&[172.5, 110.9]);
    let box_of = [Interval { low: 1.0, high: 500.0 }, Interval { low: 0.01, high: 5.0 }];
    let found = fitted(&rise, &x, &y, &lost.clone().scattered(8).within(&box_of));
    // Source: NIST Statistical Reference Datasets, set BoxBOD, certified.
    assert!((found.parameters[0] / 2.1380940889e2 - 1.0).abs() < 1e-9 && found.starts_reached >= 4);
    let points = Points::new(&x, &y, Noise::FromScatter).unwrap();
    let options = FitOptions::within(vec![box_of[0], Interval { low: 0.01, high: 200.0 }]);
    let within = fit(&rise, &points, &lost.scattered(40), &options, &Watch::silent()).unwrap();
    assert!((within.parameters[1] / 5.4723748542e-1 - 1.0).abs() < 1e-9, "{within:?}");
}
