//! What `report` says at a terminal: its one page in a few lines.

use crate::quantity::counted;
use crate::study::{NotKnown, Report, Urgent};

use super::{Align, Block, Grid, View};

/// Names of one rule that are shown.
const NAMED: usize = 12;

/// The view of `report`, for people and for a pipe.
#[must_use]
pub fn report_view(report: &Report) -> View {
    let (counts, page) = (report.assessment.counts, &report.one_page);
    let mut view = View::default();
    view.push(Block::Paragraph(format!(
        "{} of {}. {} = {} assessed + {} partly + {} not + {} left out.",
        counted(counts.pieces, "piece"),
        counted(counts.timbers, "timber"),
        counted(counts.rows, "row"),
        counts.assessed,
        counts.partial,
        counts.not_assessed,
        counts.left_out
    )));
    let mut urgent = Grid::new(&[
        ("urgent", Align::Left),
        ("how many", Align::Right),
        ("can be told of", Align::Right),
        ("which", Align::Left),
    ]);
    urgent.rows = page.urgent.iter().map(rule).collect();
    view.push(Block::Table(urgent));
    let mut unknown = Grid::new(&[("not known of all", Align::Left), ("known", Align::Right), ("of", Align::Left)]);
    let row = |one: &NotKnown| vec![one.what.to_owned(), one.known.to_string(), counted(one.of, one.unit)];
    unknown.rows = page.not_known.iter().map(row).collect();
    view.push(Block::Table(unknown));
    let memory = match page.from_memory.len() {
        1 => "1 number rests on memory".to_owned(),
        n => format!("{n} numbers rest on memory"),
    };
    view.push(Block::Paragraph(format!(
        "{memory}. The rules of urgency are a proposal of ours: woodstate explain report"
    )));
    view
}

fn rule(urgent: &Urgent) -> Vec<String> {
    let unnamed = "a piece without a name";
    let samples = urgent.samples.iter().map(|sample| sample.as_deref().unwrap_or(unnamed));
    let names: Vec<&str> = urgent.timbers.iter().map(String::as_str).chain(samples).collect();
    let more = names.len().saturating_sub(NAMED);
    let more = if more > 0 { format!(" and {more} more") } else { String::new() };
    let which = match names.is_empty() {
        true if urgent.known == 0 => "unknown".to_owned(),
        true => "none of these".to_owned(),
        false => format!("{}{more}", names[..names.len().min(NAMED)].join(", ")),
    };
    let known = format!("{} of {}", urgent.known, counted(urgent.of, urgent.unit));
    vec![urgent.rule.word().to_owned(), how_many(urgent), known, which]
}

/// How many fulfil a rule; unknown where it can be told of none.
pub(super) fn how_many(urgent: &Urgent) -> String {
    match (urgent.timbers.len(), urgent.samples.len()) {
        (0, 0) if urgent.known == 0 => "unknown".to_owned(),
        (timbers, 0) => timbers.to_string(),
        (timbers, pieces) => format!("{timbers}, and {} without a timber", counted(pieces, "piece")),
    }
}
