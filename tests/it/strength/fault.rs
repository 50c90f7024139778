//! Bad input is refused, with what is allowed.

use woodstate::numeric::Watch;
use woodstate::strength::{CurveModel, CurveOptions, Errors, Pair, Weighting, calibrate, fit_curve};

use super::{of_timbers, pairs, plain};

fn refused(pairs: &[Pair], model: CurveModel, options: &CurveOptions) -> String {
    fit_curve(pairs, model, options, &Watch::silent()).unwrap_err().to_string()
}

#[test]
fn pairs_that_make_no_curve_are_refused() {
    let with = |x: f64, y: f64| pairs().into_iter().chain([Pair::new(x, y)]).collect::<Vec<_>>();
    let linear = |pairs: &[Pair]| refused(pairs, CurveModel::Linear, &plain());
    assert_eq!(linear(&with(f64::NAN, 1.0)), "state of pair 17 is NaN; allowed is a finite number");
    assert_eq!(linear(&with(5.0, f64::INFINITY)), "strength of pair 17 is inf; allowed is a finite number");
    assert_eq!(linear(&[]), "number of different states is 0; allowed is at least 2");
    let same: Vec<Pair> = (0..4).map(|i| Pair::new(50.0, f64::from(i))).collect();
    assert_eq!(linear(&same), "number of different states is 1; allowed is at least 2");
    assert_eq!(
        refused(&pairs()[..2], CurveModel::Logistic, &plain()),
        "number of readings is 2; allowed is at least 3"
    );
    assert!(refused(&with(0.0, 0.1), CurveModel::Power, &plain()).contains("above 0; choose another model"));
}

#[test]
fn what_is_asked_for_and_unknown_is_refused() {
    let known = CurveOptions { weighting: Weighting::Known, ..plain() };
    assert_eq!(refused(&pairs(), CurveModel::Linear, &known), "uncertainties of strength has 0 entries, expected 16");
    let timbers = CurveOptions { errors: Errors::ByTimber, ..plain() };
    assert_eq!(refused(&pairs(), CurveModel::Linear, &timbers), "timbers of pairs has 0 entries, expected 16");
    let few = refused(&of_timbers()[..4], CurveModel::Linear, &timbers);
    assert_eq!(few, "number of timbers is 2; allowed is at least 3, one more than parameters");
    assert!(
        refused(&pairs(), CurveModel::Linear, &CurveOptions { coverage: 1.0, ..plain() }).starts_with("coverage is 1")
    );
    assert!(
        refused(&pairs(), CurveModel::Power, &CurveOptions { reference: 0.0, ..plain() }).starts_with("reference of x")
    );
}

#[test]
fn a_calibration_wants_one_pin_and_enough_pairs() {
    let pin = |pairs: &[Pair], diameters: &[f64]| {
        calibrate(pairs, diameters, CurveModel::Linear, &plain(), &Watch::silent()).map(|pin| pin.diameter)
    };
    assert_eq!(pin(&pairs(), &[2.5; 16]).unwrap().to_bits(), 2.5_f64.to_bits());
    let mut mixed = [2.5; 16];
    mixed[3] = 2.0;
    let error = pin(&pairs(), &mixed).unwrap_err().to_string();
    assert_eq!(error, "diameter of the pin, mm, is 2; allowed is that of the first pair, 2.5 mm");
    assert!(pin(&pairs()[..3], &[2.5; 3]).unwrap_err().to_string().contains("at least 4"));
    assert!(pin(&pairs(), &[2.5; 15]).is_err() && pin(&pairs(), &[]).is_err());
}

#[test]
fn a_model_that_does_not_exist_is_refused_with_the_list() {
    let error = CurveModel::of_word("logistc").unwrap_err().to_string();
    assert_eq!(
        error,
        "unknown strength model \"logistc\"; known: logistic, linear, power, exponential, gompertz, threshold"
    );
}
