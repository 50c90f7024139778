//! The other way round.

use woodstate::numeric::Interval;
use woodstate::strength::{CurveModel, NoState, Pair, StateEnd, States};

use super::{PIECES, agrees, fitted, pairs, plain};

const POSSIBLE: Interval = Interval { low: 1.0, high: 110.0 };

#[test]
fn the_state_of_a_strength_has_that_strength() {
    for model in [CurveModel::Linear, CurveModel::Power, CurveModel::Exponential, CurveModel::Logistic] {
        let curve = fitted(&pairs(), model, &plain());
        let found = curve.inverse(12.0, POSSIBLE).unwrap();
        let x = found.x.unwrap();
        agrees(curve.value(x).unwrap(), 12.0, 1e-10);
        assert!(!found.is_extrapolated);
        let ends = |states| match states {
            States::Between { low: StateEnd::At(low), high: StateEnd::At(high) } => (low, high),
            other => panic!("{model:?} {other:?}"),
        };
        let (mean, piece) = (ends(found.mean), ends(found.piece));
        assert!(piece.0 < mean.0 && mean.0 < x && x < mean.1 && mean.1 < piece.1, "{model:?} {found:?}");
    }
}

/// Source: an end of the interval is where the band has the strength, by definition.
#[test]
fn ends_are_states_at_which_a_band_has_the_strength() {
    let curve = fitted(&pairs(), CurveModel::Power, &plain());
    let States::Between { low: StateEnd::At(low), high: StateEnd::At(high) } =
        curve.inverse(12.0, POSSIBLE).unwrap().piece
    else {
        panic!("not closed");
    };
    agrees(curve.predict(low).unwrap().prediction.unwrap().high, 12.0, 1e-9);
    agrees(curve.predict(high).unwrap().prediction.unwrap().low, 12.0, 1e-9);
}

#[test]
fn a_strength_out_of_reach_is_said_to_be_so() {
    let curve = fitted(&pairs(), CurveModel::Power, &plain());
    let strongest = curve.value(110.0).unwrap();
    let above = curve.inverse(60.0, POSSIBLE).unwrap();
    assert_eq!(
        (above.x, above.mean, above.piece),
        (Err(NoState::Above(strongest)), States::Unreachable, States::Unreachable)
    );
    let below = curve.inverse(-5.0, POSSIBLE).unwrap();
    assert!(matches!(below.x, Err(NoState::Below(_))) && below.mean == States::Unreachable);
}

#[test]
fn an_interval_that_goes_on_to_what_is_possible_is_open() {
    let curve = fitted(&pairs(), CurveModel::Power, &plain());
    let found = curve.inverse(25.0, Interval { low: 1.0, high: 100.0 }).unwrap();
    assert!(matches!(found.piece, States::Between { low: StateEnd::At(_), high: StateEnd::Open }), "{found:?}");
    // Flat scatter: every state may have it.
    let level: Vec<Pair> =
        PIECES.iter().enumerate().map(|(i, (x, _))| Pair::new(*x, [9.0, 11.0, 10.0][i % 3])).collect();
    let flat = fitted(&level, CurveModel::Linear, &plain()).inverse(10.0, POSSIBLE).unwrap();
    assert_eq!(flat.piece, States::Between { low: StateEnd::Open, high: StateEnd::Open });
}

#[test]
fn a_plateau_has_its_strength_everywhere() {
    let flat: Vec<Pair> = PIECES
        .iter()
        .enumerate()
        .map(|(i, (x, _))| Pair::new(*x, (20.0 - 0.4 * (60.0 - x).max(0.0)) + [0.1, -0.1][i % 2]))
        .collect();
    let curve = fitted(&flat, CurveModel::Threshold, &plain());
    let plateau = curve.fit.parameters[0];
    assert_eq!(curve.inverse(plateau, POSSIBLE).unwrap().x, Err(NoState::Everywhere));
    assert!(matches!(curve.inverse(plateau, POSSIBLE).unwrap().mean, States::Between { high: StateEnd::Open, .. }));
}
