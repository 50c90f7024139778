//! Scatter in proportion to strength.

use woodstate::numeric::Watch;
use woodstate::strength::{CurveModel, CurveOptions, NotCompared, Pair, Weighting, compare, fit_curve, group_curves};

use super::{PIECES, agrees, fitted, pairs, plain};

fn proportional() -> CurveOptions {
    CurveOptions { weighting: Weighting::Proportional, ..plain() }
}

/// Pieces that scatter by a tenth of their strength.
fn fan() -> Vec<Pair> {
    let signs = [1.0, -1.0, -0.6, 0.9, -0.3, 0.5, 0.1];
    let of = |(place, (x, _)): (usize, &(f64, f64))| {
        Pair::new(*x, 26.0 * (x / 100.0).powf(1.7) * (1.0 + 0.1 * signs[place % 7]))
    };
    PIECES.iter().enumerate().map(of).collect()
}

/// Source: by definition the weights are those of the curve itself.
#[test]
fn the_curve_is_that_of_weights_by_the_curve() {
    for model in [CurveModel::Power, CurveModel::Exponential, CurveModel::Logistic] {
        let curve = fitted(&fan(), model, &proportional());
        let weighed: Vec<Pair> = fan().into_iter().map(|pair| Pair { u: curve.value(pair.x), ..pair }).collect();
        let again = fitted(&weighed, model, &CurveOptions { weighting: Weighting::Relative, ..plain() });
        for k in 0..curve.fit.p {
            agrees(again.fit.parameters[k], curve.fit.parameters[k], 1e-8);
            agrees(again.u(k).unwrap(), curve.u(k).unwrap(), 1e-7);
        }
        agrees(again.aicc().unwrap(), curve.aicc().unwrap(), 1e-9);
        let squares: f64 = fan().iter().map(|pair| (pair.y / curve.value(pair.x).unwrap() - 1.0).powi(2)).sum();
        let freedom = 16.0 - [2.0, 3.0][usize::from(model == CurveModel::Logistic)];
        agrees(curve.scatter_share().unwrap(), (squares / freedom).sqrt(), 1e-9);
        assert_eq!(curve.scatter(), None);
    }
}

#[test]
fn a_new_weak_piece_is_as_uncertain_for_its_strength_as_a_strong_one() {
    let curve = fitted(&fan(), CurveModel::Power, &proportional());
    let t = 2.144_787;
    for x in [24.0, 60.0, 98.0] {
        let here = curve.predict(x).unwrap();
        let half = here.prediction.unwrap().high - here.value;
        let s = curve.scatter_share().unwrap() * here.value;
        agrees(half, t * s.hypot(here.u.unwrap()), 3e-7);
        assert!(here.prediction.unwrap().low > 0.0);
    }
}

#[test]
fn the_criterion_chooses_the_scatter_that_the_pieces_were_made_with() {
    let gain = |pairs: &[Pair]| {
        let of = |options: &CurveOptions| fitted(pairs, CurveModel::Power, options).aicc().unwrap();
        of(&plain()) - of(&proportional())
    };
    assert!(gain(&fan()) > 4.0, "{}", gain(&fan()));
    assert!(gain(&pairs()) < -1.0, "{}", gain(&pairs()));
}

#[test]
fn a_curve_that_comes_to_0_cannot_have_such_a_scatter() {
    let steep: Vec<Pair> = PIECES.map(|(x, _)| Pair::new(x, 0.01 * (x - 20.0).powi(2))).to_vec();
    let error = fit_curve(&steep, CurveModel::Linear, &proportional(), &Watch::silent()).unwrap_err().to_string();
    assert!(error.starts_with("strength by the curve, to which its scatter is in proportion, is -"), "{error}");
    let models = [CurveModel::Linear, CurveModel::Exponential];
    let found = compare(&steep, &models, &proportional(), &Watch::silent()).unwrap();
    assert_eq!(found.entries[0].why_not, Some(NotCompared::NotAboveZero));
    assert_eq!(found.entries[1].why_not, None);
}

#[test]
fn groups_are_compared_with_the_weights_of_the_one_curve() {
    let (mut one, mut other) = (Vec::new(), Vec::new());
    for (place, pair) in fan().into_iter().enumerate() {
        if place % 2 == 0 { one.push(pair) } else { other.push(pair) }
    }
    let found = group_curves(&[one, other], CurveModel::Power, &proportional(), &Watch::silent()).unwrap();
    let rich: f64 = found.separate.iter().map(|curve| curve.fit.rss).sum();
    let test = found.one_or_separate.unwrap();
    agrees(test.f, (found.one.fit.rss - rich) / 2.0 / (rich / 12.0), 1e-9);
    let alone = fitted(&fan(), CurveModel::Power, &proportional());
    agrees(found.one.fit.parameters[1], alone.fit.parameters[1], 1e-8);
}
