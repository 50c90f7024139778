//! Which model: weights, averages, cautions.

use woodstate::error::CurveCautionCode;
use woodstate::numeric::Watch;
use woodstate::strength::{Comparison, CurveModel, NotCompared, Pair, compare, shapiro_wilk};

use super::{PIECES, agrees, by_timber, fitted, of_timbers, pairs, plain};

fn compared(pairs: &[Pair]) -> Comparison {
    compare(pairs, &CurveModel::ALL, &plain(), &Watch::silent()).unwrap()
}

fn codes(pairs: &[Pair], model: CurveModel) -> Vec<CurveCautionCode> {
    let curve = fitted(pairs, model, &plain());
    let found = curve.diagnostics().unwrap();
    curve.cautions(found.as_ref()).unwrap().iter().map(|caution| caution.of).collect()
}

/// Source: by hand, −2 ln L = n (ln(2π RSS/n) + 1) and k = 3.
#[test]
fn criteria_are_those_of_their_formulas() {
    let curve = fitted(&pairs(), CurveModel::Power, &plain());
    let deviance = 16.0 * ((std::f64::consts::TAU * curve.fit.rss / 16.0).ln() + 1.0);
    agrees(curve.aicc().unwrap(), deviance + 6.0 + 24.0 / 12.0, 1e-12);
    agrees(curve.bic().unwrap(), deviance + 3.0 * 16_f64.ln(), 1e-12);
}

#[test]
fn weights_sum_to_one_and_follow_the_criterion() {
    let found = compared(&pairs());
    let weights: f64 = found.entries.iter().filter_map(|entry| entry.weight).sum();
    agrees(weights, 1.0, 1e-12);
    let (best, weight) = &found.weighed[0];
    let (next, less) = &found.weighed[1];
    agrees((weight / less).ln(), 0.5 * (next.aicc().unwrap() - best.aicc().unwrap()), 1e-9);
    assert!(weight >= less);
}

#[test]
fn the_average_lies_among_the_models_and_is_less_sure_than_the_best() {
    let found = compared(&pairs());
    for x in [24.0, 50.0, 98.0] {
        let average = found.averaged(x).unwrap();
        let values: Vec<f64> = found.weighed.iter().map(|(curve, _)| curve.value(x).unwrap()).collect();
        let low = values.iter().copied().fold(f64::INFINITY, f64::min);
        let high = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        assert!(low <= average.value && average.value <= high);
        let ends = average.confidence.unwrap();
        assert!(ends.low < average.value && average.value < ends.high);
    }
    let far = |x: f64| found.averaged(x).unwrap().u.unwrap();
    assert!(far(150.0) > 2.0 * far(60.0));
}

#[test]
fn a_model_that_cannot_be_weighed_is_listed_with_the_reason() {
    let why = |pairs: &[Pair], model| compared(pairs).entries.iter().find(|e| e.model == model).unwrap().why_not;
    assert_eq!(why(&pairs()[..5], CurveModel::Logistic), Some(NotCompared::TooFewPieces));
    assert_eq!(why(&pairs()[..5], CurveModel::Linear), None);
    let with_zero: Vec<Pair> = pairs().into_iter().chain([Pair::new(0.0, 0.1)]).collect();
    assert_eq!(why(&with_zero, CurveModel::Power), Some(NotCompared::StateNotPositive));
    let error = compare(&pairs()[..4], &CurveModel::ALL, &plain(), &Watch::silent()).unwrap_err().to_string();
    assert!(error.starts_with("number of models that could be compared is 0"), "{error}");
}

#[test]
fn cautions_speak_where_they_should_and_are_quiet_beside() {
    use CurveCautionCode as Code;
    assert_eq!(codes(&pairs(), CurveModel::Power), []);
    assert!(codes(&pairs()[..7], CurveModel::Power).contains(&Code::FewPieces));
    assert!(!codes(&pairs()[..8], CurveModel::Power).contains(&Code::FewPieces));
    assert!(codes(&of_timbers(), CurveModel::Power).contains(&Code::PiecesOfOneTimber));
    let curve = fitted(&of_timbers(), CurveModel::Power, &by_timber());
    assert_eq!(curve.cautions(None).unwrap(), []);
    let level: Vec<Pair> =
        PIECES.iter().enumerate().map(|(i, (x, _))| Pair::new(*x, [9.0, 11.0, 10.0][i % 3])).collect();
    assert!(codes(&level, CurveModel::Linear).contains(&Code::NoTrend));
    let alone: Vec<Pair> = pairs()[..10].iter().cloned().chain([Pair::new(400.0, 40.0)]).collect();
    assert!(codes(&alone, CurveModel::Linear).contains(&Code::InfluentialPiece));
    let odd: Vec<Pair> = pairs().into_iter().chain([Pair::new(60.0, 30.0)]).collect();
    assert!(codes(&odd, CurveModel::Power).contains(&Code::ScatterNotNormal));
    let fan =
        |(i, (x, _)): (usize, &(f64, f64))| Pair::new(*x, 0.2 * x + [-0.03, 0.03][i % 2] * x * (x / 100.0).powi(2));
    let fan: Vec<Pair> = PIECES.iter().enumerate().map(fan).collect();
    assert!(codes(&fan, CurveModel::Linear).contains(&Code::UnevenScatter));
    let steep: Vec<Pair> = PIECES.map(|(x, _)| Pair::new(x, if x > 60.0 { 20.0 } else { 2.0 })).to_vec();
    let found = codes(&steep, CurveModel::Logistic);
    assert!(found.contains(&Code::ParameterOnLimit) || found.contains(&Code::ParametersTangled), "{found:?}");
}

/// Source: S. S. Shapiro, M. B. Wilk 1965, Biometrika 52, 591-611, section 4.4: W 0.79 of eleven weights [memory].
#[test]
fn normality_is_refused_for_the_weights_of_eleven_men() {
    let x = [148.0, 154.0, 158.0, 160.0, 161.0, 162.0, 166.0, 170.0, 182.0, 195.0, 236.0];
    let test = shapiro_wilk(&x).unwrap().unwrap();
    assert!((test.statistic - 0.79).abs() < 0.005, "{test:?}");
    assert_eq!(shapiro_wilk(&[1.0, 2.0]).unwrap(), None);
    assert_eq!(shapiro_wilk(&[3.0; 8]).unwrap(), None);
    assert!(shapiro_wilk(&[1.0, f64::NAN, 2.0]).is_err());
}
