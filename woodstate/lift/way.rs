//! One way of support over the stated values and the random draws.

use crate::error::Result;
use crate::numeric::{Interval, Stream, wilson_interval};

use super::loaded::Loaded;
use super::numbers::Numbers;
use super::reading::{Placing, Reading, Rooms, read, strengths};
use super::sample::Column;
use super::{Beam, Case, Check, Checked, Estimate, LayeredSection, LiftOptions, Share, Stiffness, Strength, Support};
use super::{SupportOutcome, check};

/// Places along a timber at which a moment is told, about.
const COURSE: usize = 48;

/// One way of support: what the stated values give, and columns of draws.
pub(super) struct Way<'a> {
    support: &'a Support,
    stated: SupportOutcome,
    reading: Option<Reading>,
    placing: Stream,
    moment: Column,
    force: Column,
    stress: [Column; Check::COUNT],
    strength: [Column; Check::COUNT],
    margins: [Column; Check::COUNT],
    margin: Column,
    sag: Column,
    below: usize,
    required: Option<f64>,
    /// Draws in which nothing holds.
    fallen: usize,
}

impl<'a> Way<'a> {
    pub(super) fn stated(
        case: &Case,
        support: &'a Support,
        numbers: &Numbers,
        loaded: &Loaded,
        rooms: &mut Rooms,
        options: &LiftOptions,
    ) -> Self {
        let (held, impossible) = match support.held(&loaded.line) {
            Ok(held) => (held, None),
            Err(error) => (Vec::new(), Some(error.to_string())),
        };
        let still = &mut Placing { drawn: None };
        let reading = if impossible.is_some() { None } else { read(case, support, loaded, still, rooms) };
        let impossible = impossible.or_else(|| {
            let nothing = "the soft rim goes right through the timber, and it is not counted as strength";
            reading.is_none().then(|| nothing.to_owned())
        });
        let beam = |held| Beam { timber: &loaded.timber, rim: loaded.rim, line: &loaded.line, held };
        let worst = held.iter().max_by(|a, b| largest(&beam(a)).total_cmp(&largest(&beam(b))));
        let (course, sag) = match (worst, support) {
            (None, _) | (_, Support::Tray) => (Vec::new(), 0.0),
            (Some(worst), _) => {
                let stretches = beam(worst).course(0).len().max(2) - 1;
                (beam(worst).course(COURSE / stretches), sag_of(case, &beam(worst)).unwrap_or(0.0))
            }
        };
        let column = |value: Option<f64>| Column::new(value.unwrap_or(0.0));
        let strong = strengths(case, numbers);
        let stress = reading.map_or([None; Check::COUNT], |reading| reading.stress);
        let margin = |row: usize| strong[row].zip(stress[row]).filter(|(_, stress)| *stress > 0.0).map(|(a, b)| a / b);
        let margins: [Option<f64>; Check::COUNT] = std::array::from_fn(margin);
        let governing = Check::ALL.into_iter().filter(|check| margins[*check as usize].is_some()).min_by(|a, b| {
            let of = |check: &Check| margins[*check as usize].unwrap_or(f64::INFINITY);
            of(a).total_cmp(&of(b))
        });
        let least = governing.and_then(|check| margins[check as usize]);
        let key = format!("{support:?}");
        Self {
            support,
            placing: Stream::keyed(options.seed, &["lift", &case.name, "placing", &key]),
            moment: column(reading.map(|reading| reading.moment[0].abs())),
            force: column(reading.map(|reading| reading.force)),
            stress: std::array::from_fn(|row| column(stress[row])),
            strength: std::array::from_fn(|row| column(strong[row])),
            margins: std::array::from_fn(|row| column(margins[row])),
            margin: column(least),
            sag: column(Some(sag)),
            below: 0,
            required: options.required_margin,
            fallen: 0,
            stated: SupportOutcome {
                support: support.clone(),
                held,
                impossible,
                moment_max: None,
                hogs: reading.is_some_and(|reading| reading.moment[0] < 0.0),
                moment_place: reading.filter(|_| *support != Support::Tray).map(|reading| reading.moment[1]),
                sling_tension: None,
                checks: checks(case, support, stress, strong, margins),
                deflection: None,
                margin: None,
                governing,
                probability_below: None,
                course,
            },
            reading,
        }
    }

    pub(super) fn draw(
        &mut self,
        case: &Case,
        loaded: &Loaded,
        strong: [Option<f64>; Check::COUNT],
        stiff: Option<f64>,
        rooms: &mut Rooms,
    ) {
        let Some(stated) = self.reading else { return };
        let drawn = case.handling.placing.map(|u| (u, &mut self.placing));
        let found = read(case, self.support, loaded, &mut Placing { drawn }, rooms);
        let mut least = f64::INFINITY;
        for (row, strength) in strong.into_iter().enumerate() {
            let Some(strength) = strength else { continue };
            self.strength[row].push(strength);
            let stress = found.map_or(Some(f64::INFINITY), |reading| reading.stress[row]);
            if let Some(stress) = stress.filter(|stress| *stress > 0.0) {
                let margin = strength / stress;
                self.margins[row].push(margin);
                least = least.min(margin);
            }
        }
        if least.is_finite() {
            self.margin.push(least);
            self.below += usize::from(self.required.is_some_and(|required| least < required));
        }
        let Some(reading) = found else {
            self.fallen += 1;
            return;
        };
        self.moment.push(reading.moment[0].abs());
        self.force.push(reading.force);
        for (column, stress) in self.stress.iter_mut().zip(reading.stress) {
            stress.into_iter().for_each(|stress| column.push(stress));
        }
        if let Some(stiff) = stiff.filter(|stiff| *stiff > 0.0 && stated.sag_factor > 0.0) {
            let sag = self.sag.value();
            self.sag.push(sag * reading.sag_factor / stated.sag_factor / stiff);
        }
    }

    pub(super) fn outcome(mut self, case: &Case, options: &LiftOptions, is_told: bool) -> Result<SupportOutcome> {
        if self.reading.is_none() {
            return Ok(self.stated);
        }
        let coverage = options.coverage;
        // Where the timber tips in some draws there is no stress in them, and so no uncertainty of stress.
        let holds = is_told && self.fallen == 0;
        let is_sure = |check: Check| is_told && strength_is_sure(case, check);
        let is_tray = *self.support == Support::Tray;
        let estimate = |column: Column, is_told: bool| column.estimate(coverage, is_told);
        let angle = case.handling.sling_angle.to_radians().sin();
        for checked in &mut self.stated.checks {
            let row = checked.check as usize;
            let take = |columns: &mut [Column; Check::COUNT]| std::mem::replace(&mut columns[row], Column::new(0.0));
            let [stress, strength, margin] = [&mut self.stress, &mut self.strength, &mut self.margins].map(take);
            checked.stress = checked.stress.map(|_| estimate(stress, holds));
            checked.strength = checked.strength.map(|_| estimate(strength, is_sure(checked.check)));
            checked.margin = checked.margin.map(|_| estimate(margin, is_sure(checked.check)));
        }
        let all_sure =
            self.stated.checks.iter().filter(|checked| checked.margin.is_some()).all(|one| is_sure(one.check));
        let n = self.margin.len();
        let has_margin = self.stated.governing.is_some();
        self.stated.margin = has_margin.then(|| estimate(self.margin, is_told && all_sure));
        self.stated.moment_max = Some(estimate(self.moment, holds));
        self.stated.sling_tension = (!is_tray).then(|| estimate(self.force.over(angle), holds));
        let has_modulus = case.core.modulus.is_some();
        let modulus_sure = case.core.modulus.as_ref().is_some_and(|modulus| modulus.relative_u().is_some());
        self.stated.deflection = (has_modulus && !is_tray).then(|| estimate(self.sag, holds && modulus_sure));
        if self.required.is_some() && is_told && all_sure && has_margin {
            let value = check::real(self.below) / check::real(n);
            let share = |[low, high]: [f64; 2]| Share { value, interval: Interval { low, high }, draws: n };
            self.stated.probability_below = wilson_interval(self.below, n, coverage)?.map(share);
        }
        Ok(self.stated)
    }
}

fn strength_is_sure(case: &Case, check: Check) -> bool {
    let (core, surface) = (&case.core, case.surface());
    let rim_counts = case.has_rim() && case.rim.stiffness.is_some();
    let sure = |strength: &Option<Strength>| strength.as_ref().is_some_and(|one| one.relative_u().is_some());
    match check {
        Check::BendingTension => sure(&core.bending),
        Check::BendingCompression => sure(&core.compression),
        Check::RimTension => sure(&surface.bending),
        Check::RimCompression => sure(&surface.compression),
        Check::Shear => sure(&core.shear) && (!rim_counts || sure(&surface.shear)),
        Check::Bearing => sure(&surface.bearing),
    }
}

/// What there is to check: bending and shear where something bends, the rim where it counts.
fn checks(
    case: &Case,
    support: &Support,
    stress: [Option<f64>; Check::COUNT],
    strength: [Option<f64>; Check::COUNT],
    margin: [Option<f64>; Check::COUNT],
) -> Vec<Checked> {
    let rim_counts = case.has_rim() && case.rim.stiffness.is_some();
    let is_there = |check: &Check| match check {
        Check::RimTension | Check::RimCompression => rim_counts && *support != Support::Tray,
        Check::Bearing => true,
        _ => *support != Support::Tray,
    };
    let of = |check: Check| Checked {
        check,
        stress: stress[check as usize].map(Estimate::plain),
        strength: strength[check as usize].map(Estimate::plain),
        margin: margin[check as usize].map(Estimate::plain),
    };
    Check::ALL.into_iter().filter(is_there).map(of).collect()
}

fn largest(beam: &Beam<'_>) -> f64 {
    beam.peaks().map_or(f64::INFINITY, |peaks| peaks.core_bending.value)
}

/// Largest sag, mm, with that by shear.
fn sag_of(case: &Case, beam: &Beam<'_>) -> Option<f64> {
    let modulus = case.core.modulus.as_ref()?.value;
    let stiffness = Stiffness { modulus, shear_modulus: Some(modulus * case.shear_ratio) };
    LayeredSection::of(&beam.timber.shape_at(0.0), beam.rim)?;
    Some(beam.sag(stiffness).ok()??.largest().value)
}
