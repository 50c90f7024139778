//! `woodstate check`.

use clap::Args;
use woodstate::error::{Finding, Severity};
use woodstate::report::{checkup_plain, checkup_view, choice_sentence};
use woodstate::study::{check, choose};

use crate::args::{CommonArgs, InputArgs};
use crate::output::{Ending, Output};
use crate::{Outcome, input, progress};

/// Arguments of `check`.
#[derive(Debug, Args)]
pub struct CheckArgs {
    /// Where from, and how to read it.
    #[command(flatten)]
    pub input: InputArgs,
    /// Exit with 4 if anything was found that costs a value
    #[arg(long)]
    pub strict: bool,
    /// Which rows: a condition on measured columns, such as "depth_from < 20 mm and taxon == 'oak'"
    #[arg(long = "where", value_name = "CONDITION")]
    pub condition: Option<String>,
    /// How to show it.
    #[command(flatten)]
    pub common: CommonArgs,
}

/// Reads, checks, shows.
pub fn run(arguments: &CheckArgs, output: &Output) -> Outcome {
    let study = input::study(&arguments.input)?;
    let checkup = progress::watched(output.is_quiet, |watch| {
        let batch = input::batch(&arguments.input, &study, watch)?;
        let batch = match &arguments.condition {
            Some(condition) => choose(batch, condition)?,
            None => batch,
        };
        check(&study, batch, watch)
    })?;
    if arguments.common.plain {
        checkup.choices.iter().for_each(|choice| output.line(&choice_sentence(choice)));
    }
    output.result(&checkup, || checkup_view(&checkup), || checkup_plain(&checkup))?;
    let costs = |finding: &Finding| finding.severity > Severity::Note;
    Ok(if checkup.counts.not_assessed > 0 || checkup.counts.rows == 0 {
        Ending::NotAssessed
    } else if arguments.strict && checkup.findings.iter().any(costs) {
        Ending::Cautions
    } else {
        Ending::Done
    })
}
