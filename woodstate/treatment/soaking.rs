//! A piece in one bath after the other: steps of concentration, and what comes of them in time.

use super::line::{Room, Stepped};
use super::{check, check::range};
use crate::error::Result;
use crate::numeric::Watch;

/// One bath: how long, and how strong.
///
/// Concentrations may be in any unit of mass per volume of solution, the same throughout; results are in it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BathStep {
    /// How long the piece lies in it, s.
    pub duration: f64,
    /// Concentration of the bath, held.
    pub concentration: f64,
}

/// How finely a soaking is computed, and when it is looked at.
#[derive(Debug, Clone, PartialEq)]
pub struct SoakOptions {
    /// Concentration in the solution of the wood at first; 0 for a piece that is impregnated, above 0 for one that is washed.
    pub initial: f64,
    /// Times at which the piece is looked at, s from the start, ascending.
    pub times: Vec<f64>,
    /// Number of cells from the surface to the centre, about; at least 4 in each layer.
    pub cells: usize,
    /// Error allowed in one step of time, relative to the largest difference of concentration.
    pub tolerance: f64,
}

impl SoakOptions {
    /// A piece without the solute, looked at at these times; 100 cells, tolerance 1e-7.
    #[must_use]
    pub fn at(times: &[f64]) -> Self {
        Self { initial: 0.0, times: times.to_vec(), cells: 100, tolerance: 1e-7 }
    }
}

/// The piece at one time.
#[derive(Debug, Clone, PartialEq)]
pub struct Moment {
    /// Time from the start, s.
    pub time: f64,
    /// Mean concentration in the solution of the wood.
    pub mean: f64,
    /// Concentration in the centre.
    pub centre: f64,
    /// What came in through the surface since the start, as a mean concentration: the mean less the initial one, summed up by another
    /// way.
    pub entered: f64,
    /// Concentration in each cell, in the order of [`Soaking::places`].
    pub concentration: Vec<f64>,
}

/// What a soaking came to.
#[derive(Debug, Clone, PartialEq)]
pub struct Soaking {
    /// Distance of the middle of each cell from the centre, m, one number a direction.
    pub places: Vec<Vec<f64>>,
    /// The piece at each of the times that were asked for.
    pub moments: Vec<Moment>,
    /// Steps of time that were taken.
    pub n_steps: usize,
}

/// Cells that can be advanced in time.
pub(super) trait Cells {
    fn n_cells(&self) -> usize;
    /// What each cell holds at a concentration of 1.
    fn store(&self) -> &[f64];
    /// The time in which the quickest cell follows its neighbours, s.
    fn quickest(&self) -> f64;
    fn advance(&self, concentration: &mut [f64], bath: f64, time: f64, room: &mut Room) -> Stepped;
    fn centre(&self, concentration: &[f64]) -> f64;
    fn places(&self) -> Vec<Vec<f64>>;
}

/// Smallest and largest factor from one step to the next, and the share of the best length that is taken.
const GROWTH: [f64; 2] = [0.2, 4.0];
const CAREFUL: f64 = 0.9;
/// A first step this small beside the quickest cell is exact enough for any tolerance.
const FIRST: f64 = 1e-2;
const LEAST: f64 = 1e-9;
/// What rounding may make of an estimated error, relative to the largest concentration.
const ROUNDING: f64 = 1e-13;

pub(super) fn soak(
    cells: &impl Cells,
    baths: &[BathStep],
    options: &SoakOptions,
    watch: &Watch<'_>,
) -> Result<Soaking> {
    let end = checked(baths, options)?;
    let strengths = || baths.iter().map(|bath| bath.concentration);
    let [low, high] = [strengths().fold(options.initial, f64::min), strengths().fold(options.initial, f64::max)];
    let allowed = (options.tolerance * (high - low)).max(ROUNDING * high);
    let whole: f64 = cells.store().iter().sum();
    let least = LEAST * cells.quickest();

    let mut now = vec![options.initial; cells.n_cells()];
    let (mut next, mut room) = (now.clone(), Room::default());
    let (mut entered, mut n_steps, mut begin) = (0.0, 0, 0.0);
    let mut moments = Vec::with_capacity(options.times.len());
    let mut times = options.times.iter().copied().peekable();
    let moment = |time, now: &[f64], entered: f64| Moment {
        time,
        mean: now.iter().zip(cells.store()).map(|(c, store)| c * store).sum::<f64>() / whole,
        centre: cells.centre(now).clamp(low, high),
        entered: entered / whole,
        concentration: now.to_vec(),
    };
    while let Some(time) = times.next_if(|time| *time <= 0.0) {
        moments.push(moment(time, &now, entered));
    }
    for (index, bath) in baths.iter().enumerate() {
        // Times within a bath count from its beginning, so that short steps after a long treatment keep their digits.
        let is_last = index + 1 == baths.len();
        let (mut at, mut step) = (0.0, FIRST * cells.quickest());
        while at < bath.duration {
            let wanted =
                times.peek().filter(|time| **time <= begin + bath.duration || is_last).map(|time| time - begin);
            let goal = wanted.unwrap_or(bath.duration).min(bath.duration);
            let is_cut = step >= goal - at;
            let taken = if is_cut { goal - at } else { step };
            next.copy_from_slice(&now);
            let stepped = cells.advance(&mut next, bath.concentration, taken, &mut room);
            let ratio = if high > 0.0 { stepped.error / allowed } else { 0.0 };
            let factor = (CAREFUL / ratio.cbrt()).clamp(GROWTH[0], GROWTH[1]);
            if ratio > 1.0 && taken > least {
                step = taken * factor;
                continue;
            }
            std::mem::swap(&mut now, &mut next);
            entered += stepped.entered;
            n_steps += 1;
            at = if is_cut { goal } else { at + taken };
            // A step that was cut short says little about the next one, unless it says less.
            step = if is_cut { step.max(taken * factor) } else { taken * factor };
            while let Some(time) = times.next_if(|time| is_cut && *time - begin <= at) {
                moments.push(moment(time, &now, entered));
            }
            watch.advance("baths", index, baths.len())?;
        }
        begin += bath.duration;
    }
    watch.advance("baths", baths.len(), baths.len())?;
    // The last time may lie behind the end of the last bath by a rounding.
    moments.extend(times.map(|time| moment(time.min(end), &now, entered)));
    Ok(Soaking { places: cells.places(), moments, n_steps })
}

fn concentration(name: &str, value: f64) -> Result<()> {
    if value > 0.0 { check::bounded(name, value) } else { check::not_negative(name, value) }
}

/// The end of the last bath, s.
fn checked(baths: &[BathStep], options: &SoakOptions) -> Result<f64> {
    if baths.is_empty() {
        return Err(range("number of baths", 0.0, "at least 1"));
    }
    for bath in baths {
        check::bounded("duration of a bath", bath.duration)?;
        concentration("concentration of a bath", bath.concentration)?;
    }
    concentration("initial concentration", options.initial)?;
    if !(options.tolerance >= 1e-12 && options.tolerance <= 1e-2) {
        return Err(range("tolerance", options.tolerance, "a number from 1e-12 to 0.01"));
    }
    let end: f64 = baths.iter().map(|bath| bath.duration).sum();
    let mut before = 0.0;
    for time in &options.times {
        if !(*time >= before && *time <= end) {
            let allowed = format!("a time from {before} s, the one before it, to {end} s, the end of the last bath");
            return Err(range("time to look at", *time, allowed));
        }
        before = *time;
    }
    Ok(end)
}
