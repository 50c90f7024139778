//! The tables of `advise` for a pipe and for files.

use std::path::Path;

use crate::error::{Error, ErrorKind, Result};
use crate::study::{Advice, Said};
use crate::table::{TextStyle, write_workbook};

use super::json::json;
use super::strength_file::{delimited, sheet};
use super::{Align, Block, Grid, View};

/// Endings of the files that are made here.
const ENDINGS: [&str; 4] = ["json", "csv", "tsv", "xlsx"];

/// The tables of `advise` for a pipe: routes of each timber, reasons, what to measure next, steps.
#[must_use]
pub fn advice_plain(advice: &Advice) -> View {
    let mut view = View::default();
    for (_, table) in tables(advice) {
        if !table.rows.is_empty() {
            view.push(Block::Table(table));
        }
    }
    view
}

/// The ending of a path that names a file of advice.
///
/// # Errors
/// [`ErrorKind::Name`] with the endings there are.
pub fn advice_ending(path: &Path) -> Result<&'static str> {
    let found = path.extension().and_then(|ending| ending.to_str()).map(str::to_lowercase).unwrap_or_default();
    ENDINGS.into_iter().find(|ending| *ending == found).ok_or_else(|| {
        let allowed = ENDINGS.map(str::to_owned).to_vec();
        Error::new(ErrorKind::Name { what: "ending of a file of advice", found, allowed })
    })
}

/// Advice as one file: the whole outcome as `json`, all tables as `xlsx`, one row a timber and route as `csv` or `tsv`.
///
/// The style is that of `csv`, which has `;` between its cells where the decimal mark is the comma.
///
/// # Errors
/// An ending that is none of these, or more rows than a sheet has.
pub fn advice_file(advice: &Advice, ending: &str, style: TextStyle) -> Result<Vec<u8>> {
    match ending {
        "json" => Ok(json(advice)?.into_bytes()),
        "xlsx" => {
            let sheets: Vec<_> = tables(advice).into_iter().map(|(name, table)| sheet(name, table)).collect();
            write_workbook(&sheets, "advise.xlsx")
        }
        _ => delimited("advise", routes(advice), ending, style),
    }
}

/// Every table with the name of its sheet.
fn tables(advice: &Advice) -> [(&'static str, Grid); 6] {
    [
        ("routes", routes(advice)),
        ("reasons", reasons(advice)),
        ("next", next(advice)),
        ("before", before(advice)),
        ("disagreements", disagreements(advice)),
        ("safety", safety(advice)),
    ]
}

fn heads(heads: &[&str]) -> Grid {
    Grid::new(&heads.iter().map(|head| (*head, Align::Left)).collect::<Vec<_>>())
}

/// One row a timber and route.
fn routes(advice: &Advice) -> Grid {
    let mut grid = heads(&["timber", "taxon", "route", "verdict", "holds", "evidence", "zones", "trial_piece"]);
    for timber in &advice.timbers {
        for route in &timber.routes {
            let zones = timber.zones.iter().zip(&route.zones);
            let zones: Vec<String> =
                zones.map(|(zone, verdict)| format!("{}: {}", zone.zone, verdict.word())).collect();
            grid.rows.push(vec![
                timber.timber.clone(),
                timber.taxon.clone().unwrap_or_default(),
                route.route.to_owned(),
                route.verdict.word().to_owned(),
                route.holds.map(|share| share.to_string()).unwrap_or_default(),
                route.evidence.word().to_owned(),
                zones.join("; "),
                if route.trial_piece { "yes" } else { "no" }.to_owned(),
            ]);
        }
    }
    grid
}

/// Text, citation, place and evidence.
fn four(said: &Said) -> [String; 4] {
    [said.text.to_owned(), said.citation.to_owned(), said.place.to_owned(), said.evidence.word().to_owned()]
}

fn reasons(advice: &Advice) -> Grid {
    let mut grid = heads(&[
        "timber", "route", "bearing", "at_best", "zone", "found", "missing", "rests_on", "rule", "basis", "text",
        "citation", "place", "evidence",
    ]);
    let text = |text: Option<&str>| text.unwrap_or_default().to_owned();
    for timber in &advice.timbers {
        for route in &timber.routes {
            for reason in &route.reasons {
                let Some(said) = advice.statements.get(reason.statement) else { continue };
                let mut row = vec![
                    timber.timber.clone(),
                    route.route.to_owned(),
                    reason.bearing.to_owned(),
                    reason.at_best.word().to_owned(),
                    text(reason.zone),
                    reason.found.clone().unwrap_or_default(),
                    reason.missing.join(", "),
                    reason.rests_on.word().to_owned(),
                    text(said.rule),
                    text(said.basis),
                ];
                row.extend(four(said));
                grid.rows.push(row);
            }
        }
    }
    grid
}

fn next(advice: &Advice) -> Grid {
    let mut grid = heads(&["timber", "what", "act", "route", "if_found", "from", "alone", "at_best", "also"]);
    for timber in &advice.timbers {
        for next in &timber.next {
            for change in &next.changes {
                grid.rows.push(vec![
                    timber.timber.clone(),
                    next.what.to_owned(),
                    next.act.clone(),
                    change.route.to_owned(),
                    change.found.clone(),
                    change.from.word().to_owned(),
                    change.alone.word().to_owned(),
                    change.at_best.word().to_owned(),
                    change.also.join(", "),
                ]);
            }
        }
    }
    grid
}

fn before(advice: &Advice) -> Grid {
    let mut grid =
        heads(&["step", "title", "inputs", "decides", "due", "not_known", "stop", "citation", "place", "evidence"]);
    for step in &advice.steps {
        let mut row = vec![
            step.step.to_owned(),
            step.title.to_owned(),
            step.inputs.join("; "),
            step.decides.to_owned(),
            if step.is_always { "every timber".to_owned() } else { step.due.join(", ") },
            step.unknown.join(", "),
        ];
        row.extend(four(&step.stop));
        grid.rows.push(row);
    }
    grid
}

fn disagreements(advice: &Advice) -> Grid {
    let mut grid = heads(&["about", "text", "citation", "place", "evidence", "so"]);
    for one in &advice.disagreements {
        for side in &one.sides {
            let mut row = vec![one.about.to_owned()];
            row.extend(four(side));
            row.push(one.so.to_owned());
            grid.rows.push(row);
        }
    }
    grid
}

fn safety(advice: &Advice) -> Grid {
    let mut grid = heads(&["safety"]);
    grid.rows = advice.safety.lines().into_iter().map(|line| vec![line]).collect();
    grid
}
