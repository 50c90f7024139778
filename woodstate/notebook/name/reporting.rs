//! `report`: a folder of pages, figures and tables for the files of a museum.

use starlark::environment::GlobalsBuilder;
use starlark::eval::Evaluator;
use starlark::starlark_module;
use starlark::values::Value;
use starlark::values::none::NoneOr;

use crate::error::Result;
use crate::notebook::context::{Context, context};
use crate::notebook::fault::failed;
use crate::notebook::value::{Outcome, OutcomeValue};
use crate::quantity::counted;
use crate::report::{Marked, ReportFile, Templates, report_figures, report_files};
use crate::study::{Report, ReportQuestion, Study, report};
use crate::table::{Decimal, FileOut, Overwrite, TextStyle, write_all};

use super::assessing::{Source, or_none};
use super::words::words;

#[starlark_module]
pub(super) fn names(builder: &mut GlobalsBuilder) {
    /// A report for the files of a museum: a page, decision sheets, figures, tables, all in one folder.
    ///
    /// ```text
    /// report(t, "harbour_report")
    /// ```
    ///
    /// # Arguments
    /// * `table`: what `read` or `assess` gave
    /// * `out`: folder to write
    /// * `date`: day of the report, such as `"2026-11-27"`; without it that of the study file, or none
    /// * `tables`: the tables as marked text too: `"tex"`, `"md"`
    /// * `force`: replace files in the folder even if woodstate did not write them
    fn report<'v>(
        #[starlark(require = pos)] table: Value<'v>,
        #[starlark(require = pos)] out: &str,
        #[starlark(require = named, default = NoneOr::None)] date: NoneOr<&str>,
        #[starlark(require = named, default = NoneOr::None)] tables: NoneOr<Value<'v>>,
        #[starlark(require = named, default = false)] force: bool,
        eval: &mut Evaluator<'v, '_, '_>,
    ) -> starlark::Result<OutcomeValue> {
        let context = context(eval)?;
        let source = Source::of(table, "report")?;
        context.compare(source.batch);
        let marked = words(or_none(tables), "tables")?;
        let overwrite = if force { Overwrite::Force } else { Overwrite::IfOurs };
        written(context, &source, out, date.into_option(), &marked, overwrite).map_err(failed)
    }
}

fn written(
    context: &Context,
    source: &Source<'_>,
    out: &str,
    date: Option<&str>,
    marked: &[String],
    overwrite: Overwrite,
) -> Result<OutcomeValue> {
    let folder = context.folder.path(out)?;
    let marked = marked.iter().map(|word| Marked::of_word(word)).collect::<Result<Vec<_>>>()?;
    let study = context.settled(Study::clone(source.study));
    let question = ReportQuestion { date: date.map(str::to_owned), command: None };
    let outcome = report(&study, source.batch.clone(), &question, &context.watch())?;
    let threads = study.read.n_threads();
    let made = context.apart(move || made(&outcome, &marked, threads).map(|files| (outcome, files)));
    let (outcome, files) = made??;
    let outs: Vec<FileOut<'_>> = files.iter().map(|(name, bytes)| FileOut::bytes(name, bytes)).collect();
    let removed = write_all(&folder, &outs, overwrite)?;
    let removed =
        if removed.is_empty() { String::new() } else { format!(" Removed {} of an earlier run.", removed.join(", ")) };
    context.say(&format!("Wrote {out}/report.html and {} in all.{removed}", counted(outs.len(), "file")));
    Ok(OutcomeValue::new(Outcome::Report(Box::new(outcome))))
}

/// Name and bytes of each file of a report.
fn made(outcome: &Report, marked: &[Marked], threads: usize) -> Result<Vec<(String, Vec<u8>)>> {
    let style = TextStyle { decimal: Decimal::Point, delimiter: ',' };
    let (figures, drawn) = report_figures(outcome, threads)?;
    let mut files: Vec<ReportFile<'_>> = report_files(outcome, &figures, &Templates::shipped()?, marked, style)?;
    files.extend(drawn);
    let of_file = |file: &ReportFile<'_>| {
        let mut bytes = Vec::new();
        file.write(threads, &mut bytes)?;
        Ok((file.name.clone(), bytes))
    };
    files.iter().map(of_file).collect()
}
