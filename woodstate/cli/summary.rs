//! `woodstate summary`.

use clap::Args;
use woodstate::report::{choice_sentence, findings_view, summary_plain, summary_view};
use woodstate::study::{SummaryQuestion, summary};

use crate::args::{CommonArgs, DrawArgs, InputArgs};
use crate::assess::said;
use crate::output::{Ending, Output};
use crate::{Outcome, input, progress};

/// Arguments of `summary`.
#[derive(Debug, Args)]
pub struct SummaryArgs {
    /// Where from, and how to read it.
    #[command(flatten)]
    pub input: InputArgs,
    /// Quantities or columns of numbers, with commas between; without it water content and densities
    #[arg(long, value_name = "NAMES", value_delimiter = ',')]
    pub value: Vec<String>,
    /// Columns that make groups, with commas between; also status, degradation_class and depth_zone
    #[arg(long, value_name = "NAMES", value_delimiter = ',')]
    pub by: Vec<String>,
    /// Which pieces: a condition on columns and results, such as "depth_from < 20 mm and taxon == 'oak'"
    #[arg(long = "where", value_name = "CONDITION")]
    pub condition: Option<String>,
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

/// Reads, assesses, sums up, shows.
pub fn run(arguments: &SummaryArgs, output: &Output) -> Outcome {
    let study = input::drawn(input::study(&arguments.input)?, &arguments.draw);
    let question = SummaryQuestion {
        values: arguments.value.clone(),
        by: arguments.by.clone(),
        condition: arguments.condition.clone(),
    };
    let outcome = progress::watched(output.is_quiet, |watch| {
        let batch = input::batch(&arguments.input, &study, watch)?;
        summary(&study, batch, &question, watch)
    })?;
    output.note(&findings_view(&said(&outcome.findings)));
    if arguments.common.plain {
        outcome.choices.iter().for_each(|choice| output.line(&choice_sentence(choice)));
    }
    output.result(&outcome, || summary_view(&outcome), || summary_plain(&outcome))?;
    Ok(if outcome.counts.not_assessed > 0 {
        Ending::NotAssessed
    } else if arguments.strict && !outcome.cautions.is_empty() {
        Ending::Cautions
    } else {
        Ending::Done
    })
}
