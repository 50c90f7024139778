//! 14: sources with evidence.

use crate::quantity::Evidence;
use crate::report::Align;

use super::{Part, Source, Table};

pub(super) fn parts(source: &Source<'_>) -> Vec<Part> {
    let sources = &source.report.assessment.sources;
    if sources.is_empty() {
        return vec![Part::paragraph("No published or stated number was used.")];
    }
    let heads = ["used for", "citation", "place", "evidence"].map(|head| (head, Align::Left));
    let mut table = Table::new("Every published or stated number that was used", &heads);
    for cited in sources {
        let evidence = cited.evidence.word().to_owned();
        table.row([cited.used_for.clone(), cited.citation.clone(), cited.place.clone(), evidence]);
    }
    let used = Evidence::ALL.iter().filter(|evidence| sources.iter().any(|cited| cited.evidence == **evidence));
    let items = used.map(|evidence| (evidence.word().to_owned(), evidence.meaning().to_owned())).collect();
    vec![Part::Table(table), Part::heading("What the words of evidence mean"), Part::terms(items)]
}
