//! A timber that hangs in slings: moments, shear forces and stresses along it.

use crate::numeric::root_between;

use super::{Held, LayeredSection, LoadLine, Rim, Timber, check};

/// A timber under its load, held by upward forces.
///
/// ```text
/// V(x) = Σ R - F(x),   M(x) = Σ R (x - x_R) - ∫ F ds      over what lies before x
/// ```
///
/// A moment that sags (the lower edge is stretched) is positive, one that hogs negative.
#[derive(Debug, Clone, Copy)]
pub struct Beam<'a> {
    /// The timber.
    pub timber: &'a Timber,
    /// Its rim.
    pub rim: Rim,
    /// What pulls it down.
    pub line: &'a LoadLine,
    /// What holds it.
    pub held: &'a [Held],
}

/// A number and where along the timber it is reached.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Peak {
    /// The number.
    pub value: f64,
    /// Distance from the start, m.
    pub place: f64,
}

impl Peak {
    fn rise(&mut self, value: f64, place: f64) {
        if value > self.value {
            *self = Self { value, place };
        }
    }
}

/// The largest moments, forces and stresses along a timber; all of them 0 or above.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Peaks {
    /// Largest sagging moment, N.m.
    pub sagging: Peak,
    /// Largest hogging moment, N.m.
    pub hogging: Peak,
    /// Largest shear force, N.
    pub force: Peak,
    /// Largest bending stress at the edge of the core, `MPa`.
    pub core_bending: Peak,
    /// Largest bending stress at the surface of a rim that counts, `MPa`.
    pub rim_bending: Option<Peak>,
    /// Largest shear stress, `MPa`.
    pub shear: Peak,
    /// Stress of 1 N along the timber where it is thinnest, `MPa`.
    pub per_newton: f64,
}

impl Peaks {
    /// The largest moment of either sign, N.m, with its sign: hogging is negative.
    #[must_use]
    pub fn moment(&self) -> Peak {
        if self.hogging.value > self.sagging.value {
            Peak { value: -self.hogging.value, place: self.hogging.place }
        } else {
            self.sagging
        }
    }
}

/// Moment and shear force at one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cut {
    /// Distance from the start, m.
    pub place: f64,
    /// Bending moment, N.m; sagging is positive.
    pub moment: f64,
    /// Shear force just behind the place, N.
    pub force: f64,
}

/// Places between two changes at which a timber of changing section is looked at.
const BETWEEN: usize = 16;

/// How near two places count as one, as a share of the length.
const SAME: f64 = 1e-12;

impl Beam<'_> {
    /// Bending moment at a place, N.m; sagging is positive.
    #[must_use]
    pub fn moment(&self, x: f64) -> f64 {
        let held: f64 = self.held.iter().filter(|held| held.place < x).map(|held| held.force * (x - held.place)).sum();
        held - self.line.moment_before(x)
    }

    /// Shear force between a place and all that acts at it, N: what holds there does not count yet.
    #[must_use]
    pub fn force_before(&self, x: f64) -> f64 {
        let held: f64 = self.held.iter().filter(|held| held.place < x).map(|held| held.force).sum();
        held - self.line.force_before(x)
    }

    /// The largest moments, forces and stresses; `None` where at some place nothing carries, since the rim goes right through.
    #[must_use]
    pub fn peaks(&self) -> Option<Peaks> {
        self.peaks_in(&mut Vec::new())
    }

    /// The same; `places` is room that is used again.
    pub(super) fn peaks_in(&self, places: &mut Vec<f64>) -> Option<Peaks> {
        self.breaks(places);
        let one = self.is_prismatic().then(|| LayeredSection::of(&self.timber.stations()[0].shape, self.rim));
        let mut peaks = Peaks::default();
        let mut look = |x: f64, forces: [f64; 2]| -> Option<()> {
            let section = match one {
                Some(section) => section?,
                None => LayeredSection::of(&self.timber.shape_at(x), self.rim)?,
            };
            let moment = self.moment(x);
            peaks.sagging.rise(moment, x);
            peaks.hogging.rise(-moment, x);
            peaks.core_bending.rise(section.core_bending(moment.abs()), x);
            if let Some(stress) = section.rim_bending(moment.abs()) {
                peaks.rim_bending.get_or_insert_default().rise(stress, x);
            }
            let force = forces[0].abs().max(forces[1].abs());
            peaks.force.rise(force, x);
            peaks.shear.rise(section.shear(force), x);
            peaks.per_newton = peaks.per_newton.max(section.along(1.0));
            Some(())
        };
        let near = SAME * self.line.length();
        for row in 0..places.len() {
            let x = places[row];
            let forces = [self.force_before(x), self.force_before(x + near)];
            look(x, forces)?;
            let Some(next) = places.get(row + 1).copied() else { break };
            let (from, to) = (forces[1], self.force_before(next));
            if from * to < 0.0
                && let Ok(level) = root_between(|x| self.force_before(x), x + near, next)
            {
                look(level, [0.0, 0.0])?;
            }
            if one.is_none() {
                for part in 1..BETWEEN {
                    let between = x + (next - x) * check::real(part) / check::real(BETWEEN);
                    let force = self.force_before(between);
                    look(between, [force, force])?;
                }
            }
        }
        Some(peaks)
    }

    /// Moment and shear force along the timber, at every change and `count` places between.
    #[must_use]
    pub fn course(&self, count: usize) -> Vec<Cut> {
        let mut places = Vec::new();
        self.breaks(&mut places);
        let near = SAME * self.line.length();
        let mut all: Vec<f64> = Vec::new();
        for pair in places.windows(2) {
            all.push(pair[0]);
            let parts = count + 1;
            all.extend((1..parts).map(|part| pair[0] + (pair[1] - pair[0]) * check::real(part) / check::real(parts)));
        }
        all.extend(places.last());
        all.into_iter()
            .map(|place| Cut { place, moment: self.moment(place), force: self.force_before(place + near) })
            .collect()
    }

    /// Whether the section is the same all along.
    pub(super) fn is_prismatic(&self) -> bool {
        let stations = self.timber.stations();
        stations.iter().all(|station| station.shape == stations[0].shape)
    }

    /// Ends, stations, supports and changes of the load, sorted, each once.
    pub(super) fn breaks(&self, places: &mut Vec<f64>) {
        places.clear();
        places.extend(self.timber.stations().iter().map(|station| station.at));
        places.extend(self.held.iter().map(|held| held.place));
        places.extend(self.line.changes());
        places.sort_unstable_by(f64::total_cmp);
        let near = SAME * self.line.length();
        places.dedup_by(|b, a| *b - *a <= near);
    }
}
