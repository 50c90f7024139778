//! `woodstate follow`.

use std::path::{Path, PathBuf};

use clap::Args;
use woodstate::error::Result;
use woodstate::numeric::Watch;
use woodstate::quantity::{Measured, Unit};
use woodstate::report::{findings_view, following_ending, following_file, following_plain, following_view};
use woodstate::study::{FollowQuestion, Following, Study, follow};
use woodstate::table::{Batch, Overwrite, TextStyle, log_of, read_log, write_file};

use crate::args::{CommonArgs, DrawArgs, InputArgs};
use crate::assess::said;
use crate::output::{Ending, Output};
use crate::{Outcome, input, progress};

/// Arguments of `follow`.
#[derive(Debug, Args)]
pub struct FollowArgs {
    /// Where from, and how to read it.
    #[command(flatten)]
    pub input: InputArgs,
    /// Share of the concentration of the bath that timbers shall reach, such as "90 %"; without it that of the study file
    #[arg(long, value_name = "SHARE")]
    pub target: Option<String>,
    /// Write a file: all as .json, one row a timber as .csv or .tsv
    #[arg(long, short, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// Decimal mark in a .csv or .tsv that is written
    #[arg(long, value_name = "MARK", value_parser = [".", ","], default_value = ".")]
    pub out_decimal: String,
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

/// Reads, follows, shows, writes.
pub fn run(arguments: &FollowArgs, output: &Output) -> Outcome {
    let target = arguments.target.as_deref().map(share).transpose()?;
    let out = match arguments.out.as_deref() {
        Some(path) => Some((path, following_ending(path)?)),
        None => None,
    };
    let study = input::drawn(input::study(&arguments.input)?, &arguments.draw);
    let outcome = progress::watched(output.is_quiet, |watch| {
        let batch = batch(&arguments.input, &study, watch)?;
        follow(&study, &batch, &FollowQuestion { target }, watch)
    })?;
    output.note(&findings_view(&said(&outcome.findings)));
    if let Some((path, ending)) = out {
        input::spare(read(&outcome), path)?;
        let style = TextStyle { decimal: input::mark(&arguments.out_decimal), delimiter: ',' };
        let overwrite = if arguments.force { Overwrite::Force } else { Overwrite::IfOurs };
        write_file(path, &following_file(&outcome, ending, style)?, overwrite)?;
        output.line(&format!("Wrote {}.", path.display()));
    }
    output.result(&outcome, || following_view(&outcome), || following_plain(&outcome))?;
    Ok(if outcome.counts.without_day > 0 {
        Ending::NotAssessed
    } else if arguments.strict && !outcome.cautions.is_empty() {
        Ending::Cautions
    } else {
        Ending::Done
    })
}

/// A share with its unit.
fn share(text: &str) -> Result<f64> {
    Ok(Measured::parse(text, Unit::parse("%")?)?.value / 100.0)
}

/// The log that was named; standard input for `-`.
fn batch(typed: &InputArgs, study: &Study, watch: &Watch<'_>) -> Result<Batch> {
    match typed.file == Path::new("-") {
        true => log_of(&input::piped()?, &study.read, watch),
        false => read_log(&typed.file, &study.read, watch),
    }
}

/// The files that were read.
fn read(outcome: &Following) -> impl Iterator<Item = &str> {
    let tables = outcome.source.iter().map(|source| source.file.as_str());
    tables.chain(outcome.settings.study_file.as_deref())
}
