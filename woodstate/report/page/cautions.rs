//! 12: cautions, each with its story.

use crate::quantity::counted;

use super::{Part, Source};

pub(super) fn parts(source: &Source<'_>) -> Vec<Part> {
    let cautions = &source.report.assessment.cautions;
    if cautions.is_empty() {
        return vec![Part::paragraph("No caution was raised.")];
    }
    let mut parts = Vec::new();
    for entry in cautions {
        let mark = source.marks.mark(entry.code).map(|mark| format!("{mark}: ")).unwrap_or_default();
        parts.push(Part::heading(format!("{mark}{} [{}]", entry.text, entry.code)));
        let of = match (entry.samples, entry.timbers) {
            (pieces, 0) => counted(pieces, "piece"),
            (0, timbers) => counted(timbers, "timber"),
            (pieces, timbers) => format!("{}, {}", counted(pieces, "piece"), counted(timbers, "timber")),
        };
        let items = [
            ("raised for", of.as_str()),
            ("meaning", entry.meaning),
            ("consequence", entry.consequence),
            ("cause", entry.cause),
            ("cure", entry.cure),
        ];
        let items = items.map(|(name, text)| (name.to_owned(), text.to_owned())).to_vec();
        parts.push(Part::terms(items));
    }
    parts
}
