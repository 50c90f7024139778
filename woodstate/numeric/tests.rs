//! Private parts against the outside, and laws that hold for every input.

#![allow(clippy::unwrap_used, reason = "OK because a failed unwrap is a failed test")]

use proptest::prelude::{ProptestConfig, prop_assert, prop_assert_eq, proptest};

use super::{
    Matrix, Sample, Spread, Stream, chi_squared_quantile, chi_squared_sf, elementary, f_cdf, f_quantile, f_sf, joint,
    normal_cdf, normal_interval_probability, normal_quantile, normal_sf, one_minus_erfcx, propagate, quantile,
    repeated_erfc, root_between, stream, student_cdf, student_quantile, student_sf,
};

/// Relative agreement.
#[track_caller]
fn agrees(actual: f64, expected: f64, relative: f64) {
    let miss = ((actual - expected) / expected).abs();
    assert!(miss <= relative, "{actual:e} instead of {expected:e}: relative difference {miss:e}");
}

/// Source: `SciPy` 1.17.1, the call above each line.
#[test]
fn normal_agrees_with_scipy_into_the_tails() {
    // scipy.stats.norm.cdf(-8.0)
    agrees(normal_cdf(-8.0), 6.22096057427174e-16, 1e-13);
    // scipy.stats.norm.sf(8.0)
    agrees(normal_sf(8.0), 6.22096057427174e-16, 1e-13);
    // scipy.stats.norm.cdf(-37.0)
    agrees(normal_cdf(-37.0), 5.7255712225239266e-300, 1e-12);
    // scipy.stats.norm.cdf(1.5)
    agrees(normal_cdf(1.5), 0.9331927987311419, 1e-15);
    // The density at 0 is 1/√(2π), so just beside 0 the share is ½ + z/√(2π), and exactly ½ at 0.
    agrees((normal_cdf(1e-8) - 0.5) * 1e8, 0.3989422804014327, 1e-7);
    assert_eq!(
        [normal_cdf(0.0), normal_sf(f64::INFINITY), normal_cdf(1e-300)].map(f64::to_bits),
        [0.5_f64, 0.0, 0.5].map(f64::to_bits)
    );
    assert!(normal_cdf(f64::NAN).is_nan());
    // scipy.stats.norm.ppf(p)
    for (p, z) in [
        (1e-300, -37.0470962993612),
        (1e-12, -7.034483825301131),
        (0.07, -1.4757910281791706),
        (0.3, -0.5244005127080409),
        (0.975, 1.959963984540054),
    ] {
        agrees(normal_quantile(p).unwrap(), z, 1e-15);
    }
    // scipy.stats.norm.sf(9.0) - scipy.stats.norm.sf(10.0)
    agrees(normal_interval_probability(9.0, 10.0, 0.0, 1.0).unwrap(), 1.1285122074235907e-19, 1e-12);
    agrees(normal_interval_probability(-10.0, -9.0, 0.0, 1.0).unwrap(), 1.1285122074235907e-19, 1e-12);
}

/// Source: `SciPy` 1.17.1, the call above each line.
#[test]
fn student_agrees_with_scipy_into_the_tails() {
    // scipy.stats.t.sf(3.0, 2.5)
    agrees(student_sf(3.0, 2.5).unwrap(), 0.036288047774515914, 1e-13);
    // scipy.stats.t.cdf(-40.0, 5.0)
    agrees(student_cdf(-40.0, 5.0).unwrap(), 9.205981085886477e-8, 1e-13);
    // The same beside 0 for ν = 1: ½ + t/π.
    agrees((student_cdf(1e-8, 1.0).unwrap() - 0.5) * 1e8, std::f64::consts::FRAC_1_PI, 1e-7);
    // scipy.stats.t.cdf(0.2, 7.0)
    agrees(student_cdf(0.2, 7.0).unwrap(), 0.5764166242551011, 1e-14);
    // scipy.stats.t.sf(2.0, 1e5); 50 digits of mpmath 1.4.1 end in ...753232
    agrees(student_sf(2.0, 1e5).unwrap(), 0.022751481728753256, 1e-9);
    // scipy.stats.t.sf(7.0, 1e4)
    agrees(student_sf(7.0, 1e4).unwrap(), 1.3620157803399156e-12, 1e-10);
    // scipy.stats.t.ppf(p, nu)
    for (p, nu, t) in [
        (1e-12, 3.7, -2162.0035509402815),
        (1e-12, 30.0, -11.397217523311413),
        (0.500001, 5.0, 2.6343055242885355e-6),
        (0.995, 16.0, 2.9207816224251),
        (0.975, 1.0, 12.706204736174694),
        (0.975, 1e5, 1.9599877075346095),
    ] {
        agrees(student_quantile(p, nu).unwrap(), t, 1e-10);
    }
}

/// Source: `SciPy` 1.17.1, the call above each line.
#[test]
fn f_and_chi_squared_agree_with_scipy_into_the_tails() {
    // scipy.stats.f.sf(60.0, 3, 25)
    agrees(f_sf(60.0, 3.0, 25.0).unwrap(), 1.461859309017411e-11, 1e-12);
    // scipy.stats.f.cdf(1e-3, 4, 7)
    agrees(f_cdf(1e-3, 4.0, 7.0).unwrap(), 2.5660483121319533e-6, 1e-12);
    // scipy.stats.f.sf(1.05, 10000, 20000)
    agrees(f_sf(1.05, 1e4, 2e4).unwrap(), 0.002354406178109369, 1e-9);
    // scipy.stats.f.sf(1.001, 1e5, 1e5)
    agrees(f_sf(1.001, 1e5, 1e5).unwrap(), 0.4372148143539635, 1e-9);
    // scipy.stats.f.ppf(p, d1, d2)
    for (p, d1, d2, x) in [
        (0.95, 9.0, 40.0, 2.1240292640166953),
        (1e-12, 4.0, 7.0, 6.236099718700424e-7),
        (0.999, 2.0, 3.0, 148.49999999999986),
        (0.5, 1000.0, 2000.0, 0.9996666214467883),
    ] {
        agrees(f_quantile(p, d1, d2).unwrap(), x, 1e-12);
    }
    // scipy.stats.chi2.sf(80.0, 10)
    agrees(chi_squared_sf(80.0, 10.0).unwrap(), 5.020464318829132e-13, 1e-12);
    // scipy.stats.chi2.sf(0.5, 3)
    agrees(chi_squared_sf(0.5, 3.0).unwrap(), 0.9188914116546758, 1e-13);
    // scipy.stats.chi2.sf(1010.0, 1000)
    agrees(chi_squared_sf(1010.0, 1000.0).unwrap(), 0.40603315094773595, 1e-11);
    // scipy.stats.chi2.ppf(p, nu)
    for (p, nu, x) in [
        (0.95, 10.0, 18.307038053275146),
        (1e-12, 3.0, 2.417987942718036e-8),
        (1e-12, 0.5, 1.3499395786223522e-48),
        (0.999999, 1.0, 23.92812697687947),
    ] {
        agrees(chi_squared_quantile(p, nu).unwrap(), x, 1e-11);
    }
}

/// Source: the platform's own functions, right to one unit in the last place on the systems tested.
#[test]
fn elementary_functions_agree_with_the_platform() {
    for n in 1..2000 {
        let x = 1e-9 * 1.02_f64.powi(n);
        assert!((elementary::ln(x) - x.ln()).abs() <= 4e-16 * x.ln().abs().max(0.05), "ln {x}");
        let small = 1e-9 * 1.0135_f64.powi(n);
        agrees(elementary::exp_m1(small), small.exp_m1(), 8e-16);
    }
}

/// Source: draft-strombergson-chacha-test-vectors-00, TC1, 256-bit key, 8 rounds: 3e00ef2f895f40d6 7f5bb8e81f09a5a1.
#[test]
fn stream_is_chacha8() {
    let mut stream = Stream::new(0, 0);
    for bytes in [[0x3e, 0x00, 0xef, 0x2f, 0x89, 0x5f, 0x40, 0xd6], [0x7f, 0x5b, 0xb8, 0xe8, 0x1f, 0x09, 0xa5, 0xa1]] {
        let upper = u64::from_le_bytes(bytes) >> 12;
        let back = (stream.uniform() - f64::EPSILON / 2.0) * 2_f64.powi(52);
        assert_eq!(format!("{back:.0}"), upper.to_string());
    }
}

/// Source: RFC 9923, test vectors of FNV-1a with 64 bits \[memory].
#[test]
fn key_is_fnv_1a() {
    assert_eq!(stream::fnv(b"".iter().copied()), 0xcbf2_9ce4_8422_2325);
    assert_eq!(stream::fnv(b"a".iter().copied()), 0xaf63_dc4c_8601_ec8c);
    assert_eq!(stream::fnv(b"foobar".iter().copied()), 0x8594_4171_f739_67e8);
}

/// Source: the definition of each distribution; 10⁵ draws, so within five standard errors of the mean and
/// 3 % of the standard deviation (heavier tails for Student with ν = 5: 6 %).
#[test]
fn draws_have_the_mean_and_sd_of_their_spread() {
    let spreads = [
        Spread::normal(3.0, 0.5),
        Spread::rectangular(-1.0, 2.0),
        Spread::triangular(0.0, 4.0),
        Spread::trapezoidal(0.0, 4.0, 0.4),
        Spread::curvilinear_trapezoid(-1.0, 1.0, 0.5),
        Spread::arcsine(2.0, 6.0),
        Spread::student(1.0, 0.3, 5.0),
        Spread::student(1.0, 0.3, 1e9),
    ];
    for (key, spread) in (0..).zip(spreads) {
        let spread = spread.unwrap();
        let [sample] = joint(100_000, &mut Stream::new(7, key), |stream| [spread.draw(stream)]).unwrap();
        assert!((sample.mean() - spread.mean()).abs() < 5.0 * spread.sd() / 1e5_f64.sqrt(), "{spread:?}");
        agrees(sample.sd(), spread.sd(), if key == 6 { 0.06 } else { 0.03 });
    }
}

/// Source: the closed form, F(x) = ½ + arctan(x)/π for ν = 1; four standard errors of a share of 10⁵.
#[test]
fn student_draws_of_one_degree_are_cauchy() {
    let spread = Spread::student(0.0, 1.0, 1.0).unwrap();
    let [sample] = joint(100_000, &mut Stream::new(1, 0), |stream| [spread.draw(stream)]).unwrap();
    assert!((sample.share_between(-1.0, 1.0) - 0.5).abs() < 4.0 * 0.5 / 1e5_f64.sqrt());
    assert!((sample.share_between(10.0, f64::INFINITY) - 0.0317).abs() < 4.0 * 0.175 / 1e5_f64.sqrt());
}

#[test]
fn contradictory_correlations_are_refused_and_full_ones_taken() {
    let r = Matrix::new(3, 3, vec![1.0, 0.9, -0.9, 0.9, 1.0, 0.9, -0.9, 0.9, 1.0]).unwrap();
    let covariance = Matrix::of_correlated(&[1.0, 2.0, 3.0], &r).unwrap();
    let text = covariance.cholesky().unwrap_err().to_string();
    assert!(text.contains("input 3") && text.contains("contradict"), "{text}");
    let full = Matrix::new(2, 2, vec![4.0, 0.002, 0.002, 1e-6]).unwrap();
    agrees(full.cholesky().unwrap()[(1, 0)], 1e-3, 1e-12);
    let none = Matrix::new(2, 2, vec![0.0, 0.5, 0.5, 1.0]).unwrap();
    assert!(none.cholesky().is_err());
}

#[test]
fn bad_arguments_are_named() {
    let text = |error: crate::error::Error| error.to_string();
    assert!(text(student_quantile(1.0, 5.0).unwrap_err()).contains("probability is 1"));
    assert!(text(Spread::rectangular(2.0, 1.0).unwrap_err()).contains("at most the upper limit, 1"));
    assert!(text(Sample::new(vec![1.0]).unwrap_err()).contains("number of draws is 1"));
    assert!(text(Sample::new(vec![1.0, f64::NAN]).unwrap_err()).contains("result of a random draw is NaN"));
    assert!(text(Matrix::new(2, 2, vec![0.0; 3]).unwrap_err()).contains("has 3 entries, expected 4"));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn class_probabilities_sum_to_one(mean in -500.0..900.0, sd in 0.01..300.0, cut in 0.0..400.0, wide in 0.0..400.0) {
        let ends = [f64::NEG_INFINITY, cut, cut + wide, f64::INFINITY];
        let total: f64 = ends.windows(2).map(|e| normal_interval_probability(e[0], e[1], mean, sd).unwrap()).sum();
        prop_assert!((total - 1.0).abs() < 1e-14);
    }

    #[test]
    fn shares_of_classes_sum_to_one(values in proptest::collection::vec(-9.0..9.0, 2..200), cut in -9.0..9.0) {
        let sample = Sample::new(values).unwrap();
        let total = sample.share_between(f64::NEG_INFINITY, cut) + sample.share_between(cut, f64::INFINITY);
        prop_assert!((total - 1.0).abs() < 1e-15);
    }

    #[test]
    fn quantile_rises_and_stays_inside(mut values in proptest::collection::vec(-9.0..9.0, 1..50), p in 0.0..1.0, q in 0.0..1.0) {
        values.sort_by(f64::total_cmp);
        let (low, high) = (quantile(&values, f64::min(p, q)).unwrap(), quantile(&values, f64::max(p, q)).unwrap());
        prop_assert!(values[0] <= low && low <= high && high <= values[values.len() - 1]);
    }

    #[test]
    fn shortest_interval_is_no_longer_than_the_symmetric(values in proptest::collection::vec(-9.0..9.0, 100..300)) {
        let sample = Sample::new(values).unwrap();
        let short = sample.shortest(0.9).unwrap();
        let held = sample.values().iter().filter(|v| (short.low..=short.high).contains(v)).count();
        prop_assert!(held >= sample.values().len() * 9 / 10);
        prop_assert!(sample.symmetric(0.9).unwrap().width() >= 0.9 * short.width());
    }

    #[test]
    fn quantiles_undo_their_distributions(p in 0.001..0.999, d1 in 0.5..60.0, d2 in 0.5..60.0) {
        prop_assert!((student_cdf(student_quantile(p, d1).unwrap(), d1).unwrap() - p).abs() < 1e-12);
        prop_assert!((f_cdf(f_quantile(p, d1, d2).unwrap(), d1, d2).unwrap() - p).abs() < 1e-11);
        prop_assert!((1.0 - chi_squared_sf(chi_squared_quantile(p, d1).unwrap(), d1).unwrap() - p).abs() < 1e-11);
        prop_assert!((normal_cdf(normal_quantile(p).unwrap()) - p).abs() < 1e-14);
    }

    #[test]
    fn propagated_covariance_is_symmetric_and_positive(a in proptest::collection::vec(-3.0..3.0, 9), j in proptest::collection::vec(-3.0..3.0, 6)) {
        // A Aᵀ is a covariance whatever A is.
        let root = Matrix::new(3, 3, a).unwrap();
        let covariance = propagate(&root, &Matrix::of_independent(&[1.0; 3]).unwrap()).unwrap();
        let result = propagate(&Matrix::new(2, 3, j).unwrap(), &covariance).unwrap();
        prop_assert_eq!(result[(0, 1)].to_bits(), result[(1, 0)].to_bits());
        prop_assert!(result[(0, 0)] >= 0.0 && result[(1, 1)] >= 0.0);
        prop_assert!(result.correlation(0, 1).is_none_or(|r| r.abs() <= 1.0 + 1e-12));
        let lower = covariance.cholesky().unwrap();
        let back = propagate(&lower, &Matrix::of_independent(&[1.0; 3]).unwrap()).unwrap();
        for (b, c) in back.values().iter().zip(covariance.values()) {
            prop_assert!((b - c).abs() < 1e-6 * (1.0 + c.abs()));
        }
    }

    #[test]
    fn a_stream_does_not_depend_on_the_order_of_rows(seed: u64, a in "[a-z]{1,8}", b in "[a-z]{1,8}") {
        let draw = |name: &str| Stream::keyed(seed, &[name, "mass"]).normal().to_bits();
        let (first, second) = (draw(&a), draw(&b));
        let (second_again, first_again) = (draw(&b), draw(&a));
        prop_assert_eq!((first, second), (first_again, second_again));
        prop_assert_eq!(a == b, first == second);
    }
}

/// Source: `SciPy` 1.17.1, `1 - scipy.special.erfcx(x)`; at 1e-8, where that loses its digits, 2x/√π − x² + 4x³/(3√π).
#[test]
fn one_minus_erfcx_keeps_its_digits_near_zero_and_far_out() {
    let expected = [
        (-5.0, -144009798673.66104),
        (-0.4, -0.6762339566888591),
        (1e-8, 1.1283791570955126e-08),
        (0.3, 0.26540066543234464),
        (0.7, 0.47406966265055905),
        (6.9, 0.9190663766902558),
        (7.1, 0.9213024846583733),
        (50.0, 0.9887184637346762),
    ];
    for (x, value) in expected {
        agrees(one_minus_erfcx(x), value, 1e-14);
    }
}

/// Source: `scipy.integrate.quad(lambda t: (t - 0.5)**(n - 1)/factorial(n - 1)*erfc(t), 0.5, 12)`, `SciPy` 1.17.1.
#[test]
fn repeated_integrals_of_erfc_are_those_of_quadrature() {
    let [_, once, twice, thrice] = repeated_erfc::<4>(0.5);
    agrees(once, 0.1996412283742456, 1e-13);
    agrees(twice, 0.06996472345317696, 1e-13);
    agrees(thrice, 0.021612750820178116, 1e-13);
}

#[test]
fn a_root_needs_two_signs() {
    let said = root_between(|x| x * x + 1.0, -1.0, 2.0).unwrap_err().to_string();
    assert_eq!(said, "value at the upper end is 5; allowed is a value of the other sign than at the lower end, 2");
    assert!(root_between(|_| f64::NAN, 0.0, 1.0).is_err());
    // A root at an end, a jump, and a root of high order.
    agrees(root_between(|x| x - 1.0, 1.0, 3.0).unwrap(), 1.0, 1e-15);
    agrees(root_between(|x| if x < 0.3 { -1.0 } else { 1.0 }, 0.0, 1.0).unwrap(), 0.3, 1e-15);
    agrees(root_between(|x| (x - 0.7).powi(9), 0.0, 1.0).unwrap(), 0.7, 1e-3);
}

proptest! {
    #[test]
    fn a_root_is_found_to_its_last_digits(root in 0.01..100.0_f64, power in 0.2..5.0_f64) {
        let found = root_between(|x| x.powf(power) - root.powf(power), 1e-6, 1e4).unwrap();
        prop_assert!((found / root - 1.0).abs() < 1e-14);
    }
}
