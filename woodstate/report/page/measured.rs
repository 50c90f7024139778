//! 1: what was measured, by which protocol.

use crate::report::Align;
use crate::report::method::{instruments, protocol};

use super::{Part, Source, Table};

pub(super) fn parts(source: &Source<'_>) -> Vec<Part> {
    let assessment = &source.report.assessment;
    let mut files = Table::new(
        "The tables that were read",
        &[("table", Align::Left), ("file", Align::Left), ("rows", Align::Right), ("how it was read", Align::Left)],
    );
    for table in &assessment.source {
        let sheet = table.sheet.as_ref().map(|sheet| format!(", sheet {sheet}")).unwrap_or_default();
        let cells = [table.table.to_owned(), format!("{}{sheet}", table.file), table.rows.to_string()];
        files.row([cells[0].clone(), cells[1].clone(), cells[2].clone(), table.reading.join("; ")]);
    }
    let mut parts = vec![Part::Table(files)];
    if source.report.measured.is_empty() {
        parts.push(Part::paragraph("No number was measured."));
    } else {
        let heads =
            [("column", Align::Left), ("unit", Align::Left), ("rows", Align::Right), ("what it is", Align::Left)];
        let mut table = Table::new("Readings, and how many rows have them", &heads);
        for one in &source.report.measured {
            table.row([one.column.to_owned(), one.unit.to_owned(), one.rows.to_string(), one.meaning.to_owned()]);
        }
        parts.push(Part::Table(table));
    }
    parts.extend([
        Part::heading("Protocol, as the study file records it"),
        Part::terms(protocol(assessment)),
        Part::heading("Instruments and waters"),
        Part::terms(instruments(assessment)),
        Part::warning(
            "Weighing, drying and saturating have their dangers: ovens at 103 °C, vacuum vessels, biocides in storage water, \
             hydrogen sulfide over finds from oxygen-free ground. Follow the rules of your laboratory and local codes.",
        ),
    ]);
    parts
}
