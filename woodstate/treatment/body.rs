//! A piece of wood of a simple shape in one endless bath.

use super::series::{REDUCED, share};
use super::{Ranged, check, cylinder, slab, sphere};
use crate::error::Result;
use crate::numeric::root_between;

/// A piece of wood of a simple shape, uniform, at first without the solute and then with its surface held at the concentration of
/// the bath.
///
/// A body is a product of ways in which the solute comes in: a beam of two, from its two pairs of faces. Each way has its own
/// size and diffusivity, since wood conducts along the grain better than across.
///
/// Twice the size takes four times as long: a rule of so many months a centimetre holds for the thickness it was found with.
///
/// ```text
/// 1 − E = Π (1 − E_i)        1 − c = Π (1 − c_i)
/// ```
///
/// * E: share of the final uptake, 0 to 1; c: concentration relative to the surface, 0 to 1
/// * sizes in m, diffusivities in m²/s, times in s
///
/// # Example
/// ```
/// use woodstate::treatment::{Body, Ranged};
/// let across = Ranged::exact(1e-11)?;
/// let along = Ranged::exact(5e-11)?;
/// let days = |body: &Body| body.time_to_uptake(0.9).map(|time| time.value() / 86_400.0);
/// // A round timber of 10 cm without end, and the same, 50 cm long.
/// assert!((days(&Body::cylinder(0.05, across)?)? - 967.631).abs() < 1e-3);
/// assert!((days(&Body::round(0.05, across, 0.25, along)?)? - 812.064).abs() < 1e-3);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
///
/// # Source
/// Crank J 1975, The Mathematics of Diffusion, 2nd ed., Oxford University Press, chapters 4 to 6; products after Newman AB 1931,
/// Trans. Am. Inst. Chem. Eng. 27:203 (both from memory).
#[derive(Debug, Clone, PartialEq)]
pub struct Body {
    ways: Vec<Way>,
}

#[derive(Debug, Clone, Copy, PartialEq)]
struct Way {
    kind: Kind,
    /// Half the thickness, or the radius, m.
    half: f64,
    diffusivity: Ranged,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Kind {
    Slab,
    Cylinder,
    Sphere,
}

impl Body {
    /// A board: two faces, everything else far away.
    ///
    /// # Errors
    /// A size that is not above 0; the same for the other shapes.
    pub fn slab(half_thickness: f64, diffusivity: Ranged) -> Result<Self> {
        Self::of([(Kind::Slab, half_thickness, diffusivity)])
    }

    /// A round timber without end.
    ///
    /// # Errors
    /// A size that is not above 0.
    pub fn cylinder(radius: f64, diffusivity: Ranged) -> Result<Self> {
        Self::of([(Kind::Cylinder, radius, diffusivity)])
    }

    /// A sphere.
    ///
    /// # Errors
    /// A size that is not above 0.
    pub fn sphere(radius: f64, diffusivity: Ranged) -> Result<Self> {
        Self::of([(Kind::Sphere, radius, diffusivity)])
    }

    /// A beam without end, by half its width and half its height with the diffusivity along each.
    ///
    /// # Errors
    /// A size that is not above 0.
    pub fn beam(half: [f64; 2], diffusivity: [Ranged; 2]) -> Result<Self> {
        Self::of([0, 1].map(|side| (Kind::Slab, half[side], diffusivity[side])))
    }

    /// A rectangular piece, by half its three sizes with the diffusivity along each.
    ///
    /// # Errors
    /// A size that is not above 0.
    pub fn prism(half: [f64; 3], diffusivity: [Ranged; 3]) -> Result<Self> {
        Self::of([0, 1, 2].map(|side| (Kind::Slab, half[side], diffusivity[side])))
    }

    /// A round piece with two ends, by its radius and half its length with the diffusivity along each.
    ///
    /// # Errors
    /// A size that is not above 0.
    pub fn round(radius: f64, across: Ranged, half_length: f64, along: Ranged) -> Result<Self> {
        Self::of([(Kind::Cylinder, radius, across), (Kind::Slab, half_length, along)])
    }

    fn of<const N: usize>(ways: [(Kind, f64, Ranged); N]) -> Result<Self> {
        for (_, half, _) in ways {
            check::positive("half size of the body", half)?;
        }
        Ok(Self { ways: ways.map(|(kind, half, diffusivity)| Way { kind, half, diffusivity }).to_vec() })
    }

    /// Share of the final uptake after a time in s, on average over the body.
    ///
    /// # Errors
    /// A time that is not above 0.
    pub fn uptake(&self, time: f64) -> Result<Ranged> {
        check::positive("time", time)?;
        Ranged::rising(|part| Ok(share(1.0 - self.left(time, part))))
    }

    /// Concentration in the centre relative to the surface after a time in s. It lags far behind the average.
    ///
    /// # Errors
    /// A time that is not above 0.
    pub fn centre(&self, time: f64) -> Result<Ranged> {
        self.at(&vec![0.0; self.ways.len()], time)
    }

    /// Concentration at a place relative to the surface after a time in s.
    ///
    /// * `place`: one number a way, in the order of the constructor, 0 in the centre, 1 on the surface
    ///
    /// # Errors
    /// A time that is not above 0, a place outside 0 to 1 or with too few or too many numbers.
    pub fn at(&self, place: &[f64], time: f64) -> Result<Ranged> {
        check::positive("time", time)?;
        check::length("place", place.len(), self.ways.len())?;
        for x in place {
            check::share("place", *x)?;
        }
        Ranged::rising(|part| Ok(share(1.0 - self.left_at(place, time, part))))
    }

    /// Time until the body has taken up a share of its final uptake on average, s.
    ///
    /// # Errors
    /// A share that is not between 0 and 1, or nearer to one of them than 1e-9.
    pub fn time_to_uptake(&self, share: f64) -> Result<Ranged> {
        check::reachable("share of the final uptake", share)?;
        Ranged::falling(|part| self.time(1.0 - share, part, |time| self.left(time, part)))
    }

    /// Time until the centre has a share of the concentration of the surface, s.
    ///
    /// # Errors
    /// A share that is not between 0 and 1, or nearer to one of them than 1e-9.
    pub fn time_to_centre(&self, share: f64) -> Result<Ranged> {
        check::reachable("share of the concentration", share)?;
        let centre = vec![0.0; self.ways.len()];
        Ranged::falling(|part| self.time(1.0 - share, part, |time| self.left_at(&centre, time, part)))
    }

    /// The same body with its diffusivities as they stand, taken as exact.
    pub(super) fn at_value(&self) -> Self {
        self.with(Ranged::at_value)
    }

    /// The same body with its diffusivities all at one place of their intervals, by logarithm: 0 at the lower ends, 1 at the
    /// upper ones.
    pub(super) fn at_part(&self, part: f64) -> Self {
        self.with(|diffusivity| diffusivity.at_part(part))
    }

    fn with(&self, change: impl Fn(&Ranged) -> Ranged) -> Self {
        let ways = self.ways.iter().map(|way| Way { diffusivity: change(&way.diffusivity), ..*way });
        Self { ways: ways.collect() }
    }

    /// The longest of its times a²/D, s.
    pub(super) fn slowest(&self) -> f64 {
        self.ways.iter().map(|way| way.slowness(Ranged::value)).fold(0.0, f64::max)
    }

    /// The same body with all its diffusivities times a factor; 1 m²/s across the grain times D is D.
    ///
    /// # Errors
    /// A factor that is not above 0.
    pub fn scaled(&self, factor: f64) -> Result<Self> {
        let scaled = |way: &Way| {
            let of = |ranged: &Ranged| {
                let [low, high] = ranged.interval();
                Ranged::new(factor * ranged.value(), [factor * low, factor * high])
            };
            Ok(Way { diffusivity: of(&way.diffusivity)?, ..*way })
        };
        Ok(Self { ways: self.ways.iter().map(scaled).collect::<Result<_>>()? })
    }

    /// 1 − E at a time in s, 0 or above, with the values of the diffusivities.
    pub(super) fn left_of_value(&self, time: f64) -> f64 {
        self.left(time, Ranged::value)
    }

    /// 1 − c in the centre, likewise.
    pub(super) fn centre_left_of_value(&self, time: f64) -> f64 {
        self.left_at(&vec![0.0; self.ways.len()], time, Ranged::value)
    }

    /// a²/D of the quickest way, s.
    pub(super) fn quickest(&self) -> f64 {
        self.ways.iter().map(|way| way.slowness(Ranged::value)).fold(f64::INFINITY, f64::min)
    }

    fn left(&self, time: f64, part: fn(&Ranged) -> f64) -> f64 {
        self.product(time, part, |_, way, reduced| match way.kind {
            Kind::Slab => slab::left(reduced),
            Kind::Cylinder => cylinder::left(reduced),
            Kind::Sphere => sphere::left(reduced),
        })
    }

    fn left_at(&self, place: &[f64], time: f64, part: fn(&Ranged) -> f64) -> f64 {
        self.product(time, part, |index, way, reduced| match way.kind {
            Kind::Slab => slab::left_at(reduced, place[index]),
            Kind::Cylinder => cylinder::left_at(reduced, place[index]),
            Kind::Sphere => sphere::left_at(reduced, place[index]),
        })
    }

    fn product(&self, time: f64, part: fn(&Ranged) -> f64, left: impl Fn(usize, &Way, f64) -> f64) -> f64 {
        self.ways.iter().enumerate().map(|(index, way)| left(index, way, time / way.slowness(part))).product()
    }

    /// The time at which a falling share is left.
    fn time(&self, target: f64, part: fn(&Ranged) -> f64, left: impl Fn(f64) -> f64) -> Result<f64> {
        let quickest = self.ways.iter().map(|way| way.slowness(part)).fold(f64::INFINITY, f64::min);
        // By its logarithm, since times span many powers of ten.
        let distance = |log_time: f64| left(log_time.exp()) - target;
        let [low, high] = REDUCED.map(|reduced| (quickest * reduced).ln());
        Ok(root_between(distance, low, high)?.exp())
    }
}

impl Way {
    /// a²/D, s.
    fn slowness(&self, part: fn(&Ranged) -> f64) -> f64 {
        self.half * self.half / part(&self.diffusivity)
    }
}
