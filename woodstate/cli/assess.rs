//! `woodstate assess`.

use std::io::Write;
use std::path::{Path, PathBuf};

use clap::Args;
use woodstate::error::{Error, Finding, FindingCode, Result, Severity};
use woodstate::report::{
    assessment_files, assessment_plain, assessment_short_view, assessment_view, check_room, choice_sentence,
    findings_view, result_description, result_file, single_ending,
};
use woodstate::study::{Assessment, assess, choose};
use woodstate::table::{FileOut, Overwrite, TextStyle, write_files};

use crate::args::{CommonArgs, DrawArgs, InputArgs};
use crate::folder::read;
use crate::output::{Ending, Output};
use crate::{Outcome, folder, input, progress};

/// Arguments of `assess`.
#[derive(Debug, Args)]
pub struct AssessArgs {
    /// Where from, and how to read it.
    #[command(flatten)]
    pub input: InputArgs,
    /// Which rows: a condition on measured columns, such as "depth_from < 20 mm and taxon == 'oak'"; timbers are judged by
    /// the rows that it keeps
    #[arg(long = "where", value_name = "CONDITION")]
    pub condition: Option<String>,
    /// Folder for results as workbook, delimited text and JSON; or one file, by its ending: .xlsx or .ods (all sheets),
    /// .json (all), .csv, .tsv or, in a build with the feature frame, .parquet (the pieces); FILE.datapackage.json beside it explains the columns, where no
    /// sheet does; or - for the pieces as .csv on standard output
    #[arg(long, short, value_name = "DIR|FILE")]
    pub out: Option<PathBuf>,
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

impl AssessArgs {
    /// Whether the pieces go to standard output as delimited text.
    fn is_piped_out(&self) -> bool {
        self.out.as_deref() == Some(Path::new("-"))
    }

    /// What was typed and cannot be done together.
    pub fn conflict(&self) -> Option<&'static str> {
        let is_shown_too = self.is_piped_out() && (self.common.json || self.common.plain);
        is_shown_too
            .then_some("--out - writes the pieces to standard output, where --json and --plain write too: choose one")
    }
}

/// Reads, assesses, shows, writes.
pub fn run(arguments: &AssessArgs, output: &Output) -> Outcome {
    let study = input::drawn(input::study(&arguments.input)?, &arguments.draw);
    let single = match arguments.out.as_deref() {
        Some(path) => single_ending(path)?.map(|ending| (path, ending)),
        None => None,
    };
    let assessment = progress::watched(output.is_quiet, |watch| {
        let batch = input::batch(&arguments.input, &study, watch)?;
        let batch = match &arguments.condition {
            Some(condition) => choose(batch, condition)?,
            None => batch,
        };
        if let Some((file, ending)) = single {
            check_room(ending, &batch, &file.to_string_lossy())?;
        }
        assess(&study, batch, watch)
    })?;
    output.note(&findings_view(&said(&assessment.findings)));
    if arguments.common.plain {
        assessment.choices.iter().for_each(|choice| output.line(&choice_sentence(choice)));
    }
    let threads = study.read.n_threads();
    let overwrite = if arguments.force { Overwrite::Force } else { Overwrite::IfOurs };
    let style = TextStyle { decimal: input::mark(&arguments.out_decimal), delimiter: ',' };
    if arguments.is_piped_out() {
        let made = result_file(&assessment, "csv", style)?;
        output.stream(|out| made.write(threads, out))?;
        return Ok(ending(&assessment, arguments.strict));
    }
    if let Some(single) = single {
        let written = write_single(&assessment, single, style, threads, overwrite)?;
        output.line(&format!("Wrote {written}."));
    } else if let Some(out) = &arguments.out {
        let delimiter = if arguments.out_decimal == "," { ';' } else { ',' };
        let files = assessment_files(&assessment, TextStyle { delimiter, ..style })?;
        folder::write(out, &files, &assessment, (threads, overwrite), output)?;
    }
    // Thousands of lines help nobody where they stand in a file as well.
    let is_in_files = arguments.out.is_some() && assessment.samples.len() > SHOWN;
    let view = if is_in_files { assessment_short_view } else { assessment_view };
    let plain = if is_in_files && !arguments.common.plain { assessment_short_view } else { assessment_plain };
    output.result(&assessment, || view(&assessment), || plain(&assessment))?;
    Ok(ending(&assessment, arguments.strict))
}

/// How a command ended that assessed a batch.
pub fn ending(assessment: &Assessment, strict: bool) -> Ending {
    if assessment.counts.not_assessed > 0 || is_table_unread(assessment) {
        Ending::NotAssessed
    } else if strict && !assessment.cautions.is_empty() {
        Ending::Cautions
    } else {
        Ending::Done
    }
}

/// Most pieces that are shown where they are written to files as well.
const SHOWN: usize = 500;

/// Writes one file of results with the description of its columns, and says which.
fn write_single(
    assessment: &Assessment,
    (file, ending): (&Path, &'static str),
    style: TextStyle,
    threads: usize,
    overwrite: Overwrite,
) -> Result<String> {
    let Some(name) = file.file_name().and_then(|name| name.to_str()) else {
        return Err(Error::file(file, "write", "the path does not end in a file name in Unicode"));
    };
    let folder = file.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let made = result_file(assessment, ending, style)?;
    let described = result_description(assessment, ending, name, style)?;
    input::spare(read(assessment), file)?;
    let body = |out: &mut dyn Write| made.write(threads, out);
    let beside = |out: &mut dyn Write| described.iter().try_for_each(|file| file.write(threads, out));
    let mut files = vec![FileOut::stream(name, &body)];
    if let Some(described) = &described {
        input::spare(read(assessment), &folder.join(&described.name))?;
        files.push(FileOut::stream(&described.name, &beside));
    }
    write_files(folder, &files, overwrite)?;
    let beside = described.iter().map(|described| format!(" and {}", described.name));
    Ok(std::iter::once(file.display().to_string()).chain(beside).collect())
}

/// What is worth saying beside results: what was lost, not what travels along.
pub fn said(findings: &[Finding]) -> Vec<Finding> {
    findings.iter().filter(|finding| finding.severity > Severity::Note).cloned().collect()
}

fn is_table_unread(assessment: &Assessment) -> bool {
    let is_unread = |finding: &Finding| finding.code == FindingCode::TableEmpty && finding.severity > Severity::Note;
    assessment.findings.iter().any(is_unread)
}
