//! 5: in depth: the zones of each timber.

use crate::quantity::{Quantity, shown_value};
use crate::report::Align;
use crate::report::assessment::{cell, depth};
use crate::report::profile::timbers_grid;
use crate::state::Zone;
use crate::study::Profiles;

use super::{MOST_ROWS, Part, Source, Table};

/// The quantities of a zone.
pub(super) const OF_ZONE: [Quantity; 4] =
    [Quantity::MaxWaterContent, Quantity::BasicDensity, Quantity::ResidualBasicDensity, Quantity::LossOfWoodSubstance];

/// The heads of a table of zones, behind what names its rows.
pub(super) const ZONE_HEADS: [(&str, Align); 7] = [
    ("zone", Align::Left),
    ("depth mm", Align::Right),
    ("pieces (cores)", Align::Right),
    ("max. water content %", Align::Right),
    ("basic density kg/m3", Align::Right),
    ("residual basic density %", Align::Right),
    ("loss of wood substance %", Align::Right),
];

pub(super) fn parts(source: &Source<'_>) -> Vec<Part> {
    let timbers = &source.report.assessment.timbers;
    let zoned = || timbers.iter().filter(|timber| timber.outer.is_some() || timber.inner.is_some());
    if zoned().next().is_none() {
        return vec![Part::paragraph("No depth was measured of a timber.")];
    }
    let heads: Vec<(&str, Align)> = std::iter::once(("timber", Align::Left)).chain(ZONE_HEADS).collect();
    let mut table = Table::new("The outermost and the deepest zone of each timber", &heads);
    table.n_names = 2;
    for timber in zoned().take(MOST_ROWS) {
        for (name, zone) in [("outer", &timber.outer), ("inner", &timber.inner)] {
            if let Some(zone) = zone {
                let [one, two, three, four, five, six, seven] = zone_cells(name, zone);
                table.row([timber.timber.clone(), one, two, three, four, five, six, seven]);
            }
        }
    }
    let mut parts = vec![
        Part::paragraph(
            "The outer zone is made of the outermost increments of the cores, as far as they overlap; the inner one of the \
             deepest. No mean is taken across a soft rim and a sound core.",
        ),
        Part::Table(table),
    ];
    if let Some(profiles) = &source.report.in_depth {
        parts.extend(rims(profiles));
    }
    let n = zoned().count();
    if n > MOST_ROWS {
        let rest = format!("The first {MOST_ROWS} of {n} timbers; the sheet timbers of the workbook has all.");
        parts.push(Part::paragraph(rest));
    }
    parts.extend(source.figures("depth"));
    parts
}

/// Soft rim and sound core of each timber, and what the marks mean.
fn rims(profiles: &Profiles) -> Vec<Part> {
    let (grid, legend) = timbers_grid(profiles, MOST_ROWS);
    let mut parts = vec![
        Part::heading("Soft rim and sound core"),
        Part::paragraph(
            "The soft rim ends where a curve through the increments passes the limit of sound wood, or, without a curve, \
             between the depths that the increments themselves allow. The proportion of sound to degraded material is what \
             McConnachie, Eaton and Jones 2008 propose to judge a timber by.",
        ),
        Part::Table(Table::of(grid, "Soft rim and sound core of each timber")),
        Part::terms(legend),
    ];
    let limit = profiles.profiles.iter().find_map(|timber| timber.threshold.as_ref());
    if let Some(limit) = limit {
        parts.push(Part::paragraph(format!(
            "Wood counts as sound from a {} of {} {}: {}. {} draws a timber.",
            profiles.value.title,
            shown_value(limit.value),
            limit.unit,
            limit.reason,
            profiles.replicates
        )));
    }
    let n = profiles.profiles.len();
    if n > MOST_ROWS {
        parts.push(Part::paragraph(format!("The first {MOST_ROWS} of {n} timbers; report.json has all.")));
    }
    parts
}

pub(super) fn zone_cells(name: &str, zone: &Zone) -> [String; 7] {
    let [content, density, residual, loss] = OF_ZONE.map(|quantity| cell(zone.values.of(quantity)));
    let pieces = format!("{} ({})", zone.n_samples, zone.n_cores);
    [name.to_owned(), depth(zone.depth), pieces, content, density, residual, loss]
}
