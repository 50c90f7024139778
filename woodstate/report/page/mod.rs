//! The pages of a report: one file a section.
//!
//! A section takes from the outcome and gives parts (paragraphs, lists, tables); `html.rs` puts them into templates. A
//! new section is a file here and a line in [`SECTIONS`].

mod aftercare;
mod cautions;
mod classes;
mod decision;
mod depth;
mod figure;
mod findings;
mod following;
mod in_short;
mod lifting;
mod making;
mod measured;
mod methods;
mod part;
mod site_parts;
mod sources;
mod state;
mod strength;
mod treatment;
mod words;

use crate::study::Report;

use super::assessment::Marks;
pub(super) use decision::sheets;
pub use figure::PageFigure;
pub(super) use part::{Cell, Page, Table};
use part::{Count, Link, Part, Section};

/// Rows of a long table that stand in the page; the workbook has all.
const MOST_ROWS: usize = 200;

/// What a section is made of.
struct Source<'a> {
    report: &'a Report,
    marks: &'a Marks,
    figures: &'a [PageFigure],
}

impl Source<'_> {
    /// The figures of a section; one line where none was drawn.
    fn figures(&self, section: &str) -> Vec<Part> {
        let drawn = self.figures.iter().filter(|figure| figure.section() == section);
        let drawn: Vec<Part> = drawn.cloned().map(Part::Figure).collect();
        if drawn.is_empty() { vec![Part::paragraph("No figure was drawn.")] } else { drawn }
    }
}

/// Makes the parts of a section.
type Make = fn(&Source<'_>) -> Vec<Part>;

/// Anchor, title and maker of each section, in their order.
const SECTIONS: [(&str, &str, Make); 17] = [
    ("in-short", "In one page", in_short::parts),
    ("measured", "What was measured, and how", measured::parts),
    ("findings", "Findings in the file, and what was done", findings::parts),
    ("state", "State of the timbers and pieces", state::parts),
    ("classes", "Classes", classes::parts),
    ("depth", "In depth", depth::parts),
    ("parts", "Parts of the site compared", site_parts::parts),
    ("strength", "Strength", strength::parts),
    ("lifting", "Weight and support when lifting", lifting::parts),
    ("treatment", "Treatment", treatment::parts),
    ("following", "Following the treatment", following::parts),
    ("aftercare", "After treatment", aftercare::parts),
    ("cautions", "Cautions", cautions::parts),
    ("methods", "Methods, ready to paste", methods::parts),
    ("sources", "Sources, with evidence", sources::parts),
    ("words", "Words and symbols", words::parts),
    ("making", "How this report was made", making::parts),
];

/// The page of a report.
pub(super) fn page(report: &Report, figures: &[PageFigure]) -> Page {
    let marks = Marks::of(&report.assessment);
    let source = Source { report, marks: &marks, figures };
    let mut n_tables = 0;
    let mut section = |(number, (id, title, make)): (usize, &(&'static str, &'static str, Make))| {
        let mut parts = make(&source);
        for part in &mut parts {
            if let Part::Table(table) = part {
                n_tables += 1;
                table.number = n_tables;
            }
        }
        Section { id, number, title, parts }
    };
    let sections = SECTIONS.iter().enumerate().map(&mut section).collect();
    let settings = &report.assessment.settings;
    Page {
        title: settings.title.clone().map_or_else(|| TITLE.to_owned(), |title| format!("{title}: {LATER}")),
        study: settings.title.clone().unwrap_or_default(),
        date: report.date.clone().unwrap_or_default(),
        laboratory: settings.protocol.laboratory.clone().unwrap_or_default(),
        program: format!("{} {}", report.assessment.program.name, report.assessment.program.version),
        files: report.assessment.source.iter().map(|table| table.file.clone()).fold(Vec::new(), once_each),
        sections,
    }
}

const TITLE: &str = "State of waterlogged wood";
const LATER: &str = "state of the wood";

fn once_each(mut seen: Vec<String>, next: String) -> Vec<String> {
    if !seen.contains(&next) {
        seen.push(next);
    }
    seen
}

/// The tables of a report with all rows, each with the name of its file.
pub(super) fn tables(report: &Report) -> Vec<(&'static str, Table)> {
    let marks = Marks::of(&report.assessment);
    state::tables(&report.assessment, &marks, usize::MAX)
}
