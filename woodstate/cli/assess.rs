//! `woodstate assess`.

use std::path::{Path, PathBuf};

use clap::Args;
use woodstate::error::{FindingCode, Severity};
use woodstate::report::{SINGLE, assessment_files, assessment_plain, assessment_view, findings_view, result_file};
use woodstate::study::{Assessment, assess};
use woodstate::table::{FileOut, Overwrite, TextStyle, write_all, write_file};

use crate::args::{CommonArgs, InputArgs, seed, share};
use crate::output::{Ending, Output};
use crate::{Outcome, input, progress};

/// Arguments of `assess`.
#[derive(Debug, Args)]
pub struct AssessArgs {
    /// Where from, and how to read it.
    #[command(flatten)]
    pub input: InputArgs,
    /// Folder for results as workbook, delimited text and JSON; or one file, by its ending: .xlsx (all sheets), .json (all),
    /// .csv, .tsv or .parquet (the pieces)
    #[arg(long, short, value_name = "DIR|FILE")]
    pub out: Option<PathBuf>,
    /// Decimal mark of the delimited text that is written; "," writes ";" between cells
    #[arg(long, value_name = "MARK", default_value = ".", value_parser = ["." , ","])]
    pub out_decimal: String,
    /// Replace files in the folder even if woodstate did not write them
    #[arg(long)]
    pub force: bool,
    /// Seed of random draws
    #[arg(long, value_name = "N", value_parser = seed)]
    pub seed: Option<u64>,
    /// Coverage of intervals, between 0 and 1
    #[arg(long, value_name = "SHARE", value_parser = share)]
    pub coverage: Option<f64>,
    /// Exit with 4 if any caution was raised
    #[arg(long)]
    pub strict: bool,
    /// How to show it.
    #[command(flatten)]
    pub common: CommonArgs,
}

/// Reads, assesses, shows, writes.
pub fn run(arguments: &AssessArgs, output: &Output) -> Outcome {
    let mut study = input::study(&arguments.input)?;
    let propagation = &mut study.options.propagation;
    propagation.seed = arguments.seed.unwrap_or(propagation.seed);
    propagation.coverage = arguments.coverage.unwrap_or(propagation.coverage);
    let assessment = progress::watched(output.is_quiet, |watch| {
        let batch = input::batch(&arguments.input, &study, watch)?;
        assess(&study, batch, watch)
    })?;
    output.note(&findings_view(&said(&assessment)));
    if let Some((file, ending)) = arguments.out.as_deref().and_then(single) {
        let style = TextStyle { decimal: input::mark(&arguments.out_decimal), delimiter: ',' };
        let overwrite = if arguments.force { Overwrite::Force } else { Overwrite::IfOurs };
        write_file(file, &result_file(&assessment, ending, style)?.bytes, overwrite)?;
        output.line(&format!("Wrote {}.", file.display()));
    } else if let Some(folder) = &arguments.out {
        let decimal = input::mark(&arguments.out_decimal);
        let delimiter = if arguments.out_decimal == "," { ';' } else { ',' };
        let files = assessment_files(&assessment, TextStyle { delimiter, decimal })?;
        let files: Vec<FileOut<'_>> =
            files.iter().map(|file| FileOut { name: &file.name, bytes: &file.bytes }).collect();
        let overwrite = if arguments.force { Overwrite::Force } else { Overwrite::IfOurs };
        let removed = write_all(folder, &files, overwrite)?;
        let names: Vec<&str> = files.iter().map(|file| file.name).collect();
        output.line(&format!("Wrote {} in {}.", names.join(", "), folder.display()));
        if !removed.is_empty() {
            output.line(&format!("Removed {} of an earlier run.", removed.join(", ")));
        }
    }
    output.result(&assessment, || assessment_view(&assessment), || assessment_plain(&assessment))?;
    Ok(if assessment.counts.not_assessed > 0 || is_table_unread(&assessment) {
        Ending::NotAssessed
    } else if arguments.strict && !assessment.cautions.is_empty() {
        Ending::Cautions
    } else {
        Ending::Done
    })
}

/// A path that ends as a file of results does and is no folder, and its ending.
fn single(path: &Path) -> Option<(&Path, &'static str)> {
    let found = path.extension()?.to_str()?.to_lowercase();
    let ending = SINGLE.into_iter().find(|ending| *ending == found)?;
    (!path.is_dir()).then_some((path, ending))
}

/// What is worth saying beside results: what was lost, not what travels along.
fn said(assessment: &Assessment) -> Vec<woodstate::error::Finding> {
    assessment.findings.iter().filter(|finding| finding.severity > Severity::Note).cloned().collect()
}

fn is_table_unread(assessment: &Assessment) -> bool {
    assessment.findings.iter().any(|finding| finding.code == FindingCode::TableEmpty)
}
