//! Curves of strength against values from outside.

use serde_json::Value;
use woodstate::numeric::{
    Fit, FitOptions, Interval, LinearFit, Matrix, Noise, Points, Starts, Watch, chi_squared_sf, f_sf, fit, linear_fit,
    student_quantile,
};

use super::{agrees, numbers};

fn frozen() -> Value {
    serde_json::from_str(include_str!("../expected/outside/strength.json")).unwrap()
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

fn real(n: usize) -> f64 {
    f64::from(u32::try_from(n).unwrap())
}

type Curve = fn(&[f64], &[f64], &mut [f64]) -> f64;

fn linear(x: &[f64], b: &[f64], slope: &mut [f64]) -> f64 {
    slope.copy_from_slice(&[1.0, x[0]]);
    b[0] + b[1] * x[0]
}

fn power(x: &[f64], b: &[f64], slope: &mut [f64]) -> f64 {
    let log = (x[0] / 100.0).ln();
    let share = (b[1] * log).exp();
    slope.copy_from_slice(&[share, b[0] * share * log]);
    b[0] * share
}

fn exponential(x: &[f64], b: &[f64], slope: &mut [f64]) -> f64 {
    let share = (b[1] * x[0]).exp();
    slope.copy_from_slice(&[share, b[0] * share * x[0]]);
    b[0] * share
}

fn logistic(x: &[f64], b: &[f64], slope: &mut [f64]) -> f64 {
    let fall = (-b[1] * (x[0] - b[2])).exp();
    let share = 1.0 / (1.0 + fall);
    let both = b[0] * share * share * fall;
    slope.copy_from_slice(&[share, both * (x[0] - b[2]), -both * b[1]]);
    b[0] * share
}

fn gompertz(x: &[f64], b: &[f64], slope: &mut [f64]) -> f64 {
    let fall = (-b[1] * (x[0] - b[2])).exp();
    let share = (-fall).exp();
    slope.copy_from_slice(&[share, b[0] * share * fall * (x[0] - b[2]), -b[0] * share * fall * b[1]]);
    b[0] * share
}

const CURVES: [(&str, Curve, &[f64]); 5] = [
    ("linear", linear, &[0.0, 0.5]),
    ("power", power, &[50.0, 1.0]),
    ("exponential", exponential, &[5.0, 0.02]),
    ("logistic", logistic, &[60.0, 0.05, 60.0]),
    ("gompertz", gompertz, &[70.0, 0.03, 50.0]),
];

/// The only caller of the fit.
fn fitted(curve: Curve, x: &[f64], y: &[f64], noise: Noise<'_>, start: &[f64], options: &FitOptions) -> Fit {
    fit(&curve, &Points::new(x, y, noise).unwrap(), &Starts::at(start), options, &Watch::silent()).unwrap()
}

fn each(mut check: impl FnMut(&str, &Value, &[f64], &[f64])) {
    let file = frozen();
    let sets = file["sets"].as_object().unwrap();
    assert_eq!(sets.len(), 2);
    for (name, set) in sets {
        check(name, set, &numbers(&set["x"]), &numbers(&set["y"]));
    }
}

/// Source: least squares in decimals of 50 digits, found by `scipy.optimize.curve_fit` of `SciPy` 1.17.1 (strength.json).
/// Parameters to 9 digits, standard deviations to 7.
#[test]
fn curves_of_strength_agree_to_nine_digits() {
    each(|set, values, x, y| {
        for (name, curve, start) in CURVES {
            let expected = &values["models"][name];
            let found = fitted(curve, x, y, Noise::FromScatter, start, &FitOptions::plain());
            assert_eq!(found.ending, woodstate::numeric::Ending::Converged, "{set} {name}");
            for (k, (b, sd)) in numbers(&expected["parameters"]).iter().zip(numbers(&expected["sd"])).enumerate() {
                agrees(found.parameters[k], *b, 1e-9);
                agrees(found.sd(k).unwrap(), sd, 1e-7);
            }
            agrees(found.rss, number(&expected["rss"]), 1e-12);
            agrees(found.s.unwrap(), number(&expected["residual_sd"]), 1e-12);
            for i in 0..found.p {
                for j in 0..found.p {
                    agrees(found.correlation(i, j).unwrap(), number(&expected["correlation"][i][j]), 1e-7);
                }
            }
        }
    });
}

/// Source: the same file: u² = gᵀ C g; confidence y ± t u, prediction y ± t √(s² + u²).
#[test]
fn bands_of_curves_follow_from_slopes_and_covariance() {
    each(|_, values, x, y| {
        for (name, curve, start) in CURVES {
            let found = fitted(curve, x, y, Noise::FromScatter, start, &FitOptions::plain());
            let (s, t) = (found.s.unwrap(), student_quantile(0.975, real(found.freedom())).unwrap());
            for band in values["models"][name]["bands"].as_array().unwrap() {
                let mut slope = vec![0.0; found.p];
                let value = curve(&[number(&band["x"])], &found.parameters, &mut slope);
                let u = found.variance_of(&slope).unwrap().sqrt();
                agrees(value, number(&band["fit"]), 1e-8);
                agrees(u, number(&band["u"]), 1e-7);
                let confidence = numbers(&band["confidence"]);
                let prediction = numbers(&band["prediction"]);
                // Ends near 0 have no relative digits: to 7 digits of the width.
                for (end, expected) in [(value - t * u, confidence[0]), (value + t * u, confidence[1])] {
                    assert!((end - expected).abs() <= 1e-7 * t * u, "{name}: {end} instead of {expected}");
                }
                let wide = t * s.hypot(u);
                for (end, expected) in [(value - wide, prediction[0]), (value + wide, prediction[1])] {
                    assert!((end - expected).abs() <= 1e-7 * wide, "{name}: {end} instead of {expected}");
                }
            }
        }
    });
}

/// Least squares with parameter `k` held at `end`, which is approached from the fit in small steps.
fn held(curve: Curve, x: &[f64], y: &[f64], best: &[f64], k: usize, end: f64) -> f64 {
    let mut start = best.to_vec();
    let mut rss = f64::NAN;
    for step in 1..=40 {
        let value = if step == 40 { end } else { best[k] + (end - best[k]) * f64::from(step) / 40.0 };
        let mut bounds = vec![Interval { low: f64::NEG_INFINITY, high: f64::INFINITY }; best.len()];
        bounds[k] = Interval { low: value, high: value };
        start[k] = value;
        let found = fitted(curve, x, y, Noise::FromScatter, &start, &FitOptions::within(bounds));
        (start, rss) = (found.parameters, found.rss);
    }
    rss
}

/// Source: the same file, ends by `scipy.optimize.brentq` over `least_squares`, 8 digits: with the parameter held there, the
/// squares are RSS (1 + t²/(n − p)). An end moved by 5e-8 of itself moves the squares by far less than 1e-5 of the rise.
#[test]
fn squares_at_the_ends_of_a_profile_are_those_of_its_limit() {
    each(|set, values, x, y| {
        for (name, curve, _) in CURVES {
            let expected = &values["models"][name];
            let best = numbers(&expected["parameters"]);
            let freedom = real(x.len() - best.len());
            let rss = number(&expected["rss"]);
            let rise = rss * student_quantile(0.975, freedom).unwrap().powi(2) / freedom;
            for (k, ends) in expected["profile"].as_array().unwrap().iter().enumerate() {
                for end in ends.as_array().unwrap().iter().filter_map(Value::as_f64) {
                    let squares = held(curve, x, y, &best, k, end);
                    let miss = (squares - rss) / rise - 1.0;
                    assert!(miss.abs() < 1e-5, "{set} {name}, parameter {k} at {end}: {miss:e}");
                }
            }
        }
    });
}

/// Source: `scipy.optimize.curve_fit(sigma=u, absolute_sigma=True)`, decimals, `scipy.stats.chi2.sf` (strength.json).
#[test]
fn known_uncertainties_are_not_scaled() {
    each(|_, values, x, y| {
        let expected = &values["known"];
        let u = numbers(&expected["u"]);
        let found = fitted(power, x, y, Noise::Known(&u), &[50.0, 1.0], &FitOptions::plain());
        for (k, (b, sd)) in numbers(&expected["parameters"]).iter().zip(numbers(&expected["sd"])).enumerate() {
            agrees(found.parameters[k], *b, 1e-9);
            agrees(found.sd(k).unwrap(), sd, 1e-7);
        }
        agrees(found.rss, number(&expected["chi_squared"]), 1e-12);
        agrees(found.chi_squared_probability.unwrap(), number(&expected["probability"]), 1e-9);
    });
}

fn line(x: &[f64], y: &[f64]) -> LinearFit {
    let design = x.iter().flat_map(|x| [1.0, *x]).collect();
    linear_fit(&Matrix::new(x.len(), 2, design).unwrap(), y, Noise::FromScatter).unwrap()
}

/// Source: `statsmodels.api.OLS` of statsmodels 0.15.0 (strength.json).
#[test]
fn straight_line_agrees_with_ordinary_least_squares() {
    each(|_, values, x, y| {
        let expected = &values["line"];
        let found = line(x, y);
        for (k, (b, sd)) in numbers(&expected["parameters"]).iter().zip(numbers(&expected["sd"])).enumerate() {
            agrees(found.parameters[k], *b, 1e-11);
            agrees(found.sd(k).unwrap(), sd, 1e-11);
        }
    });
}

/// Source: Breusch-Pagan after Koenker, `statsmodels.stats.diagnostic.het_breuschpagan(robust=True)` of statsmodels 0.15.0:
/// n R² of the squared residuals on the fitted values (strength.json).
#[test]
fn breusch_pagan_follows_from_a_second_line() {
    each(|set, values, x, y| {
        let first = line(x, y);
        let fitted: Vec<f64> = y.iter().zip(&first.residuals).map(|(y, e)| y - e).collect();
        let squares: Vec<f64> = first.residuals.iter().map(|e| e * e).collect();
        let second = line(&fitted, &squares);
        let n = real(x.len());
        let centre = squares.iter().sum::<f64>() / n;
        let total: f64 = squares.iter().map(|e| (e - centre).powi(2)).sum();
        let statistic = n * (1.0 - second.rss / total);
        let expected = &values["models"]["linear"]["scatter"]["breusch_pagan"];
        // n R² loses the digits that R² near 0 has not.
        assert!((statistic - number(&expected["statistic"])).abs() < 1e-10 * n, "{set}: {statistic}");
        agrees(chi_squared_sf(statistic, 1.0).unwrap(), number(&expected["probability"]), 1e-8);
    });
}

/// Source: extra sum of squares, `scipy.stats.f.sf` of `SciPy` 1.17.1 and `compare_f_test` of statsmodels 0.15.0 (strength.json).
#[test]
fn extra_sum_of_squares_has_the_probability_of_f() {
    each(|_, values, x, y| {
        let groups = &values["groups"];
        let woods: Vec<&str> = values["wood"].as_array().unwrap().iter().map(|wood| wood.as_str().unwrap()).collect();
        let of = |wood: Option<&str>| {
            let rows: Vec<usize> = (0..x.len()).filter(|&k| wood.is_none_or(|wood| woods[k] == wood)).collect();
            let pick = |all: &[f64]| rows.iter().map(|&k| all[k]).collect::<Vec<f64>>();
            fitted(power, &pick(x), &pick(y), Noise::FromScatter, &[50.0, 1.0], &FitOptions::plain())
        };
        let one = of(None);
        let apart: Vec<Fit> = ["oak", "pine"].map(|wood| of(Some(wood))).into();
        for (wood, fit) in ["oak", "pine"].iter().zip(&apart) {
            for (k, b) in numbers(&groups["apart"]["groups"][wood]["parameters"]).iter().enumerate() {
                agrees(fit.parameters[k], *b, 1e-9);
            }
        }
        let rss: f64 = apart.iter().map(|fit| fit.rss).sum();
        let free: usize = apart.iter().map(Fit::freedom).sum();
        let extra = real(one.freedom() - free);
        let statistic = (one.rss - rss) / extra / (rss / real(free));
        let expected = &groups["one_or_apart"];
        agrees(statistic, number(&expected["f"]), 1e-11);
        assert_eq!(expected["df"].as_array().unwrap(), &[Value::from(one.freedom() - free), Value::from(free)]);
        for test in ["one_or_apart", "one_or_shared", "shared_or_apart", "line_one_or_apart"] {
            let expected = &groups[test];
            let df = numbers(&expected["df"]);
            let probability = f_sf(number(&expected["f"]), df[0], df[1]).unwrap();
            agrees(probability, number(&expected["probability"]), 1e-10);
        }
    });
}
