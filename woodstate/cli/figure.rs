//! `woodstate figure`.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use clap::Args;
use woodstate::error::{Error, Result};
use woodstate::figure::{DrawnFigure, FigureChoice, Journal, Sheet, SheetSize, check_figure_kind, figure, figure_list};
use woodstate::report::{
    choice_sentence, figure_data_ending, figure_ending, figure_file, figure_list_view, figure_plain, figure_view,
    findings_view,
};
use woodstate::table::{FileOut, Overwrite, write_files};

use crate::args::{CommonArgs, DrawArgs, InputArgs, ReadingArgs};
use crate::assess::said;
use crate::output::{Ending, Output};
use crate::{Outcome, input, progress};

/// Arguments of `figure`.
#[derive(Debug, Args)]
pub struct FigureArgs {
    /// Kind of figure, such as density-water
    #[arg(required_unless_present = "list")]
    pub kind: Option<String>,
    /// Workbook, text file, folder with samples, timbers and log, or - for standard input
    #[arg(required_unless_present = "list")]
    pub file: Option<PathBuf>,
    /// The kinds there are, and what each needs
    #[arg(long, conflicts_with_all = ["kind", "file"])]
    pub list: bool,
    /// Study file; without it, woodstate.toml beside the data
    #[arg(long, value_name = "FILE")]
    pub study: Option<PathBuf>,
    /// How to read it.
    #[command(flatten)]
    pub reading: ReadingArgs,
    /// Most cells of a table; usual are 1 000 000 of a sheet and 100 000 000 of a text
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u64).range(1..))]
    pub max_cells: Option<u64>,
    /// Quantities or columns of numbers, with commas between; without it the usual ones of the kind
    #[arg(long, value_name = "NAMES", value_delimiter = ',')]
    pub value: Vec<String>,
    /// Against what
    #[arg(long, value_name = "QUANTITY")]
    pub against: Option<String>,
    /// Columns that make groups, with commas between
    #[arg(long, value_name = "NAMES", value_delimiter = ',')]
    pub by: Vec<String>,
    /// A column that makes panels beside each other
    #[arg(long, value_name = "NAME")]
    pub panels: Option<String>,
    /// Which pieces: a condition on columns and results, such as "depth_from < 20 mm and taxon == 'oak'"
    #[arg(long = "where", value_name = "CONDITION")]
    pub condition: Option<String>,
    /// Write the figure, as .svg, .png or .pdf; may be given several times
    #[arg(long, short, value_name = "FILE")]
    pub out: Vec<PathBuf>,
    /// Write the numbers behind it as .csv, or all of it as .json
    #[arg(long, value_name = "FILE")]
    pub data: Vec<PathBuf>,
    /// single, one-and-a-half, double, thesis or slide
    #[arg(long, value_name = "NAME", default_value = "single")]
    pub size: String,
    /// Widths of a family of journals: elsevier, springer or geological-society; check the publisher's current guide
    #[arg(long, value_name = "NAME")]
    pub journal: Option<String>,
    /// Dots per inch of a .png, 36 to 2400
    #[arg(long, value_name = "N", default_value_t = 600)]
    pub dpi: u32,
    /// Replace a file that woodstate did not write
    #[arg(long)]
    pub force: bool,
    /// What decides uncertainties.
    #[command(flatten)]
    pub draw: DrawArgs,
    /// Exit with 4 if any caution was raised
    #[arg(long)]
    pub strict: bool,
    /// How to show it.
    #[command(flatten)]
    pub common: CommonArgs,
}

/// Reads, assesses, draws, writes.
pub fn run(arguments: &FigureArgs, output: &Output) -> Outcome {
    let (Some(kind), Some(file)) = (&arguments.kind, &arguments.file) else {
        let list = figure_list();
        output.result(&list, || figure_list_view(&list), || figure_list_view(&list))?;
        return Ok(Ending::Done);
    };
    check_figure_kind(kind)?;
    let journal = arguments.journal.as_deref().map(Journal::of_word).transpose()?;
    let sheet = Sheet::of(SheetSize::of_word(&arguments.size)?, journal);
    let mut files: Vec<(&Path, &str)> = Vec::new();
    for path in &arguments.out {
        files.push((path, figure_ending(path)?));
    }
    for path in &arguments.data {
        files.push((path, figure_data_ending(path)?));
    }
    let input = InputArgs {
        file: file.clone(),
        study: arguments.study.clone(),
        reading: arguments.reading.clone(),
        max_cells: arguments.max_cells,
    };
    let study = input::drawn(input::study(&input)?, &arguments.draw);
    let choice = FigureChoice {
        value: arguments.value.clone(),
        against: arguments.against.clone(),
        by: arguments.by.clone(),
        panels: arguments.panels.clone(),
        condition: arguments.condition.clone(),
    };
    let outcome = progress::watched(output.is_quiet, |watch| {
        let batch = input::batch(&input, &study, watch)?;
        figure(&study, batch, kind, &choice, watch)
    })?;
    output.note(&findings_view(&said(&outcome.findings)));
    if journal.is_some() {
        output.line(Journal::NOTE);
    }
    if arguments.common.plain {
        outcome.choices.iter().for_each(|choice| output.line(&choice_sentence(choice)));
    }
    let overwrite = if arguments.force { Overwrite::Force } else { Overwrite::IfOurs };
    // All is drawn before anything is written; files of one folder appear together or not at all.
    let mut folders: BTreeMap<&Path, Vec<(&str, Vec<u8>)>> = BTreeMap::new();
    for (path, ending) in &files {
        input::spare(read(&outcome), path)?;
        let bytes = figure_file(&outcome, ending, &sheet, arguments.dpi)?;
        let (folder, name) = place(path)?;
        folders.entry(folder).or_default().push((name, bytes));
    }
    for (folder, contents) in &folders {
        let contents: Vec<FileOut<'_>> = contents.iter().map(|(name, bytes)| FileOut::bytes(name, bytes)).collect();
        write_files(folder, &contents, overwrite)?;
    }
    for (path, _) in files {
        output.line(&format!("Wrote {}.", path.display()));
    }
    output.result(&outcome, || figure_view(&outcome), || figure_plain(&outcome))?;
    Ok(if outcome.counts.not_assessed > 0 {
        Ending::NotAssessed
    } else if arguments.strict && !outcome.cautions.is_empty() {
        Ending::Cautions
    } else {
        Ending::Done
    })
}

/// The folder of a path and its name there.
fn place(path: &Path) -> Result<(&Path, &str)> {
    let Some(name) = path.file_name().and_then(|name| name.to_str()) else {
        return Err(Error::file(path, "write", "the path does not end in a file name in Unicode"));
    };
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty());
    Ok((folder.unwrap_or(Path::new(".")), name))
}

/// The files that were read.
fn read(outcome: &DrawnFigure) -> impl Iterator<Item = &str> {
    let tables = outcome.source.iter().map(|source| source.file.as_str());
    tables.chain(outcome.settings.study_file.as_deref())
}
