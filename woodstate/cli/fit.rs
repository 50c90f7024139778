//! `woodstate fit`.

use std::path::PathBuf;

use clap::Args;
use woodstate::report::{choice_sentence, curves_ending, curves_file, curves_plain, curves_view, findings_view};
use woodstate::strength::ModelChoice;
use woodstate::study::{Curves, FitQuestion, fit};
use woodstate::table::{Overwrite, TextStyle, write_file};

use crate::args::{CommonArgs, DrawArgs, InputArgs};
use crate::assess::said;
use crate::output::{Ending, Output};
use crate::{Outcome, input, progress};

/// Arguments of `fit`.
#[derive(Debug, Args)]
pub struct FitArgs {
    /// Where from, and how to read it.
    #[command(flatten)]
    pub input: InputArgs,
    /// What is fitted: a column of a test such as bending_strength, or another column of numbers
    #[arg(long, value_name = "COLUMN")]
    pub value: String,
    /// Against what: residual_basic_density, loss_of_wood_substance, basic_density, max_water_content, pin_penetration, ...
    #[arg(long, value_name = "QUANTITY")]
    pub against: String,
    /// auto, linear, power, exponential, logistic, gompertz, threshold or monotone
    #[arg(long, value_name = "NAME", default_value = "auto")]
    pub model: String,
    /// Columns that make groups, with commas between: a curve for each, and whether one would do
    #[arg(long, value_name = "NAMES", value_delimiter = ',')]
    pub by: Vec<String>,
    /// As a share of the strength of green sound wood of the taxon
    #[arg(long)]
    pub relative: bool,
    /// Which pieces: a condition on columns and results, such as "taxon == 'oak'"
    #[arg(long = "where", value_name = "CONDITION")]
    pub condition: Option<String>,
    /// Samples that are drawn again for intervals; 0 for none
    #[arg(long, value_name = "N", default_value_t = 2000, value_parser = clap::value_parser!(u32).range(0..=1_000_000))]
    pub replicates: u32,
    /// Write a file: all as .json, the curves with their bands as .csv or .tsv
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

/// Reads, assesses, fits, shows, writes.
pub fn run(arguments: &FitArgs, output: &Output) -> Outcome {
    let model = ModelChoice::of_word(&arguments.model)?;
    let out = match arguments.out.as_deref() {
        Some(path) => Some((path, curves_ending(path)?)),
        None => None,
    };
    let study = input::drawn(input::study(&arguments.input)?, &arguments.draw);
    let question = FitQuestion {
        model,
        by: arguments.by.clone(),
        relative: arguments.relative,
        condition: arguments.condition.clone(),
        replicates: usize::try_from(arguments.replicates).unwrap_or(usize::MAX),
        ..FitQuestion::of(&arguments.value, &arguments.against)
    };
    let outcome = progress::watched(output.is_quiet, |watch| {
        let batch = input::batch(&arguments.input, &study, watch)?;
        fit(&study, batch, &question, watch)
    })?;
    output.note(&findings_view(&said(&outcome.findings)));
    if arguments.common.plain {
        outcome.choices.iter().for_each(|choice| output.line(&choice_sentence(choice)));
    }
    if let Some((path, ending)) = out {
        input::spare(read(&outcome), path)?;
        let style = TextStyle { decimal: input::mark(&arguments.out_decimal), delimiter: ',' };
        let overwrite = if arguments.force { Overwrite::Force } else { Overwrite::IfOurs };
        write_file(path, &curves_file(&outcome, ending, style)?, overwrite)?;
        output.line(&format!("Wrote {}.", path.display()));
    }
    output.result(&outcome, || curves_view(&outcome), || curves_plain(&outcome))?;
    Ok(if outcome.counts.not_assessed > 0 {
        Ending::NotAssessed
    } else if arguments.strict && !outcome.cautions.is_empty() {
        Ending::Cautions
    } else {
        Ending::Done
    })
}

/// The files that were read.
fn read(outcome: &Curves) -> impl Iterator<Item = &str> {
    let tables = outcome.source.iter().map(|source| source.file.as_str());
    tables.chain(outcome.settings.study_file.as_deref())
}
