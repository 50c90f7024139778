//! `save`, `show` and `clear`: files out, and what is seen in the middle of a cell.

use std::path::Path;
use std::sync::Arc;

use starlark::environment::GlobalsBuilder;
use starlark::eval::Evaluator;
use starlark::starlark_module;
use starlark::values::Value;
use starlark::values::none::NoneType;
use starlark::values::tuple::UnpackTuple;

use crate::error::{Error, ErrorKind, Result};
use crate::figure::{Figure, Sheet};
use crate::notebook::argument::{described, whole};
use crate::notebook::context::context;
use crate::notebook::fault::{failed, refuse};
use crate::notebook::value::{DrawingValue, Outcome, OutcomeValue, StateValue, TableValue, shown};
use crate::report::{
    BathOutcome, advice_ending, advice_file, bath_ending, bath_file, curves_ending, curves_file, figure_ending,
    following_ending, following_file, json, lifts_ending, lifts_file, profiles_ending, profiles_file,
    result_description, result_file, single_ending,
};
use crate::study::Assessment;
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
            let contents = context.apart(making(value, &path, dpi)?).and_then(|made| made).map_err(failed)?;
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
            if let Some(drawing) = DrawingValue::from_value(value) {
                drawing.draw(context).map_err(failed)?;
            }
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

/// Makes the files of a value, apart from the session: a large workbook takes long and cannot be stopped half-way.
type Making = Box<dyn FnOnce() -> Result<Contents> + Send>;

fn making(value: Value<'_>, path: &Path, dpi: u32) -> starlark::Result<Making> {
    let name = path.file_name().and_then(|name| name.to_str()).unwrap_or_default().to_owned();
    let path = path.to_owned();
    if let Some(DrawingValue { figure, sheet, .. }) = DrawingValue::from_value(value) {
        let (figure, sheet) = (Arc::clone(figure), sheet.clone());
        return Ok(Box::new(move || Ok(vec![(name, drawing(&figure, &sheet, &path, dpi)?)])));
    }
    if let Some(state) = StateValue::from_value(value) {
        if !state.is_whole() {
            let cure = "save all: save(s, ...); or choose rows of the table first: s = assess(t.where(\"...\"))";
            return Err(refuse("pieces that were chosen from results are not saved alone", cure));
        }
        let Some(ending) = single_ending(&path).map_err(failed)? else {
            return Err(refuse(format!("{name} has no ending that says how to write it"), "save(s, \"state.xlsx\")"));
        };
        let assessment = Arc::clone(&state.assessment);
        return Ok(Box::new(move || results(&assessment, ending, name)));
    }
    let Some(OutcomeValue { outcome, .. }) = OutcomeValue::from_value(value) else {
        let cure = "save takes results, figures and outcomes; a table is saved with its results: save(assess(t), \"state.xlsx\")";
        return Err(refuse(format!("{} is not saved", described(value)), cure));
    };
    if let Outcome::Card(kind, _) = &**outcome {
        return Err(refuse(format!("the card of {kind} is not saved"), "save what it tells of"));
    }
    let outcome = Arc::clone(outcome);
    Ok(Box::new(move || Ok(vec![(name, of_outcome(&outcome, &path)?)])))
}

const STYLE: TextStyle = TextStyle { decimal: Decimal::Point, delimiter: ',' };

fn drawing(figure: &Figure, sheet: &Sheet, path: &Path, dpi: u32) -> Result<Vec<u8>> {
    if path.extension().is_some_and(|ending| ending == "csv") {
        return Ok(figure.csv().into_bytes());
    }
    match figure_ending(path)? {
        "svg" => figure.svg(sheet).map(String::into_bytes),
        "png" => figure.png(sheet, dpi),
        _ => figure.pdf(sheet),
    }
}

fn results(assessment: &Assessment, ending: &str, name: String) -> Result<Contents> {
    let beside = result_description(assessment, ending, &name, STYLE)?;
    let mut files = vec![(name, result_file(assessment, ending, STYLE)?.bytes()?)];
    if let Some(beside) = beside {
        files.push((beside.name.clone(), beside.bytes()?));
    }
    Ok(files)
}

fn of_outcome(outcome: &Outcome, path: &Path) -> Result<Vec<u8>> {
    let of_bath = |bath| bath_ending(path).and_then(|ending| bath_file(bath, ending, STYLE));
    match outcome {
        Outcome::Fit(curves) => curves_ending(path).and_then(|ending| curves_file(curves, ending, STYLE)),
        Outcome::Profile(all) => profiles_ending(path).and_then(|ending| profiles_file(all, ending, STYLE)),
        Outcome::Advice(advice) => advice_ending(path).and_then(|ending| advice_file(advice, ending, STYLE)),
        Outcome::Follow(all) => following_ending(path).and_then(|ending| following_file(all, ending, STYLE)),
        Outcome::Lift(lifts) => lifts_ending(path).and_then(|ending| lifts_file(lifts, ending, STYLE)),
        Outcome::Mix(mixing) => of_bath(BathOutcome::Mixing(mixing)),
        Outcome::Wash(washing) => of_bath(BathOutcome::Washing(washing)),
        Outcome::Time(timing) => of_bath(BathOutcome::Timing(timing)),
        Outcome::Freeze(freezing) => as_json(path).and_then(|()| json(freezing)).map(String::into_bytes),
        Outcome::Summary(summary) => as_json(path).and_then(|()| json(summary)).map(String::into_bytes),
        Outcome::Check(checkup) => as_json(path).and_then(|()| json(checkup)).map(String::into_bytes),
        Outcome::Report(report) => as_json(path).and_then(|()| json(report)).map(String::into_bytes),
        Outcome::Card(..) => Ok(Vec::new()),
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
