//! Uniform wood of a simple shape in one bath after the other.

use super::soaking::BathStep;
use super::{Body, check};
use crate::error::Result;

/// A body in one bath after the other: the sum of what each change of the bath brings in.
///
/// ```text
/// c(t) = c₀ + Σ (c_i − c_{i−1}) E(t − t_i)
/// ```
///
/// * `c₀`: concentration in the wood at first; `c_i`: that of bath i from its time `t_i` on; E: share of the final uptake of
///   one endless bath ([`Body::uptake`], or [`Body::centre`])
///
/// Diffusion is linear, so shares add up. The last bath goes on without end.
///
/// # Example
/// ```
/// use woodstate::treatment::{BathStep, Body, Ranged, Steeping};
/// let days = 86_400.0;
/// let board = Body::slab(0.02, Ranged::exact(1e-11)?)?;
/// let baths = [100.0, 200.0].map(|concentration| BathStep { duration: 300.0 * days, concentration });
/// let steeping = Steeping::new(board, 0.0, &baths)?;
/// // After the first bath as in one endless bath of 100 ...
/// assert!((steeping.mean(300.0 * days)?[0] - 84.21).abs() < 0.01);
/// // ... and of the second, half is missing for as long as the first once did.
/// assert!(steeping.mean(600.0 * days)?[0] > 180.0);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
///
/// # Source
/// Superposition (Duhamel), Carslaw HS, Jaeger JC 1959, Conduction of Heat in Solids, section 1.14 (from memory).
#[derive(Debug, Clone, PartialEq)]
pub struct Steeping {
    /// The body with the value, the lower end, the upper end of its diffusivities, and with some between.
    bodies: Vec<Body>,
    initial: f64,
    baths: Vec<BathStep>,
}

/// Diffusivities between the ends of an interval at which a mean is looked at: it may be highest or lowest at one of them
/// where a bath is weaker than the one before.
const BETWEEN: u32 = 9;

impl Steeping {
    /// A body whose surface follows the baths.
    ///
    /// * `initial`: concentration in the wood at first, in the unit of the baths
    ///
    /// # Errors
    /// No bath; a duration that is not above 0; a concentration below 0.
    pub fn new(body: Body, initial: f64, baths: &[BathStep]) -> Result<Self> {
        check::not_negative("concentration in the wood at first", initial)?;
        if baths.is_empty() {
            return Err(check::range("number of baths", 0.0, "at least 1"));
        }
        for bath in baths {
            check::positive("duration of a bath", bath.duration)?;
            check::not_negative("concentration of a bath", bath.concentration)?;
        }
        let mut bodies = vec![body.at_value()];
        bodies.extend((0..=BETWEEN).map(|step| body.at_part(f64::from(step) / f64::from(BETWEEN))));
        Ok(Self { bodies, initial, baths: baths.to_vec() })
    }

    /// Mean concentration after a time in s: by the diffusivities as they stand, the lowest and the highest in their intervals.
    ///
    /// # Errors
    /// A time that is not above 0.
    pub fn mean(&self, time: f64) -> Result<[f64; 3]> {
        self.spread(time, |body, time| body.uptake(time).map(|share| share.value()))
    }

    /// Concentration in the centre, likewise.
    ///
    /// # Errors
    /// A time that is not above 0.
    pub fn centre(&self, time: f64) -> Result<[f64; 3]> {
        self.spread(time, |body, time| body.centre(time).map(|share| share.value()))
    }

    fn spread(&self, time: f64, share: impl Fn(&Body, f64) -> Result<f64>) -> Result<[f64; 3]> {
        check::positive("time", time)?;
        let mut all = Vec::with_capacity(self.bodies.len());
        for body in &self.bodies {
            all.push(self.of(body, time, &share)?);
        }
        let low = all.iter().copied().fold(f64::INFINITY, f64::min);
        let high = all.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        Ok([all.first().copied().unwrap_or(self.initial), low, high])
    }

    fn of(&self, body: &Body, time: f64, share: impl Fn(&Body, f64) -> Result<f64>) -> Result<f64> {
        let (mut value, mut before, mut from) = (self.initial, self.initial, 0.0);
        for bath in &self.baths {
            if time <= from {
                break;
            }
            value += (bath.concentration - before) * share(body, time - from)?;
            (before, from) = (bath.concentration, from + bath.duration);
        }
        Ok(value)
    }

    /// Time until the mean has come to a concentration, s: by the diffusivities as they stand, the soonest and the latest in their intervals;
    /// `None` where the last bath never brings it there.
    ///
    /// # Errors
    /// A concentration below 0, or baths that are not each stronger than what was before.
    pub fn time_to_mean(&self, concentration: f64) -> Result<Option<[f64; 3]>> {
        self.time_to(concentration, |body, time| body.uptake(time).map(|share| share.value()))
    }

    /// The same for the centre.
    ///
    /// # Errors
    /// As [`time_to_mean`](Self::time_to_mean).
    pub fn time_to_centre(&self, concentration: f64) -> Result<Option<[f64; 3]>> {
        self.time_to(concentration, |body, time| body.centre(time).map(|share| share.value()))
    }

    fn time_to(&self, target: f64, share: impl Fn(&Body, f64) -> Result<f64>) -> Result<Option<[f64; 3]>> {
        check::not_negative("concentration", target)?;
        let mut before = self.initial;
        for bath in &self.baths {
            if bath.concentration < before {
                let allowed =
                    format!("at least {before}, that of the bath before: a time is told for rising baths only");
                return Err(check::range("concentration of a bath", bath.concentration, allowed));
            }
            before = bath.concentration;
        }
        // Nothing comes quite to its bath, and a target that is there already takes no time.
        if target >= before * (1.0 - 1e-9) {
            return Ok(None);
        }
        if target <= self.initial {
            return Ok(Some([0.0; 3]));
        }
        let slowest = self.bodies.iter().map(Body::slowest).fold(0.0, f64::max);
        let end: f64 = self.baths.iter().map(|bath| bath.duration).sum();
        // A rising curve, the same for all diffusivities, so the ends of the interval are those of the time.
        let ends = [self.bodies.first(), self.bodies.last(), self.bodies.get(1)];
        let mut times = [0.0; 3];
        for (time, body) in times.iter_mut().zip(ends.into_iter().flatten()) {
            let distance = |time: f64| self.of(body, time, &share).map(|value| value - target);
            *time = crossing(distance, end + 20.0 * slowest)?;
        }
        Ok(Some(times))
    }
}

/// Where a rising function of time passes 0, s.
fn crossing(distance: impl Fn(f64) -> Result<f64>, end: f64) -> Result<f64> {
    let (mut low, mut high) = (0.0, end);
    while high - low > 1e-12 * high {
        let middle = f64::midpoint(low, high);
        if middle <= low || middle >= high {
            break;
        }
        if distance(middle)? < 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    Ok(high)
}
