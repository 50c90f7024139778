//! 2: what was found in the file, and what was done.

use crate::quantity::counted;
use crate::report::Align;
use crate::report::findings::{by_gravity, follows, line};

use super::{MOST_ROWS, Part, Source, Table};

/// Places of one group that are named.
const NAMED: usize = 6;

pub(super) fn parts(source: &Source<'_>) -> Vec<Part> {
    let assessment = &source.report.assessment;
    let counts = assessment.counts;
    let mut parts = vec![Part::paragraph(format!(
        "{} = {} assessed + {} partly assessed + {} not assessed + {} left out by a condition.",
        counted(counts.rows, "row"),
        counts.assessed,
        counts.partial,
        counts.not_assessed,
        counts.left_out,
    ))];
    parts.extend(assessment.choices.iter().map(|choice| Part::paragraph(crate::report::choice_sentence(choice))));
    if assessment.findings.is_empty() {
        parts.push(Part::paragraph("Nothing was found that needs a look."));
        return parts;
    }
    let heads = ["finding", "where", "what was found", "what was done", "cure"].map(|head| (head, Align::Left));
    let mut table = Table::new("Findings, the gravest first", &heads);
    let groups = by_gravity(&assessment.findings);
    for group in groups.iter().take(MOST_ROWS) {
        let first = group[0];
        let sheet = first.place.sheet.as_ref().map(|sheet| format!(", sheet {sheet}")).unwrap_or_default();
        let mut places: Vec<String> = group
            .iter()
            .take(NAMED)
            .map(|finding| line(finding).0.trim().to_owned())
            .filter(|at| !at.is_empty())
            .collect();
        if group.len() > NAMED {
            places.push(format!("{} more", group.len() - NAMED));
        }
        let at = if places.is_empty() { String::new() } else { format!(": {}", places.join(", ")) };
        table.row([
            first.code.word().to_owned(),
            format!("{}{sheet}{at}", first.place.file),
            line(first).1,
            follows(first).to_owned(),
            first.cure.clone(),
        ]);
    }
    parts.push(Part::Table(table));
    if groups.len() > MOST_ROWS {
        parts.push(Part::paragraph(format!("{} more are in the sheet findings.", groups.len() - MOST_ROWS)));
    }
    parts
}
