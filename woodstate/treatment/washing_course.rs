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

/// Steps of time in a bath; they are short at its beginning, where salt comes fast.
const STEPS: usize = 16;

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
    let response = Response::new(bodies, diffusivity, end);
    Ok(in_baths(&response, baths, moments, end))
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

/// A stretch of time in which the bath changed from one value to another.
struct Stretch {
    from: f64,
    to: f64,
    change: f64,
}

/// Jumps and stretches of the bath so far.
struct Past<'a> {
    response: &'a Response,
    /// When the bath fell to fresh water, and by how much.
    jumps: Vec<(f64, f64)>,
    stretches: Vec<Stretch>,
}

impl Past<'_> {
    /// Mean over the wood at a time, by what the bath did before.
    fn wood(&self, time: f64) -> f64 {
        let jumped: f64 = self.jumps.iter().map(|(at, by)| by * self.response.uptake(time - at)).sum();
        let run: f64 = self.stretches.iter().map(|s| s.change * self.mean(time - s.to, time - s.from)).sum();
        1.0 + jumped + run
    }

    /// Mean of E between two elapsed times.
    fn mean(&self, low: f64, high: f64) -> f64 {
        (self.response.integral(high) - self.response.integral(low)) / (high - low)
    }
}

pub(super) fn in_baths(response: &Response, baths: &[WashBath], moments: &[WashMoment], end: f64) -> Vec<f64> {
    let mut past = Past { response, jumps: Vec::new(), stretches: Vec::new() };
    // The surface falls from 1 to fresh water at first, later from the bath before.
    let mut fall = 1.0;
    let mut found = vec![0.0; moments.len()];
    for (k, bath) in baths.iter().enumerate() {
        past.jumps.push((bath.begin, -fall));
        let until = baths.get(k + 1).map_or(end, |next| next.begin);
        let at_first = past.wood(bath.begin);
        let (mut value, mut time) = (0.0, bath.begin);
        let mut nodes = vec![(time, value)];
        for j in 1..=STEPS {
            let part = check::real(j) / check::real(STEPS);
            let next = bath.begin + (until - bath.begin) * part * part;
            if next <= time {
                continue;
            }
            let so_far = past.wood(next);
            let own = past.mean(0.0, next - time);
            // b + (b − b₀) E/r = (c_k − c)/r, c by what came before.
            let solved = ((at_first - so_far) / bath.ratio + value * own / bath.ratio) / (1.0 + own / bath.ratio);
            past.stretches.push(Stretch { from: time, to: next, change: solved - value });
            (value, time) = (solved, next);
            nodes.push((time, value));
        }
        for (moment, place) in moments.iter().zip(&mut found).filter(|(moment, _)| moment.bath == k) {
            *place = along(&nodes, moment.time, bath.begin);
        }
        fall = value;
    }
    found
}

/// A value between nodes, straight in the root of the time since the bath began.
fn along(nodes: &[(f64, f64)], time: f64, begin: f64) -> f64 {
    let root = |time: f64| (time - begin).max(0.0).sqrt();
    let after = nodes.iter().position(|(at, _)| *at >= time).unwrap_or(nodes.len() - 1).max(1);
    match (nodes.get(after - 1), nodes.get(after)) {
        (Some((t0, b0)), Some((t1, b1))) => b0 + (b1 - b0) * (root(time) - root(*t0)) / (root(*t1) - root(*t0)),
        (Some((_, b)), None) | (None, Some((_, b))) => *b,
        (None, None) => 0.0,
    }
}
