//! What was found in the files, grouped, each group with its cure.

use crate::error::{Finding, FindingCode, Place, Severity};
use crate::quantity::counted;
use crate::study::{Checkup, Counts, Settings, SourceTable};

use super::{Block, View, choice_sentence};

/// Places shown of one group.
const SHOWN: usize = 3;

/// The view of `check`.
#[must_use]
pub fn checkup_view(checkup: &Checkup) -> View {
    let mut view = View::default();
    view.push(Block::Legend(sources(&checkup.source, &checkup.settings)));
    for choice in &checkup.choices {
        let others = "Findings of rows that are left out are not listed.";
        view.push(Block::Paragraph(format!("{} {others}", choice_sentence(choice))));
    }
    for block in findings_view(&checkup.findings).blocks {
        view.push(block);
    }
    if checkup.findings.is_empty() {
        view.push(Block::Paragraph("Nothing was found that needs a look.".to_owned()));
    }
    view.push(Block::Paragraph(ready(checkup)));
    view
}

/// Which files were read, and how.
pub(super) fn sources(tables: &[SourceTable], settings: &Settings) -> Vec<(String, String)> {
    let study = settings.study_file.as_deref().unwrap_or("none");
    let mut lines = vec![("study file".to_owned(), study.to_owned())];
    for table in tables {
        let sheet = table.sheet.as_ref().map(|sheet| format!(", sheet {sheet}")).unwrap_or_default();
        let reading = table.reading.iter().map(|item| format!("; {item}")).collect::<String>();
        lines.push((table.table.to_owned(), format!("{}{sheet}: {}{reading}", table.file, counted(table.rows, "row"))));
    }
    lines
}

fn ready(checkup: &Checkup) -> String {
    let Counts { rows, assessed, partial, not_assessed, left_out, undried, .. } = &checkup.counts;
    let left_out = if *left_out == 0 { String::new() } else { format!(", {left_out} left out") };
    let example = by_gravity(&checkup.findings).first().map_or("max_water_content", |group| group[0].code.word());
    format!(
        "{}: {assessed} ready ({} without drying), {partial} ready in part, {not_assessed} that cannot be assessed{left_out}. The \
         long story of a word: woodstate explain {example}",
        counted(*rows, "row"),
        counted(*undried, "piece"),
    )
}

/// Findings grouped by word and sheet, the gravest first.
pub(super) fn by_gravity(findings: &[Finding]) -> Vec<Vec<&Finding>> {
    let mut groups: Vec<Vec<&Finding>> = Vec::new();
    for finding in findings {
        let is_same = |group: &&mut Vec<&Finding>| {
            let first = group[0];
            first.code == finding.code
                && first.severity == finding.severity
                && first.place.sheet == finding.place.sheet
                && first.place.file == finding.place.file
                && first.cure == finding.cure
        };
        match groups.iter_mut().find(is_same) {
            Some(group) => group.push(finding),
            None => groups.push(vec![finding]),
        }
    }
    groups.sort_by_key(|group| std::cmp::Reverse(group[0].severity));
    groups
}

/// The view of findings: grouped by word and sheet, the gravest first.
#[must_use]
pub fn findings_view(findings: &[Finding]) -> View {
    let mut view = View::default();
    for group in by_gravity(findings) {
        let Place { file, sheet, .. } = &group[0].place;
        let sheet = sheet.as_ref().map(|sheet| format!(", sheet {sheet}")).unwrap_or_default();
        let title = format!("{} ({}) in {file}{sheet}", group[0].code.word(), follows(group[0]));
        let mut lines: Vec<(String, String)> = group.iter().take(SHOWN).map(|finding| line(finding)).collect();
        if group.len() > SHOWN {
            lines.push(("  ...".to_owned(), format!("and {} more like these", group.len() - SHOWN)));
        }
        lines.push(("  cure".to_owned(), group[0].cure.clone()));
        view.push(Block::Listing(title, lines));
    }
    view
}

/// What was done with what was found.
pub(super) fn follows(finding: &Finding) -> &'static str {
    match finding.severity {
        _ if finding.code == FindingCode::SummaryRow => "assessed all the same",
        Severity::Error => "not assessed",
        Severity::Warning => "assessed without it",
        Severity::Note => "nothing is lost",
    }
}

/// Where in the sheet, and what.
pub(super) fn line(finding: &Finding) -> (String, String) {
    let Place { row, cell, column, .. } = &finding.place;
    let place = match (cell, row) {
        (Some(cell), _) => cell.clone(),
        (None, Some(row)) => format!("row {row}"),
        (None, None) => String::new(),
    };
    // What stands in the header is said once.
    let is_news = |value: &&String| !value.is_empty() && column.as_ref() != Some(*value);
    let value = finding.value.as_ref().filter(is_news);
    let column = column.as_ref().map(|column| format!("column \"{column}\": ")).unwrap_or_default();
    let value = value.map(|value| format!(" Found: \"{}\".", shortened(value))).unwrap_or_default();
    let allowed = finding.allowed.as_ref().map(|allowed| format!(" Allowed: {allowed}.")).unwrap_or_default();
    let stop = if finding.text.ends_with(['?', '.']) { "" } else { "." };
    (format!("  {place}"), format!("{column}{}{stop}{value}{allowed}", finding.text))
}

fn shortened(text: &str) -> String {
    const LONGEST: usize = 60;
    if text.chars().count() <= LONGEST {
        return text.to_owned();
    }
    text.chars().take(LONGEST).chain("...".chars()).collect()
}
