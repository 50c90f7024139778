//! A curve without a formula: strength that never rises while state falls.

use crate::error::Result;
use crate::numeric::{Bootstrap, Interval, Plan, Units, Watch, bootstrap, isotonic, mean, sum};

use super::band::grid;
use super::curve::direction;
use super::pair::{Pairs, real};
use super::{CurveOptions, Direction, Errors, Pair};

/// A curve that only rises, or only falls, and is otherwise free.
#[derive(Debug, Clone, PartialEq)]
pub struct Monotone {
    /// Which way it goes.
    pub direction: Direction,
    /// The states that were measured, ascending, each once.
    pub x: Vec<f64>,
    /// The curve there.
    pub value: Vec<f64>,
    /// Number of levels that differ.
    pub levels: usize,
    /// Sum of the squared residuals.
    pub rss: f64,
    /// Share of the scatter that it explains; `None` where all strengths are equal.
    pub r_squared: Option<f64>,
    pairs: Pairs,
}

/// The curve of least squares among all that only rise (or only fall, whichever the pairs do).
///
/// Neighbours that stand in the wrong order are pooled until none does. Between measured states the curve is taken as
/// straight; outside them it does not exist, so it never extrapolates. It follows the scatter more than a formula does,
/// so it is for looking, and for judging a formula, rather than for predicting.
///
/// # Errors
/// As [`fit_curve`](super::fit_curve).
///
/// # Example
/// ```
/// use woodstate::strength::{Pair, monotone};
/// let pairs = [(20.0, 3.0), (30.0, 6.0), (40.0, 4.0), (50.0, 9.0)].map(|(x, y)| Pair::new(x, y));
/// let curve = monotone(&pairs)?;
/// assert_eq!(curve.value, [3.0, 5.0, 5.0, 9.0]);
/// assert_eq!((curve.at(45.0), curve.at(60.0)), (Some(7.0), None));
/// # Ok::<(), woodstate::error::Error>(())
/// ```
/// # Source
/// That of [`isotonic`].
pub fn monotone(pairs: &[Pair]) -> Result<Monotone> {
    let pairs = Pairs::of(pairs)?;
    let direction = direction(&pairs);
    let (x, value) = pooled(&pairs.x, &pairs.y, direction)?;
    let levels = 1 + value.windows(2).filter(|pair| (pair[1] - pair[0]).abs() > 0.0).count();
    let fitted = |place: usize| between(&x, &value, pairs.x[place]).unwrap_or(f64::NAN);
    let squares = |of: &dyn Fn(usize) -> f64| sum(&(0..pairs.n()).map(|place| of(place).powi(2)).collect::<Vec<_>>());
    let rss = squares(&|place| pairs.y[place] - fitted(place));
    let centre = mean(&pairs.y).unwrap_or(0.0);
    let total = squares(&|place| pairs.y[place] - centre);
    let r_squared = (total > 0.0).then(|| 1.0 - rss / total);
    Ok(Monotone { direction, x, value, levels, rss, r_squared, pairs })
}

impl Monotone {
    /// The curve at `x`; `None` outside the measured states.
    #[must_use]
    pub fn at(&self, x: f64) -> Option<f64> {
        between(&self.x, &self.value, x)
    }

    /// Number of pieces.
    #[must_use]
    pub fn n(&self) -> usize {
        self.pairs.n()
    }

    /// Number of timbers; `None` where the timber of a piece is unknown.
    #[must_use]
    pub fn n_timbers(&self) -> Option<usize> {
        self.pairs.n_timbers
    }

    /// Smallest and largest state that was measured.
    #[must_use]
    pub fn range(&self) -> Interval {
        self.pairs.range()
    }

    /// The curve at `count` states evenly spread over those that were measured, each with its interval by percentiles of
    /// samples drawn again; `None` for the intervals where no samples are asked for, or samples miss the state.
    ///
    /// # Errors
    /// Fewer than two units, a coverage outside 0 to 1, a stop asked for through `watch`.
    pub fn band(
        &self,
        count: usize,
        options: &CurveOptions,
        watch: &Watch<'_>,
    ) -> Result<Vec<(f64, f64, Option<Interval>)>> {
        options.check()?;
        let places = grid(self.range(), count);
        let drawn = if options.replicates == 0 { None } else { Some(self.redraw(&places, options, watch)?) };
        let interval = |k: usize| drawn.as_ref().and_then(|drawn| drawn.percentile(options.coverage, |b| b[k]).ok());
        let at = |(k, x): (usize, &f64)| Some((*x, self.at(*x)?, interval(k)));
        Ok(places.iter().enumerate().filter_map(at).collect())
    }

    fn redraw(&self, places: &[f64], options: &CurveOptions, watch: &Watch<'_>) -> Result<Bootstrap> {
        let units = match options.errors {
            Errors::ByTimber if !self.pairs.timber.is_empty() => Units::Groups(&self.pairs.timber),
            _ => Units::Cases(self.n()),
        };
        let plan = Plan { replicates: options.replicates, seed: options.seed, threads: options.threads };
        bootstrap(units, plan, watch, |cases| {
            let mut cases = cases.to_vec();
            // In the order of x again.
            cases.sort_unstable();
            let of = |list: &[f64]| cases.iter().map(|case| list[*case]).collect::<Vec<f64>>();
            let (x, value) = pooled(&of(&self.pairs.x), &of(&self.pairs.y), self.direction).ok()?;
            // A sample that misses an end of the states keeps its last level there.
            let (low, high) = (*x.first()?, *x.last()?);
            places.iter().map(|place| between(&x, &value, place.clamp(low, high))).collect()
        })
    }
}

/// States, each once, and the pooled strength there; `x` ascending.
fn pooled(x: &[f64], y: &[f64], direction: Direction) -> Result<(Vec<f64>, Vec<f64>)> {
    let (mut states, mut means, mut weights) = (Vec::new(), Vec::new(), Vec::new());
    let mut start = 0;
    while start < x.len() {
        let end = start + x[start..].iter().take_while(|other| **other <= x[start]).count();
        states.push(x[start]);
        means.push(sum(&y[start..end]) / real(end - start));
        weights.push(real(end - start));
        start = end;
    }
    let values = isotonic(&means, &weights, direction == Direction::Rising)?;
    Ok((states, values))
}

/// Straight between states.
fn between(x: &[f64], value: &[f64], at: f64) -> Option<f64> {
    let above = x.partition_point(|x| *x < at);
    let (high, level) = (*x.get(above)?, *value.get(above)?);
    if high <= at {
        return Some(level);
    }
    let below = above.checked_sub(1)?;
    let share = (at - x[below]) / (high - x[below]);
    Some(value[below] + share * (level - value[below]))
}
