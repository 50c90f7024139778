//! Curves of strength against state: against numbers in print and by hand, laws, and what is said where data do not suffice.

mod band;
mod choice;
mod fault;
mod group;
mod inverse;
mod law;
mod model;
#[cfg(feature = "report")]
mod outside;
#[cfg(feature = "cli")]
mod program;
mod published;
mod scatter;
#[cfg(feature = "report")]
mod study;

use woodstate::numeric::Watch;
use woodstate::strength::{CurveFit, CurveModel, CurveOptions, Errors, Pair, fit_curve};

/// State in % and strength in MPa of invented pieces: 26 (x/100)^1.3 and a scatter.
const PIECES: [(f64, f64); 16] = [
    (24.0, 5.0),
    (31.0, 4.8),
    (35.0, 6.8),
    (40.0, 8.6),
    (44.0, 8.7),
    (49.0, 9.8),
    (53.0, 10.2),
    (58.0, 12.8),
    (62.0, 14.5),
    (66.0, 15.0),
    (71.0, 16.9),
    (75.0, 18.3),
    (80.0, 19.5),
    (86.0, 22.6),
    (91.0, 22.6),
    (98.0, 24.6),
];

fn pairs() -> Vec<Pair> {
    PIECES.map(|(x, y)| Pair::new(x, y)).to_vec()
}

/// Two neighbours come from one timber.
fn of_timbers() -> Vec<Pair> {
    let named = |(place, (x, y)): (usize, (f64, f64))| Pair::new(x, y).of_timber(&format!("B{:02}", place / 2));
    PIECES.into_iter().enumerate().map(named).collect()
}

/// The only caller of the fit.
fn fitted(pairs: &[Pair], model: CurveModel, options: &CurveOptions) -> CurveFit {
    fit_curve(pairs, model, options, &Watch::silent()).unwrap()
}

fn plain() -> CurveOptions {
    CurveOptions { replicates: 0, ..CurveOptions::plain(100.0) }
}

fn by_timber() -> CurveOptions {
    CurveOptions { errors: Errors::ByTimber, ..plain() }
}

#[track_caller]
fn agrees(actual: f64, expected: f64, relative: f64) {
    let miss = ((actual - expected) / expected).abs();
    assert!(miss <= relative, "{actual:e} instead of {expected:e}: relative difference {miss:e}");
}
