//! A timber as the log has it: when it was weighed, and in which bath it lay.

use super::bath::{Read, strength};
use super::tracker::Tracker;

/// A timber as the log has it.
pub(super) struct Logged {
    pub(super) tanks: Vec<String>,
    pub(super) weighings: Vec<(f64, f64, Option<f64>)>,
    /// Days at which the concentration of its bath changed, g/L.
    pub(super) steps: Vec<(f64, f64)>,
    pub(super) temperatures: Vec<(f64, f64)>,
    pub(super) is_without_basis: bool,
    pub(super) last_day: f64,
}

impl Tracker<'_> {
    /// What the log says of a timber.
    pub(super) fn logged(&self, timber: &str) -> Logged {
        let only = super::log::names(self.entries, |entry| entry.tank.as_ref());
        let mut now: Option<&str> = if let [only] = only.as_slice() { Some(only) } else { None };
        let mut found = Logged {
            tanks: Vec::new(),
            weighings: Vec::new(),
            steps: Vec::new(),
            temperatures: Vec::new(),
            is_without_basis: false,
            last_day: f64::NEG_INFINITY,
        };
        // The last reading of each tank, `None` where its basis is missing: a timber that is moved finds the bath that stands there.
        let mut strengths: Vec<(Option<&str>, Option<f64>)> = Vec::new();
        let mut is_in = false;
        for entry in self.entries {
            let tank = entry.tank.as_deref();
            if entry.timber.as_deref() == Some(timber) {
                now = tank.or(now);
                is_in = true;
                if let Some(name) = now.filter(|name| found.tanks.last().is_none_or(|last| last != name)) {
                    found.tanks.push(name.to_owned());
                }
                if let Some(mass) = entry.mass {
                    found.weighings.push((entry.day, mass, entry.u_mass));
                }
            }
            if let Some(read) = strength(entry, self.options, self.reference) {
                strengths.retain(|(name, _)| *name != tank);
                strengths.push((
                    tank,
                    match read {
                        Read::Known(read) => Some(read),
                        Read::WithoutBasis => None,
                    },
                ));
            }
            if !is_in {
                continue;
            }
            if tank == now {
                found.last_day = found.last_day.max(entry.day);
                found.temperatures.extend(entry.temperature.map(|temperature| (entry.day, temperature)));
            }
            match strengths.iter().find(|(name, _)| *name == now) {
                Some((_, Some(held))) => step(&mut found.steps, entry.day, *held),
                Some((_, None)) => found.is_without_basis = true,
                None => {}
            }
        }
        found
    }
}

/// A bath from a day on; of several readings of one day the last one holds.
fn step(steps: &mut Vec<(f64, f64)>, day: f64, held: f64) {
    if let Some((last_day, last)) = steps.last_mut() {
        if (*last - held).abs() <= 0.0 {
            return;
        }
        if day <= *last_day {
            *last = held;
            return;
        }
    }
    steps.push((day, held));
}
