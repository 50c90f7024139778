//! `save`, `show` and `clear`: files out, and what is seen in the middle of a cell.

use std::path::Path;

use starlark::environment::GlobalsBuilder;
use starlark::eval::Evaluator;
use starlark::starlark_module;
use starlark::values::Value;
use starlark::values::none::NoneType;
use starlark::values::tuple::UnpackTuple;

use crate::error::{Error, ErrorKind, Result};
use crate::notebook::argument::{described, whole};
use crate::notebook::context::context;
use crate::notebook::fault::{failed, refuse};
use crate::notebook::value::{DrawingValue, Outcome, OutcomeValue, StateValue, TableValue, shown};
use crate::report::{
    BathOutcome, advice_ending, advice_file, bath_ending, bath_file, curves_ending, curves_file, figure_ending,
    following_ending, following_file, json, lifts_ending, lifts_file, profiles_ending, profiles_file,
    result_description, result_file, single_ending,
};
use crate::table::{Decimal, FileOut, Overwrite, TextStyle, write_files};

#[starlark_module]
pub(super) fn names(builder: &mut GlobalsBuilder) {
    /// Write a value to files; the ending of each says how.
    ///
    /// Results: .xlsx, .ods, .csv, .tsv, .parquet, .json. Figures: .svg, .png, .pdf, .csv. Fits, profiles,
    /// advice, lifts and baths: .csv, .tsv, .json. Other outcomes: .json. A file that woodstate wrote and nobody changed since is replaced.
    ///
    /// ```text
    /// save(g, "density.svg", "density.pdf")
    /// ```
    ///
    /// # Arguments
    /// * `value`: results, a figure, a fit, ...
    /// * `files`: the files to write
    /// * `force`: replace a file that woodstate did not write
    /// * `dpi`: dots per inch of a .png
    fn save<'v>(
        #[starlark(require = pos)] value: Value<'v>,
        #[starlark(args)] files: UnpackTuple<&str>,
        #[starlark(require = named, default = false)] force: bool,
        #[starlark(require = named)] dpi: Option<Value<'v>>,
        eval: &mut Evaluator<'v, '_, '_>,
    ) -> starlark::Result<NoneType> {
        let context = context(eval)?;
        let dpi = dpi.map(|dpi| whole(dpi, "dpi", [36, 2400])).transpose()?;
        let dpi = dpi.and_then(|dpi| u32::try_from(dpi).ok()).unwrap_or(600);
        if files.items.is_empty() {
            return Err(refuse("save needs the name of a file", "save(s, \"state.xlsx\")"));
        }
        let overwrite = if force { Overwrite::Force } else { Overwrite::IfOurs };
        // All is made before anything is written.
        let mut made = Vec::new();
        for named in &files.items {
            let path = context.folder.path(named).map_err(failed)?;
            let contents = contents(value, &path, dpi)?;
            made.push((named, path, contents));
        }
        for (named, path, contents) in made {
            write(&path, &contents, overwrite).map_err(failed)?;
            context.say(&format!("Wrote {named}."));
        }
        Ok(NoneType)
    }

    /// Show values in the middle of a cell.
    ///
    /// ```text
    /// show(t, rows=40)
    /// ```
    ///
    /// # Arguments
    /// * `values`: what to show
    /// * `rows`: most rows of a table
    fn show<'v>(
        #[starlark(args)] values: UnpackTuple<Value<'v>>,
        #[starlark(require = named)] rows: Option<Value<'v>>,
        eval: &mut Evaluator<'v, '_, '_>,
    ) -> starlark::Result<NoneType> {
        let context = context(eval)?;
        let rows = rows.map(|rows| whole(rows, "rows", [1, 1000])).transpose()?.and_then(|n| usize::try_from(n).ok());
        for value in values.items {
            let long = rows.and_then(|rows| {
                let table = TableValue::from_value(value).map(|table| table.shown(rows));
                table.or_else(|| StateValue::from_value(value).map(|state| state.shown(rows)))
            });
            if let Some(form) = long.or_else(|| shown(value)) {
                context.show(&form);
            }
        }
        Ok(NoneType)
    }

    /// Take away what the cell has shown so far.
    ///
    /// In a notebook; a script cannot take back what it printed.
    ///
    /// ```text
    /// clear(wait=True)
    /// ```
    ///
    /// # Arguments
    /// * `wait`: only when there is something new to show
    fn clear(
        #[starlark(require = named, default = false)] wait: bool,
        eval: &mut Evaluator<'_, '_, '_>,
    ) -> starlark::Result<NoneType> {
        context(eval)?.clear(wait);
        Ok(NoneType)
    }
}

/// Name and bytes of each file that a value becomes.
type Contents = Vec<(String, Vec<u8>)>;

fn contents(value: Value<'_>, path: &Path, dpi: u32) -> starlark::Result<Contents> {
    let name = path.file_name().and_then(|name| name.to_str()).unwrap_or_default().to_owned();
    let style = TextStyle { decimal: Decimal::Point, delimiter: ',' };
    let one = |bytes: Result<Vec<u8>>| bytes.map(|bytes| vec![(name.clone(), bytes)]).map_err(failed);
    if let Some(DrawingValue { figure, sheet, .. }) = DrawingValue::from_value(value) {
        if path.extension().is_some_and(|ending| ending == "csv") {
            return one(Ok(figure.csv().into_bytes()));
        }
        return match figure_ending(path).map_err(failed)? {
            "svg" => one(figure.svg(sheet).map(String::into_bytes)),
            "png" => one(figure.png(sheet, dpi)),
            _ => one(figure.pdf(sheet)),
        };
    }
    if let Some(state) = StateValue::from_value(value) {
        if !state.is_whole() {
            let cure = "save all: save(s, ...); or choose rows of the table first: s = assess(t.where(\"...\"))";
            return Err(refuse("pieces that were chosen from results are not saved alone", cure));
        }
        let Some(ending) = single_ending(path).map_err(failed)? else {
            return Err(refuse(format!("{name} has no ending that says how to write it"), "save(s, \"state.xlsx\")"));
        };
        let file = result_file(&state.assessment, ending, style).and_then(|file| file.bytes());
        let beside = result_description(&state.assessment, ending, &name, style).map_err(failed)?;
        let mut files = one(file)?;
        if let Some(beside) = beside {
            files.push((beside.name.clone(), beside.bytes().map_err(failed)?));
        }
        return Ok(files);
    }
    let Some(OutcomeValue { outcome, .. }) = OutcomeValue::from_value(value) else {
        let cure = "save takes results, figures and outcomes; a table is saved with its results: save(assess(t), \"state.xlsx\")";
        return Err(refuse(format!("{} is not saved", described(value)), cure));
    };
    let of_bath = |bath| bath_ending(path).and_then(|ending| bath_file(bath, ending, style));
    match &**outcome {
        Outcome::Fit(curves) => one(curves_ending(path).and_then(|ending| curves_file(curves, ending, style))),
        Outcome::Profile(all) => one(profiles_ending(path).and_then(|ending| profiles_file(all, ending, style))),
        Outcome::Advice(advice) => one(advice_ending(path).and_then(|ending| advice_file(advice, ending, style))),
        Outcome::Follow(all) => one(following_ending(path).and_then(|ending| following_file(all, ending, style))),
        Outcome::Lift(lifts) => one(lifts_ending(path).and_then(|ending| lifts_file(lifts, ending, style))),
        Outcome::Mix(mixing) => one(of_bath(BathOutcome::Mixing(mixing))),
        Outcome::Wash(washing) => one(of_bath(BathOutcome::Washing(washing))),
        Outcome::Time(timing) => one(of_bath(BathOutcome::Timing(timing))),
        Outcome::Freeze(freezing) => one(as_json(path).and_then(|()| json(freezing)).map(String::into_bytes)),
        Outcome::Summary(summary) => one(as_json(path).and_then(|()| json(summary)).map(String::into_bytes)),
        Outcome::Check(checkup) => one(as_json(path).and_then(|()| json(checkup)).map(String::into_bytes)),
        Outcome::Report(report) => one(as_json(path).and_then(|()| json(report)).map(String::into_bytes)),
        Outcome::Card(kind, _) => Err(refuse(format!("the card of {kind} is not saved"), "save what it tells of")),
    }
}

/// Refuses a path that does not end in `.json`.
fn as_json(path: &Path) -> Result<()> {
    match path.extension().and_then(|ending| ending.to_str()) {
        Some("json") => Ok(()),
        found => Err(Error::new(ErrorKind::Name {
            what: "ending of this outcome",
            found: found.unwrap_or_default().to_owned(),
            allowed: vec!["json".to_owned()],
        })),
    }
}

fn write(path: &Path, contents: &Contents, overwrite: Overwrite) -> Result<()> {
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let files: Vec<FileOut<'_>> = contents.iter().map(|(name, bytes)| FileOut::bytes(name, bytes)).collect();
    write_files(folder, &files, overwrite)
}
