//! 16: how this report was made.

use crate::report::method::{choices, origins};

use super::{Part, Source};

pub(super) fn parts(source: &Source<'_>) -> Vec<Part> {
    let report = source.report;
    let open = |text: &Option<String>, otherwise: &str| text.clone().unwrap_or_else(|| otherwise.to_owned());
    let mut items = vec![
        ("date".to_owned(), open(&report.date, "not given")),
        ("command".to_owned(), open(&report.command, "none: made by a program that uses the library")),
    ];
    items.extend(origins(&report.assessment));
    items.extend(choices(&report.assessment));
    vec![
        Part::paragraph(
            "The same files, settings and seed give the same bytes. Every number of this report stands with full precision in \
             report.json; its form: woodstate schema report.",
        ),
        Part::terms(items),
    ]
}
