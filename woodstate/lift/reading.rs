//! Stresses of one set of numbers under one way of support.

use crate::numeric::Stream;

use super::beam::{Beam, Peaks};
use super::bearing::{pressure, push_share};
use super::loaded::Loaded;
use super::numbers::Numbers;
use super::support::{pair, pairs, shared};
use super::{Case, Check, Held, LayeredSection, Strength, Support, Wood, check};

/// What one set of numbers comes to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Reading {
    /// Largest moment with its sign, N.m, and its place, m.
    pub(super) moment: [f64; 2],
    /// Largest upward force of a sling, N.
    pub(super) force: f64,
    /// By check, `MPa`; `None` where there is nothing to check.
    pub(super) stress: [Option<f64>; Check::COUNT],
    /// Stiffness against bending over load, by which a sag goes.
    pub(super) sag_factor: f64,
}

/// Rooms that are used again.
#[derive(Debug, Default)]
pub(super) struct Rooms {
    places: Vec<f64>,
    held: Vec<Held>,
}

/// Errors of places of slings: none, or drawn.
pub(super) struct Placing<'a> {
    pub(super) drawn: Option<(f64, &'a mut Stream)>,
}

impl Placing<'_> {
    fn error(&mut self) -> f64 {
        self.drawn.as_mut().map_or(0.0, |(u, stream)| *u * stream.normal())
    }
}

/// Reads stresses; `None` where the timber tips or at some place nothing carries.
pub(super) fn read(
    case: &Case,
    support: &Support,
    loaded: &Loaded,
    placing: &mut Placing<'_>,
    rooms: &mut Rooms,
) -> Option<Reading> {
    let length = loaded.timber.length();
    let scale = length / case.timber.length();
    let mut moved = |place: f64| (place * scale + placing.error()).clamp(0.0, length);
    match support {
        Support::Tray => Some(in_tray(loaded)),
        Support::Slings { first, second } => {
            let [a, b] = [moved(*first), moved(*second)];
            of_pair(case, loaded, rooms, [a, b])
        }
        // The end on the ground is where it is.
        Support::EndOnGround { sling } => {
            let sling = moved(*sling);
            of_pair(case, loaded, rooms, [0.0, sling])
        }
        Support::Fixed { places } => {
            let places: Vec<f64> = places.iter().map(|place| moved(*place)).collect();
            let all = pairs(&places).filter_map(|two| of_pair(case, loaded, rooms, two));
            all.reduce(|worst, next| worst.and(&next))
        }
        Support::Equalised { count } => {
            let mut held = shared(&loaded.line, *count).ok()?;
            let errors: Vec<f64> = held.iter().map(|_| placing.error()).collect();
            // Slings that share evenly turn the timber until they balance: only differences of errors remain.
            let mean = errors.iter().sum::<f64>() / check::real(errors.len());
            held.iter_mut()
                .zip(errors)
                .for_each(|(one, error)| one.place = (one.place + error - mean).clamp(0.0, length));
            rooms.held.clone_from(&held);
            hung(case, loaded, rooms)
        }
    }
}

fn of_pair(case: &Case, loaded: &Loaded, rooms: &mut Rooms, [a, b]: [f64; 2]) -> Option<Reading> {
    let two = pair(&loaded.line, a, b)?;
    rooms.held.clear();
    rooms.held.extend(two);
    hung(case, loaded, rooms)
}

fn hung(case: &Case, loaded: &Loaded, rooms: &mut Rooms) -> Option<Reading> {
    let Rooms { places, held } = rooms;
    let beam = Beam { timber: &loaded.timber, rim: loaded.rim, line: &loaded.line, held };
    let peaks = beam.peaks_in(places)?;
    let force = held.iter().map(|one| one.force).fold(0.0, f64::max);
    let under = |one: &Held| {
        let width = loaded.timber.shape_at(one.place).width();
        case.handling.sling_width.map(|sling| pressure(one.force, sling, width))
    };
    let bearing = held.iter().map(under).try_fold(0.0, |most: f64, now| Some(most.max(now?)));
    let push = force * push_share(case.handling.sling_angle);
    Some(Reading::of(&peaks, force, push, bearing, factor(loaded)?))
}

/// Nothing bends; the weight presses on the tray.
fn in_tray(loaded: &Loaded) -> Reading {
    let narrowest = loaded.timber.stations().iter().map(|station| station.shape.width()).fold(f64::INFINITY, f64::min);
    let mut stress = [None; Check::COUNT];
    stress[Check::Bearing as usize] = Some(pressure(loaded.line.force(), loaded.timber.length(), narrowest));
    Reading { moment: [0.0; 2], force: 0.0, stress, sag_factor: 0.0 }
}

/// Load times length cubed over stiffness.
fn factor(loaded: &Loaded) -> Option<f64> {
    let length = loaded.timber.length();
    let section = LayeredSection::of(&loaded.timber.shape_at(length / 2.0), loaded.rim)?;
    Some(loaded.line.force() * length * length * length / section.second_moment)
}

impl Reading {
    fn of(peaks: &Peaks, force: f64, push: f64, bearing: Option<f64>, sag_factor: f64) -> Self {
        let moment = peaks.moment();
        let pressed = push * peaks.per_newton;
        let mut stress = [None; Check::COUNT];
        stress[Check::BendingTension as usize] = Some(peaks.core_bending.value);
        stress[Check::BendingCompression as usize] = Some(peaks.core_bending.value + pressed);
        stress[Check::RimTension as usize] = peaks.rim_bending.map(|rim| rim.value);
        stress[Check::RimCompression as usize] = peaks.rim_bending.map(|rim| rim.value + pressed);
        stress[Check::Shear as usize] = Some(peaks.shear.value);
        stress[Check::Bearing as usize] = bearing;
        Self { moment: [moment.value, moment.place], force, stress, sag_factor }
    }

    /// The worse of both in every respect.
    fn and(self, other: &Self) -> Self {
        let is_mine = self.moment[0].abs() >= other.moment[0].abs();
        let mut stress = self.stress;
        for (mine, theirs) in stress.iter_mut().zip(other.stress) {
            *mine = mine.zip(theirs).map(|(a, b)| a.max(b));
        }
        Self {
            moment: if is_mine { self.moment } else { other.moment },
            force: self.force.max(other.force),
            stress,
            sag_factor: self.sag_factor.max(other.sag_factor),
        }
    }
}

/// Strengths of one set of numbers by check, `MPa`; `None` where unknown.
pub(super) fn strengths(case: &Case, numbers: &Numbers) -> [Option<f64>; Check::COUNT] {
    let [core, surface] = [&case.core, case.surface()].map(Wood::all);
    let densities = [numbers.core_density / case.core_density.value, numbers.rim_density / case.rim_density.value];
    let of_surface = if case.has_rim() { densities[1] } else { densities[0] };
    let drawn = |strength: Option<&Strength>, density: f64, zone: usize, row: usize| {
        strength.map(|strength| strength.drawn(density, numbers.strengths[zone][row]))
    };
    let [of_core, of_rim] = [
        [0, 1, 2, 3, 4].map(|row| drawn(core[row], densities[0], 0, row)),
        [0, 1, 2, 3, 4].map(|row| drawn(surface[row], of_surface, 1, row)),
    ];
    let mut found = [None; Check::COUNT];
    found[Check::BendingTension as usize] = of_core[0];
    found[Check::BendingCompression as usize] = of_core[1];
    found[Check::RimTension as usize] = of_rim[0];
    found[Check::RimCompression as usize] = of_rim[1];
    // At mid-height shear runs through rim and core: where the rim counts, the weaker of them decides.
    let rim_counts = case.has_rim() && case.rim.stiffness.is_some();
    found[Check::Shear as usize] =
        if rim_counts { of_core[2].zip(of_rim[2]).map(|(a, b)| a.min(b)) } else { of_core[2] };
    found[Check::Bearing as usize] = of_rim[3];
    found
}

/// Modulus of a draw over that of the core as stated.
pub(super) fn modulus_factor(case: &Case, numbers: &Numbers) -> Option<f64> {
    let modulus = case.core.modulus.as_ref()?;
    let density = numbers.core_density / case.core_density.value;
    Some(modulus.drawn(density, numbers.strengths[0][4]) / modulus.value)
}
