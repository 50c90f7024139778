//! Bad input gives an error that says what was found and what is allowed.

use std::sync::atomic::AtomicBool;

use proptest::prelude::{ProptestConfig, any, prop_assert, proptest};
use woodstate::error::ErrorKind;
use woodstate::numeric::{Differences, FitOptions, Interval, Noise, Points, Starts, Watch, fit};

use super::{X, Y, rise};

fn message(x: &[f64], y: &[f64], noise: Noise<'_>, starts: &Starts, options: &FitOptions) -> String {
    let result = Points::new(x, y, noise).and_then(|points| fit(&rise, &points, starts, options, &Watch::silent()));
    result.unwrap_err().to_string()
}

fn told(x: &[f64], y: &[f64], noise: Noise<'_>) -> String {
    message(x, y, noise, &Starts::at(&[90.0, 0.4]), &FitOptions::plain())
}

#[test]
fn readings_are_checked() {
    assert_eq!(told(&[], &[], Noise::FromScatter), "number of readings is 0; allowed is at least 1");
    assert_eq!(told(&[1.0], &[2.0], Noise::FromScatter), "number of readings is 1; allowed is at least 2");
    assert_eq!(told(&X[..5], &Y[..3], Noise::FromScatter), "predictors has 5 entries, expected 3");
    assert_eq!(told(&[], &Y[..3], Noise::FromScatter), "predictors has 0 entries, expected 3");
    assert_eq!(
        told(&[1.0, f64::INFINITY], &[2.0, 3.0], Noise::FromScatter),
        "predictor 2 is inf; allowed is a finite number"
    );
    assert_eq!(told(&[1.0, 2.0], &[f64::NAN, 3.0], Noise::FromScatter), "reading 1 is NaN; allowed is a finite number");
    assert_eq!(told(&X, &Y, Noise::Known(&[1.0; 3])), "uncertainties of readings has 3 entries, expected 12");
    let mut u = [1.0; 12];
    u[4] = 0.0;
    assert_eq!(told(&X, &Y, Noise::Relative(&u)), "uncertainty of reading 5 is 0; allowed is a finite number above 0");
}

#[test]
fn starts_are_checked() {
    let told = |starts: &Starts| message(&X, &Y, Noise::FromScatter, starts, &FitOptions::plain());
    assert_eq!(told(&Starts::at(&[])), "number of parameters is 0; allowed is at least 1");
    assert_eq!(told(&Starts::at(&[1.0, 2.0]).and(&[1.0])), "start has 1 entries, expected 2");
    assert_eq!(told(&Starts::at(&[1.0, f64::NAN])), "start of parameter 2 is NaN; allowed is a finite number");
    let side = Interval { low: 0.0, high: f64::INFINITY };
    assert_eq!(
        told(&Starts::at(&[1.0, 2.0]).scattered(3).within(&[side, side])),
        "upper end of the box of starts, parameter 1 is inf; allowed is a finite number"
    );
    assert_eq!(
        told(&Starts::at(&[1.0, -1000.0])),
        "the model or a slope of it at the start, reading 2 is -inf; allowed is a finite number; choose other starting \
         parameters"
    );
}

#[test]
fn limits_are_checked() {
    let told = |bounds: Vec<Interval>| {
        message(&X, &Y, Noise::FromScatter, &Starts::at(&[90.0, 0.4]), &FitOptions::within(bounds))
    };
    let (free, crossed) = (Interval { low: 0.0, high: 200.0 }, Interval { low: 2.0, high: 1.0 });
    assert_eq!(told(vec![free]), "limits of parameters has 1 entries, expected 2");
    assert_eq!(
        told(vec![free, crossed]),
        "upper limit of parameter 2 is 1; allowed is a number from the lower limit 2 on"
    );
    assert_eq!(
        told(vec![Interval { low: f64::NAN, high: 1.0 }, free]),
        "lower limit of parameter 1 is NaN; allowed is a number, or minus infinity"
    );
    let none = FitOptions { steps: 0, ..FitOptions::plain() };
    assert_eq!(
        message(&X, &Y, Noise::FromScatter, &Starts::at(&[90.0, 0.4]), &none),
        "steps of a fit is 0; allowed is at least 1"
    );
}

#[test]
fn a_fit_can_be_stopped() {
    let stop = AtomicBool::new(true);
    let points = Points::new(&X, &Y, Noise::FromScatter).unwrap();
    let watch = Watch::new(None, Some(&stop));
    let error = fit(&rise, &points, &Starts::at(&[90.0, 0.4]), &FitOptions::plain(), &watch).unwrap_err();
    assert_eq!(error.kind(), &ErrorKind::Stopped);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    /// Whatever the numbers: an error, or a result without a number that is none.
    #[test]
    fn no_input_makes_it_panic_or_give_no_number(
        x in proptest::collection::vec(any::<f64>(), 1..6),
        y in proptest::collection::vec(any::<f64>(), 1..6),
        start in proptest::collection::vec(any::<f64>(), 1..4),
    ) {
        let model = Differences(|x: &[f64], b: &[f64]| b[0] * x[0] + (b[b.len() - 1] * x[0]).exp());
        let result = Points::new(&x, &y, Noise::FromScatter)
            .and_then(|points| fit(&model, &points, &Starts::at(&start), &FitOptions::plain(), &Watch::silent()));
        if let Ok(fit) = result {
            prop_assert!(fit.parameters.iter().all(|b| b.is_finite()), "{fit:?}");
            prop_assert!(fit.rss.is_finite() && fit.residuals.iter().all(|r| r.is_finite()), "{fit:?}");
            prop_assert!((0..fit.p).all(|k| fit.sd(k).is_none_or(f64::is_finite)), "{fit:?}");
            prop_assert!(fit.s.is_none_or(f64::is_finite) && fit.relative_offset.is_none_or(f64::is_finite), "{fit:?}");
            prop_assert!(!fit.condition.is_nan(), "{fit:?}");
        }
    }
}
