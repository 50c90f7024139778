//! The soft rim: how deep wood is degraded beyond a threshold.

use crate::error::Result;
use crate::numeric::isotonic;

use super::increment::{Readings, range, real};
use super::{DepthModel, Increment, Shape};

/// On which side of a threshold wood counts as degraded.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Degraded {
    /// Below it, as with density.
    Below,
    /// Above it, as with water content.
    Above,
}

/// Up to which value wood counts as sound.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Threshold {
    /// The value, in the unit of the quantity. Wood exactly on it is sound.
    pub value: f64,
    /// Where degraded wood lies.
    pub degraded: Degraded,
}

/// Where the soft rim ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum RimDepth {
    /// The wood is sound from the surface on.
    NoRim,
    /// At this depth, mm: everything deeper is sound.
    At(f64),
    /// Deeper than this, mm: the deepest wood that was looked at is still degraded.
    Beyond(f64),
}

impl RimDepth {
    /// As a number, mm: 0 without a rim, infinite where the end was not reached.
    pub(super) fn number(self) -> f64 {
        match self {
            Self::NoRim => 0.0,
            Self::At(depth) => depth,
            Self::Beyond(_) => f64::INFINITY,
        }
    }
}

impl Threshold {
    /// Whether a value counts as degraded.
    #[must_use]
    pub fn is_degraded(&self, value: f64) -> bool {
        match self.degraded {
            Degraded::Below => value < self.value,
            Degraded::Above => value > self.value,
        }
    }

    /// The depth inside which a shape is sound everywhere down to `deepest`, mm.
    ///
    /// # Example
    /// ```
    /// use woodstate::profile::{Degraded, DepthModel, RimDepth, Shape, Threshold};
    /// let threshold = Threshold { value: 80.0, degraded: Degraded::Below };
    /// let line = Shape { model: DepthModel::Linear, parameters: vec![30.0, 2.5] };
    /// assert!(matches!(threshold.rim_of(&line, 40.0), RimDepth::At(depth) if (depth - 20.0).abs() < 1e-9));
    /// assert_eq!(threshold.rim_of(&line, 15.0), RimDepth::Beyond(15.0));
    /// ```
    #[must_use]
    pub fn rim_of(&self, shape: &Shape, deepest: f64) -> RimDepth {
        let is_degraded = |depth: f64| self.is_degraded(shape.at(depth));
        if is_degraded(deepest) {
            return RimDepth::Beyond(deepest);
        }
        // From the middle outwards, the first piece of the curve that ends in degraded wood holds the end of the rim.
        let mut inner = deepest;
        for outer in corners(shape, deepest).into_iter().rev() {
            let just_outside = match shape.model {
                DepthModel::Step => before(outer, inner),
                _ => outer,
            };
            if is_degraded(just_outside) {
                return RimDepth::At(self.passes(shape, just_outside, inner));
            }
            inner = outer;
        }
        RimDepth::NoRim
    }

    /// Where a shape passes the threshold, between a degraded depth and a sound one.
    fn passes(&self, shape: &Shape, mut degraded: f64, mut sound: f64) -> f64 {
        for _ in 0..64 {
            let middle = f64::midpoint(degraded, sound);
            if middle <= degraded || middle >= sound {
                break;
            }
            if self.is_degraded(shape.at(middle)) {
                degraded = middle;
            } else {
                sound = middle;
            }
        }
        sound
    }
}

/// Depths between which a shape only rises or only falls, from the surface to just before the deepest one.
fn corners(shape: &Shape, deepest: f64) -> Vec<f64> {
    let corner = match shape.model {
        DepthModel::BrokenStick => shape.parameters.get(3),
        DepthModel::Step => shape.parameters.get(2),
        _ => None,
    };
    let inside = corner.copied().filter(|corner| *corner > 0.0 && *corner < deepest);
    std::iter::once(0.0).chain(inside).collect()
}

/// A step is looked at just outside its break.
fn before(outer: f64, inner: f64) -> f64 {
    if outer > 0.0 { outer - 1e-9 * (inner - outer).max(outer) } else { outer }
}

/// A depth interval and the level that a curve without a formula gives it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tread {
    /// Depth from and to, mm.
    pub depth: [f64; 2],
    /// Mean of the increments there, weighed by their number.
    pub measured: f64,
    /// The level of the closest curve that never turns.
    pub level: f64,
}

/// The profile as it was measured, and the closest one that never turns.
///
/// Every depth between two ends of increments gets the mean of the increments that cover it, and weighs as its thickness times
/// their number. Depths that no increment covers are left out. Cutting an increment into two equal halves changes nothing.
///
/// # Errors
/// As [`fit_depth`](super::fit_depth) for its increments; increments that are all readings at points.
///
/// # Source
/// That of [`isotonic`].
pub fn monotone_depth(increments: &[Increment], degraded: Degraded) -> Result<Vec<Tread>> {
    let treads = treads(&Readings::of(increments)?, degraded)?;
    if treads.is_empty() {
        return Err(range("thickness of increments", 0.0, "at least one increment thicker than 0 mm"));
    }
    Ok(treads)
}

pub(super) fn treads(readings: &Readings, degraded: Degraded) -> Result<Vec<Tread>> {
    let ends = readings.ends();
    let (mut depths, mut means, mut weights) = (Vec::new(), Vec::new(), Vec::new());
    for pair in ends.windows(2) {
        let covers = |row: &usize| {
            let [from, to] = readings.depth(*row);
            from <= pair[0] && to >= pair[1]
        };
        let values: Vec<f64> = (0..readings.n()).filter(covers).map(|row| readings.y[row]).collect();
        let Some(mean) = crate::numeric::mean(&values) else { continue };
        depths.push([pair[0], pair[1]]);
        means.push(mean);
        weights.push((pair[1] - pair[0]) * real(values.len()));
    }
    let levels = isotonic(&means, &weights, degraded == Degraded::Below)?;
    let all = depths.into_iter().zip(means).zip(levels);
    Ok(all.map(|((depth, measured), level)| Tread { depth, measured, level }).collect())
}

/// Between which depths the soft rim ends, as far as the increments themselves tell: `None` at an end that they do not reach.
///
/// Wood that is better preserved the deeper it lies passes the threshold deeper than the shallow end of the last degraded
/// increment, and not deeper than the deep end of the first sound one. Nothing else is assumed.
///
/// # Example
/// ```
/// use woodstate::profile::{Degraded, Increment, Threshold, monotone_depth, rim_between};
/// let core = [(0.0, 10.0, 35.0), (10.0, 20.0, 60.0), (20.0, 40.0, 88.0)];
/// let core = core.map(|(from, to, value)| Increment::new(from, to, value));
/// let threshold = Threshold { value: 80.0, degraded: Degraded::Below };
/// let treads = monotone_depth(&core, threshold.degraded)?;
/// assert_eq!(rim_between(&treads, threshold), [Some(10.0), Some(40.0)]);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
#[must_use]
pub fn rim_between(treads: &[Tread], threshold: Threshold) -> [Option<f64>; 2] {
    let is_degraded = |tread: &&Tread| threshold.is_degraded(tread.level);
    let last_degraded = treads.iter().rev().find(is_degraded).map(|tread| tread.depth[0]);
    let first_sound = treads.iter().find(|tread| !threshold.is_degraded(tread.level)).map(|tread| tread.depth[1]);
    match (last_degraded, first_sound) {
        (None, Some(_)) => [Some(0.0), treads.first().map(|tread| tread.depth[1])],
        ends => [ends.0, ends.1],
    }
}
