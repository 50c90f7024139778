//! What must hold for every curve.

use proptest::prelude::{ProptestConfig, prop_assert, proptest};
use woodstate::strength::{CurveModel, CurveOptions, Pair, ParameterUnit, monotone};

use super::{PIECES, agrees, by_timber, fitted, of_timbers, pairs, plain};

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn scaling_state_and_strength_scales_parameters_by_their_units(a in -2.0..2.0_f64, c in -2.0..2.0_f64) {
        let (a, c) = (10_f64.powf(a), 10_f64.powf(c));
        let scaled = PIECES.map(|(x, y)| Pair::new(a * x, c * y));
        let options = CurveOptions { reference: a * 100.0, ..plain() };
        for model in [CurveModel::Linear, CurveModel::Power, CurveModel::Exponential, CurveModel::Logistic] {
            let (here, there) = (fitted(&pairs(), model, &plain()), fitted(&scaled, model, &options));
            for (k, parameter) in model.spec().parameters.iter().enumerate() {
                let factor = match parameter.unit {
                    ParameterUnit::Y => c,
                    ParameterUnit::X => a,
                    ParameterUnit::YPerX => c / a,
                    ParameterUnit::PerX => 1.0 / a,
                    ParameterUnit::One => 1.0,
                };
                let near = |one: f64, other: f64| (one / other - 1.0).abs() < 1e-6;
                prop_assert!(near(there.fit.parameters[k], factor * here.fit.parameters[k]), "{model:?} {k}");
                prop_assert!(near(there.u(k).unwrap(), factor * here.u(k).unwrap()), "u {model:?} {k}");
            }
            prop_assert!((there.r_squared().unwrap() - here.r_squared().unwrap()).abs() < 1e-9);
        }
    }

    #[test]
    fn the_order_of_rows_moves_no_digit(turn in 0..16_usize, flip in proptest::bool::ANY) {
        let mut turned = of_timbers();
        turned.rotate_left(turn);
        if flip {
            turned.reverse();
        }
        for model in CurveModel::ALL {
            let (here, there) = (fitted(&of_timbers(), model, &by_timber()), fitted(&turned, model, &by_timber()));
            prop_assert!(here.fit.parameters == there.fit.parameters && here.covariance == there.covariance);
            prop_assert!(here.aicc() == there.aicc());
        }
        prop_assert!(monotone(&of_timbers()).unwrap().value == monotone(&turned).unwrap().value);
    }
}

#[test]
fn a_residual_stands_with_the_piece_it_belongs_to() {
    let mut turned = pairs();
    turned.rotate_left(5);
    let curve = fitted(&turned, CurveModel::Power, &plain());
    let found = curve.diagnostics().unwrap().unwrap();
    for (place, piece) in found.pieces.iter().enumerate() {
        assert_eq!(piece.place, place);
        agrees(piece.residual, turned[place].y - curve.value(turned[place].x).unwrap(), 1e-9);
    }
}

/// Leverages sum to the number of parameters; of a line they are those of the textbook.
/// Source: h = 1/n + (x − x̄)²/Σ(x − x̄)², by hand.
#[test]
fn leverages_are_those_of_a_line() {
    let found = fitted(&pairs(), CurveModel::Linear, &plain()).diagnostics().unwrap().unwrap();
    let centre = PIECES.iter().map(|(x, _)| x).sum::<f64>() / 16.0;
    let squares: f64 = PIECES.iter().map(|(x, _)| (x - centre).powi(2)).sum();
    for piece in &found.pieces {
        agrees(piece.leverage, 1.0 / 16.0 + (piece.x - centre).powi(2) / squares, 1e-10);
    }
    agrees(found.pieces.iter().map(|piece| piece.leverage).sum(), 2.0, 1e-10);
}

/// Source: for a straight line leaving one out gives e/(1 − h) exactly.
#[test]
fn leaving_a_piece_out_of_a_line_is_known_without_doing_it() {
    let line = fitted(&pairs(), CurveModel::Linear, &plain());
    let found = line.diagnostics().unwrap().unwrap();
    let squares: f64 = found.pieces.iter().map(|piece| (piece.residual / (1.0 - piece.leverage)).powi(2)).sum();
    let error = line.left_out_error(&woodstate::numeric::Watch::silent()).unwrap().unwrap();
    agrees(error, (squares / 16.0).sqrt(), 1e-9);
    assert!(error > line.fit.s.unwrap());
}

/// Source: by hand, pools of neighbours in the wrong order; the mean of a pool is the mean of its pieces.
#[test]
fn a_monotone_curve_is_the_closest_that_never_turns() {
    let pairs = [(1.0, 1.0), (2.0, 4.0), (2.0, 2.0), (3.0, 2.0), (4.0, 6.0), (5.0, 5.0), (6.0, 4.0)];
    let curve = monotone(&pairs.map(|(x, y)| Pair::new(x, y))).unwrap();
    let third = 8.0 / 3.0;
    for (found, expected) in curve.value.iter().zip([1.0, third, third, 5.0, 5.0, 5.0]) {
        agrees(*found, expected, 1e-15);
    }
    assert_eq!((curve.levels, curve.at(0.5), curve.n()), (3, None, 7));
    let falling = monotone(&pairs.map(|(x, y)| Pair::new(-x, y))).unwrap();
    let mut reversed = falling.value.clone();
    reversed.reverse();
    assert_eq!(reversed, curve.value);
}

#[test]
fn a_monotone_curve_fits_no_worse_than_any_formula() {
    let curve = monotone(&pairs()).unwrap();
    for model in CurveModel::ALL {
        assert!(curve.rss <= fitted(&pairs(), model, &plain()).fit.rss, "{model:?}");
    }
}
