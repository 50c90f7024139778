//! `woodstate report`.

use std::path::PathBuf;

use clap::Args;
use woodstate::error::Result;
use woodstate::report::{Marked, Templates, choice_sentence, findings_view, report_figures, report_files, report_view};
use woodstate::study::{ReportQuestion, choose, report};
use woodstate::table::{Overwrite, TextStyle};

use crate::args::{CommonArgs, DrawArgs, InputArgs};
use crate::assess::{ending, said};
use crate::output::Output;
use crate::{Outcome, day, folder, input, progress};

/// Arguments of `report`.
#[derive(Debug, Args)]
pub struct ReportArgs {
    /// Where from, and how to read it.
    #[command(flatten)]
    pub input: InputArgs,
    /// Which rows: a condition on measured columns, such as "depth_from < 20 mm and taxon == 'oak'"; timbers are judged by
    /// the rows that it keeps
    #[arg(long = "where", value_name = "CONDITION")]
    pub condition: Option<String>,
    /// Folder for report.html, sheets.html with a decision sheet for each timber, the tables as workbook and delimited text,
    /// and report.json
    #[arg(long, short, value_name = "DIR")]
    pub out: PathBuf,
    /// Day of the report, such as 2026-11-27; without it that of the study file or of SOURCE_DATE_EPOCH, or none
    #[arg(long, value_name = "DAY")]
    pub date: Option<String>,
    /// The tables of timbers and pieces as marked text too, with commas between: tex, md
    #[arg(long, value_name = "KINDS", value_delimiter = ',')]
    pub tables: Vec<String>,
    /// Folder with templates that take the place of shipped ones, such as letterhead.html
    #[arg(long, value_name = "DIR")]
    pub template: Option<PathBuf>,
    /// Decimal mark of the delimited text that is written; "," writes ";" between cells
    #[arg(long, value_name = "MARK", default_value = ".", value_parser = ["." , ","])]
    pub out_decimal: String,
    /// Replace files in the folder even if woodstate did not write them
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

/// Reads, assesses, gathers, writes, shows.
pub fn run(arguments: &ReportArgs, output: &Output) -> Outcome {
    let marked = arguments.tables.iter().map(|word| Marked::of_word(word)).collect::<Result<Vec<_>>>()?;
    let templates = arguments.template.as_deref().map_or_else(Templates::shipped, Templates::open)?;
    let study = input::drawn(input::study(&arguments.input)?, &arguments.draw);
    let date = match (&arguments.date, &study.report.date) {
        (None, None) => day::of_build()?,
        (typed, _) => typed.clone(),
    };
    let question = ReportQuestion { date, command: Some(command()) };
    let outcome = progress::watched(output.is_quiet, |watch| {
        let batch = input::batch(&arguments.input, &study, watch)?;
        let batch = match &arguments.condition {
            Some(condition) => choose(batch, condition)?,
            None => batch,
        };
        report(&study, batch, &question, watch)
    })?;
    output.note(&findings_view(&said(&outcome.assessment.findings)));
    if arguments.common.plain {
        outcome.assessment.choices.iter().for_each(|choice| output.line(&choice_sentence(choice)));
    }
    let delimiter = if arguments.out_decimal == "," { ';' } else { ',' };
    let style = TextStyle { decimal: input::mark(&arguments.out_decimal), delimiter };
    let overwrite = if arguments.force { Overwrite::Force } else { Overwrite::IfOurs };
    let (figures, drawn) = report_figures(&outcome, study.read.n_threads())?;
    let mut files = report_files(&outcome, &figures, &templates, &marked, style)?;
    files.extend(drawn);
    folder::write(&arguments.out, &files, &outcome.assessment, (study.read.n_threads(), overwrite), output)?;
    output.result(&outcome, || report_view(&outcome), || report_view(&outcome))?;
    Ok(ending(&outcome.assessment, arguments.strict))
}

/// The command as a person would type it again.
fn command() -> String {
    let word = |word: String| match word.contains(|c: char| !(c.is_alphanumeric() || "-_./,:=+\\".contains(c))) {
        true => format!("\"{}\"", word.replace('"', "\\\"")),
        false => word,
    };
    let words = std::env::args_os().skip(1).map(|argument| word(argument.to_string_lossy().into_owned()));
    std::iter::once("woodstate".to_owned()).chain(words).collect::<Vec<_>>().join(" ")
}
