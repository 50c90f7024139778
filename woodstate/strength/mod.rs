//! Strength against state: curves with their uncertainty, compared, averaged and turned round.
//!
//! | question | here |
//! |---|---|
//! | a curve through tested pieces | [`fit_curve`], [`CurveModel`], [`CurveOptions`] |
//! | a curve without a formula | [`monotone`](fn@monotone) |
//! | strength at a state: of the mean, and of a new piece | [`CurveFit::predict`], [`CurveFit::band`] |
//! | state that goes with a strength | [`CurveFit::inverse`] |
//! | how sure a parameter is | [`CurveFit::u`], [`CurveFit::profile`], [`CurveFit::redraw`] |
//! | how well it fits and predicts | [`CurveFit::r_squared`], [`CurveFit::aicc`], [`CurveFit::bic`], [`CurveFit::left_out_error`] |
//! | whether the scatter is what it is taken to be | [`CurveFit::diagnostics`], [`shapiro_wilk`] |
//! | which model | [`compare`], [`Comparison::averaged`] |
//! | one curve or several | [`group_curves`] |
//! | share of the strength of sound wood | [`relative_strength`] |
//! | density from a driven pin | [`calibrate`] |
//! | what to know before it is used | [`CurveFit::cautions`] |
//!
//! Plain numbers in, plain data out. Pairs may stand in any order: they are sorted first, so that the order of rows moves
//! no digit. A curve describes the pieces it was fitted to; nothing here carries a rate from one wood or decay to another.
//!
//! Not here: tables and their columns (`study`), depth profiles and groups of pieces, the weight and the lifting of a timber.

mod average;
mod band;
mod calibration;
mod cluster;
mod compare;
mod criterion;
mod curve;
mod diagnostic;
mod doubt;
mod draw;
mod group;
mod inverse;
mod model;
mod monotone;
mod normality;
mod options;
mod pair;
mod profile;
mod relative;

pub use average::Averaged;
pub use band::Prediction;
pub use calibration::{Calibration, calibrate};
pub use compare::{Compared, Comparison, NotCompared, compare};
pub use curve::{CurveFit, fit_curve};
pub use diagnostic::{Beside, Diagnostics, ScatterTest};
pub use doubt::CurveCaution;
pub use draw::Redrawn;
pub use group::{Grouped, NestedTest, SharedShape, group_curves};
pub use inverse::{Inverse, NoState, StateEnd, States};
pub use model::{CurveModel, Direction, Formula, ModelChoice, ModelSpec, ParameterSpec, ParameterUnit};
pub use monotone::{Monotone, monotone};
pub use normality::shapiro_wilk;
pub use options::{CurveOptions, Errors, Weighting};
pub use pair::Pair;
pub use profile::Ends;
pub use relative::{Tested, relative_strength};
