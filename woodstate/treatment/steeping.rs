//! Uniform wood in one bath after the other, where its diffusivity lies in an interval.

use super::forecast::Whereabouts;
use super::soaking::BathStep;
use super::{BathHistory, Body, check};
use crate::error::Result;
use crate::numeric::root_between;

/// A body in one bath after the other, with all diffusivities of its intervals.
///
/// What [`BathHistory`] gives for one diffusivity is looked at for the value, for both ends of the interval and for some between: where a bath
/// is weaker than the one before, wood holds most at a diffusivity between the ends. The last bath goes on without end.
///
/// # Example
/// ```
/// use woodstate::treatment::{BathStep, Body, Ranged, Steeping, Whereabouts};
/// let days = 86_400.0;
/// let board = Body::slab(0.02, Ranged::new(1e-11, [5e-12, 2e-11])?)?;
/// let baths = [100.0, 200.0].map(|concentration| BathStep { duration: 300.0 * days, concentration });
/// let steeping = Steeping::new(&board, &baths)?;
/// let [value, low, high] = steeping.at(300.0 * days, Whereabouts::Average)?;
/// assert!((value - 83.62).abs() < 0.01 && low < 64.0 && high > 95.0);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
///
/// # Source
/// As [`BathHistory`].
#[derive(Debug, Clone, PartialEq)]
pub struct Steeping {
    /// The body with the value, then from the lower ends to the upper ends of its diffusivities.
    bodies: Vec<Body>,
    history: BathHistory,
    /// End of the last bath that has one, s.
    end: f64,
    is_rising: bool,
}

/// Steps from the lower to the upper end of an interval.
const BETWEEN: u32 = 9;

/// Times a²/D after the last change for which a share is waited.
const LONGEST: f64 = 20.0;

impl Steeping {
    /// A body without the solute whose surface follows the baths.
    ///
    /// # Errors
    /// No bath; a duration that is not above 0; a concentration below 0.
    pub fn new(body: &Body, baths: &[BathStep]) -> Result<Self> {
        let (mut begins, mut end) = (Vec::with_capacity(baths.len()), 0.0);
        for bath in baths {
            check::positive("duration of a bath", bath.duration)?;
            begins.push(end);
            end += bath.duration;
        }
        let concentrations: Vec<f64> = baths.iter().map(|bath| bath.concentration).collect();
        let mut bodies = vec![body.at_value()];
        bodies.extend((0..=BETWEEN).map(|step| body.at_part(f64::from(step) / f64::from(BETWEEN))));
        let is_rising = concentrations.is_sorted();
        Ok(Self { bodies, history: BathHistory::new(&begins, &concentrations)?, end, is_rising })
    }

    /// Concentration in the wood after a time in s: by the diffusivities as they stand, the lowest and the highest in their intervals.
    ///
    /// # Errors
    /// A time that is not finite.
    pub fn at(&self, time: f64, place: Whereabouts) -> Result<[f64; 3]> {
        let all: Vec<f64> = self.bodies.iter().map(|body| self.of(body, time, place)).collect::<Result<_>>()?;
        let low = all.iter().copied().fold(f64::INFINITY, f64::min);
        let high = all.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        Ok([all.first().copied().unwrap_or_default(), low, high])
    }

    /// Time from the first bath until the wood has come to a concentration, s: by the diffusivities as they stand, the soonest and
    /// the latest in their intervals; `None` where the last bath never brings it there.
    ///
    /// # Errors
    /// A concentration that is not above 0; baths of which one is weaker than the one before.
    pub fn time_to(&self, concentration: f64, place: Whereabouts) -> Result<Option<[f64; 3]>> {
        check::positive("concentration", concentration)?;
        if !self.is_rising {
            let allowed = "at least that of the bath before: a time is told for rising baths only";
            return Err(check::range("concentration of the last bath", self.history.last(), allowed));
        }
        // Nothing comes quite to its bath.
        if concentration >= self.history.last() * (1.0 - 1e-9) {
            return Ok(None);
        }
        let mut times = [0.0; 3];
        // Wood that conducts better is sooner there, throughout.
        let ends = [self.bodies.first(), self.bodies.last(), self.bodies.get(1)];
        for (time, body) in times.iter_mut().zip(ends.into_iter().flatten()) {
            let lacks = |time: f64| concentration - self.of(body, time, place).unwrap_or_default();
            *time = root_between(lacks, 0.0, self.end + LONGEST * body.slowest())?;
        }
        Ok(Some(times))
    }

    fn of(&self, body: &Body, time: f64, place: Whereabouts) -> Result<f64> {
        match place {
            Whereabouts::Average => self.history.average(body, time),
            Whereabouts::Centre => self.history.centre(body, time),
        }
    }
}
