//! 3: the state of each timber, then of each piece.

use crate::report::assessment::{Marks, pieces, timbers};
use crate::study::Assessment;

use super::decision::anchor;
use super::{Link, MOST_ROWS, Part, Source, Table};

pub(super) fn parts(source: &Source<'_>) -> Vec<Part> {
    let assessment = &source.report.assessment;
    let mut parts = Vec::new();
    if assessment.timbers.is_empty() {
        parts.push(Part::paragraph("No timber is named in the file."));
    }
    if assessment.samples.is_empty() {
        parts.push(Part::paragraph("No piece was measured."));
    }
    let all = [("timbers", assessment.timbers.len()), ("pieces", assessment.samples.len())];
    for (name, table) in tables(assessment, source.marks, MOST_ROWS) {
        parts.push(Part::Table(table));
        if let Some((_, n)) = all.iter().find(|(other, n)| *other == name && *n > MOST_ROWS) {
            let sheet = if name == "timbers" { "timbers" } else { "results" };
            parts.push(Part::paragraph(format!(
                "The first {MOST_ROWS} of {n} {name}; the sheet {sheet} of the workbook and {sheet}.csv have all.",
            )));
        }
    }
    let legend = source.marks.legend(assessment);
    if !legend.is_empty() {
        parts.push(Part::terms(legend));
    }
    if !parts.is_empty() && !assessment.samples.is_empty() {
        parts.push(Part::paragraph(
            "± is one standard uncertainty; a value is rounded to its two leading digits. \"unknown\" means that nobody \
             measured or stated what it needs. The class of a timber is that of its worst zone.",
        ));
    }
    parts.extend(source.figures("state"));
    parts
}

/// Timbers and pieces, so many rows of each; a table without rows is left out.
pub(super) fn tables(assessment: &Assessment, marks: &Marks, most: usize) -> Vec<(&'static str, Table)> {
    let mut tables = Vec::new();
    if !assessment.timbers.is_empty() {
        let mut table = Table::of(timbers(assessment, marks, most), "State of each timber");
        for (place, row) in table.rows.iter_mut().enumerate() {
            let text = std::mem::take(&mut row[0].text);
            let href = format!("sheets.html#{}", anchor(place, &text));
            row[0].links.push(Link { text, href });
        }
        tables.push(("timbers", table));
    }
    if !assessment.samples.is_empty() {
        tables.push(("pieces", Table::of(pieces(assessment, marks, most), "State of each piece")));
    }
    tables
}
