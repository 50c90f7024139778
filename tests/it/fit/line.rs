//! Linear least squares.

use woodstate::numeric::{FitOptions, LinearFit, Matrix, Noise, Points, Starts, Watch, fit, linear_fit};

use super::agrees;

/// The only caller.
fn polynomial(degree: usize, x: &[f64], y: &[f64], noise: Noise<'_>) -> LinearFit {
    let powers = |x: &f64| (0..=degree).map(|k| x.powi(i32::try_from(k).unwrap())).collect::<Vec<_>>();
    let design = Matrix::new(x.len(), degree + 1, x.iter().flat_map(powers).collect()).unwrap();
    linear_fit(&design, y, noise).unwrap()
}

/// Source: normal equations in exact fractions, frozen by `tests/outside/freeze_fit.py`. The columns of length 1 have a
/// condition number of 1.5·10⁹: without residuals of twice the digits 8 of 16 would be right, as in the deviations.
#[cfg(feature = "report")]
#[test]
fn a_polynomial_of_degree_ten_is_right_to_thirteen_digits() {
    let frozen = super::frozen();
    let of = |name: &str| super::numbers(&frozen["polynomial"][name]);
    let result = polynomial(10, &of("x"), &of("y"), Noise::FromScatter);
    for (k, (value, sd)) in of("parameters").into_iter().zip(of("sd")).enumerate() {
        agrees(result.parameters[k], value, 1e-13);
        agrees(result.sd(k).unwrap(), sd, 1e-7);
    }
    agrees(result.rss, frozen["polynomial"]["rss"].as_f64().unwrap(), 1e-12);
}

/// Source: JCGM 100:2008, H.3 (calibration of a thermometer), data \[read], recomputed: y1 −0.171204 with 0.0028776,
/// y2 0.0021827 with 0.00066794, correlation −0.930430, s 0.00349756.
#[test]
fn the_thermometer_of_the_guide_comes_out() {
    let t = [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511];
    let b = [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160];
    let result = polynomial(1, &t.map(|t| t - 20.0), &b, Noise::FromScatter);
    agrees(result.parameters[0], -0.171204, 5e-6);
    agrees(result.parameters[1], 0.0021827, 5e-5);
    agrees(result.sd(0).unwrap(), 0.0028776, 5e-5);
    agrees(result.sd(1).unwrap(), 0.00066794, 5e-5);
    agrees(result.covariance.as_ref().unwrap().correlation(0, 1).unwrap(), -0.930430, 1e-6);
    agrees(result.s.unwrap(), 0.00349756, 5e-6);
}

#[test]
fn the_curve_fit_of_a_line_is_the_linear_fit() {
    let x = [1.0, 2.0, 3.0, 4.0, 6.0];
    let y = [2.3, 3.9, 6.2, 8.1, 11.8];
    let u = [0.1, 0.2, 0.1, 0.3, 0.2];
    let line = |x: &[f64], b: &[f64], slope: &mut [f64]| {
        slope.copy_from_slice(&[1.0, x[0]]);
        b[0] + b[1] * x[0]
    };
    for noise in [Noise::FromScatter, Noise::Relative(&u), Noise::Known(&u)] {
        let straight = polynomial(1, &x, &y, noise);
        let points = Points::new(&x, &y, noise).unwrap();
        let curve = fit(&line, &points, &Starts::at(&[0.0, 0.0]), &FitOptions::plain(), &Watch::silent()).unwrap();
        for k in 0..2 {
            agrees(curve.parameters[k], straight.parameters[k], 1e-12);
            agrees(curve.sd(k).unwrap(), straight.sd(k).unwrap(), 1e-12);
        }
        agrees(curve.rss, straight.rss, 1e-12);
        agrees(curve.condition, straight.condition, 1e-10);
    }
}

/// More than one block of rows.
#[test]
fn many_rows_give_what_few_rows_with_weights_give() {
    let x: Vec<f64> = (0..500).map(|i| f64::from(i % 5)).collect();
    let y: Vec<f64> = x.iter().map(|x| 1.0 + x * x).collect();
    let many = polynomial(1, &x, &y, Noise::FromScatter);
    let few = polynomial(1, &x[..5], &y[..5], Noise::Relative(&[0.1; 5]));
    agrees(many.parameters[1], few.parameters[1], 1e-13);
    agrees(many.rss, few.rss, 1e-12);
}

#[test]
fn a_column_that_others_make_up_is_named() {
    let design = Matrix::new(3, 2, vec![1.0, 2.0, 2.0, 4.0, 3.0, 6.0]).unwrap();
    let message = linear_fit(&design, &[1.0, 2.0, 2.0], Noise::FromScatter).unwrap_err().to_string();
    assert_eq!(message, "number of independent columns of a design is 1; allowed is 2; column 2 follows from others");
    let design = Matrix::new(2, 1, vec![0.0, 0.0]).unwrap();
    let message = linear_fit(&design, &[1.0, 2.0], Noise::FromScatter).unwrap_err().to_string();
    assert_eq!(message, "length of design column 1 is 0; allowed is a finite number above 0");
}
