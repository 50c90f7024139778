//! A bath that is held at one concentration after the other, and how a piece follows it.

use super::series::share;
use super::{Body, check};
use crate::error::Result;

/// A bath that was held at one concentration after the other.
///
/// Every step of the bath sets off its own uptake; they add up, since diffusion with one diffusivity is linear:
///
/// ```text
/// c(t) = Σ (c_k − c_(k−1)) E(t − t_k),  t_k < t,  c_0 = 0        average; with the value of the centre for E: centre
/// ```
///
/// * c: concentration in the solution of the wood, in the unit of the bath, mass per volume of solution
/// * E: share of the final uptake in one endless bath, [`Body::uptake`]
///
/// The piece holds none of the solute before the first bath. The bath is taken as endless: it is held at what was read.
///
/// # Example
/// ```
/// use woodstate::treatment::{BathHistory, Body, Ranged};
/// let board = Body::slab(0.02, Ranged::exact(1e-11)?)?;
/// let days = 86_400.0;
/// // 100 g/L for 200 days, then 200 g/L.
/// let bath = BathHistory::new(&[0.0, 200.0 * days], &[100.0, 200.0])?;
/// let alone = 100.0 * board.uptake(300.0 * days)?.value() + 100.0 * board.uptake(100.0 * days)?.value();
/// assert!((bath.average(&board, 300.0 * days)? - alone).abs() < 1e-9);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
///
/// # Source
/// Duhamel's principle: Crank J 1975, The Mathematics of Diffusion, 2nd ed., Oxford University Press, section 3.2 (from memory).
#[derive(Debug, Clone, PartialEq)]
pub struct BathHistory {
    begins: Vec<f64>,
    /// What each step adds.
    changes: Vec<f64>,
}

impl BathHistory {
    /// Baths from the first to the last.
    ///
    /// * `begins`: when each begins, s, ascending
    /// * `concentrations`: of each, mass per volume, 0 or above, any unit
    ///
    /// # Errors
    /// No bath, lists of different length, times out of order, a negative concentration.
    pub fn new(begins: &[f64], concentrations: &[f64]) -> Result<Self> {
        check::length("concentrations of baths", concentrations.len(), begins.len())?;
        if begins.is_empty() {
            return Err(check::range("number of baths", 0.0, "at least 1"));
        }
        let (mut last, mut before) = (f64::NEG_INFINITY, 0.0);
        let mut changes = Vec::with_capacity(begins.len());
        for (begin, concentration) in begins.iter().zip(concentrations) {
            check::not_negative("concentration of a bath", *concentration)?;
            if !(*begin > last && begin.is_finite()) {
                return Err(check::range("begin of a bath", *begin, "a time after the begin of the bath before it"));
            }
            changes.push(concentration - before);
            (last, before) = (*begin, *concentration);
        }
        Ok(Self { begins: begins.to_vec(), changes })
    }

    /// Concentration of the last bath.
    #[must_use]
    pub fn last(&self) -> f64 {
        self.changes.iter().sum()
    }

    /// When the first bath begins, s.
    #[must_use]
    pub fn first_begin(&self) -> f64 {
        self.begins.first().copied().unwrap_or(0.0)
    }

    /// When each bath begins, s.
    #[must_use]
    pub fn begins(&self) -> &[f64] {
        &self.begins
    }

    /// Mean concentration in the solution of the wood at a time in s.
    ///
    /// # Errors
    /// A time that is not finite.
    pub fn average(&self, body: &Body, time: f64) -> Result<f64> {
        finite(time)?;
        Ok(self.followed(time, 1.0, |elapsed| body.left_of_value(elapsed)))
    }

    /// Concentration in the centre at a time in s.
    ///
    /// # Errors
    /// A time that is not finite.
    pub fn centre(&self, body: &Body, time: f64) -> Result<f64> {
        finite(time)?;
        Ok(self.followed(time, 1.0, |elapsed| body.centre_left_of_value(elapsed)))
    }

    /// The sum over the steps, each with the time since then, times a diffusivity.
    pub(super) fn followed(&self, time: f64, diffusivity: f64, left: impl Fn(f64) -> f64) -> f64 {
        let steps = self.begins.iter().zip(&self.changes).take_while(|(begin, _)| **begin < time);
        steps.map(|(begin, change)| change * share(1.0 - left(diffusivity * (time - begin)))).sum()
    }
}

fn finite(time: f64) -> Result<()> {
    if time.is_finite() { Ok(()) } else { Err(check::range("time", time, "a finite number")) }
}
