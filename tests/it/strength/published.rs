//! Curves through printed means of species.

use woodstate::strength::{CurveFit, CurveModel, Pair};

use super::{agrees, fitted, plain};

/// Specific gravity, and bending strength in kPa, of 27 green species.
///
/// Source: Forest Products Laboratory 2021, Wood Handbook, FPL-GTR-282, Table 5-3a (metric), pp. 5-5 to 5-8, green rows of
/// a subset of 27 species [copy].
const GREEN: [(f64, f64); 27] = [
    (0.55, 66000.0),
    (0.56, 65000.0),
    (0.56, 57000.0),
    (0.4, 41000.0),
    (0.45, 53000.0),
    (0.46, 53000.0),
    (0.48, 53000.0),
    (0.36, 40000.0),
    (0.35, 40000.0),
    (0.4, 44000.0),
    (0.31, 34000.0),
    (0.38, 44000.0),
    (0.42, 43000.0),
    (0.4, 41000.0),
    (0.47, 50000.0),
    (0.54, 59000.0),
    (0.47, 51000.0),
    (0.33, 32000.0),
    (0.47, 55000.0),
    (0.6, 57000.0),
    (0.45, 51000.0),
    (0.33, 38000.0),
    (0.37, 43000.0),
    (0.37, 41000.0),
    (0.42, 46000.0),
    (0.38, 38000.0),
    (0.54, 60000.0),
];

/// Specific gravity; bending strength, compression along and across the grain in kPa, of ten green pines.
///
/// Source: Forest Products Laboratory 2010, Wood Handbook, FPL-GTR-190, Table 5-3a (metric), p. 5-8, without redwood [copy].
const PINES: [(f64, [f64; 3]); 10] = [
    (0.51, [51000.0, 25200.0, 3000.0]),
    (0.38, [35000.0, 16900.0, 1900.0]),
    (0.41, [40000.0, 18800.0, 1800.0]),
    (0.46, [52000.0, 23700.0, 3100.0]),
    (0.47, [51000.0, 24300.0, 2400.0]),
    (0.54, [60000.0, 26300.0, 3700.0]),
    (0.41, [41000.0, 19600.0, 1900.0]),
    (0.34, [34000.0, 17000.0, 1400.0]),
    (0.45, [50000.0, 23600.0, 2700.0]),
    (0.36, [32000.0, 16800.0, 1300.0]),
];

/// The straight line through the logarithms.
fn check(pairs: impl Iterator<Item = (f64, f64)>) -> CurveFit {
    let pairs: Vec<Pair> = pairs.map(|(g, p)| Pair::new(g.ln(), p.ln())).collect();
    fitted(&pairs, CurveModel::Linear, &plain())
}

/// Source: log-log least squares of these rows, 109095.76 G^0.996845, R² 0.896996 [derived], digits as given.
#[test]
fn bending_strength_of_27_green_species_is_nearly_in_proportion_to_gravity() {
    let line = check(GREEN.into_iter());
    assert!((line.fit.parameters[0].exp() - 109_095.76).abs() < 0.005);
    assert!((line.fit.parameters[1] - 0.996_845).abs() < 5e-7);
    assert!((line.r_squared().unwrap() - 0.896_996).abs() < 5e-7);
}

/// Source: log-log least squares of these rows [derived], digits as given.
#[test]
fn ten_green_pines_give_the_exponents_of_their_tables() {
    for (k, a, b, r_squared) in
        [(0, 140_883.0, 1.3822, 0.9233), (1, 55661.0, 1.1555, 0.9238), (2, 14259.0, 2.2072, 0.8962)]
    {
        let line = check(PINES.iter().map(|(g, p)| (*g, p[k])));
        assert!((line.fit.parameters[0].exp() - a).abs() < 0.51, "{}", line.fit.parameters[0].exp());
        assert!((line.fit.parameters[1] - b).abs() < 5.1e-5);
        assert!((line.r_squared().unwrap() - r_squared).abs() < 5.1e-5);
    }
}

/// Least squares of the strengths themselves weigh strong woods more than least squares of logarithms do: the exponent is
/// another one, within its uncertainty.
#[test]
fn a_power_through_the_strengths_agrees_with_the_logarithms_within_its_uncertainty() {
    let power = fitted(&GREEN.map(|(g, p)| Pair::new(1000.0 * g, p / 1000.0)), CurveModel::Power, &{
        woodstate::strength::CurveOptions { reference: 1000.0, ..plain() }
    });
    let u = power.u(1).unwrap();
    assert!((power.fit.parameters[1] - 0.996_845).abs() < u && u < 0.1, "{:?} {u}", power.fit.parameters);
    let line = check(GREEN.into_iter());
    let relative = (power.fit.parameters[0] / (line.fit.parameters[0].exp() / 1000.0) - 1.0).abs();
    assert!(relative > 1e-6 && relative < power.u(0).unwrap() / power.fit.parameters[0]);
}

/// The fitted function of 27 green species, turned round: the gravity of a strength gives that strength.
#[test]
fn half_of_the_strength_needs_about_half_of_the_gravity() {
    let line = check(GREEN.into_iter());
    let at = |g: f64| line.value(g.ln()).unwrap().exp();
    // 0.5^0.996845
    agrees(at(0.25) / at(0.5), 0.5_f64.powf(0.996_845), 1e-6);
}
