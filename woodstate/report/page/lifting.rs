//! 8: weight and support when lifting.

use crate::report::lift::{danger_grid, stated};
use crate::study::Lifts;

use super::{MOST_ROWS, Part, Source, Table};

pub(super) fn parts(source: &Source<'_>) -> Vec<Part> {
    let mut parts = match &source.report.lifting {
        Some(lifts) => weights(lifts),
        None => {
            vec![Part::paragraph("No weight and no support was computed.")]
        }
    };
    parts.push(Part::warning(
        "Lifting can injure people and break a find. A load is lifted only under a plan of a licensed person, with \
         equipment rated for it, under local codes. The state of the wood in this report is one input to such a plan.",
    ));
    if source.report.lifting.is_some() {
        parts.extend(source.figures("lifting"));
    }
    parts
}

/// Weights and margins in the order of danger, what the marks mean, and what can hurt someone.
fn weights(lifts: &Lifts) -> Vec<Part> {
    let (grid, legend) = danger_grid(lifts, MOST_ROWS);
    let mut parts = vec![
        Part::paragraph(lifts.notes.join(" ")),
        Part::Table(Table::of(grid, "Weight and support of each timber, the most dangerous first")),
        Part::terms(legend),
    ];
    if !lifts.without.is_empty() {
        parts.push(Part::heading("Timbers that were not assessed for a lift"));
        parts.push(Part::terms(
            lifts.without.iter().map(|left| (left.timber.clone(), left.reason.clone())).collect::<Vec<_>>(),
        ));
    }
    let n = lifts.lifts.len();
    if n > MOST_ROWS {
        parts.push(Part::paragraph(format!("The first {MOST_ROWS} of {n} timbers; report.json has all.")));
    }
    parts.push(Part::heading("What was stated for the lift"));
    parts.push(Part::terms(stated(lifts)));
    parts.push(Part::paragraph("What is not listed was not stated; its place is [lift] in the study file."));
    parts
}
