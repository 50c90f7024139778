//! The curves that strength may follow: one formula a file, with its slopes, its starts and its source.
//!
//! | word | formula | when |
//! |---|---|---|
//! | `linear` | a + b x | few pieces, a short range |
//! | `power` | a (x/r)^b | strength against density |
//! | `exponential` | a exp(k x) | strength against loss |
//! | `logistic` | a / (1 + exp(−k (x − m))) | sound wood keeps its strength, then it falls to nothing |
//! | `gompertz` | a exp(−exp(−k (x − m))) | the same, not symmetric |
//! | `threshold` | a up to a limit t, then a straight line | one break is seen |
//!
//! `r` is a point of reference that makes `a` a strength somebody can imagine: 100 % for shares, 1000 kg/m3 for densities.
//! Models know no solver and no table. A curve without a formula is [`monotone`](fn@super::monotone).

mod choice;
mod exponential;
mod formula;
mod gompertz;
mod linear;
mod logistic;
mod power;
mod spec;
mod start;
mod threshold;

pub use choice::ModelChoice;
pub use formula::{Direction, Formula};
pub use spec::{CurveModel, ModelSpec, ParameterSpec, ParameterUnit};
pub(super) use start::Sight;
