//! The depth of a break, and how far it is known.

use crate::error::{Error, ErrorKind, Result};
use crate::numeric::{FitOptions, Interval, Noise, Points, Starts, Watch, f_quantile, fit};

use super::fit::bounds;
use super::increment::{Readings, real};
use super::search::{level, limits};
use super::{DepthFit, DepthModel};

/// Places at which the squares are looked at over the sampled depth, and halvings of the interval in which they pass the limit.
///
/// A gradual border is smooth in its depth and dear to fit, so fewer do: 1e-6 of a sixtieth of the depth.
fn effort(model: DepthModel) -> (usize, usize) {
    if model == DepthModel::Logistic { (60, 20) } else { (160, 40) }
}

/// A piece of the depths that the data do not exclude.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BreakRange {
    /// Where it begins, mm.
    pub low: f64,
    /// Where it ends, mm.
    pub high: f64,
    /// Whether it begins at the end of the sampled depth, so that the data set no limit there.
    pub is_open_low: bool,
    /// The same at its other end.
    pub is_open_high: bool,
}

/// The depth of a break.
#[derive(Debug, Clone, PartialEq)]
pub struct BreakDepth {
    /// The depth, mm.
    pub depth: f64,
    /// All depths that the data do not exclude, in one piece or in several, ascending; empty where the scatter is unknown.
    pub ranges: Vec<BreakRange>,
    /// Increments that lie wholly outside it, and wholly inside.
    pub n_sides: [usize; 2],
}

/// The break of a fitted model with the depths that the data do not exclude, by profile likelihood; `None` for a model
/// without a break.
///
/// ```text
/// { ψ : RSS(ψ) ≤ RSS + s² F(c; 1, n − p) }
/// ```
/// `RSS(ψ)`: the least squares with the break held at ψ; `s`: scatter about the curve. It may be open at one end, and in
/// pieces.
///
/// # Errors
/// A coverage outside 0 to 1, a stop asked for through `watch`.
///
/// # Source
/// D. V. Hinkley 1969, Inference about the intersection in two-phase regression, Biometrika 56, 495-504 \[memory].
pub(super) fn break_depth(
    readings: &Readings,
    fit: &DepthFit,
    coverage: f64,
    watch: &Watch<'_>,
) -> Result<Option<BreakDepth>> {
    let model = fit.shape.model;
    let Some(place) = model.break_place() else { return Ok(None) };
    let depth = fit.shape.parameters[place];
    let is_outside = |row: &usize| readings.depth(*row)[1] <= depth;
    let is_inside = |row: &usize| readings.depth(*row)[0] >= depth;
    let n_sides = [(0..readings.n()).filter(is_outside).count(), (0..readings.n()).filter(is_inside).count()];
    let p = model.n_parameters();
    let mut found = BreakDepth { depth, ranges: Vec::new(), n_sides };
    let Some(scatter) = fit.scatter.filter(|_| readings.n() > p) else { return Ok(Some(found)) };
    let limit = fit.rss + scatter * scatter * f_quantile(coverage, 1.0, real(readings.n() - p))?;
    let held = Held { readings, fit, watch };
    found.ranges = held.ranges(depth, limit)?;
    Ok(Some(found))
}

struct Held<'a> {
    readings: &'a Readings,
    fit: &'a DepthFit,
    watch: &'a Watch<'a>,
}

impl Held<'_> {
    /// The least squares with the break held.
    fn squares(&self, at: f64) -> Result<f64> {
        let model = self.fit.shape.model;
        if model != DepthModel::Logistic {
            return Ok(level(model, [at, 0.0], self.readings).rss);
        }
        let mut start = self.fit.shape.parameters.clone();
        start[2] = at;
        let mut bounds = bounds(self.readings, model);
        bounds[2] = Interval { low: at, high: at };
        let u: Vec<f64> = self.readings.weight.iter().map(|weight| 1.0 / weight.sqrt()).collect();
        let points = Points::new(&self.readings.depths, &self.readings.y, Noise::Relative(&u))?;
        match fit(&model, &points, &Starts::at(&start), &FitOptions::within(bounds), self.watch) {
            Ok(found) => Ok(found.rss),
            Err(error) if matches!(error.kind(), ErrorKind::Stopped) => Err::<f64, Error>(error),
            Err(_) => Ok(f64::INFINITY),
        }
    }

    fn ranges(&self, best: f64, limit: f64) -> Result<Vec<BreakRange>> {
        let [[low, high], _] = limits(self.fit.shape.model, self.readings);
        let (count, _) = effort(self.fit.shape.model);
        let mut places: Vec<f64> = (0..=count).map(|k| low + (high - low) * real(k) / real(count)).collect();
        places.extend(self.readings.ends());
        places.push(best);
        places.sort_by(f64::total_cmp);
        places.dedup();
        let mut is_within = Vec::with_capacity(places.len());
        for place in &places {
            is_within.push(place.total_cmp(&best).is_eq() || self.squares(*place)? <= limit);
        }
        let mut ranges: Vec<BreakRange> = Vec::new();
        for (k, place) in places.iter().enumerate() {
            if !is_within[k] {
                continue;
            }
            let begins = k == 0 || !is_within[k - 1];
            if begins {
                let low = if k == 0 { *place } else { self.passes(*place, places[k - 1], limit)? };
                ranges.push(BreakRange { low, high: *place, is_open_low: k == 0, is_open_high: false });
            }
            let is_last = k + 1 == places.len();
            if is_last || !is_within[k + 1] {
                let high = if is_last { *place } else { self.passes(*place, places[k + 1], limit)? };
                if let Some(range) = ranges.last_mut() {
                    (range.high, range.is_open_high) = (high, is_last);
                }
            }
        }
        Ok(ranges)
    }

    /// Where the squares pass the limit, between a depth within and a depth beyond.
    fn passes(&self, mut within: f64, mut beyond: f64, limit: f64) -> Result<f64> {
        for _ in 0..effort(self.fit.shape.model).1 {
            let middle = f64::midpoint(within, beyond);
            if self.squares(middle)? <= limit {
                within = middle;
            } else {
                beyond = middle;
            }
        }
        Ok(f64::midpoint(within, beyond))
    }
}
