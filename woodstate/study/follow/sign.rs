//! Signs that something goes wrong in a tank: loss of volume, wrong additions, sugar that ferments.

use crate::error::{CourseCautionCode, Result};
use crate::quantity::shown_value;
use crate::table::written_day;
use crate::treatment::{change_a_week, loss_a_week};

use super::bath::strength_shown;
use super::log::Entry;
use super::options::ConcentrationStep;
use super::outcome::{CourseCaution, Strength};
use super::tracker::Tracker;

/// What a step may exceed its plan by, and a bath fall by, as shares: proposals of ours.
const OVER: f64 = 1.2;
const FALLEN: f64 = 0.9;
/// What is sugar, in small letters.
const SUGARS: [&str; 3] = ["sucrose", "sugar", "saccharose"];

/// Two readings of a tank, one after the other.
struct Pair<'a> {
    before: &'a Entry,
    after: &'a Entry,
}

impl Pair<'_> {
    fn days(&self) -> f64 {
        self.after.day - self.before.day
    }

    fn of(&self, value: fn(&Entry) -> Option<f64>) -> Option<[f64; 2]> {
        Some([value(self.before)?, value(self.after)?])
    }
}

/// Neighbours among the entries that have a value.
fn pairs<'a>(entries: &[&'a Entry], has: impl Fn(&Entry) -> bool) -> Vec<Pair<'a>> {
    let known: Vec<&Entry> = entries.iter().copied().filter(|entry| has(entry)).collect();
    known.windows(2).filter_map(|pair| Some(Pair { before: pair.first()?, after: pair.get(1)? })).collect()
}

/// Whether the bath was changed between two readings; a row with a change tells of the old bath.
fn is_renewed(entries: &[&Entry], pair: &Pair<'_>) -> bool {
    let is_between = |entry: &&Entry| entry.day >= pair.before.day && entry.day < pair.after.day;
    entries.iter().filter(|entry| is_between(entry)).any(|entry| entry.is_changed)
}

impl Tracker<'_> {
    /// What is to be looked at in a tank.
    pub(super) fn signs(&self, tank: Option<&str>) -> Result<Vec<CourseCaution>> {
        let of_tank = |entry: &&Entry| entry.tank.as_deref() == tank && entry.mass.is_none();
        let entries: Vec<&Entry> = self.entries.iter().filter(of_tank).collect();
        let mut found = self.losses(&entries)?;
        found.extend(self.additions(tank, &entries));
        found.extend(self.fermenting(tank, &entries)?);
        Ok(found.into_iter().map(|caution| caution.of_tank(tank)).collect())
    }

    fn limit(&self, stated: Option<f64>, name: &str) -> f64 {
        stated.or_else(|| Some(self.reference.constant(name)?.value)).unwrap_or(f64::INFINITY)
    }

    fn losses(&self, entries: &[&Entry]) -> Result<Vec<CourseCaution>> {
        let limit = self.limit(self.options.volume_loss_limit, "bath_volume_loss");
        let mut found = Vec::new();
        for pair in pairs(entries, |entry| entry.volume.is_some()) {
            let Some([before, after]) = pair.of(|entry| entry.volume) else { continue };
            if pair.days() <= 0.0 || is_renewed(entries, &pair) {
                continue;
            }
            let loss = loss_a_week([before, after], pair.days())?;
            if loss <= limit {
                continue;
            }
            let strengths = [pair.before, pair.after].map(|entry| strength_shown(entry, self.options, self.reference));
            let solute = match strengths {
                [Some(one), Some(other)] if one.unit == other.unit && one.value > 0.0 => {
                    let kept = other.value * after / (one.value * before);
                    let lost_of_volume = 1.0 - after / before;
                    // Water that goes alone leaves the impregnant; a leak takes its share.
                    match 1.0 - kept > lost_of_volume / 2.0 {
                        true => "; the concentration did not rise as it would if water alone had gone",
                        false => "; the concentration rose as it does where water alone goes",
                    }
                }
                _ => "",
            };
            let [from, to, loss] = [before, after, loss].map(shown_value);
            let detail = format!("from {from} to {to} L in {} days, {loss} % a week{solute}", shown_value(pair.days()));
            let caution = CourseCaution::new(CourseCautionCode::BathLosesVolume, detail);
            found.push(caution.since(written_day(pair.after.day)));
        }
        Ok(found)
    }

    fn additions(&self, tank: Option<&str>, entries: &[&Entry]) -> Vec<CourseCaution> {
        let step = self.options.of_tank(tank).step;
        let has = |entry: &Entry| entry.mass_fraction.is_some() || entry.mass_per_volume.is_some();
        let mut found = Vec::new();
        for pair in pairs(entries, has) {
            let shown = [pair.before, pair.after].map(|entry| strength_shown(entry, self.options, self.reference));
            let [Some(before), Some(after)] = shown else { continue };
            let date = || written_day(pair.after.day);
            let said = |one: f64, other: f64, unit: &str| {
                format!("from {} to {} {unit}", shown_value(one), shown_value(other))
            };
            let planned = match step {
                Some(ConcentrationStep::MassFraction(step)) if before.unit == "%" && after.unit == "%" => {
                    Some((before.value, after.value, step, "% by mass"))
                }
                Some(ConcentrationStep::MassPerVolume(step)) => {
                    before.mass_per_volume.zip(after.mass_per_volume).map(|(one, other)| (one, other, step, "g/L"))
                }
                _ => None,
            };
            if let Some((one, other, step, unit)) = planned.filter(|(one, other, step, _)| other - one > OVER * step) {
                let detail = format!("{}; the plan has steps of {} {unit}", said(one, other, unit), shown_value(step));
                found.push(CourseCaution::new(CourseCautionCode::AdditionTooLarge, detail).since(date()));
            }
            if let Some((one, other, unit)) = alike(&before, &after).filter(|(one, other, _)| *other < FALLEN * one)
                && !is_renewed(entries, &pair)
                && !pair.after.is_changed
            {
                let caution = CourseCaution::new(CourseCautionCode::BathWeakened, said(one, other, unit));
                found.push(caution.since(date()));
            }
        }
        found
    }

    fn fermenting(&self, tank: Option<&str>, entries: &[&Entry]) -> Result<Vec<CourseCaution>> {
        let impregnant = self.options.of_tank(tank).impregnant.unwrap_or_default().to_lowercase();
        if !SUGARS.iter().any(|sugar| impregnant.contains(sugar)) {
            return Ok(Vec::new());
        }
        let low = self.limit(None, "sugar_bath_ph");
        let fall = self.limit(self.options.ph_fall_limit, "sugar_bath_ph_fall");
        // The first of each kind: a bath that ferments goes on until it is renewed.
        let sour = entries.iter().find_map(|entry| Some((entry.day, entry.ph.filter(|ph| *ph < low)?)));
        let mut found = Vec::new();
        if let Some((day, ph)) = sour {
            let caution = CourseCaution::new(CourseCautionCode::SugarFerments, format!("pH {}", shown_value(ph)));
            found.push(caution.since(written_day(day)));
        }
        for pair in pairs(entries, |entry| entry.ph.is_some()) {
            let Some(values) = pair.of(|entry| entry.ph) else { continue };
            if pair.days() <= 0.0 || is_renewed(entries, &pair) {
                continue;
            }
            let a_week = change_a_week(values, pair.days())?;
            if a_week < -fall {
                let [from, to] = values.map(shown_value);
                let detail = format!("pH from {from} to {to} in {} days", shown_value(pair.days()));
                let caution = CourseCaution::new(CourseCautionCode::SugarFerments, detail);
                found.push(caution.since(written_day(pair.after.day)));
                break;
            }
        }
        Ok(found)
    }
}

/// Two strengths on one basis.
fn alike(before: &Strength, after: &Strength) -> Option<(f64, f64, &'static str)> {
    if before.unit == after.unit {
        return Some((before.value, after.value, before.unit));
    }
    before.mass_per_volume.zip(after.mass_per_volume).map(|(one, other)| (one, other, "g/L"))
}
