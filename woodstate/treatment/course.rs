//! How cells are taken through baths: steps of time as long as their error allows.

use super::line::Stepped;
use super::soaking::{BathStep, Moment, SoakOptions, Soaking};
use super::{check, check::range};
use crate::error::Result;
use crate::numeric::Watch;

/// Cells that can be advanced in time.
pub(super) trait Cells {
    /// Room for the work of a step, kept from one to the next.
    type Room: Default;
    /// What each cell holds at a concentration of 1.
    fn store(&self) -> &[f64];
    /// The time in which the quickest cell follows its neighbours, s.
    fn quickest(&self) -> f64;
    fn advance(&self, concentration: &mut [f64], bath: f64, time: f64, room: &mut Self::Room) -> Stepped;
    fn centre(&self, concentration: &[f64]) -> f64;
    fn places(&self) -> Vec<Vec<f64>>;
}

/// Smallest and largest factor from one step to the next, and the share of the best length that is taken.
const GROWTH: [f64; 2] = [0.2, 4.0];
const CAREFUL: f64 = 0.9;
/// The first step, and the shortest that is made to meet the tolerance, beside the quickest cell.
const FIRST: f64 = 1e-2;
const LEAST: f64 = 1e-9;
/// What rounding may make of an estimated error, relative to the largest concentration.
const ROUNDING: f64 = 1e-13;

/// The cells in one bath after the other.
pub(super) fn soak(
    cells: &impl Cells,
    baths: &[BathStep],
    options: &SoakOptions,
    watch: &Watch<'_>,
) -> Result<Soaking> {
    let end = checked(baths, options)?;
    let mut course = Course::new(cells, baths, options);
    let mut moments = Vec::with_capacity(options.times.len());
    let mut times = options.times.iter().copied().peekable();
    let mut begin = 0.0;
    for (index, bath) in baths.iter().enumerate() {
        // Times count from the beginning of a bath, so that short steps after a long treatment keep their digits.
        let (mut at, mut step) = (0.0, FIRST * cells.quickest());
        while let Some(time) = times.next_if(|time| *time <= begin) {
            moments.push(course.moment(time));
        }
        while at < bath.duration {
            watch.advance("baths", index, baths.len())?;
            let goal = times.peek().map_or(bath.duration, |time| bath.duration.min(time - begin));
            let is_cut = step >= goal - at;
            let taken = if is_cut { goal - at } else { step };
            let (is_made, best) = course.step(bath.concentration, taken);
            // A step that was cut short says little about the next one, unless it says less.
            step = if is_made && is_cut { step.max(best) } else { best };
            if is_made {
                at = if is_cut { goal } else { at + taken };
            }
            while let Some(time) = times.next_if(|time| time - begin <= at) {
                moments.push(course.moment(time));
            }
        }
        begin += bath.duration;
    }
    watch.advance("baths", baths.len(), baths.len())?;
    // The last time may lie behind the end of the last bath by a rounding.
    moments.extend(times.map(|time| course.moment(time.min(end))));
    Ok(Soaking { places: cells.places(), moments, n_steps: course.n_steps })
}

/// Where the cells stand.
struct Course<'a, C: Cells> {
    cells: &'a C,
    now: Vec<f64>,
    next: Vec<f64>,
    room: C::Room,
    entered: f64,
    n_steps: usize,
    /// Bounds of all concentrations.
    low: f64,
    high: f64,
    /// Error allowed in a step.
    allowed: f64,
    shortest: f64,
}

impl<'a, C: Cells> Course<'a, C> {
    fn new(cells: &'a C, baths: &[BathStep], options: &SoakOptions) -> Self {
        let strengths = || baths.iter().map(|bath| bath.concentration);
        let (low, high) = (strengths().fold(options.initial, f64::min), strengths().fold(options.initial, f64::max));
        let now = vec![options.initial; cells.store().len()];
        Self {
            cells,
            next: now.clone(),
            now,
            room: C::Room::default(),
            entered: 0.0,
            n_steps: 0,
            low,
            high,
            allowed: (options.tolerance * (high - low)).max(ROUNDING * high),
            shortest: LEAST * cells.quickest(),
        }
    }

    /// Makes a step if its error is allowed; tells whether, and how long a step would be best.
    fn step(&mut self, bath: f64, time: f64) -> (bool, f64) {
        self.next.copy_from_slice(&self.now);
        let stepped = self.cells.advance(&mut self.next, bath, time, &mut self.room);
        let ratio = if stepped.error > 0.0 { stepped.error / self.allowed } else { 0.0 };
        let best = time * (CAREFUL / ratio.cbrt()).clamp(GROWTH[0], GROWTH[1]);
        let is_made = ratio <= 1.0 || time <= self.shortest;
        if is_made {
            std::mem::swap(&mut self.now, &mut self.next);
            self.entered += stepped.entered;
            self.n_steps += 1;
        }
        (is_made, best)
    }

    fn moment(&self, time: f64) -> Moment {
        let store = self.cells.store();
        let whole: f64 = store.iter().sum();
        Moment {
            time,
            mean: self.now.iter().zip(store).map(|(c, store)| c * store).sum::<f64>() / whole,
            centre: self.cells.centre(&self.now).clamp(self.low, self.high),
            entered: self.entered / whole,
            concentration: self.now.clone(),
        }
    }
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
