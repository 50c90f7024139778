//! `read` and `study`: files in.

use std::sync::Arc;

use starlark::environment::GlobalsBuilder;
use starlark::eval::Evaluator;
use starlark::starlark_module;
use starlark::values::Value;
use starlark::values::none::NoneOr;

use crate::error::Result;
use crate::notebook::argument::whole;
use crate::notebook::context::{Context, context};
use crate::notebook::fault::failed;
use crate::notebook::value::{OutcomeValue, TableValue, bytes};
use crate::quantity::counted;
use crate::report::{starter_toml, starter_view};
use crate::study::{STUDY_FILE, Study, starter};
use crate::table::{Batch, Decimal, Overwrite, TableOptions, read_batch, read_file, write_file};

#[starlark_module]
pub(super) fn names(builder: &mut GlobalsBuilder) {
    /// Read a workbook, a text file or a folder with samples, timbers and log.
    ///
    /// The study file `woodstate.toml` beside it says how, unless another one is named.
    ///
    /// ```text
    /// t = read("harbour.xlsx")
    /// ```
    ///
    /// # Arguments
    /// * `path`: the file or folder
    /// * `sheet`: sheet that holds the samples
    /// * `study`: study file; without it, woodstate.toml beside the data
    /// * `header_row`: row of the header, counted from 1
    /// * `encoding`: encoding of a text file, such as `"windows-1252"`
    /// * `delimiter`: character between the cells of a text file; `"tab"` for a tab
    /// * `decimal`: decimal mark of numbers in text, `"."` or `","`
    /// * `max_cells`: most cells of a table
    fn read<'v>(
        #[starlark(require = pos)] path: &str,
        #[starlark(require = named, default = NoneOr::None)] sheet: NoneOr<&str>,
        #[starlark(require = named, default = NoneOr::None)] study: NoneOr<&str>,
        #[starlark(require = named, default = NoneOr::None)] header_row: NoneOr<i32>,
        #[starlark(require = named, default = NoneOr::None)] encoding: NoneOr<&str>,
        #[starlark(require = named, default = NoneOr::None)] delimiter: NoneOr<&str>,
        #[starlark(require = named, default = NoneOr::None)] decimal: NoneOr<&str>,
        #[starlark(require = named)] max_cells: Option<Value<'v>>,
        eval: &mut Evaluator<'v, '_, '_>,
    ) -> starlark::Result<TableValue> {
        let typed = TableOptions {
            sheet: sheet.into_option().map(str::to_owned),
            header_row: header_row.into_option().and_then(|row| usize::try_from(row).ok()),
            encoding: encoding.into_option().map(str::to_owned),
            delimiter: delimiter.into_option().and_then(one_character).transpose()?,
            decimal: decimal.into_option().map(mark).transpose()?,
            ..TableOptions::default()
        };
        let most = max_cells.filter(|most| !most.is_none()).map(|most| whole(most, "max_cells", [1, u64::MAX]));
        let most = most.transpose()?.and_then(|most| usize::try_from(most).ok());
        read_table(context(eval)?, path, study.into_option(), typed, most)
    }

    /// Look at a file as it is and write a starter study file beside it: what headers and words may mean.
    ///
    /// Nothing in it is used until the `#` before a line is taken away.
    ///
    /// ```text
    /// study("barge.xlsx")
    /// ```
    ///
    /// # Arguments
    /// * `path`: workbook or text file
    /// * `sheet`: sheet that holds the samples
    /// * `out`: file to write; without it, woodstate.toml beside the data
    /// * `force`: replace a study file that woodstate did not write
    fn study<'v>(
        #[starlark(require = pos)] path: &str,
        #[starlark(require = named, default = NoneOr::None)] sheet: NoneOr<&str>,
        #[starlark(require = named, default = NoneOr::None)] out: NoneOr<&str>,
        #[starlark(require = named, default = false)] force: bool,
        eval: &mut Evaluator<'v, '_, '_>,
    ) -> starlark::Result<OutcomeValue> {
        let options = TableOptions { sheet: sheet.into_option().map(str::to_owned), ..TableOptions::default() };
        let overwrite = if force { Overwrite::Force } else { Overwrite::IfOurs };
        start_study(context(eval)?, path, &options, out.into_option(), overwrite).map_err(failed)
    }
}

fn one_character(text: &str) -> Option<starlark::Result<char>> {
    let mut characters = text.chars();
    Some(match (text, characters.next(), characters.next()) {
        ("tab", ..) => Ok('\t'),
        (_, Some(character), None) => Ok(character),
        _ => Err(crate::notebook::fault::refuse(
            format!("delimiter is \"{text}\", and one character is needed"),
            "delimiter=\";\" or delimiter=\"tab\"",
        )),
    })
}

fn mark(text: &str) -> starlark::Result<Decimal> {
    match text {
        "." => Ok(Decimal::Point),
        "," => Ok(Decimal::Comma),
        other => Err(crate::notebook::fault::refuse(
            format!("decimal is \"{other}\", and a point or a comma is needed"),
            "decimal=\",\"",
        )),
    }
}

fn read_table(
    context: &Context,
    path: &str,
    study: Option<&str>,
    typed: TableOptions,
    max_cells: Option<usize>,
) -> starlark::Result<TableValue> {
    let read = || -> Result<(Study, Batch)> {
        let file = context.folder.path(path)?;
        let mut study = match study {
            Some(named) => Study::open(&context.folder.path(named)?)?,
            None => Study::beside(&file)?.map_or_else(Study::unstated, Ok)?,
        };
        let samples = &mut study.read.samples;
        samples.sheet = typed.sheet.or(samples.sheet.take());
        samples.encoding = typed.encoding.or(samples.encoding.take());
        samples.delimiter = typed.delimiter.or(samples.delimiter);
        samples.header_row = typed.header_row.or(samples.header_row);
        samples.decimal = typed.decimal.or(samples.decimal);
        study.read.max_cells = max_cells;
        let batch = read_batch(&file, &study.read, &context.watch())?;
        Ok((study, batch))
    };
    let (study, batch) = read().map_err(failed)?;
    context.just_read(&batch);
    let samples = &batch.samples;
    let columns = samples.columns().iter().filter(|column| !column.header.trim().is_empty()).count();
    let reading: String = samples.origin().reading.iter().map(|item| format!("; {item}")).collect();
    let stated = study.file.as_deref().unwrap_or("none");
    let found = match batch.findings.len() {
        0 => String::new(),
        n => format!("; {}: check(...)", counted(n, "finding")),
    };
    let size = format!("{} x {}", counted(samples.n_rows(), "row"), counted(columns, "column"));
    context.say(&format!("{path}: {size}{reading}; study file: {stated}{found}"));
    let weight = context.weigh(bytes(&batch))?;
    Ok(TableValue::new(Arc::new(study), batch, weight))
}

fn start_study(
    context: &Context,
    path: &str,
    options: &TableOptions,
    out: Option<&str>,
    overwrite: Overwrite,
) -> Result<OutcomeValue> {
    let file = context.folder.path(path)?;
    let found = starter(&read_file(&file)?, options, &context.watch())?;
    let target = match out {
        Some(named) => context.folder.path(named)?,
        None => file.with_file_name(STUDY_FILE),
    };
    write_file(&target, starter_toml(&found).as_bytes(), overwrite)?;
    context.say(&format!("Wrote {}. Nothing in it is used until the # before a line is taken away.", target.display()));
    Ok(OutcomeValue::card("study", starter_view(&found)))
}
