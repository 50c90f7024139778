//! What the water of a tank shows while salt comes out of the wood, one bath after the other.

use super::response::Response;
use super::{Body, check};
use crate::error::Result;

/// A bath of fresh water in which pieces are washed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WashBath {
    /// When it begins, s; the first at 0.
    pub begin: f64,
    /// Water of the bath over water in the wood, by volume.
    pub ratio: f64,
}

/// A time to look at a bath.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WashMoment {
    /// Which bath, from 0. At the time of a change the bath before it is the old water.
    pub bath: usize,
    /// When, s.
    pub time: f64,
}

/// Steps of time in a bath, besides the moments; they are short at its beginning, where salt comes fast.
const STEPS: usize = 24;

/// Salt in the bath, as a share of what stood in the water of the wood at first, both over that of fresh water; 0 to 1.
///
/// ```text
/// b_k V_k = V_w (c(t_k) − c(t)),  c(t) = 1 + ∫ E(t − s) dc_s,  c_s = b,  b(t_k) = 0
/// ```
///
/// * b: in the bath; `V_k`: volume of bath k, `V_w`: water in the wood, their ratio that of [`WashBath`]
/// * c: mean over the pieces; `c_s`: at their surface, that of the bath; `t_k`: begin of bath k
/// * E: share of the final uptake of all pieces together, each by its share of the water
///
/// What is left inside the wood at a change goes on from there: the integral runs over the whole history. Baths are stirred and
/// closed. It is solved step by step, b straight between steps; against the series of one stirred bath it agrees to 1e-4.
///
/// * `bodies`: each with diffusivity 1 m²/s across the grain, and its share of the water in the wood, above 0, any unit
/// * `diffusivity`: D, m²/s
/// * `moments`: when to look, in the order of time
///
/// # Errors
/// No piece, no bath, baths out of order, a ratio or diffusivity that is not above 0, a moment that is not in its bath.
///
/// # Example
/// ```
/// use woodstate::treatment::{Body, Ranged, WashBath, WashMoment, washing_course};
/// let board = Body::slab(0.02, Ranged::exact(1.0)?)?;
/// // Four times as much water as in the wood, left standing: a fifth of the concentration in the end.
/// let bath = WashBath { begin: 0.0, ratio: 4.0 };
/// let late = WashMoment { bath: 0, time: 1e9 };
/// let found = washing_course(&[(board, 1.0)], 1e-11, &[bath], &[late])?;
/// assert!((found[0] - 0.2).abs() < 1e-3);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
///
/// # Source
/// Balance of masses, with Duhamel's principle (Crank 1975, section 3.2, from memory); derived.
pub fn washing_course(
    bodies: &[(Body, f64)],
    diffusivity: f64,
    baths: &[WashBath],
    moments: &[WashMoment],
) -> Result<Vec<f64>> {
    check::positive("diffusivity", diffusivity)?;
    let end = checked(bodies, baths, moments)?;
    let plan = WashPlan::new(baths, moments, end);
    let kernel = plan.kernel(&Response::new(bodies, diffusivity, end));
    let ratios: Vec<f64> = baths.iter().map(|bath| bath.ratio).collect();
    Ok(plan.solved(&kernel, &ratios))
}

/// The end of the last bath: the last moment.
pub(super) fn checked(bodies: &[(Body, f64)], baths: &[WashBath], moments: &[WashMoment]) -> Result<f64> {
    if bodies.is_empty() {
        return Err(check::range("number of pieces", 0.0, "at least 1"));
    }
    for (_, weight) in bodies {
        check::positive("water in a piece", *weight)?;
    }
    let mut last = f64::NEG_INFINITY;
    for (k, bath) in baths.iter().enumerate() {
        check::positive("bath water over wood water", bath.ratio)?;
        let is_first = k > 0 || (bath.begin.abs() <= 0.0);
        if !(is_first && bath.begin > last && bath.begin.is_finite()) {
            let allowed = "0 for the first, and for each other a time after the begin of the bath before it";
            return Err(check::range("begin of a bath", bath.begin, allowed));
        }
        last = bath.begin;
    }
    let end = moments.iter().map(|moment| moment.time).fold(0.0, f64::max);
    for moment in moments {
        let begin = baths.get(moment.bath).map_or(f64::INFINITY, |bath| bath.begin);
        let change = baths.get(moment.bath + 1).map_or(f64::INFINITY, |bath| bath.begin);
        if !(moment.time >= begin && moment.time <= change) {
            let allowed = format!("a time in bath {}, {begin} to {change} s", moment.bath + 1);
            return Err(check::range("time to look at a bath", moment.time, allowed));
        }
    }
    check::positive("time from the first bath to the last reading, s", end.max(last))?;
    Ok(end.max(last))
}

/// The steps of time of all baths.
pub(super) struct WashPlan {
    begins: Vec<f64>,
    /// Bath, begin and end of each step, in their order.
    steps: Vec<(usize, f64, f64)>,
    /// The step that ends at each moment; none where its bath begins.
    at: Vec<Option<usize>>,
}

/// What the past counts at the end of each step, at one diffusivity.
pub(super) struct WashKernel {
    /// E since each bath began, one row a step.
    jumps: Vec<Vec<f64>>,
    /// Mean of E over each step up to this one, one row a step.
    runs: Vec<Vec<f64>>,
}

impl WashPlan {
    pub(super) fn new(baths: &[WashBath], moments: &[WashMoment], end: f64) -> Self {
        let begins: Vec<f64> = baths.iter().map(|bath| bath.begin).collect();
        let mut steps: Vec<(usize, f64, f64)> = Vec::new();
        for (bath, begin) in begins.iter().enumerate() {
            let until = begins.get(bath + 1).copied().unwrap_or(end);
            let part = |j: usize| (check::real(j) / check::real(STEPS)).powi(3);
            let mut ends: Vec<f64> = (1..=STEPS).map(|j| begin + (until - begin) * part(j)).collect();
            ends.extend(moments.iter().filter(|moment| moment.bath == bath).map(|moment| moment.time));
            ends.retain(|time| *time > *begin);
            ends.sort_by(f64::total_cmp);
            ends.dedup();
            let mut from = *begin;
            for to in ends {
                steps.push((bath, from, to));
                from = to;
            }
        }
        let ending = |moment: &WashMoment| {
            steps.iter().position(|(bath, _, to)| *bath == moment.bath && (to - moment.time).abs() <= 0.0)
        };
        let at = moments.iter().map(ending).collect();
        Self { begins, steps, at }
    }

    pub(super) fn kernel(&self, response: &Response) -> WashKernel {
        let jump = |(bath, _, time): &(usize, f64, f64)| {
            self.begins[..=*bath].iter().map(|begin| response.uptake(time - begin)).collect()
        };
        let run = |(place, (_, _, time)): (usize, &(usize, f64, f64))| {
            let mean = |(_, from, to): &(usize, f64, f64)| {
                (response.integral(time - from) - response.integral(time - to)) / (to - from)
            };
            self.steps[..=place].iter().map(mean).collect()
        };
        WashKernel {
            jumps: self.steps.iter().map(jump).collect(),
            runs: self.steps.iter().enumerate().map(run).collect(),
        }
    }

    /// The bath at each moment; ratios one a bath.
    pub(super) fn solved(&self, kernel: &WashKernel, ratios: &[f64]) -> Vec<f64> {
        // The surface falls from 1 to fresh water at first, later from the bath before.
        let mut falls = vec![1.0];
        let (mut changes, mut values) = (Vec::with_capacity(self.steps.len()), Vec::with_capacity(self.steps.len()));
        let (mut wood, mut at_first, mut value, mut now) = (1.0, 1.0, 0.0, 0);
        for ((bath, ..), (jumps, runs)) in self.steps.iter().zip(kernel.jumps.iter().zip(&kernel.runs)) {
            if *bath > now {
                (falls, at_first, now) = (falls.into_iter().chain([value]).collect(), wood, *bath);
                value = 0.0;
            }
            let jumped: f64 = falls.iter().zip(jumps).map(|(fall, uptake)| fall * uptake).sum();
            let run: f64 = changes.iter().zip(runs).map(|(change, mean): (&f64, &f64)| change * mean).sum();
            let so_far = 1.0 - jumped + run;
            let own = runs.last().copied().unwrap_or(0.0);
            let ratio = ratios.get(*bath).copied().unwrap_or(f64::INFINITY);
            // b + (b − b₀) E/r = (c_k − c)/r, c by what came before.
            let solved = (at_first - so_far + value * own) / (ratio + own);
            changes.push(solved - value);
            wood = so_far + (solved - value) * own;
            value = solved;
            values.push(solved);
        }
        self.at.iter().map(|step| step.and_then(|step| values.get(step).copied()).unwrap_or(0.0)).collect()
    }
}
