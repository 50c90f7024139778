//! What must hold for every fit.

use proptest::prelude::{ProptestConfig, prop_assert, proptest};
use woodstate::numeric::{FitDoubt, FitOptions, Interval, Noise, Points, Starts, Watch, fit};

use super::{X, Y, agrees, rise, risen};

const START: [f64; 2] = [90.0, 0.4];

fn near(a: f64, b: f64) -> bool {
    (a / b - 1.0).abs() < 1e-9
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn scaling_x_or_y_scales_parameters(a in -3.0..3.0_f64, c in -3.0..3.0_f64, turn in 0..12_usize) {
        let (a, c) = (10_f64.powf(a), 10_f64.powf(c));
        let mut y = Y;
        y.rotate_left(turn);
        for (k, y) in y.iter_mut().enumerate() {
            *y = 0.02 * *y + Y[k];
        }
        let plain = risen(&X, &y, Noise::FromScatter, &START).unwrap();
        let scaled = risen(&X.map(|x| a * x), &y.map(|y| c * y), Noise::FromScatter, &[c * START[0], START[1] / a]).unwrap();
        prop_assert!(near(scaled.parameters[0], c * plain.parameters[0]));
        prop_assert!(near(scaled.parameters[1], plain.parameters[1] / a));
        prop_assert!(near(scaled.sd(0).unwrap(), c * plain.sd(0).unwrap()));
        prop_assert!(near(scaled.sd(1).unwrap(), plain.sd(1).unwrap() / a));
        prop_assert!((scaled.correlation(0, 1).unwrap() - plain.correlation(0, 1).unwrap()).abs() < 1e-9);
    }

    #[test]
    fn the_order_of_rows_changes_nothing(turn in 0..12_usize, flip in proptest::bool::ANY) {
        let (mut x, mut y) = (X, Y);
        x.rotate_left(turn);
        y.rotate_left(turn);
        if flip {
            x.reverse();
            y.reverse();
        }
        let (here, there) = (risen(&X, &Y, Noise::FromScatter, &START).unwrap(), risen(&x, &y, Noise::FromScatter, &START).unwrap());
        for k in 0..2 {
            prop_assert!((here.parameters[k] / there.parameters[k] - 1.0).abs() < 1e-12);
            prop_assert!(near(here.sd(k).unwrap(), there.sd(k).unwrap()));
        }
    }

    #[test]
    fn limits_hold(low in 0.1..0.9_f64, width in 0.0..0.5_f64, cap in 50.0..150.0_f64) {
        let bounds = vec![Interval { low: f64::NEG_INFINITY, high: cap }, Interval { low, high: low + width }];
        let points = Points::new(&X, &Y, Noise::FromScatter).unwrap();
        let result = fit(&rise, &points, &Starts::at(&START), &FitOptions::within(bounds), &Watch::silent()).unwrap();
        prop_assert!(result.parameters[0] <= cap && result.parameters[1] >= low && result.parameters[1] <= low + width);
        for k in 0..2 {
            let is_on = result.doubts.contains(&FitDoubt::AtLimit { parameter: k });
            prop_assert!(is_on == result.sd(k).is_none());
            prop_assert!(is_on != result.free.contains(&k));
        }
    }
}

#[test]
fn a_reading_twice_is_a_reading_of_half_the_variance() {
    let x = [&X[..], &X[..3]].concat();
    let y = [&Y[..], &Y[..3]].concat();
    let twice = risen(&x, &y, Noise::FromScatter, &START).unwrap();
    let mut u = [1.0; 12];
    u[..3].fill(0.5_f64.sqrt());
    let weighted = risen(&X, &Y, Noise::Relative(&u), &START).unwrap();
    for k in 0..2 {
        agrees(weighted.parameters[k], twice.parameters[k], 1e-12);
    }
    agrees(weighted.rss, twice.rss, 1e-12);
}

#[test]
fn known_uncertainties_stand_and_relative_ones_do_not_matter_in_size() {
    let (one, ten) = ([1.0; 12], [10.0; 12]);
    let sd = |noise| risen(&X, &Y, noise, &START).unwrap().sd(0).unwrap();
    agrees(sd(Noise::Known(&ten)), 10.0 * sd(Noise::Known(&one)), 1e-9);
    agrees(sd(Noise::Relative(&ten)), sd(Noise::FromScatter), 1e-9);
    let fit = risen(&X, &Y, Noise::FromScatter, &START).unwrap();
    agrees(sd(Noise::FromScatter), fit.s.unwrap() * sd(Noise::Known(&one)), 1e-9);
}

/// A parameter on its limit leaves the fit of the others as if it were known.
#[test]
fn on_a_limit_the_rest_is_fitted_with_that_value() {
    let cap = 95.0;
    let bounds = vec![Interval { low: 0.0, high: cap }, Interval { low: 0.0, high: f64::INFINITY }];
    let points = Points::new(&X, &Y, Noise::FromScatter).unwrap();
    let limited =
        fit(&rise, &points, &Starts::at(&[50.0, 0.1]), &FitOptions::within(bounds), &Watch::silent()).unwrap();
    let fixed = |x: &[f64], b: &[f64], slope: &mut [f64]| {
        let mut both = [0.0; 2];
        let value = rise(x, &[cap, b[0]], &mut both);
        slope[0] = both[1];
        value
    };
    let known = fit(&fixed, &points, &Starts::at(&[0.1]), &FitOptions::plain(), &Watch::silent()).unwrap();
    assert_eq!(limited.parameters[0].to_bits(), cap.to_bits());
    assert_eq!(limited.free, [1]);
    agrees(limited.parameters[1], known.parameters[0], 1e-10);
    agrees(limited.sd(1).unwrap(), known.sd(0).unwrap(), 1e-10);
    assert_eq!((limited.sd(0), limited.correlation(0, 1)), (None, None));
}

/// Source: covariance and derivatives, by hand: the curve at x = 4 has slopes (1 − e, b₀ x e).
#[test]
fn the_variance_of_the_curve_follows_from_the_covariance() {
    let fit = risen(&X, &Y, Noise::FromScatter, &START).unwrap();
    let mut g = [0.0; 2];
    rise(&[4.0], &fit.parameters, &mut g);
    let c = fit.covariance.as_ref().unwrap();
    let expected = g[0] * g[0] * c[(0, 0)] + 2.0 * g[0] * g[1] * c[(0, 1)] + g[1] * g[1] * c[(1, 1)];
    agrees(fit.variance_of(&g).unwrap(), expected, 1e-12);
    assert_eq!(fit.variance_of(&[1.0]), None);
}
