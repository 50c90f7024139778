//! Bands and intervals.

use woodstate::numeric::{Interval, Watch};
use woodstate::strength::{CurveFit, CurveModel, CurveOptions, Errors, Pair, Weighting, monotone};

use super::{PIECES, agrees, by_timber, fitted, of_timbers, pairs, plain};

fn drawn(pairs: &[Pair], options: &CurveOptions) -> (CurveFit, Vec<Interval>) {
    let curve = fitted(pairs, CurveModel::Power, options);
    let drawn = curve.redraw(options, &Watch::silent()).unwrap().unwrap();
    let intervals = (0..2).map(|k| drawn.interval(k).unwrap()).collect();
    (curve, intervals)
}

#[test]
fn bands_hold_the_curve_and_each_the_narrower_one() {
    for model in CurveModel::ALL {
        for here in fitted(&pairs(), model, &plain()).band(41).unwrap() {
            let (narrow, wide, piece) =
                (here.confidence.unwrap(), here.simultaneous.unwrap(), here.prediction.unwrap());
            assert!(narrow.low <= here.value && here.value <= narrow.high, "{model:?}");
            assert!(wide.low <= narrow.low && narrow.high <= wide.high, "{model:?}");
            assert!(piece.low < narrow.low && narrow.high < piece.high, "{model:?}");
            assert!(!here.is_extrapolated);
        }
    }
}

/// Source: textbook formulas of a line, t.975(14) = 2.144787 and F.95(2, 14) = 3.738892 as printed in tables [memory].
#[test]
fn bands_of_a_line_are_those_of_the_textbook() {
    let line = fitted(&pairs(), CurveModel::Linear, &plain());
    let centre = PIECES.iter().map(|(x, _)| x).sum::<f64>() / 16.0;
    let squares: f64 = PIECES.iter().map(|(x, _)| (x - centre).powi(2)).sum();
    let s = line.fit.s.unwrap();
    for x in [24.0, 60.0, 98.0] {
        let here = line.predict(x).unwrap();
        let h = 1.0 / 16.0 + (x - centre).powi(2) / squares;
        agrees(here.u.unwrap(), s * h.sqrt(), 1e-10);
        agrees(here.confidence.unwrap().high - here.value, 2.144_787 * s * h.sqrt(), 3e-7);
        agrees(here.prediction.unwrap().high - here.value, 2.144_787 * s * (1.0 + h).sqrt(), 3e-7);
        agrees(here.simultaneous.unwrap().high - here.value, (2.0 * 3.738_892_f64 * h).sqrt() * s, 3e-7);
    }
    assert!(line.predict(20.0).unwrap().is_extrapolated && line.predict(99.0).unwrap().is_extrapolated);
}

/// Source: for a linear model the profile is a parabola, so both intervals are the same.
#[test]
fn the_profile_of_a_line_is_symmetric() {
    let line = fitted(&pairs(), CurveModel::Linear, &plain());
    let profile = line.profile(&Watch::silent()).unwrap().unwrap();
    for (k, ends) in profile.iter().enumerate() {
        let (half, b) = (2.144_787 * line.u(k).unwrap(), line.fit.parameters[k]);
        let ends = ends.unwrap();
        agrees(ends.high.unwrap() - b, half, 1e-6);
        agrees(b - ends.low.unwrap(), half, 1e-6);
    }
}

#[test]
fn the_profile_of_a_plateau_that_is_not_seen_is_open() {
    // A straight rise: the plateau of a logistic may lie anywhere above.
    let straight = PIECES.map(|(x, y)| Pair::new(x, 0.25 * x + (y - 26.0 * (x / 100.0).powf(1.3))));
    let curve = fitted(&straight[..10], CurveModel::Logistic, &plain());
    let Some(profile) = curve.profile(&Watch::silent()).unwrap() else {
        panic!("no profile: {:?}", curve.fit.doubts);
    };
    let plateau = profile[0].unwrap();
    assert!(plateau.low.is_some() && plateau.high.is_none(), "{plateau:?}");
}

#[test]
fn the_same_seed_gives_the_same_numbers_on_one_and_two_threads() {
    for errors in [Errors::Independent, Errors::ByTimber] {
        let options = CurveOptions { errors, replicates: 300, seed: 7, ..plain() };
        let of = |threads, seed| drawn(&of_timbers(), &CurveOptions { threads, seed, ..options.clone() }).1;
        assert_eq!(of(1, 7), of(2, 7));
        assert_ne!(of(1, 7), of(1, 8));
        let curve = monotone(&of_timbers()).unwrap();
        let band = |threads| curve.band(9, &CurveOptions { threads, ..options.clone() }, &Watch::silent()).unwrap();
        assert_eq!(band(1), band(2));
    }
}

#[test]
fn drawn_intervals_hold_the_parameter_and_are_about_as_wide_as_the_others() {
    let (curve, intervals) = drawn(&pairs(), &CurveOptions { replicates: 1000, ..plain() });
    for (k, interval) in intervals.iter().enumerate() {
        let (b, u) = (curve.fit.parameters[k], curve.u(k).unwrap());
        assert!(interval.low < b && b < interval.high);
        assert!((interval.width() / (4.0 * u) - 1.0).abs() < 0.4, "{interval:?} {u}");
    }
}

/// Source: by hand. With every piece a timber of its own, CR1 is n/(n − 1)·(n − 1)/(n − p) times the sandwich of White; for
/// the mean of a constant scatter it comes near the usual variance. With each piece twice in one timber, nothing is added:
/// the uncertainty by timber is that of the pieces once, up to the factor.
#[test]
fn a_piece_twice_in_one_timber_adds_nothing() {
    let once: Vec<Pair> =
        PIECES.iter().enumerate().map(|(place, (x, y))| Pair::new(*x, *y).of_timber(&format!("{place}"))).collect();
    let twice: Vec<Pair> = once.iter().chain(&once).cloned().collect();
    let (one, two) = (fitted(&once, CurveModel::Power, &by_timber()), fitted(&twice, CurveModel::Power, &by_timber()));
    let factor = (16.0 / 15.0 * 15.0 / 14.0_f64, 16.0 / 15.0 * 31.0 / 30.0);
    for k in 0..2 {
        agrees(two.u(k).unwrap().powi(2) / factor.1, one.u(k).unwrap().powi(2) / factor.0, 1e-9);
        let independent = fitted(&twice, CurveModel::Power, &plain()).u(k).unwrap();
        assert!(independent < 0.8 * two.u(k).unwrap());
    }
    assert_eq!((one.freedom, two.freedom, two.n_timbers()), (15.0, 15.0, Some(16)));
}

#[test]
fn known_uncertainties_give_no_interval_of_a_new_piece() {
    let known: Vec<Pair> = pairs().into_iter().map(|pair| Pair { u: Some(0.5), ..pair }).collect();
    let options = CurveOptions { weighting: Weighting::Known, ..plain() };
    let curve = fitted(&known, CurveModel::Linear, &options);
    let here = curve.predict(50.0).unwrap();
    assert!(here.confidence.is_some() && here.prediction.is_none() && curve.freedom.is_infinite());
    let relative = fitted(&known, CurveModel::Linear, &CurveOptions { weighting: Weighting::Relative, ..plain() });
    let alike = fitted(&pairs(), CurveModel::Linear, &plain());
    agrees(relative.u(1).unwrap(), alike.u(1).unwrap(), 1e-10);
    agrees(relative.scatter().unwrap(), alike.scatter().unwrap(), 1e-10);
    agrees(relative.aicc().unwrap(), alike.aicc().unwrap(), 1e-10);
}
