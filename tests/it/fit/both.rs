//! Errors in both variables.

#[cfg(feature = "report")]
use woodstate::numeric::{Ending, OrthogonalFit};
use woodstate::numeric::{Noise, Watch, orthogonal_fit};

use super::{X, Y, agrees, rise, risen};

fn line(x: f64, b: &[f64], slope: &mut [f64]) -> (f64, f64) {
    slope.copy_from_slice(&[1.0, x]);
    (b[0] + b[1] * x, b[1])
}

#[cfg(feature = "report")]
fn power(x: f64, b: &[f64], slope: &mut [f64]) -> (f64, f64) {
    let whole = x.powf(b[1]);
    slope.copy_from_slice(&[whole, b[0] * whole * x.ln()]);
    (b[0] * whole, b[0] * b[1] * whole / x)
}

#[cfg(feature = "report")]
fn agree(name: &str, known: &OrthogonalFit, relative: &OrthogonalFit) {
    let frozen = super::frozen();
    let case = &frozen["orthogonal"][name];
    let of = |what: &str| super::numbers(&case[what]);
    assert_eq!((known.ending, relative.ending), (Ending::Converged, Ending::Converged));
    agrees(known.squares, case["squares"].as_f64().unwrap(), 1e-13);
    for k in 0..2 {
        agrees(known.parameters[k], of("parameters")[k], 1e-13);
        agrees(known.sd(k).unwrap(), of("sd")[k], 1e-12);
        agrees(relative.sd(k).unwrap(), of("scaled_sd")[k], 1e-12);
    }
}

/// Source: data of Pearson 1901, weights of York 1966 \[memory]; 60-digit arithmetic, frozen by
/// `tests/outside/freeze_fit.py`. Published: slope −0.480533407, intercept 5.4799102 \[memory].
#[cfg(feature = "report")]
#[test]
fn a_line_through_pearsons_points_is_exact() {
    let frozen = super::frozen();
    let of = |what: &str| super::numbers(&frozen["orthogonal"]["pearson"][what]);
    let u = |what: &str| of(what).iter().map(|w| 1.0 / w.sqrt()).collect::<Vec<f64>>();
    let (u_x, u_y) = (u("weight_x"), u("weight_y"));
    let fit = |noise| orthogonal_fit(&line, (&of("x"), &of("y")), &u_x, noise, &[5.0, -0.5], &Watch::silent()).unwrap();
    let known = fit(Noise::Known(&u_y));
    agree("pearson", &known, &fit(Noise::Relative(&u_y)));
    assert!((known.parameters[1] + 0.480533407).abs() < 5e-10 && (known.parameters[0] - 5.4799102).abs() < 5e-8);
}

/// Source: 60-digit arithmetic, frozen by `tests/outside/freeze_fit.py`.
#[cfg(feature = "report")]
#[test]
fn a_power_law_is_exact() {
    let frozen = super::frozen();
    let of = |what: &str| super::numbers(&frozen["orthogonal"]["power"][what]);
    let fit =
        |noise| orthogonal_fit(&power, (&of("x"), &of("y")), &[0.2; 12], noise, &[1.0, 1.0], &Watch::silent()).unwrap();
    agree("power", &fit(Noise::Known(&[0.3; 12])), &fit(Noise::Relative(&[0.3; 12])));
}

#[test]
fn without_errors_in_x_it_is_weighted_least_squares() {
    let u: Vec<f64> = X.iter().map(|x| 0.2 + 0.1 * x).collect();
    let curve = |x: f64, b: &[f64], slope: &mut [f64]| {
        let value = rise(&[x], b, slope);
        (value, b[0] * b[1] * (-b[1] * x).exp())
    };
    for noise in [Noise::Known(&u), Noise::Relative(&u)] {
        let both = orthogonal_fit(&curve, (&X, &Y), &[0.0; 12], noise, &[90.0, 0.4], &Watch::silent()).unwrap();
        let plain = risen(&X, &Y, noise, &[90.0, 0.4]).unwrap();
        for k in 0..2 {
            agrees(both.parameters[k], plain.parameters[k], 1e-13);
            agrees(both.sd(k).unwrap(), plain.sd(k).unwrap(), 1e-12);
        }
        agrees(both.squares, plain.rss, 1e-12);
        assert!(both.shifts.iter().all(|shift| shift.abs() <= 0.0));
    }
}

/// Where the curve is level, errors in x have no effect: the answer is a weighted mean.
#[test]
fn a_level_curve_is_a_weighted_mean() {
    let level = |_: f64, b: &[f64], slope: &mut [f64]| {
        slope[0] = 1.0;
        (b[0], 0.0)
    };
    let fit = orthogonal_fit(
        &level,
        (&[1.0, 2.0], &[4.0, 7.0]),
        &[0.5, 0.5],
        Noise::Known(&[1.0, 2.0]),
        &[0.0],
        &Watch::silent(),
    )
    .unwrap();
    agrees(fit.parameters[0], (4.0 + 7.0 / 4.0) / 1.25, 1e-14);
    agrees(fit.sd(0).unwrap(), 0.8_f64.sqrt(), 1e-14);
}

#[test]
fn swapping_the_variables_of_a_line_inverts_it() {
    let (x, y) = ([0.0, 1.0, 2.0, 3.5, 5.0], [1.1, 2.9, 5.2, 7.8, 11.1]);
    let (u_x, u_y) = ([0.1, 0.2, 0.1, 0.3, 0.2], [0.3, 0.2, 0.4, 0.2, 0.3]);
    let fit = |points, u, noise| orthogonal_fit(&line, points, u, noise, &[0.0, 1.0], &Watch::silent()).unwrap();
    let there = fit((&x[..], &y[..]), &u_x, Noise::Known(&u_y));
    let back = fit((&y[..], &x[..]), &u_y, Noise::Known(&u_x));
    agrees(back.parameters[1], 1.0 / there.parameters[1], 1e-12);
    agrees(back.parameters[0], -there.parameters[0] / there.parameters[1], 1e-12);
    agrees(back.squares, there.squares, 1e-12);
}

#[test]
fn uncertainties_of_both_variables_are_asked_for() {
    let message = |u_x: &[f64], noise: Noise<'_>| {
        orthogonal_fit(&line, (&X, &Y), u_x, noise, &[0.0, 1.0], &Watch::silent()).unwrap_err().to_string()
    };
    assert_eq!(message(&[0.1; 12], Noise::FromScatter), "uncertainties of readings has 0 entries, expected 12");
    assert_eq!(message(&[0.1; 2], Noise::Known(&[1.0; 12])), "uncertainties of predictors has 2 entries, expected 12");
    assert_eq!(
        message(&[-0.1; 12], Noise::Known(&[1.0; 12])),
        "uncertainty of predictor 1 is -0.1; allowed is a finite number, 0 or above"
    );
}
