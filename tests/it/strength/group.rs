//! One curve or several.

use woodstate::numeric::Watch;
use woodstate::strength::{CurveModel, Grouped, Pair, group_curves};

use super::{PIECES, agrees, pairs, plain};

fn check(groups: &[Vec<Pair>], model: CurveModel) -> Grouped {
    group_curves(groups, model, &plain(), &Watch::silent()).unwrap()
}

/// Every second piece is of the other group, with its strength times a factor.
fn split(factor: f64) -> Vec<Vec<Pair>> {
    let of = |odd: usize| {
        let mine = PIECES.iter().enumerate().filter(move |(place, _)| place % 2 == odd);
        mine.map(|(_, (x, y))| Pair::new(*x, if odd == 1 { factor * y } else { *y })).collect()
    };
    vec![of(0), of(1)]
}

/// Source: by hand from the sums of squares: ((RSS₁ − RSS₂)/2)/(RSS₂/(16 − 4)).
#[test]
fn the_extra_sum_of_squares_is_that_of_the_fits() {
    let found = check(&split(1.0), CurveModel::Power);
    let rich: f64 = found.separate.iter().map(|curve| curve.fit.rss).sum();
    let test = found.one_or_separate.unwrap();
    agrees(test.f, (found.one.fit.rss - rich) / 2.0 / (rich / 12.0), 1e-9);
    assert_eq!((test.more, test.left), (2.0, 12.0));
    let (one, two) = (found.one_or_scaled.unwrap(), found.scaled_or_separate.unwrap());
    assert_eq!((one.more, one.left, two.more, two.left), (1.0, 13.0, 1.0, 12.0));
}

#[test]
fn a_group_half_as_strong_has_a_scale_half_as_large_and_the_same_exponent() {
    let found = check(&split(0.5), CurveModel::Power);
    let shared = found.shared.as_ref().unwrap();
    let [one, two, exponent] = shared.fit.parameters[..] else { panic!("{shared:?}") };
    assert!((two / one - 0.5).abs() < 0.05 && (exponent - 1.3).abs() < 0.1, "{:?}", shared.fit.parameters);
    assert!(found.one_or_scaled.unwrap().probability < 1e-6);
    assert!(found.scaled_or_separate.unwrap().probability > 0.05);
    assert!(found.one_or_separate.unwrap().probability < 1e-6);
}

/// A group that is exactly a multiple of another one: the shared shape is that of each alone.
#[test]
fn groups_of_one_shape_give_the_shape_of_each_alone() {
    let double: Vec<Pair> = PIECES.map(|(x, y)| Pair::new(x, 2.0 * y)).to_vec();
    for model in [CurveModel::Power, CurveModel::Exponential, CurveModel::Logistic, CurveModel::Gompertz] {
        let found = check(&[pairs(), double.clone()], model);
        let shared = found.shared.unwrap().fit.parameters;
        agrees(shared[1] / shared[0], 2.0, 1e-6);
        for (k, shape) in shared[2..].iter().enumerate() {
            agrees(*shape, found.separate[0].fit.parameters[k + 1], 1e-5);
        }
    }
    assert_eq!(check(&[pairs(), double], CurveModel::Linear).shared, None);
}

#[test]
fn one_group_is_no_comparison() {
    let error = group_curves(&[pairs()], CurveModel::Power, &plain(), &Watch::silent()).unwrap_err().to_string();
    assert_eq!(error, "number of groups is 1; allowed is at least 2");
}
