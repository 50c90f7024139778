//! Each model by itself: slopes, inverse, half-strength points, starts.

use woodstate::strength::{CurveModel, Direction, Formula};

use super::{PIECES, agrees, fitted, plain};
use woodstate::strength::Pair;

/// Parameters of a curve that rises over 20 to 100 %, and of one that falls.
fn both(model: CurveModel) -> [(Formula, Vec<f64>); 2] {
    let formula = |direction| Formula { model, reference: 100.0, direction };
    let (rising, falling) = match model {
        CurveModel::Linear => (vec![-2.0, 0.27], vec![30.0, -0.25]),
        CurveModel::Power => (vec![26.0, 1.3], vec![4.0, -0.8]),
        CurveModel::Exponential => (vec![2.0, 0.026], vec![60.0, -0.034]),
        CurveModel::Logistic => (vec![25.0, 0.08, 52.0], vec![25.0, -0.08, 52.0]),
        CurveModel::Gompertz => (vec![27.0, 0.05, 41.0], vec![27.0, -0.05, 61.0]),
        CurveModel::Threshold => (vec![22.0, 0.3, 71.5], vec![22.0, 0.3, 38.5]),
    };
    [(formula(Direction::Rising), rising), (formula(Direction::Falling), falling)]
}

/// Source: central differences with h = 6e-6 |b|, good to about ten digits.
#[test]
fn slopes_are_those_of_central_differences() {
    for (formula, b) in CurveModel::ALL.into_iter().flat_map(both) {
        for x in [3.0, 25.0, 50.0, 77.0, 100.0] {
            let mut slope = vec![0.0; b.len()];
            let value = formula.with_slope(x, &b, &mut slope).unwrap();
            agrees(formula.value(x, &b).unwrap(), value, 1e-15);
            for k in 0..b.len() {
                let h = 6e-6 * b[k].abs();
                let moved = |by: f64| {
                    let mut moved = b.clone();
                    moved[k] += by;
                    formula.value(x, &moved).unwrap()
                };
                let difference = (moved(h) - moved(-h)) / (2.0 * h);
                let size = slope[k].abs().max(value.abs() / b[k].abs() * 1e-3);
                assert!(
                    (slope[k] - difference).abs() <= 1e-8 * size,
                    "{formula:?} {k} at {x}: {} {difference}",
                    slope[k]
                );
            }
        }
    }
}

#[test]
fn the_inverse_leads_back() {
    for (formula, b) in CurveModel::ALL.into_iter().flat_map(both) {
        for x in [25.0, 37.0, 50.0, 61.0, 90.0] {
            let y = formula.value(x, &b).unwrap();
            match formula.inverse(y, &b) {
                Some(back) => agrees(back, x, 1e-12),
                // On the plateau no state stands out.
                None => {
                    let is_plateau = formula.model == CurveModel::Threshold && (y - b[0]).abs() < 1e-12;
                    assert!(is_plateau, "{formula:?} at {x}");
                }
            }
        }
    }
}

#[test]
fn no_state_gives_a_strength_beyond_a_plateau() {
    for model in [CurveModel::Logistic, CurveModel::Gompertz, CurveModel::Threshold] {
        for (formula, b) in both(model) {
            assert_eq!(formula.inverse(b[0] * 1.01, &b), None, "{model:?}");
        }
    }
    let [(power, b), _] = both(CurveModel::Power);
    assert_eq!((power.inverse(-1.0, &b), power.value(-1.0, &b)), (None, None));
    assert_eq!(power.value(f64::NAN, &b), None);
}

/// Definitions, not checks: half of the strength at the state that the formula names.
/// Source: Witomski, Olek and Bonarski 2016 [read]: half of the bending strength is lost at 7 % (brown rot) and at 20 %
/// (white rot), half of the compression strength at 20 % (brown rot); rates from it [derived].
#[test]
fn definitions_half_strength_points() {
    let formula = |model| Formula { model, reference: 100.0, direction: Direction::Falling };
    let ln2 = std::f64::consts::LN_2;
    let left = |k: f64, loss: f64| formula(CurveModel::Exponential).value(loss, &[1.0, -k]).unwrap();
    agrees(left(ln2 / 7.0, 7.0), 0.5, 1e-15);
    // Printed with four decimals.
    assert!((left(ln2 / 7.0, 5.0) - 0.6095).abs() < 5e-5);
    agrees(left(ln2 / 20.0, 10.0), 0.5_f64.sqrt(), 1e-15);
    agrees(formula(CurveModel::Linear).value(10.0, &[1.0, -0.025]).unwrap(), 0.75, 1e-15);
    agrees(formula(CurveModel::Logistic).value(52.0, &[25.0, -0.08, 52.0]).unwrap(), 12.5, 1e-15);
    agrees(formula(CurveModel::Gompertz).value(61.0, &[27.0, -0.05, 61.0]).unwrap(), 27.0 / 1_f64.exp(), 1e-15);
}

/// Exact points of a curve: its own starts lead to its parameters.
#[test]
fn points_on_a_curve_give_its_parameters() {
    for (formula, b) in CurveModel::ALL.into_iter().flat_map(both) {
        let pairs: Vec<Pair> = PIECES.iter().map(|(x, _)| Pair::new(*x, formula.value(*x, &b).unwrap())).collect();
        let found = fitted(&pairs, formula.model, &plain());
        assert_eq!(found.formula.direction, formula.direction);
        for (found, expected) in found.fit.parameters.iter().zip(&b) {
            agrees(*found, *expected, 1e-7);
        }
    }
}

#[test]
fn every_model_tells_its_parameters_its_source_and_its_evidence() {
    for model in CurveModel::ALL {
        let spec = model.spec();
        assert_eq!(CurveModel::of_word(spec.word).unwrap(), model);
        assert!(spec.meaning.ends_with('.') && !spec.source.is_empty() && !spec.parameters.is_empty());
        let [(formula, b), _] = both(model);
        assert_eq!(b.len(), model.n_parameters());
        for parameter in spec.parameters {
            assert!(formula.text().contains(parameter.name), "{}: {}", formula.text(), parameter.name);
        }
    }
}
