//! The tables of `lift` for a pipe, and as one file.

use std::path::Path;

use crate::error::Result;
use crate::study::{LiftNumber, Lifts};
use crate::table::TextStyle;

use super::json::json;
use super::strength_file::{delimited, ending};
use super::{Align, Block, Grid, View};

/// The tables of `lift` for a pipe: timbers, ways of support, strengths, weight at the surface, timbers not assessed.
#[must_use]
pub fn lifts_plain(lifts: &Lifts) -> View {
    let mut view = View::default();
    for table in [timbers(lifts), support_table(lifts), strengths(lifts), surfacing(lifts), without(lifts)] {
        if !table.rows.is_empty() {
            view.push(Block::Table(table));
        }
    }
    view
}

/// The ending of a path that names a file of lifts.
///
/// # Errors
/// [`ErrorKind::Name`](crate::error::ErrorKind::Name) with the endings there are.
pub fn lifts_ending(path: &Path) -> Result<&'static str> {
    ending(path, "ending of a file of lifts")
}

/// Lifts as one file: the whole outcome as `json`, one row a timber and way of support as `csv` or `tsv`.
///
/// # Errors
/// An ending that is none of these.
pub fn lifts_file(lifts: &Lifts, ending: &str, style: TextStyle) -> Result<Vec<u8>> {
    match ending {
        "json" => Ok(json(lifts)?.into_bytes()),
        _ => delimited("lift", support_table(lifts), ending, style),
    }
}

fn heads(heads: &[&str]) -> Grid {
    Grid::new(&heads.iter().map(|head| (*head, Align::Left)).collect::<Vec<_>>())
}

fn plain(number: Option<f64>) -> String {
    number.map(|number| number.to_string()).unwrap_or_default()
}

fn two(number: Option<&LiftNumber>) -> [String; 2] {
    [number.map(|number| number.value), number.and_then(|number| number.u)].map(plain)
}

fn timbers(lifts: &Lifts) -> Grid {
    let mut grid = heads(&[
        "timber",
        "danger",
        "taxon",
        "answer",
        "answer_is_met",
        "mass_in_air [kg]",
        "u(mass_in_air) [kg]",
        "mass_submerged [kg]",
        "u(mass_submerged) [kg]",
        "growth",
        "sling_from_start [m]",
        "sling_from_end [m]",
        "tray_length [m]",
        "tray_width [mm]",
        "tray_height [mm]",
        "cautions",
    ]);
    for lift in &lifts.lifts {
        let mut row = vec![
            lift.timber.clone(),
            lift.danger.to_string(),
            lift.taxon.clone().unwrap_or_default(),
            lift.answer.support.clone(),
            if lift.answer.is_met { "yes" } else { "no" }.to_owned(),
        ];
        row.extend(two(Some(&lift.mass_in_air)));
        row.extend(two(Some(&lift.mass_submerged)));
        row.push(plain(lift.growth.as_ref().map(|growth| growth.value)));
        row.push(plain(lift.best_slings.as_ref().map(|best| best.from_start)));
        row.push(plain(lift.best_slings.as_ref().map(|best| best.from_end)));
        row.extend([lift.tray.length, lift.tray.width, lift.tray.height].map(|size| size.to_string()));
        row.push(lift.cautions.iter().map(|caution| caution.code).collect::<Vec<_>>().join(" "));
        grid.rows.push(row);
    }
    grid
}

/// One row a timber and way of support.
pub(super) fn support_table(lifts: &Lifts) -> Grid {
    let mut grid = heads(&[
        "timber",
        "support",
        "moment_max [N.m]",
        "u(moment_max) [N.m]",
        "sling_tension [N]",
        "u(sling_tension) [N]",
        "bending_stress [MPa]",
        "u(bending_stress) [MPa]",
        "shear_stress [MPa]",
        "u(shear_stress) [MPa]",
        "bearing_stress [MPa]",
        "u(bearing_stress) [MPa]",
        "deflection [mm]",
        "u(deflection) [mm]",
        "margin",
        "u(margin)",
        "governing",
        "probability_below_required",
        "verdict",
        "reason",
    ]);
    for lift in &lifts.lifts {
        for support in &lift.supports {
            let mut row = vec![lift.timber.clone(), support.support.clone()];
            for number in [
                &support.moment_max,
                &support.sling_tension,
                &support.bending_stress,
                &support.shear_stress,
                &support.bearing_stress,
                &support.deflection,
                &support.margin,
            ] {
                row.extend(two(number.as_ref()));
            }
            row.push(support.governing.unwrap_or_default().to_owned());
            row.push(plain(support.probability_below_required.as_ref().map(|share| share.value)));
            row.push(support.verdict.to_owned());
            row.push(support.reason.clone().unwrap_or_default());
            grid.rows.push(row);
        }
    }
    grid
}

fn strengths(lifts: &Lifts) -> Grid {
    let mut grid = heads(&["timber", "zone", "property", "strength [MPa]", "u(strength) [MPa]", "route", "evidence"]);
    for lift in &lifts.lifts {
        for found in &lift.strengths {
            let mut row = vec![lift.timber.clone(), found.zone.to_owned(), found.property.clone()];
            row.extend(two(Some(&found.strength)));
            row.push(found.strength.route.unwrap_or_default().to_owned());
            row.push(found.evidence.word().to_owned());
            grid.rows.push(row);
        }
    }
    grid
}

fn surfacing(lifts: &Lifts) -> Grid {
    let mut grid = heads(&["timber", "share_out", "weight [N]", "mass [kg]"]);
    for lift in &lifts.lifts {
        for step in &lift.surfacing {
            let mut row = vec![lift.timber.clone()];
            row.extend([step.share_out, step.weight, step.mass].map(|number| number.to_string()));
            grid.rows.push(row);
        }
    }
    grid
}

fn without(lifts: &Lifts) -> Grid {
    let mut grid = heads(&["timber", "not_assessed_because"]);
    grid.rows = lifts.without.iter().map(|left| vec![left.timber.clone(), left.reason.clone()]).collect();
    grid
}
