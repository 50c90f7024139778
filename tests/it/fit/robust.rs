//! Robust losses.

use woodstate::numeric::{Fit, FitDoubt, FitOptions, Interval, Loss, Noise, Points, Starts, Threshold, Watch, fit};

use super::{X, agrees, rise};

/// Two readings of twelve are wrong.
const WRONG: [f64; 12] = [21.4, 38.9, 51.2, 88.0, 78.3, 87.1, 91.0, 95.4, 52.0, 98.1, 100.3, 99.2];

fn fitted(loss: Loss, noise: Noise<'_>) -> Fit {
    let points = Points::new(&X, &WRONG, noise).unwrap();
    let options = FitOptions::plain().with_loss(loss);
    fit(&rise, &points, &Starts::at(&[90.0, 0.4]), &options, &Watch::silent()).unwrap()
}

/// Source: `scipy.optimize.least_squares`, frozen by `tests/outside/freeze_fit.py`; 8 digits of the parameters.
#[cfg(feature = "report")]
#[test]
fn robust_losses_agree_with_scipy() {
    let frozen = super::frozen();
    for case in frozen["robust"]["values"].as_array().unwrap() {
        let c = Threshold::Given(case["f_scale"].as_f64().unwrap());
        let result = match case["loss"].as_str().unwrap() {
            "huber" => fitted(Loss::Huber(c), Noise::FromScatter),
            "soft_l1" => fitted(Loss::SoftL1(c), Noise::FromScatter),
            "linear" => fitted(Loss::Squares, Noise::FromScatter),
            other => panic!("{other}"),
        };
        for (k, expected) in super::numbers(&case["parameters"]).into_iter().enumerate() {
            agrees(result.parameters[k], expected, 3e-7);
        }
        agrees(result.objective, case["twice_cost"].as_f64().unwrap(), 1e-9);
        assert_eq!(result.ending, woodstate::numeric::Ending::Converged);
    }
}

#[test]
fn a_robust_fit_gives_no_deviations_and_says_so() {
    let robust = fitted(Loss::Huber(Threshold::Given(1.0)), Noise::FromScatter);
    assert_eq!((robust.doubts.as_slice(), robust.sd(0)), (&[FitDoubt::Robust][..], None));
    let plain = fitted(Loss::Squares, Noise::FromScatter);
    assert!(plain.doubts.is_empty() && plain.sd(0).is_some());
    assert!(robust.rss > plain.rss && robust.objective < plain.objective);
}

/// 1.4826 is the inverse of the third quartile of the normal distribution, 0.67449.
#[test]
fn the_threshold_follows_the_scatter() {
    let first = fitted(Loss::Squares, Noise::FromScatter);
    let mut sizes: Vec<f64> = first.residuals.iter().map(|r| r.abs()).collect();
    sizes.sort_by(f64::total_cmp);
    let expected = 1.4826 * f64::midpoint(sizes[5], sizes[6]);
    let robust = fitted(Loss::SoftL1(Threshold::FromScatter), Noise::FromScatter);
    agrees(robust.threshold.unwrap(), expected, 1e-12);
}

#[test]
fn uncertainties_scale_the_threshold() {
    let plain = fitted(Loss::Huber(Threshold::Given(2.0)), Noise::FromScatter);
    let scaled = fitted(Loss::Huber(Threshold::Given(4.0)), Noise::Known(&[0.5; 12]));
    for k in 0..2 {
        agrees(scaled.parameters[k], plain.parameters[k], 1e-10);
    }
    agrees(scaled.objective, 4.0 * plain.objective, 1e-10);
}

/// With a threshold beyond all residuals Huber's loss is the square.
#[test]
fn a_wide_threshold_gives_least_squares() {
    let plain = fitted(Loss::Squares, Noise::FromScatter);
    let wide = fitted(Loss::Huber(Threshold::Given(1000.0)), Noise::FromScatter);
    for k in 0..2 {
        agrees(wide.parameters[k], plain.parameters[k], 1e-12);
    }
}

#[test]
fn limits_hold_for_a_robust_loss() {
    let points = Points::new(&X, &WRONG, Noise::FromScatter).unwrap();
    let bounds = vec![Interval { low: 0.0, high: 97.0 }, Interval { low: 0.0, high: 9.0 }];
    let options = FitOptions::within(bounds).with_loss(Loss::Huber(Threshold::Given(1.0)));
    let result = fit(&rise, &points, &Starts::at(&[90.0, 0.4]), &options, &Watch::silent()).unwrap();
    assert_eq!(result.parameters[0].to_bits(), 97.0_f64.to_bits());
    assert_eq!(result.doubts, [FitDoubt::AtLimit { parameter: 0 }, FitDoubt::Robust]);
}

#[test]
fn a_threshold_that_cannot_be_told_is_an_error() {
    let y = X.map(|x| 80.0 * (1.0 - (-0.5 * x).exp()));
    let flat = |_: &[f64], b: &[f64], slope: &mut [f64]| {
        slope[0] = 1.0;
        b[0]
    };
    let options = FitOptions::plain().with_loss(Loss::Huber(Threshold::FromScatter));
    let points = Points::new(&X, &[3.0; 12], Noise::FromScatter).unwrap();
    let error = fit(&flat, &points, &Starts::at(&[1.0]), &options, &Watch::silent()).unwrap_err();
    assert_eq!(
        error.to_string(),
        "threshold of a robust loss, from the scatter is 0; allowed is a number above 0; give one"
    );
    let options = FitOptions::plain().with_loss(Loss::Huber(Threshold::Given(-1.0)));
    let points = Points::new(&X, &y, Noise::FromScatter).unwrap();
    let error = fit(&rise, &points, &Starts::at(&[1.0, 1.0]), &options, &Watch::silent()).unwrap_err();
    assert_eq!(error.to_string(), "threshold of a robust loss is -1; allowed is a finite number above 0");
}
