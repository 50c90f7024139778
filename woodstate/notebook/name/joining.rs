//! `join`: columns of another file beside those of a table.

use starlark::environment::GlobalsBuilder;
use starlark::eval::Evaluator;
use starlark::starlark_module;
use starlark::values::Value;

use crate::error::Place;
use crate::notebook::argument::described;
use crate::notebook::context::context;
use crate::notebook::fault::{failed, refuse};
use crate::notebook::value::TableValue;
use crate::quantity::counted;
use crate::table::{Batch, Joined};

#[starlark_module]
pub(super) fn names(builder: &mut GlobalsBuilder) {
    /// A table with the columns of another one, by the names of their rows. Every row stays; what the other table lacks is
    /// unknown.
    ///
    /// ```text
    /// t = join(t, read("ash.csv"))
    /// ```
    ///
    /// # Arguments
    /// * `table`: what `read` gave
    /// * `other`: a table with columns that are missing there
    /// * `on`: column of texts that both have, equal to the letter
    fn join<'v>(
        #[starlark(require = pos)] table: Value<'v>,
        #[starlark(require = pos)] other: Value<'v>,
        #[starlark(require = named, default = "sample")] on: &str,
        eval: &mut Evaluator<'v, '_, '_>,
    ) -> starlark::Result<TableValue> {
        let context = context(eval)?;
        let (table, other) = (table_of(table)?, table_of(other)?);
        context.compare(&other.batch);
        let (samples, joined) = table.batch.samples.joined(&other.batch.samples, on).map_err(failed)?;
        if joined.columns.is_empty() {
            let text = "the other table has no column that this one lacks";
            return Err(refuse(text, "other.columns and t.columns list them"));
        }
        if joined.matched == 0 {
            let text = format!("no {on} of this table stands in the other one");
            return Err(refuse(
                text,
                format!("compare t[\"{on}\"] with other[\"{on}\"], or join by another column: on=\"...\""),
            ));
        }
        context.say(&sentence(&joined, on));
        let mut batch = Batch { samples, ..Batch::clone(&table.batch) };
        let columns = other.batch.samples.columns().iter().filter(|column| joined.columns.contains(&column.name));
        let headers: Vec<&str> = columns.map(|column| column.header.as_str()).collect();
        let findings = other.batch.findings.iter();
        let of_columns = |place: &Place| place.column.as_deref().is_some_and(|header| headers.contains(&header));
        batch.findings.extend(findings.filter(|finding| of_columns(&finding.place)).cloned());
        table.with(batch)
    }
}

fn table_of(value: Value<'_>) -> starlark::Result<&TableValue> {
    TableValue::from_value(value).ok_or_else(|| {
        let text = format!("join takes two tables of measurements, and this is {}", described(value));
        refuse(text, "t = join(read(\"samples.csv\"), read(\"ash.csv\"))")
    })
}

/// Names that are listed at most.
const LISTED: usize = 5;

fn sentence(joined: &Joined, on: &str) -> String {
    let listed = |names: &[String]| {
        let more = if names.len() > LISTED { ", ..." } else { "" };
        format!("{}{more}", names[..names.len().min(LISTED)].join(", "))
    };
    let mut text = format!("{} joined by {on}: {}", counted(joined.matched, "row"), joined.columns.join(", "));
    if !joined.without.is_empty() {
        text.push_str(&format!(
            "; unknown for {} without a row there: {}",
            joined.without.len(),
            listed(&joined.without)
        ));
    }
    if !joined.left_over.is_empty() {
        text.push_str(&format!("; {} there without a row here: {}", joined.left_over.len(), listed(&joined.left_over)));
    }
    if !joined.kept.is_empty() {
        text.push_str(&format!("; both have {}, left as here", joined.kept.join(", ")));
    }
    text.push('.');
    text
}
