//! Numbers without wood: distributions, random draws, propagation of uncertainty, summaries.
//!
//! Slices in, plain results out. Nothing here knows a table, a unit or a timber; nothing reads a clock, the
//! environment or an unseeded generator. Unlike an unknown value, a bad argument is an error, never a default.
//!
//! What to use when:
//!
//! | question | here |
//! |---|---|
//! | uncertainty of a result whose sensitivities are known | [`independent_variance`], [`variance`], [`propagate`] |
//! | sensitivities of a function of your own | [`gradient`] |
//! | does the function bend within its uncertainty? | [`second_order_variance`], [`agrees_with_linear`] |
//! | the function bends | [`simulate`], [`joint`], or [`simulate_to`] until digits stand still |
//! | which t for an interval | [`effective_degrees_of_freedom`], then [`coverage_factor`] |
//! | probability that a normal value lies in a class | [`normal_interval_probability`] |
//! | the same from random draws | [`Sample::share_between`] |
//! | inputs that vary together | [`Matrix`] as covariance, [`JointNormal`] for draws |
//! | a share of a count, with its interval | [`wilson_interval`] |
//! | parameters that enter linearly | [`linear_fit`] |
//! | a curve of any shape | [`fit`](fn@fit), from [`Starts`], with or without limits and robust loss |
//! | a curve through points uncertain in both directions | [`orthogonal_fit`] |
//! | uncertainty of a fit without trusting its linear form | [`bootstrap_fit`] |
//! | uncertainty of any other estimate from a sample | [`bootstrap`](fn@bootstrap) |
//! | where a function passes zero | [`root_between`] |
//! | waves in a circle | [`bessel_j0`], [`bessel_j1`], [`bessel_j0_zeros`] |
//! | values that must not turn | [`isotonic`](fn@isotonic) |
//! | do groups differ? | [`one_way_anova`] |
//! | mean, spread, median of readings | [`mean`], [`variance_of`], [`median`] |
//! | the same work on many items, on several threads | [`map_ordered`], [`map_watched`], [`both`] |
//!
//! Deliberately not here: curves (they belong to the layers that know what they mean), linear algebra beyond least
//! squares and a small covariance.

mod abreast;
mod anova;
mod bessel;
mod bootstrap;
mod check;
mod distribution;
mod elementary;
mod error_function;
mod fit;
mod isotonic;
mod lane;
mod linear;
mod matrix;
mod montecarlo;
mod noise;
mod orthogonal;
mod parallel;
mod pivot;
mod program;
mod propagation;
mod proportion;
mod rank;
mod record;
mod refine;
mod root;
mod schedule;
mod spread;
mod stream;
mod student;
mod summary;
mod tape;
#[cfg(test)]
mod tests;
mod triangle;
mod watch;
mod widest;

pub(crate) use abreast::Abreast;
pub use anova::{Anova, Squares, one_way_anova};
pub use bessel::{bessel_j0, bessel_j0_zeros, bessel_j1};
pub use bootstrap::{Bootstrap, Plan, Units, bootstrap};
pub(crate) use distribution::between;
pub use distribution::{
    chi_squared_quantile, chi_squared_sf, f_cdf, f_quantile, f_sf, normal_cdf, normal_interval_probability,
    normal_quantile, normal_sf, normal_tails, student_cdf, student_quantile, student_sf,
};
pub(crate) use error_function::{erfc, ierfc, one_minus_erfcx, repeated_erfc};
pub use fit::{
    Differences, Ending, Fit, FitDoubt, FitOptions, Loss, Model, Points, Resampling, Starts, Threshold, bootstrap_fit,
    fit,
};
pub use isotonic::isotonic;
pub use lane::{BLOCK, Lane};
pub use linear::{LinearFit, linear_fit};
pub use matrix::Matrix;
pub use montecarlo::{
    Interval, Sample, Settled, agrees_with_linear, joint, numerical_tolerance, simulate, simulate_to,
};
pub use noise::Noise;
pub use orthogonal::{Curve, OrthogonalFit, orthogonal_fit};
pub use parallel::{both, map_ordered, map_watched};
pub use program::{Program, Room, Run};
pub use propagation::{
    coverage_factor, effective_degrees_of_freedom, gradient, independent_variance, propagate, second_order_variance,
    variance,
};
pub use proportion::wilson_interval;
pub use rank::rank_correlation;
pub use root::root_between;
pub use spread::{JointNormal, Spread};
pub use stream::{Stream, key_of};
pub use student::StudentQuantiles;
pub use summary::{mean, median, quantile, sd, sum, variance as variance_of};
pub use tape::{Tape, Traced};
pub use watch::{Progress, Watch};
pub(crate) use widest::{Wide, widest};
