//! The other way round: which state gives a strength?

use crate::error::Result;
use crate::numeric::Interval;

use super::band::grid;
use super::{CurveFit, Prediction};

/// An end of an interval of states.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum StateEnd {
    /// It ends here.
    At(f64),
    /// It goes on to the end of the states that are possible: the data set no limit on this side.
    Open,
}

/// Which states go with a strength.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum States {
    /// Those between two ends.
    Between {
        /// The lower end.
        low: StateEnd,
        /// The upper end.
        high: StateEnd,
    },
    /// None that is possible.
    Unreachable,
    /// Unknown, because the band is.
    Unknown,
}

/// Why the curve itself has a strength at no state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NoState {
    /// It lies above the strongest that the curve comes to.
    Above(
        /// The strongest.
        f64,
    ),
    /// It lies below the weakest that the curve comes to.
    Below(
        /// The weakest.
        f64,
    ),
    /// The curve has it over a whole range, as on a plateau.
    Everywhere,
}

/// The state that goes with a strength.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Inverse {
    /// The strength.
    pub y: f64,
    /// The state at which the curve has it, or why there is none.
    pub x: std::result::Result<f64, NoState>,
    /// States whose mean strength may be this: those at which the confidence band holds it.
    pub mean: States,
    /// States of which one piece may have this strength: those at which the prediction band holds it. Where strength rises
    /// with x, a piece above its upper end is stronger, with the stated coverage and better than half of what is left.
    pub piece: States,
    /// Whether the state lies outside those that were measured.
    pub is_extrapolated: bool,
}

/// States at which the bands are looked at, before their ends are searched between two of them.
const LOOKED_AT: usize = 513;

/// Halvings of the distance between two of them.
const HALVINGS: usize = 80;

impl CurveFit {
    /// The state at which strength is `y`, with intervals, among the states `possible`.
    ///
    /// ```text
    /// { x : lower(x) ≤ y ≤ upper(x) }
    /// ```
    /// Such an interval may be open on one side or on both, or empty; it says so.
    ///
    /// # Errors
    /// As [`predict`](Self::predict), for a state that is possible.
    ///
    /// # Example
    /// ```
    /// use woodstate::numeric::{Interval, Watch};
    /// use woodstate::strength::{CurveModel, CurveOptions, Pair, fit_curve};
    /// let pairs = [(30.0, 5.1), (42.0, 7.9), (55.0, 11.2), (71.0, 15.6), (88.0, 20.1), (97.0, 23.4)];
    /// let pairs = pairs.map(|(x, y)| Pair::new(x, y));
    /// let curve = fit_curve(&pairs, CurveModel::Power, &CurveOptions::plain(100.0), &Watch::silent())?;
    /// let needed = curve.inverse(12.0, Interval { low: 1.0, high: 110.0 })?;
    /// let state = needed.x.unwrap();
    /// assert!((state - 58.18).abs() < 0.005 && (curve.value(state).unwrap() - 12.0).abs() < 1e-9);
    /// # Ok::<(), woodstate::error::Error>(())
    /// ```
    /// # Source
    /// Inverted bands: G. A. F. Seber, C. J. Wild 1989, Nonlinear Regression, doi:10.1002/0471725315, section 5.4.5 \[memory].
    pub fn inverse(&self, y: f64, possible: Interval) -> Result<Inverse> {
        let looked_at = grid(possible, LOOKED_AT).into_iter().map(|x| self.predict(x)).collect::<Result<Vec<_>>>()?;
        let values = || looked_at.iter().map(|here| here.value);
        let strongest = values().fold(f64::NEG_INFINITY, f64::max);
        let weakest = values().fold(f64::INFINITY, f64::min);
        let found = self.formula.inverse(y, &self.fit.parameters);
        let x = match found.filter(|x| possible.low <= *x && *x <= possible.high) {
            Some(x) => Ok(x),
            None if y > strongest => Err(NoState::Above(strongest)),
            None if y < weakest => Err(NoState::Below(weakest)),
            None => Err(NoState::Everywhere),
        };
        let measured = self.range();
        Ok(Inverse {
            y,
            x,
            mean: self.states(y, x.ok(), &looked_at, |here| here.confidence)?,
            piece: self.states(y, x.ok(), &looked_at, |here| here.prediction)?,
            is_extrapolated: x.is_ok_and(|x| x < measured.low || x > measured.high),
        })
    }

    fn states(
        &self,
        y: f64,
        around: Option<f64>,
        looked_at: &[Prediction],
        band: impl Fn(&Prediction) -> Option<Interval>,
    ) -> Result<States> {
        if looked_at.iter().any(|here| band(here).is_none()) {
            return Ok(States::Unknown);
        }
        let holds = |here: &Prediction| band(here).is_some_and(|band| band.low <= y && y <= band.high);
        let is_in: Vec<bool> = looked_at.iter().map(&holds).collect();
        let last = looked_at.len() - 1;
        let next = around.map_or(last, |x| looked_at.partition_point(|here| here.x <= x).min(last));
        // The estimate itself is in the band; a narrow one may fall between two places.
        let Some((mut first, mut end)) = run(&is_in, next) else {
            let Some(x) = around else { return Ok(States::Unreachable) };
            let (below, above) = (looked_at[next.saturating_sub(1)].x, looked_at[next].x);
            let low = StateEnd::At(self.edge(x, below, &holds)?);
            return Ok(States::Between { low, high: StateEnd::At(self.edge(x, above, &holds)?) });
        };
        if first > end {
            std::mem::swap(&mut first, &mut end);
        }
        let low = match first {
            0 => StateEnd::Open,
            _ => StateEnd::At(self.edge(looked_at[first].x, looked_at[first - 1].x, &holds)?),
        };
        let high = match end == last {
            true => StateEnd::Open,
            false => StateEnd::At(self.edge(looked_at[end].x, looked_at[end + 1].x, &holds)?),
        };
        Ok(States::Between { low, high })
    }

    /// Where a band ceases to hold, between a state at which it does and one at which it does not.
    fn edge(&self, mut inside: f64, mut outside: f64, holds: &dyn Fn(&Prediction) -> bool) -> Result<f64> {
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(inside, outside);
            if holds(&self.predict(middle)?) {
                inside = middle;
            } else {
                outside = middle;
            }
        }
        Ok(inside)
    }
}

/// First and last place of the run of places that hold and that lies nearest to `at`.
fn run(is_in: &[bool], at: usize) -> Option<(usize, usize)> {
    let nearest = (0..is_in.len()).filter(|place| is_in[*place]).min_by_key(|place| place.abs_diff(at))?;
    let first = (0..=nearest).rev().take_while(|place| is_in[*place]).last()?;
    let end = (nearest..is_in.len()).take_while(|place| is_in[*place]).last()?;
    Some((first, end))
}
