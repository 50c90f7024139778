//! Names of samples: a column of their own, or composed of several.

use crate::error::{Error, Finding, FindingCode, Place, Result, Severity};

use super::cells::trimmed;
use super::{Column, Table, TableKind, TableOptions, Values};

/// Composes the names of samples where the study file asks for it, and checks that rows can be named at all.
pub(super) fn name_rows(
    table: &mut Table,
    options: &TableOptions,
    missing: &[String],
    findings: &mut Vec<Finding>,
) -> Result<()> {
    if table.kind() != TableKind::Samples {
        return Ok(());
    }
    if options.sample.is_empty() {
        let has_name = table.columns().iter().any(|column| column.name == "sample");
        return if has_name { Ok(()) } else { Err(no_name(table)) };
    }
    let names = composed(table, &options.sample, missing)?;
    let place = part(table, &options.sample[0]).map_or(0, |column| column.place);
    // A column that is called sample anyway travels along like one of the user's own.
    table.unname("sample");
    let header = options.sample.join(" + ");
    for (row, _) in names.iter().enumerate().filter(|(_, name)| name.is_none()) {
        let text =
            format!("a part of the composed name ({}) is empty; the row is not assessed", options.sample.join(", "));
        let place = Place { column: None, cell: None, ..table.place(row, "sample") };
        findings.push(Finding::new(FindingCode::SampleMissing, Severity::Error, place, text));
    }
    table.push(Column { name: "sample".into(), header, place, values: Values::Texts(names.into()) });
    Ok(())
}

/// Names that a row of means or sums has.
const SUMMARIES: [&str; 14] = [
    "mean",
    "average",
    "sum",
    "total",
    "mittelwert",
    "mittel",
    "summe",
    "moyenne",
    "somme",
    "gemiddelde",
    "totaal",
    "media",
    "totale",
    "gennemsnit",
];

/// Says which rows look like a summary of others; they are assessed all the same.
pub(super) fn doubt_summaries(table: &Table, findings: &mut Vec<Finding>) {
    if table.kind() != TableKind::Samples {
        return;
    }
    let Some(names) = table.texts("sample") else { return };
    for (row, name) in names.iter().enumerate() {
        let Some(name) = name else { continue };
        let trimmed = trimmed(name);
        if SUMMARIES.iter().any(|summary| trimmed.eq_ignore_ascii_case(summary)) {
            let text = "the row looks like a summary of others; if it is, delete it";
            let place = table.place(row, "sample");
            let finding = Finding::new(FindingCode::SummaryRow, Severity::Warning, place, text).found(name);
            findings.push(finding.of_sample(name));
        }
    }
}

/// Name by row; `None` where a part is empty.
fn composed(table: &Table, parts: &[String], missing: &[String]) -> Result<Vec<Option<String>>> {
    let mut names = vec![Some(String::new()); table.n_rows()];
    for part_name in parts {
        let Some(column) = part(table, part_name) else {
            let text = format!("the sample name is composed of \"{part_name}\", which is not a column");
            return Err(Error::content(of_table(table), text));
        };
        for (row, name) in names.iter_mut().enumerate() {
            let text = match &column.values {
                Values::Numbers(numbers) => numbers.value(row).map(|value| value.to_string()),
                Values::Texts(texts) => texts.get(row).map(str::to_owned).filter(|text| !missing.contains(text)),
            };
            *name =
                name.take().zip(text).map(|(name, text)| if name.is_empty() { text } else { format!("{name}/{text}") });
        }
    }
    Ok(names)
}

/// The column that a part of a name means: one of ours first, then a header.
fn part<'a>(table: &'a Table, name: &str) -> Option<&'a Column> {
    let columns = table.columns();
    let by_header = || columns.iter().find(|column| column.header == name && !column.name.is_empty());
    columns.iter().find(|column| column.name == name).or_else(by_header)
}

fn of_table(table: &Table) -> Place {
    Place { file: table.origin().file.clone(), sheet: table.origin().sheet.clone(), ..Place::default() }
}

fn no_name(table: &Table) -> Error {
    let headers: Vec<&str> = table.columns().iter().map(|column| column.header.as_str()).collect();
    Error::content(of_table(table), format!("no column names the samples; found: {}", headers.join(" | "))).with_hint(
        "call the column with the names sample, map it under [samples.columns], or compose it: \
         sample = [\"core_id\", \"depth_from\"] under [samples] in woodstate.toml",
    )
}
