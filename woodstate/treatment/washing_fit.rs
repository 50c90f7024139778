//! Diffusivity from the water of a tank in which wood is washed.

use std::cell::RefCell;

use super::profile_fit::{Limits, best_between, golden, rising_line};
use super::response::Response;
use super::washing_course::{WashPlan, checked};
use super::{Body, WashBath, WashMoment, check};
use crate::error::Result;

/// A reading of the water of a bath.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WashReading {
    /// In which bath, and when.
    pub moment: WashMoment,
    /// Chloride, or conductivity, in any unit.
    pub value: f64,
}

/// What the readings of a tank say.
#[derive(Debug, Clone, PartialEq)]
pub struct WashingFit {
    /// D across the grain, m²/s.
    pub diffusivity: f64,
    /// Its interval; `None` for an end that the readings leave open.
    pub interval: [Option<f64>; 2],
    /// Water of the first bath over water in the wood, by volume.
    pub ratio: f64,
    /// In fresh water, in the unit of the readings.
    pub fresh: f64,
    /// What stood in the water of the wood at first, in the unit of the readings.
    pub in_wood_at_first: f64,
    /// The bath by the fit, at each reading.
    pub fitted: Vec<f64>,
    /// Standard deviation of the readings about the fit.
    pub scatter: f64,
    /// Readings less parameters.
    pub freedom: usize,
}

/// Parameters: diffusivity, ratio, fresh water, wood at first.
const PARAMETERS: usize = 4;
const LEAST: usize = PARAMETERS + 2;
/// Reduced times between which a diffusivity is sought, and ratios of water.
const REACH: [f64; 2] = [1e-4, 1e2];
const RATIOS: [f64; 2] = [0.1, 1000.0];

/// Fits one diffusivity through the readings of all baths of a tank.
///
/// ```text
/// y = y_f + (y_w − y_f) b(t; D, r)
/// ```
///
/// * b: [`washing_course`](crate::treatment::washing_course), which carries what is left inside the wood from bath to bath
/// * `y_f`: of fresh water, `y_w`: of the water in the wood at first; both are found, since y is linear in them
/// * r: water of the first bath over water in the wood; it is found with D
///
/// The interval of D is that of the profile over all else: squares S up to `S_min (1 + F/ν)`, ν = n − 4.
///
/// * `bodies`: each with diffusivity 1 m²/s across the grain, and its share of the water in the wood
/// * `baths`: begins in s, and `ratio` as the volume of each bath in any unit
///
/// # Errors
/// Fewer than 6 readings; what [`washing_course`](crate::treatment::washing_course) refuses; readings that
/// do not rise in the baths.
///
/// # Example
/// ```
/// use woodstate::treatment::{Body, Ranged, WashBath, WashMoment, WashReading, fit_washing, washing_course};
/// let day = 86_400.0;
/// let board = || -> woodstate::error::Result<_> { Ok((Body::slab(0.03, Ranged::exact(1.0)?)?, 1.0)) };
/// let baths = [0.0, 56.0].map(|begin| WashBath { begin: begin * day, ratio: 6.0 });
/// let moments = [7.0, 21.0, 56.0, 63.0, 77.0, 112.0];
/// let moments = moments.map(|at| WashMoment { bath: usize::from(at > 56.0), time: at * day });
/// // What a diffusivity of 2e-11 m²/s would give, in mg/L of chloride.
/// let truth = washing_course(&[board()?], 2e-11, &baths, &moments)?;
/// let readings: Vec<WashReading> = moments
///     .iter()
///     .zip(truth)
///     .map(|(moment, share)| WashReading { moment: *moment, value: 22.0 + 3800.0 * share })
///     .collect();
/// let fit = fit_washing(&[board()?], &baths, &readings, 0.95)?;
/// assert!((fit.diffusivity / 2e-11 - 1.0).abs() < 1e-3 && (fit.ratio - 6.0).abs() < 1e-2);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
///
/// # Source
/// As [`fit_course`](crate::treatment::fit_course).
pub fn fit_washing(
    bodies: &[(Body, f64)],
    baths: &[WashBath],
    readings: &[WashReading],
    coverage: f64,
) -> Result<WashingFit> {
    if readings.len() < LEAST {
        return Err(check::range("number of readings", check::real(readings.len()), format!("at least {LEAST}")));
    }
    let moments: Vec<WashMoment> = readings.iter().map(|reading| reading.moment).collect();
    let values: Vec<f64> = readings.iter().map(|reading| reading.value).collect();
    let weights = vec![1.0; values.len()];
    let end = checked(bodies, baths, &moments)?;
    let first = baths.first().map_or(1.0, |bath| bath.ratio);
    let with_ratio = |ratio: f64| -> Vec<f64> { baths.iter().map(|bath| ratio * bath.ratio / first).collect() };
    let plan = WashPlan::new(baths, &moments, end);
    // The ratio that fits best at the diffusivity that was tried last.
    let found: RefCell<Option<f64>> = RefCell::new(None);
    let squares = |diffusivity: f64| {
        let kernel = plan.kernel(&Response::new(bodies, diffusivity, end));
        let of = |log: f64| rising_line(&plan.solved(&kernel, &with_ratio(log.exp())), &values, &weights).2;
        let steps = 24;
        let [low, high] = RATIOS.map(f64::ln);
        let at = |k: usize| low + (high - low) * check::real(k) / check::real(steps);
        let grid: Vec<f64> = (0..=steps).map(|k| of(at(k))).collect();
        let place = (0..=steps).fold(0, |best, k| if grid[k] < grid[best] { k } else { best });
        let (log, least) = golden([at(place.saturating_sub(1)), at((place + 1).min(steps))], &of);
        *found.borrow_mut() = Some(log.exp());
        least.min(grid[place])
    };
    let quickest = bodies.iter().map(|(body, _)| body.quickest()).fold(f64::INFINITY, f64::min);
    let reach = REACH.map(|reduced| reduced * quickest / end);
    let limits = Limits { freedom: values.len() - PARAMETERS, is_known: false, coverage };
    let best = best_between(reach, squares, &limits)?;
    squares(best.value);
    let ratio = found.borrow().unwrap_or(first);
    let kernel = plan.kernel(&Response::new(bodies, best.value, end));
    let shares = plan.solved(&kernel, &with_ratio(ratio));
    let (fresh, factor, left) = rising_line(&shares, &values, &weights);
    if factor <= 0.0 {
        let allowed = "above 0; the readings do not rise in the baths";
        return Err(check::range("rise of the bath by the fit", factor, allowed));
    }
    best.is_inside(reach)?;
    let freedom = values.len() - PARAMETERS;
    Ok(WashingFit {
        diffusivity: best.value,
        interval: best.interval,
        ratio,
        fresh,
        in_wood_at_first: fresh + factor,
        fitted: shares.iter().map(|share| fresh + factor * share).collect(),
        scatter: (left / check::real(freedom)).sqrt(),
        freedom,
    })
}
