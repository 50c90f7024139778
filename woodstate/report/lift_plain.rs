//! The tables of `lift` for a pipe, and as one file.

use std::path::Path;

use crate::error::Result;
use crate::quantity::Cited;
use crate::study::{LiftLegend, LiftNumber, Lifts};
use crate::table::{SheetOut, TextStyle, write_open_document, write_workbook};

use super::json::json;
use super::lift::stated;
use super::strength_file::{delimited, one_of, sheet};
use super::{Align, Block, Grid, View};

/// The tables of `lift` for a pipe: timbers, ways of support, strengths, weight at the surface.
#[must_use]
pub fn lifts_plain(lifts: &Lifts) -> View {
    let mut view = View::default();
    for table in [timbers(lifts), support_table(lifts), strengths(lifts), surfacing(lifts)] {
        if !table.rows.is_empty() {
            view.push(Block::Table(table));
        }
    }
    view
}

/// Endings of files of lifts.
const ENDINGS: [&str; 5] = ["xlsx", "ods", "json", "csv", "tsv"];

/// The ending of a path that names a file of lifts.
///
/// # Errors
/// [`ErrorKind::Name`](crate::error::ErrorKind::Name) with the endings there are.
pub fn lifts_ending(path: &Path) -> Result<&'static str> {
    one_of(path, "ending of a file of lifts", &ENDINGS)
}

/// Lifts as one file: the whole outcome as `json`, all tables as `xlsx` or `ods`, the list of timbers in the order of danger as `csv` or
/// `tsv`, those that were not assessed at its end.
///
/// # Errors
/// An ending that is none of these; a text longer than a workbook holds.
pub fn lifts_file(lifts: &Lifts, ending: &str, style: TextStyle) -> Result<Vec<u8>> {
    let name = format!("lift.{ending}");
    match ending {
        "json" => Ok(json(lifts)?.into_bytes()),
        "xlsx" => write_workbook(&sheets(lifts), &name),
        "ods" => write_open_document(&sheets(lifts), &name),
        _ => delimited("lift", timbers(lifts), ending, style),
    }
}

/// The sheets of a workbook: the list first, then what it rests on.
fn sheets(lifts: &Lifts) -> Vec<SheetOut<'static>> {
    let words = |head: [&str; 2], rows: Vec<(String, String)>| {
        let mut grid = heads(&head);
        grid.rows = rows.into_iter().map(|(word, text)| vec![word, text]).collect();
        grid
    };
    let safety = lifts.safety.notes.iter().map(|note| (note.word.clone(), note.short.clone()));
    let deferral = std::iter::once((String::new(), lifts.safety.deferral.clone()));
    let notes = lifts.notes.iter().map(|note| (String::new(), note.clone()));
    let source = |cited: &Cited| {
        let cited = [&cited.used_for, &cited.citation, &cited.place, cited.evidence.word(), &cited.id];
        cited.map(str::to_owned).to_vec()
    };
    let mut sources = heads(&["used for", "citation", "place", "evidence", "id"]);
    sources.rows = lifts.sources.iter().map(source).collect();
    let caution = |entry: &LiftLegend| {
        let told = [entry.code, entry.text, entry.meaning, entry.consequence, entry.cure].map(str::to_owned);
        told.into_iter().chain([entry.timbers.to_string()]).collect()
    };
    let mut cautions = heads(&["code", "text", "meaning", "consequence", "cure", "timbers"]);
    cautions.rows = lifts.cautions.iter().map(caution).collect();
    [
        ("lift", timbers(lifts)),
        ("supports", support_table(lifts)),
        ("strengths", strengths(lifts)),
        ("surfacing", surfacing(lifts)),
        ("stated", words(["what", "stated"], stated(lifts))),
        ("cautions", cautions),
        ("notes", words(["word", "text"], notes.chain(safety).chain(deferral).collect())),
        ("sources", sources),
    ]
    .into_iter()
    .map(|(name, grid)| sheet(name, grid))
    .collect()
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

/// One row a timber in the order of danger, then those that were not assessed.
fn timbers(lifts: &Lifts) -> Grid {
    const HEADS: [&str; 30] = [
        "danger",
        "timber",
        "taxon",
        "mass_in_air [kg]",
        "u(mass_in_air) [kg]",
        "mass_drained [kg]",
        "u(mass_drained) [kg]",
        "mass_submerged [kg]",
        "u(mass_submerged) [kg]",
        "growth",
        "answer",
        "answer_is_met",
        "reason",
        "best_way",
        "margin",
        "u(margin)",
        "governing",
        "probability_below_required",
        "verdict",
        "sling_from_start [m]",
        "sling_from_end [m]",
        "tray_length [m]",
        "tray_width [mm]",
        "tray_height [mm]",
        "attached",
        "saturation [%]",
        "reduction [%]",
        "unknown",
        "cautions",
        "not_assessed_because",
    ];
    let mut grid = heads(&HEADS);
    for lift in &lifts.lifts {
        let way = lift.best_way();
        let mut row = vec![lift.danger.to_string(), lift.timber.clone(), lift.taxon.clone().unwrap_or_default()];
        row.extend(two(Some(&lift.mass_in_air)));
        row.extend(two(lift.mass_drained.as_ref()));
        row.extend(two(Some(&lift.mass_submerged)));
        row.push(plain(lift.growth.as_ref().map(|growth| growth.value)));
        row.push(lift.answer.support.clone());
        row.push(if lift.answer.is_met { "yes" } else { "no" }.to_owned());
        row.push(lift.answer.reason.clone());
        row.push(way.map(|way| way.support.clone()).unwrap_or_default());
        row.extend(two(way.and_then(|way| way.margin.as_ref())));
        row.push(way.and_then(|way| way.governing).unwrap_or_default().to_owned());
        row.push(plain(way.and_then(|way| way.probability_below_required.as_ref()).map(|share| share.value)));
        row.push(way.map(|way| way.verdict).unwrap_or_default().to_owned());
        row.push(plain(lift.best_slings.as_ref().map(|best| best.from_start)));
        row.push(plain(lift.best_slings.as_ref().map(|best| best.from_end)));
        row.extend([lift.tray.length, lift.tray.width, lift.tray.height].map(|size| size.to_string()));
        row.push(lift.attached.join("; "));
        row.push(plain(lift.saturation.as_ref().map(|share| share.value)));
        row.push(plain(lift.reduction.as_ref().map(|share| share.value)));
        let unknown = lift.unknown().into_iter().map(|caution| match &caution.detail {
            Some(detail) => format!("{} ({detail})", caution.text),
            None => caution.text.to_owned(),
        });
        row.push(unknown.collect::<Vec<_>>().join("; "));
        row.push(lift.cautions.iter().map(|caution| caution.code).collect::<Vec<_>>().join(" "));
        row.push(String::new());
        grid.rows.push(row);
    }
    for left in &lifts.without {
        let mut row = vec![String::new(); HEADS.len()];
        row[1].clone_from(&left.timber);
        row[HEADS.len() - 1].clone_from(&left.reason);
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
