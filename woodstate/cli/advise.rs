//! `woodstate advise`.

use std::path::PathBuf;

use clap::Args;
use woodstate::report::{advice_ending, advice_file, advice_plain, advice_view, choice_sentence, findings_view};
use woodstate::study::{Advice, AdviseQuestion, advise, choose};
use woodstate::table::{Overwrite, TextStyle, write_file};

use crate::args::{CommonArgs, DrawArgs, InputArgs, SafetyArgs};
use crate::assess::said;
use crate::output::{Ending, Output};
use crate::{Outcome, input, progress};

/// Arguments of `advise`.
#[derive(Debug, Args)]
pub struct AdviseArgs {
    /// Where from, and how to read it.
    #[command(flatten)]
    pub input: InputArgs,
    /// Which rows: a condition on columns, such as "timber == 'B01'"
    #[arg(long = "where", value_name = "CONDITION")]
    pub condition: Option<String>,
    /// Draws of the state of each timber; 0 for none
    #[arg(long, value_name = "N", default_value_t = 1000, value_parser = clap::value_parser!(u32).range(0..=1_000_000))]
    pub replicates: u32,
    /// How much of the safety notes.
    #[command(flatten)]
    pub safety: SafetyArgs,
    /// Write a file: all as .json or .xlsx, one row a timber and route as .csv or .tsv
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

/// Reads, assesses, judges routes, shows, writes.
pub fn run(arguments: &AdviseArgs, output: &Output) -> Outcome {
    let out = match arguments.out.as_deref() {
        Some(path) => Some((path, advice_ending(path)?)),
        None => None,
    };
    let study = input::drawn(input::study(&arguments.input)?, &arguments.draw);
    let question = AdviseQuestion {
        draws: usize::try_from(arguments.replicates).unwrap_or(usize::MAX),
        safety: arguments.safety.form(study.safety),
    };
    let outcome = progress::watched(output.is_quiet, |watch| {
        let batch = input::batch(&arguments.input, &study, watch)?;
        let batch = match &arguments.condition {
            Some(condition) => choose(batch, condition)?,
            None => batch,
        };
        advise(&study, batch, &question, watch)
    })?;
    output.note(&findings_view(&said(&outcome.findings)));
    if arguments.common.plain {
        outcome.choices.iter().for_each(|choice| output.line(&choice_sentence(choice)));
    }
    if let Some((path, ending)) = out {
        input::spare(read(&outcome), path)?;
        let style = TextStyle { decimal: input::mark(&arguments.out_decimal), delimiter: ',' };
        let overwrite = if arguments.force { Overwrite::Force } else { Overwrite::IfOurs };
        write_file(path, &advice_file(&outcome, ending, style)?, overwrite)?;
        output.line(&format!("Wrote {}.", path.display()));
    }
    output.result(&outcome, || advice_view(&outcome), || advice_plain(&outcome))?;
    Ok(if outcome.counts.not_assessed > 0 {
        Ending::NotAssessed
    } else if arguments.strict && !outcome.cautions.is_empty() {
        Ending::Cautions
    } else {
        Ending::Done
    })
}

/// The files that were read.
fn read(outcome: &Advice) -> impl Iterator<Item = &str> {
    let tables = outcome.source.iter().map(|source| source.file.as_str());
    tables.chain(outcome.settings.study_file.as_deref())
}
