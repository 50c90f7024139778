//! The one number that enters a course in a curve, by the squares that it leaves: its best value and its interval.

use super::check;
use crate::error::Result;
use crate::numeric::{chi_squared_quantile, f_quantile, root_between};

/// A function of a number that leaves squares: the number by its natural logarithm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Best {
    /// The number.
    pub(super) value: f64,
    /// Its interval; `None` where squares never grow beyond their limit on that side.
    pub(super) interval: [Option<f64>; 2],
    /// The weighted squares that it leaves.
    pub(super) squares: f64,
}

impl Best {
    /// Refuses a number at the ends between which it was sought.
    pub(super) fn is_inside(&self, [low, high]: [f64; 2]) -> Result<()> {
        if self.value > EDGE * low && EDGE * self.value < high {
            return Ok(());
        }
        // In a unit that is written without a row of zeros.
        let [value, low, high] = [self.value, low, high].map(|found| found / UNIT);
        let allowed = format!("inside {low:.1e} to {high:.1e}; the readings do not tell how fast");
        Err(check::range("diffusivity by the fit, in 1e-12 m2/s,", (value * 1e4).round() / 1e4, allowed))
    }
}

/// What decides how far squares may grow.
#[derive(Debug, Clone, Copy)]
pub(super) struct Limits {
    /// Readings less parameters.
    pub(super) freedom: usize,
    /// Whether weights come from known uncertainties.
    pub(super) is_known: bool,
    pub(super) coverage: f64,
}

/// Places looked at, a power of ten.
const A_DECADE: f64 = 10.0;
/// Golden section.
const GOLDEN: f64 = 0.618_033_988_749_894_9;
const STEPS: usize = 45;
/// Nearer to an end than this factor, a number is not found but given by where it was sought.
const EDGE: f64 = 1.3;
/// Unit of a diffusivity in a message, m²/s.
const UNIT: f64 = 1e-12;

/// The number between two ends that leaves least squares.
///
/// The interval is that of the profile: with unknown noise `S ≤ S_min (1 + F/ν)`, with known uncertainties
/// `S ≤ S_min + χ² max(1, S_min/ν)`, so that scatter beyond the stated uncertainties widens it.
pub(super) fn best_between([low, high]: [f64; 2], squares: impl Fn(f64) -> f64, limits: &Limits) -> Result<Best> {
    let [from, to] = [low.ln(), high.ln()];
    let n = (A_DECADE * (to - from) / std::f64::consts::LN_10).ceil().max(2.0);
    let at = |k: f64| from + (to - from) * k / n;
    let of = |log: f64| squares(log.exp());
    let mut grid = Vec::new();
    let mut k = 0.0;
    while k <= n {
        grid.push((at(k), of(at(k))));
        k += 1.0;
    }
    let place = (0..grid.len()).fold(0, |best, k| if grid[k].1 < grid[best].1 { k } else { best });
    let around = [grid[place.saturating_sub(1)].0, grid[(place + 1).min(grid.len() - 1)].0];
    let (mut best, mut least) = golden(around, &of);
    if grid[place].1 <= least {
        (best, least) = grid[place];
    }
    let nu = check::real(limits.freedom);
    let limit = if limits.is_known {
        least + chi_squared_quantile(limits.coverage, 1.0)? * (least / nu).max(1.0)
    } else {
        least * (1.0 + f_quantile(limits.coverage, 1.0, nu)? / nu)
    };
    // The outermost crossing: between two hollows nothing is left out.
    let over = |k: &usize| grid[*k].1 > limit;
    let inside: Vec<usize> = (0..grid.len()).filter(|k| !over(k)).collect();
    let (first, last) = (inside.first().copied(), inside.last().copied());
    let side = |edge: usize, beyond: Option<usize>| -> Result<Option<f64>> {
        let Some(beyond) = beyond.filter(|k| *k < grid.len()) else { return Ok(None) };
        let within = if over(&edge) { best } else { grid[edge].0 };
        root_between(|log| of(log) - limit, within, grid[beyond].0).map(|log| Some(log.exp()))
    };
    let low = side(first.unwrap_or(place), first.map_or_else(|| before(&grid, best), |k| k.checked_sub(1)))?;
    let high = side(last.unwrap_or(place), last.map_or_else(|| behind(&grid, best), |k| Some(k + 1)))?;
    Ok(Best { value: best.exp(), interval: [low, high], squares: least })
}

/// The last place of the grid before the best one, and the first behind it.
fn before(grid: &[(f64, f64)], best: f64) -> Option<usize> {
    grid.iter().rposition(|(log, _)| *log < best)
}

fn behind(grid: &[(f64, f64)], best: f64) -> Option<usize> {
    grid.iter().position(|(log, _)| *log > best)
}

/// The least value between two places.
pub(super) fn golden([mut low, mut high]: [f64; 2], of: &impl Fn(f64) -> f64) -> (f64, f64) {
    let mut inner = [high - GOLDEN * (high - low), low + GOLDEN * (high - low)];
    let mut values = inner.map(of);
    for _ in 0..STEPS {
        if values[0] < values[1] {
            high = inner[1];
            inner = [high - GOLDEN * (high - low), inner[0]];
            values = [of(inner[0]), values[0]];
        } else {
            low = inner[0];
            inner = [inner[1], low + GOLDEN * (high - low)];
            values = [values[1], of(inner[1])];
        }
    }
    if values[0] < values[1] { (inner[0], values[0]) } else { (inner[1], values[1]) }
}

/// A line through readings that may only rise with what it follows: offset, factor, weighted squares.
pub(super) fn rising_line(x: &[f64], y: &[f64], weight: &[f64]) -> (f64, f64, f64) {
    let whole: f64 = weight.iter().sum();
    let mean = |of: &[f64]| of.iter().zip(weight).map(|(v, w)| v * w).sum::<f64>() / whole;
    let (mx, my) = (mean(x), mean(y));
    let mut sums = [0.0; 3];
    for ((x, y), w) in x.iter().zip(y).zip(weight) {
        let (dx, dy) = (x - mx, y - my);
        sums[0] += w * dx * dx;
        sums[1] += w * dx * dy;
        sums[2] += w * dy * dy;
    }
    let [xx, xy, yy] = sums;
    let factor = if xx > 0.0 && xy > 0.0 { xy / xx } else { 0.0 };
    (my - factor * mx, factor, (yy - factor * xy).max(0.0))
}
