//! Bootstrap.

use woodstate::numeric::{
    Bootstrap, Fit, FitOptions, Loss, Noise, Plan, Points, Resampling, Starts, Stream, Threshold, Units, Watch,
    bootstrap, bootstrap_fit, fit, mean,
};

use super::{X, Y, agrees, rise, risen};

const PLAN: Plan = Plan { replicates: 200, seed: 42, threads: 1 };

/// The only caller for the rising curve.
fn drawn(x: &[f64], y: &[f64], noise: Noise<'_>, resampling: Resampling<'_>, plan: Plan) -> (Fit, Bootstrap) {
    let fit = risen(x, y, noise, &[90.0, 0.4]).unwrap();
    let points = Points::new(x, y, noise).unwrap();
    let options = FitOptions::plain();
    let drawn = bootstrap_fit(&rise, &points, &fit, resampling, &options, plan, &Watch::silent()).unwrap();
    (fit, drawn)
}

fn bits(drawn: &Bootstrap) -> Vec<u64> {
    drawn.replicates().iter().flatten().map(|value| value.to_bits()).collect()
}

#[test]
fn any_number_of_threads_gives_the_same_bits() {
    let groups = [0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 5, 5];
    for resampling in [Resampling::Cases, Resampling::Residuals, Resampling::Groups(&groups)] {
        let one = drawn(&X, &Y, Noise::FromScatter, resampling, PLAN).1;
        for threads in [2, 7] {
            let more = drawn(&X, &Y, Noise::FromScatter, resampling, Plan { threads, ..PLAN }).1;
            assert_eq!(bits(&more), bits(&one), "{resampling:?} on {threads} threads");
        }
        let other = drawn(&X, &Y, Noise::FromScatter, resampling, Plan { seed: 43, ..PLAN }).1;
        assert_ne!(bits(&other), bits(&one));
    }
}

/// More samples leave the first ones as they are.
#[test]
fn each_sample_has_a_stream_of_its_own() {
    let few = drawn(&X, &Y, Noise::FromScatter, Resampling::Cases, PLAN).1;
    let more = drawn(&X, &Y, Noise::FromScatter, Resampling::Cases, Plan { replicates: 333, ..PLAN }).1;
    assert!(bits(&more).starts_with(&bits(&few)));
}

/// Source: the upper half of the product of 64 random bits and a count (Lemire 2019) is the whole part of the count times
/// a uniform number of these bits.
#[test]
fn places_are_even_and_follow_the_stream() {
    let mut stream = Stream::new(42, 0);
    let mut counts = [0_u32; 7];
    for _ in 0..70_000 {
        counts[stream.below(7)] += 1;
    }
    // Six standard deviations of a binomial count.
    assert!(counts.iter().all(|&count| (f64::from(count) - 10_000.0).abs() < 6.0 * 92.6), "{counts:?}");
    assert_eq!((stream.below(1), stream.below(0)), (0, 0));
    let mut a = Stream::new(7, 3);
    let mut b = Stream::new(7, 3);
    for _ in 0..100 {
        // The upper half of n·2⁻⁶⁴ is the whole part of a uniform number times n.
        let expected = (b.uniform() * 1000.0).floor();
        assert!((f64::from(u32::try_from(a.below(1000)).unwrap()) - expected).abs() < 0.5);
    }
}

/// Source: for a straight line the covariance of refits to drawn residuals is (AᵀA)⁻¹ Σ e²/n, e being what is drawn; the
/// standard error of a standard deviation of B draws is 1/√(2B).
#[test]
fn drawn_residuals_of_a_line_scatter_as_theory_says() {
    let line = |x: &[f64], b: &[f64], slope: &mut [f64]| {
        slope.copy_from_slice(&[1.0, x[0]]);
        b[0] + b[1] * x[0]
    };
    let y = [1.9, 3.3, 3.6, 5.2, 7.4, 8.5, 11.6, 13.0, 17.1, 20.8, 25.2, 30.7];
    let points = Points::new(&X, &y, Noise::FromScatter).unwrap();
    let options = FitOptions::plain();
    let fit = fit(&line, &points, &Starts::at(&[0.0, 1.0]), &options, &Watch::silent()).unwrap();
    let plan = Plan { replicates: 4000, ..PLAN };
    let drawn = bootstrap_fit(&line, &points, &fit, Resampling::Residuals, &options, plan, &Watch::silent()).unwrap();
    let centre = X.iter().sum::<f64>() / 12.0;
    let spread: f64 = X.iter().map(|x| (x - centre).powi(2)).sum();
    let leverage = |x: f64| 1.0 / 12.0 + (x - centre).powi(2) / spread;
    let adjusted: Vec<f64> = X.iter().zip(&fit.residuals).map(|(&x, r)| r / (1.0 - leverage(x)).sqrt()).collect();
    let middle = adjusted.iter().sum::<f64>() / 12.0;
    let variance = adjusted.iter().map(|e| (e - middle).powi(2)).sum::<f64>() / 12.0;
    agrees(drawn.sd(1).unwrap(), (variance / spread).sqrt(), 4.0 / 8000_f64.sqrt());
    agrees(drawn.sd(1).unwrap(), fit.sd(1).unwrap(), 0.15);
}

/// Known uncertainties weigh in refits, and residuals are drawn in their size.
#[test]
fn weights_are_kept() {
    let u: Vec<f64> = X.iter().map(|x| 0.2 + 0.1 * x).collect();
    for resampling in [Resampling::Cases, Resampling::Residuals] {
        let (fit, drawn) = drawn(&X, &Y, Noise::Relative(&u), resampling, Plan { replicates: 1000, ..PLAN });
        assert_eq!(drawn.failed(), 0);
        let centre = mean(&drawn.replicates().iter().map(|b| b[0]).collect::<Vec<_>>()).unwrap();
        assert!((centre - fit.parameters[0]).abs() < fit.sd(0).unwrap(), "{resampling:?}");
        agrees(drawn.sd(0).unwrap(), fit.sd(0).unwrap(), 0.4);
    }
}

/// Four readings of each timber that are the same reading tell no more than one of them.
#[test]
fn repeated_readings_do_not_make_a_group_bootstrap_surer() {
    let x: Vec<f64> = X.iter().flat_map(|&x| [x; 4]).collect();
    let y: Vec<f64> = Y.iter().flat_map(|&y| [y; 4]).collect();
    let groups: Vec<usize> = (0..12).flat_map(|timber| [100 - timber; 4]).collect();
    let once = drawn(&X, &Y, Noise::FromScatter, Resampling::Cases, PLAN).1;
    let grouped = drawn(&x, &y, Noise::FromScatter, Resampling::Groups(&groups), PLAN).1;
    let single = drawn(&x, &y, Noise::FromScatter, Resampling::Cases, PLAN).1;
    agrees(grouped.sd(0).unwrap(), once.sd(0).unwrap(), 1e-9);
    assert!(single.sd(0).unwrap() < 0.7 * once.sd(0).unwrap());
    let interval = |drawn: &Bootstrap| drawn.bca(0.9, |b| b[0]).unwrap();
    agrees(interval(&grouped).low, interval(&once).low, 1e-9);
    agrees(interval(&grouped).high, interval(&once).high, 1e-9);
}

/// A sample of three cases that is one case three times determines no curve of two parameters.
#[test]
fn failed_refits_are_counted() {
    let (x, y) = ([1.0, 4.0, 9.0], [38.0, 88.0, 97.0]);
    let drawn = drawn(&x, &y, Noise::FromScatter, Resampling::Cases, Plan { replicates: 900, ..PLAN }).1;
    assert_eq!((drawn.drawn(), drawn.failed() + drawn.replicates().len()), (900, 900));
    // Three of 27 samples: 100 ± 9.4 of 900; six standard deviations.
    assert!((43..=157).contains(&drawn.failed()), "{}", drawn.failed());
    assert!(drawn.replicates().iter().flatten().all(|value| value.is_finite()));
}

#[test]
fn a_robust_fit_is_drawn_again_with_its_threshold() {
    let mut y = Y;
    y[8] = 52.0;
    let points = Points::new(&X, &y, Noise::FromScatter).unwrap();
    let options = FitOptions::plain().with_loss(Loss::Huber(Threshold::FromScatter));
    let fit = fit(&rise, &points, &Starts::at(&[90.0, 0.4]), &options, &Watch::silent()).unwrap();
    let drawn = bootstrap_fit(&rise, &points, &fit, Resampling::Cases, &options, PLAN, &Watch::silent()).unwrap();
    let interval = drawn.percentile(0.95, |b| b[0]).unwrap();
    assert!(interval.low < fit.parameters[0] && fit.parameters[0] < interval.high);
    assert!(drawn.failed() < 10 && interval.width() < 15.0, "{} {interval:?}", drawn.failed());
}

fn means(replicates: usize) -> Bootstrap {
    let group = crate::nist::GROUP;
    let statistic = |rows: &[usize]| mean(&rows.iter().map(|&row| group[row]).collect::<Vec<_>>()).map(|m| vec![m]);
    let plan = Plan { replicates, seed: 1, threads: 2 };
    bootstrap(Units::Cases(15), plan, &Watch::silent(), statistic).unwrap()
}

/// Source: `scipy.stats.bootstrap((x,), np.mean, n_resamples=200000, method='BCa')` of `SciPy` 1.17.1 with three seeds:
/// 342.250 … 342.738 and 413.938 … 414.253; as many draws here, and as much room again on both sides.
#[test]
fn the_accelerated_interval_of_a_mean_agrees_with_scipy() {
    let interval = means(200_000).bca(0.95, |estimates| estimates[0]).unwrap();
    assert!((341.75..343.25).contains(&interval.low) && (413.6..414.6).contains(&interval.high), "{interval:?}");
}

/// Source: the standard deviation of the mean of drawn cases is √(Σ(x − x̄)²/n)/√n.
#[test]
fn the_spread_of_drawn_means_is_that_of_theory() {
    let group = crate::nist::GROUP;
    let centre = mean(&group).unwrap();
    let expected = (group.iter().map(|x| (x - centre).powi(2)).sum::<f64>() / 225.0).sqrt();
    agrees(means(20_000).sd(0).unwrap(), expected, 4.0 / 40_000_f64.sqrt());
}

#[test]
fn what_cannot_be_drawn_is_an_error() {
    let fit = risen(&X, &Y, Noise::FromScatter, &[90.0, 0.4]).unwrap();
    let points = Points::new(&X, &Y, Noise::FromScatter).unwrap();
    let message = |resampling, replicates| {
        let plan = Plan { replicates, ..PLAN };
        let options = FitOptions::plain();
        bootstrap_fit(&rise, &points, &fit, resampling, &options, plan, &Watch::silent()).unwrap_err().to_string()
    };
    assert_eq!(message(Resampling::Groups(&[1, 2]), 100), "groups of readings has 2 entries, expected 12");
    assert_eq!(message(Resampling::Groups(&[7; 12]), 100), "number of units to draw from is 1; allowed is at least 2");
    assert_eq!(message(Resampling::Cases, 1), "number of samples to draw is 1; allowed is at least 2");
    let residuals = drawn(&X, &Y, Noise::FromScatter, Resampling::Residuals, PLAN).1;
    assert_eq!(
        residuals.bca(0.95, |b| b[0]).unwrap_err().to_string(),
        "number of estimates with one unit left out is 0; allowed is at least 2"
    );
    assert!(residuals.percentile(1.0, |b| b[0]).is_err());
    assert_eq!(
        residuals.percentile(0.95, |_| f64::NAN).unwrap_err().to_string(),
        "quantity of drawn sample 1 is NaN; allowed is a finite number"
    );
}

#[test]
fn a_stop_ends_all_runs_of_samples() {
    use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
    let (stop, calls) = (AtomicBool::new(false), AtomicUsize::new(0));
    let statistic = |cases: &[usize]| {
        if calls.fetch_add(1, Ordering::Relaxed) == 100 {
            stop.store(true, Ordering::Relaxed);
        }
        Some(vec![f64::from(u32::try_from(cases.len()).unwrap())])
    };
    let plan = Plan { replicates: 100_000, seed: 1, threads: 2 };
    let stopped = bootstrap(Units::Cases(15), plan, &Watch::new(None, Some(&stop)), statistic).unwrap_err();
    assert_eq!(stopped.kind(), &woodstate::error::ErrorKind::Stopped);
    // A run of each thread may be under way.
    assert!(calls.load(Ordering::Relaxed) < 200, "{}", calls.load(Ordering::Relaxed));
}
