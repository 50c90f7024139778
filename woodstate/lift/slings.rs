//! Where two slings go, and what it costs to miss the place.

use crate::error::Result;
use crate::numeric::root_between;

use super::support::pair;
use super::{Beam, LayeredSection, LoadLine, Rim, Timber, check};

/// Where slings bend a timber least.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BestSlings {
    /// Places, m from the start; the first is 0 where the start lies on the ground.
    pub places: [f64; 2],
    /// Largest bending stress with them, `MPa`.
    pub bending_stress: f64,
    /// Largest bending moment with them, N.m, without its sign.
    pub moment: f64,
}

/// The two places at which slings bend a timber least: the stress is the same over both slings and between them.
///
/// ```text
/// of one section all along:   a = (√2 - 1)/2 L = 0.207107 L from each end,   M = (3 - 2√2)/8 w L²
/// ```
///
/// For a timber that changes along its length the stress counts, not the moment: the sling is as far in as the overhang
/// carries the same stress as the middle.
///
/// # Errors
/// A rim that goes right through somewhere and does not count: nothing carries.
///
/// # Example
/// ```
/// use woodstate::lift::{LoadLine, Rim, Shape, Timber, best_slings};
/// let beam = Timber::prismatic(6.0, Shape::rectangle(0.25, 0.25)?)?;
/// let line = LoadLine::new(&beam, Rim::NONE, [11637.224, 11637.224], &[])?;
/// let best = best_slings(&beam, Rim::NONE, &line)?;
/// assert!((best.places[0] / 6.0 - 0.207_106_8).abs() < 1e-7);
/// assert!((best.moment - 561.553).abs() < 5e-4);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
///
/// # Source
/// Derived: moving a sling inwards bends the overhang more and the middle less, so the best places make both alike.
pub fn best_slings(timber: &Timber, rim: Rim, line: &LoadLine) -> Result<BestSlings> {
    best(timber, rim, line, false)
}

/// The place at which a sling bends a timber least whose start lies on the ground.
///
/// ```text
/// of one section all along:   a = (1 - 1/√2) L = 0.292893 L from the free end,   M = 0.0428932 w L²
/// ```
///
/// # Errors
/// As [`best_slings`].
pub fn best_sling_from_ground(timber: &Timber, rim: Rim, line: &LoadLine) -> Result<BestSlings> {
    best(timber, rim, line, true)
}

fn best(timber: &Timber, rim: Rim, line: &LoadLine, is_on_ground: bool) -> Result<BestSlings> {
    let length = timber.length();
    let ends = Hung { timber, rim, line, is_on_ground };
    let largest = ends.bending([0.0, length])?;
    // With the stress of end supports the overhangs meet or pass, so the stress between lies below.
    let excess = |share: f64| {
        let stress = share * largest;
        let places = ends.reach(stress);
        ends.between(places).map_or(-1.0, |between| (between - stress) / largest)
    };
    let share = root_between(excess, 0.0, 1.0)?;
    let places = ends.reach(share * largest);
    let moment = ends.peaks(places).map_or(0.0, |peaks| peaks.moment().value.abs());
    Ok(BestSlings { places, bending_stress: ends.bending(places)?, moment })
}

/// How many times larger the bending stress can be where each sling lies off its place by up to `error`, m.
///
/// 1 for an error of 0; the worst of inwards and outwards on both sides. A sling that would leave the timber stays at its end.
///
/// # Errors
/// An error below 0, slings that do not hold the timber, a rim that goes right through.
///
/// # Example
/// ```
/// use woodstate::lift::{LoadLine, Rim, Shape, Timber, best_slings, placing_cost};
/// let beam = Timber::prismatic(10.0, Shape::round(0.3)?)?;
/// let line = LoadLine::new(&beam, Rim::NONE, [11_000.0, 11_000.0], &[])?;
/// let best = best_slings(&beam, Rim::NONE, &line)?;
/// // 70 mm on ten metres cost a sixth.
/// let cost = placing_cost(&beam, Rim::NONE, &line, best.places, 0.071_068)?;
/// assert!((cost - 1.1657).abs() < 5e-5);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
pub fn placing_cost(timber: &Timber, rim: Rim, line: &LoadLine, places: [f64; 2], error: f64) -> Result<f64> {
    check::not_negative("error of a sling's place (m)", error)?;
    let hung = Hung { timber, rim, line, is_on_ground: false };
    let meant = hung.bending(places)?;
    let mut worst = meant;
    for [first, second] in [[-error, error], [error, -error], [error, error], [-error, -error]] {
        let moved = [places[0] + first, places[1] + second].map(|place| place.clamp(0.0, line.length()));
        worst = worst.max(hung.bending(moved)?);
    }
    Ok(worst / meant)
}

/// A timber in two supports.
struct Hung<'a> {
    timber: &'a Timber,
    rim: Rim,
    line: &'a LoadLine,
    is_on_ground: bool,
}

/// Places at which an overhang is looked at.
const LOOKS: usize = 128;

impl Hung<'_> {
    fn peaks(&self, [first, second]: [f64; 2]) -> Option<super::Peaks> {
        let held = pair(self.line, first, second)?;
        Beam { timber: self.timber, rim: self.rim, line: self.line, held: &held }.peaks()
    }

    /// Largest bending stress, `MPa`.
    fn bending(&self, [first, second]: [f64; 2]) -> Result<f64> {
        let Some(held) = pair(self.line, first, second) else {
            let allowed = format!("a place between the slings at {first} m and {second} m; otherwise the timber tips");
            return Err(check::range(
                "centre of weight, from the start of the timber (m)",
                self.line.centre(),
                allowed,
            ));
        };
        let beam = Beam { timber: self.timber, rim: self.rim, line: self.line, held: &held };
        match beam.peaks() {
            Some(peaks) => Ok(worse(&peaks)),
            None => {
                Err(check::range("depth of the rim (m)", self.rim.depth, "less, so that a core is left everywhere"))
            }
        }
    }

    /// Largest bending stress between two supports, `MPa`; `None` where they have met or do not hold the timber.
    fn between(&self, [first, second]: [f64; 2]) -> Option<f64> {
        let held = pair(self.line, first, second)?;
        let beam = Beam { timber: self.timber, rim: self.rim, line: self.line, held: &held };
        let step = (second - first) / check::real(LOOKS);
        let places = (0..=LOOKS).map(|look| first + step * check::real(look));
        // A look in the middle of the sag: where the shear force passes zero.
        let level = root_between(|x| beam.force_before(x), first + step / 2.0, second - step / 2.0).ok();
        let sags = |x: f64| self.stress(x, beam.moment(x));
        places.chain(level).map(sags).fold(None, |most: Option<f64>, now| Some(most.map_or(now, |most| most.max(now))))
    }

    /// How far in the two slings may go until the overhangs reach a stress.
    fn reach(&self, stress: f64) -> [f64; 2] {
        let length = self.line.length();
        let beyond = |x: f64| {
            let rest = self.line.force() * (self.line.centre() - x);
            // Moment about x of all that lies behind it.
            self.stress(x, rest + self.line.moment_before(x))
        };
        let first = match self.is_on_ground {
            true => 0.0,
            false => reached(length, stress, |x| self.stress(x, self.line.moment_before(x))),
        };
        [first, length - reached(length, stress, |y| beyond(length - y))]
    }

    fn stress(&self, x: f64, moment: f64) -> f64 {
        let section = LayeredSection::of(&self.timber.shape_at(x), self.rim);
        section.map_or(f64::INFINITY, |section| {
            let of_rim = section.rim_bending(moment);
            of_rim.map_or(section.core_bending(moment), |rim| rim.max(section.core_bending(moment)))
        })
    }
}

/// The larger bending stress of core and rim, `MPa`.
fn worse(peaks: &super::Peaks) -> f64 {
    peaks.rim_bending.map_or(peaks.core_bending.value, |rim| rim.value.max(peaks.core_bending.value))
}

/// The first place from an end at which a stress is reached; the whole length where it never is.
fn reached(length: f64, wanted: f64, stress: impl Fn(f64) -> f64) -> f64 {
    let mut before = 0.0;
    for look in 1..=LOOKS {
        let place = length * check::real(look) / check::real(LOOKS);
        if stress(place) >= wanted {
            return root_between(|x| (stress(x) - wanted) / wanted.max(f64::MIN_POSITIVE), before, place)
                .unwrap_or(before);
        }
        before = place;
    }
    length
}
