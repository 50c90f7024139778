//! Diffusivity from the mass of a timber that is weighed again and again.

use super::profile_fit::{Limits, best_between, rising_line};
use super::uptake_table::UptakeTable;
use super::{BathHistory, Body, check};
use crate::error::Result;

/// A timber weighed once.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weighing {
    /// When, s.
    pub time: f64,
    /// Mass after draining, kg.
    pub mass: f64,
    /// One standard uncertainty, kg; `None` where unknown.
    pub u: Option<f64>,
}

/// Diffusivity, and what else follows from the masses of a timber.
#[derive(Debug, Clone, PartialEq)]
pub struct CourseFit {
    /// D across the grain, m²/s.
    pub diffusivity: f64,
    /// Its interval; `None` for an end that the masses leave open.
    pub interval: [Option<f64>; 2],
    /// Mass without impregnant, kg.
    pub start_mass: f64,
    /// What the timber gains in a bath of concentration 1 that it stands with, kg.
    pub gain: f64,
    /// Mass by the fit, at each weighing, kg.
    pub fitted: Vec<f64>,
    /// Standard deviation of the masses about the fit, kg.
    pub scatter: f64,
    /// Weighings less parameters.
    pub freedom: usize,
}

/// How the mass of a timber follows its concentration, `m = m₀ + G c`, at one diffusivity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CourseLine {
    /// m₀: mass without impregnant, kg.
    pub start_mass: f64,
    /// G: gain in a bath of concentration 1, kg.
    pub gain: f64,
}

/// The best line of masses at a diffusivity that is given: what [`fit_course`] does for each one that it tries.
///
/// * `body`: with the diffusivity in m²/s; the other arguments as in [`fit_course`]
///
/// # Errors
/// No weighing.
///
/// # Example
/// ```
/// use woodstate::treatment::{BathHistory, Body, Ranged, Weighing, course_line};
/// let board = Body::slab(0.02, Ranged::exact(1e-11)?)?;
/// let bath = BathHistory::new(&[0.0], &[100.0])?;
/// let weigh = |time: f64, mass: f64| Weighing { time, mass, u: None };
/// // After ages the board holds what the bath holds.
/// let line = course_line(&board, &bath, &[weigh(0.0, 40.0), weigh(1e12, 41.0)])?;
/// assert!((line.start_mass - 40.0).abs() < 1e-9 && (line.gain - 0.01).abs() < 1e-12);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
pub fn course_line(body: &Body, bath: &BathHistory, weighings: &[Weighing]) -> Result<CourseLine> {
    if weighings.is_empty() {
        return Err(check::range("number of weighings", 0.0, "at least 1"));
    }
    let followed: Vec<f64> =
        weighings.iter().map(|weighing| bath.average(body, weighing.time)).collect::<Result<_>>()?;
    let masses: Vec<f64> = weighings.iter().map(|weighing| weighing.mass).collect();
    let (start_mass, gain, _) = rising_line(&followed, &masses, &weights(weighings).0);
    Ok(CourseLine { start_mass, gain })
}

/// Weights of weighings, and whether all have a known uncertainty.
fn weights(weighings: &[Weighing]) -> (Vec<f64>, bool) {
    let known: Option<Vec<f64>> =
        weighings.iter().map(|weighing| weighing.u.filter(|u| *u > 0.0).map(|u| 1.0 / (u * u))).collect();
    match known {
        Some(weights) => (weights, true),
        None => (vec![1.0; weighings.len()], false),
    }
}

/// Parameters: diffusivity, mass at first, gain.
const PARAMETERS: usize = 3;
/// Weighings that a fit needs at least.
const LEAST: usize = PARAMETERS + 2;
/// Reduced times, by the whole course and the quickest way, between which a diffusivity is sought.
const REACH: [f64; 2] = [1e-5, 1e2];
/// Shortest time since a step of the bath that is looked up in a table, as a share of the course.
const SHORTEST: f64 = 1e-3;

/// Fits one diffusivity through all weighings of a timber, in a bath that was strengthened step by step.
///
/// ```text
/// m(t) = m₀ + G c(t; D)
/// ```
///
/// * m₀: mass without impregnant, kg; G: gain, kg in the unit of the bath; both are found with D
/// * c(t; D): mean concentration in the wood, [`BathHistory::average`]
///
/// The pores keep their volume, and solution takes the place of water. The density of a solution whose solute has a constant
/// apparent volume rises in proportion to its mass per volume, so the mass of the timber does too. For each D the best m₀ and G
/// are those of a straight line (G not below 0); D is sought by its logarithm, and its interval is that of the profile: all D
/// whose squares S are at most `S_min (1 + F/ν)`, F of Fisher's distribution with 1 and ν degrees of freedom, ν = n − 3. Where every
/// weighing has an uncertainty, weights are 1/u² and the limit is `S_min + χ² max(1, S_min/ν)`.
///
/// * `body`: with diffusivity 1 m²/s across the grain, and its ratio to that along the grain
/// * `coverage`: of the interval, between 0 and 1
///
/// # Errors
/// Fewer than 5 weighings, a mass that is not above 0, a coverage outside 0 to 1; masses that do not rise with the bath.
///
/// # Example
/// ```
/// use woodstate::treatment::{BathHistory, Body, Ranged, Weighing, fit_course};
/// let day = 86_400.0;
/// let board = Body::slab(0.02, Ranged::exact(1.0)?)?;
/// let bath = BathHistory::new(&[0.0, 120.0 * day], &[100.0, 200.0])?;
/// // What a diffusivity of 2e-11 m²/s would give.
/// let truth = Body::slab(0.02, Ranged::exact(2e-11)?)?;
/// let weighings: Vec<Weighing> = (0..12)
///     .map(|k| {
///         let time = 30.0 * day * f64::from(k);
///         let mass = 40.0 + 0.01 * bath.average(&truth, time).unwrap_or(0.0) + if k % 2 == 0 { 1e-4 } else { -1e-4 };
///         Weighing { time, mass, u: None }
///     })
///     .collect();
/// let fit = fit_course(&board, &bath, &weighings, 0.95)?;
/// assert!((fit.diffusivity / 2e-11 - 1.0).abs() < 1e-2);
/// assert!(matches!(fit.interval, [Some(low), Some(high)] if low < 2e-11 && 2e-11 < high));
/// # Ok::<(), woodstate::error::Error>(())
/// ```
///
/// # Source
/// Variable projection: Golub GH, Pereyra V 1973, SIAM J. Numer. Anal. 10:413; profile interval: Bates DM, Watts DG 1988,
/// Nonlinear Regression Analysis and Its Applications, Wiley, chapter 6 (both from memory).
pub fn fit_course(body: &Body, bath: &BathHistory, weighings: &[Weighing], coverage: f64) -> Result<CourseFit> {
    if weighings.len() < LEAST {
        return Err(check::range("number of weighings", check::real(weighings.len()), format!("at least {LEAST}")));
    }
    for weighing in weighings {
        check::positive("mass of a timber", weighing.mass)?;
    }
    let masses: Vec<f64> = weighings.iter().map(|weighing| weighing.mass).collect();
    let (weights, is_known) = weights(weighings);
    let last = weighings.iter().map(|weighing| weighing.time).fold(f64::NEG_INFINITY, f64::max);
    let span = last - bath.first_begin();
    check::positive("time from the first bath to the last weighing, s", span)?;
    let reach = REACH.map(|reduced| reduced * body.quickest() / span);
    // The shortest time since a step of the bath that matters is a hundredth of the course or so.
    let table = UptakeTable::new(body, [SHORTEST * span * reach[0], span * reach[1]]);
    let followed = |diffusivity: f64| -> Vec<f64> {
        let left = |scaled: f64| table.left(scaled);
        weighings.iter().map(|weighing| bath.followed(weighing.time, diffusivity, left)).collect()
    };
    let squares = |diffusivity: f64| rising_line(&followed(diffusivity), &masses, &weights).2;
    let limits = Limits { freedom: masses.len() - PARAMETERS, is_known, coverage };
    let best = best_between(reach, squares, &limits)?;
    let concentrations = followed(best.value);
    let (start_mass, gain, _) = rising_line(&concentrations, &masses, &weights);
    if gain <= 0.0 {
        let allowed = "above 0; the masses do not rise with the bath";
        return Err(check::range("gain of mass with concentration", gain, allowed));
    }
    best.is_inside(reach)?;
    let fitted: Vec<f64> = concentrations.iter().map(|c| start_mass + gain * c).collect();
    let left: f64 = fitted.iter().zip(&masses).map(|(fit, mass)| (fit - mass).powi(2)).sum();
    let freedom = masses.len() - PARAMETERS;
    Ok(CourseFit {
        diffusivity: best.value,
        interval: best.interval,
        start_mass,
        gain,
        fitted,
        scatter: (left / check::real(freedom)).sqrt(),
        freedom,
    })
}
