//! The rows of a log as plain entries, in the order of their days.

use crate::table::{Table, day_of};

/// A row of a log.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Entry {
    /// Days from 1970-01-01.
    pub(super) day: f64,
    pub(super) tank: Option<String>,
    pub(super) timber: Option<String>,
    pub(super) mass: Option<f64>,
    pub(super) u_mass: Option<f64>,
    pub(super) temperature: Option<f64>,
    pub(super) mass_fraction: Option<f64>,
    pub(super) mass_per_volume: Option<f64>,
    pub(super) conductivity: Option<f64>,
    pub(super) chloride: Option<f64>,
    pub(super) iron: Option<f64>,
    pub(super) ph: Option<f64>,
    pub(super) volume: Option<f64>,
    pub(super) is_changed: bool,
}

/// The entries of a log, and the numbers of rows without a day.
pub(super) fn entries(log: &Table) -> (Vec<Entry>, Vec<usize>) {
    let (mut entries, mut undated) = (Vec::new(), Vec::new());
    for row in 0..log.n_rows() {
        let Some(day) = log.text("date", row).and_then(day_of) else {
            undated.push(log.row_number(row));
            continue;
        };
        let number = |name| log.number(name, row);
        let text = |name| log.text(name, row).map(str::trim).filter(|text| !text.is_empty()).map(str::to_owned);
        entries.push(Entry {
            day,
            tank: text("tank"),
            timber: text("timber"),
            mass: number("mass_drained"),
            u_mass: log.numbers("mass_drained").and_then(|masses| masses.u(row)),
            temperature: number("bath_temperature"),
            mass_fraction: number("concentration_mass_fraction"),
            mass_per_volume: number("concentration_mass_per_volume"),
            conductivity: number("conductivity"),
            chloride: number("chloride_in_water"),
            iron: number("iron_in_water"),
            ph: number("ph_bath"),
            volume: number("bath_volume"),
            is_changed: log.text("water_changed", row).is_some_and(|word| word == "yes"),
        });
    }
    // Rows of one day stay in the order of the file: a reading before a change, and one after it.
    entries.sort_by(|a, b| a.day.total_cmp(&b.day));
    (entries, undated)
}

/// The names in a column, each once, in the order of their first row.
pub(super) fn names<'a>(entries: &'a [Entry], of: impl Fn(&'a Entry) -> Option<&'a String>) -> Vec<&'a str> {
    let mut names: Vec<&str> = Vec::new();
    for name in entries.iter().filter_map(of) {
        if !names.contains(&name.as_str()) {
            names.push(name);
        }
    }
    names
}
