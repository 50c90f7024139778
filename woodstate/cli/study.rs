//! `woodstate study`.

use std::path::{Path, PathBuf};

use clap::Args;
use woodstate::report::{starter_plain, starter_toml, starter_view};
use woodstate::study::{STUDY_FILE, starter};
use woodstate::table::{Overwrite, read_file, write_file};

use crate::args::{CommonArgs, ReadingArgs};
use crate::output::{Ending, Output};
use crate::{Outcome, input, progress};

/// Arguments of `study`.
#[derive(Debug, Args)]
pub struct StudyArgs {
    /// Workbook or text file
    pub file: PathBuf,
    /// How to read it.
    #[command(flatten)]
    pub reading: ReadingArgs,
    /// File to write; without it, woodstate.toml beside the data; - for standard output
    #[arg(long, short, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// Replace a study file even if woodstate did not write it or somebody changed it
    #[arg(long)]
    pub force: bool,
    /// How to show it.
    #[command(flatten)]
    pub common: CommonArgs,
}

impl StudyArgs {
    /// Whether the study file goes to standard output.
    fn is_piped_out(&self) -> bool {
        self.out.as_deref() == Some(Path::new("-"))
    }

    /// What was typed and cannot be done together.
    pub fn conflict(&self) -> Option<&'static str> {
        let is_shown_too = self.is_piped_out() && (self.common.json || self.common.plain);
        let text = "--out - writes the study file to standard output, where --json and --plain write too: choose one";
        is_shown_too.then_some(text)
    }
}

/// Looks, writes, shows.
pub fn run(arguments: &StudyArgs, output: &Output) -> Outcome {
    let options = input::reading(&arguments.reading);
    let source = read_file(&arguments.file)?;
    let found = progress::watched(output.is_quiet, |watch| starter(&source, &options, watch))?;
    if arguments.is_piped_out() {
        output.text(&starter_toml(&found))?;
        return Ok(Ending::Done);
    }
    let beside = arguments.file.parent().unwrap_or(Path::new("")).join(STUDY_FILE);
    let out = arguments.out.as_ref().unwrap_or(&beside);
    let overwrite = if arguments.force { Overwrite::Force } else { Overwrite::IfOurs };
    input::spare([source.name.as_str()], out)?;
    write_file(out, starter_toml(&found).as_bytes(), overwrite)?;
    output.line(&format!("Wrote {}. Nothing in it is used until you take away the # before a line.", out.display()));
    output.result(&found, || starter_view(&found), || starter_plain(&found))?;
    let file = arguments.file.display();
    output.line(&match *out == beside {
        true => format!("Open it, answer its questions, then: woodstate check {file}"),
        false => {
            format!("Open it, answer its questions, then: woodstate check {file} --study {}", out.display())
        }
    });
    Ok(Ending::Done)
}
