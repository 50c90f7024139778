//! `woodstate explain`.

use clap::Args;
use woodstate::report::{explanation_plain, explanation_view};
use woodstate::study::explain;

use crate::Outcome;
use crate::args::CommonArgs;
use crate::output::{Ending, Output};

/// Arguments of `explain`.
#[derive(Debug, Args)]
pub struct ExplainArgs {
    /// The word, such as not-saturated, max_water_content or assess
    pub word: String,
    /// How to show it.
    #[command(flatten)]
    pub common: CommonArgs,
}

/// Tells the story of a word.
pub fn run(arguments: &ExplainArgs, output: &Output) -> Outcome {
    let explanation = explain(&arguments.word)?;
    output.result(&explanation, || explanation_view(&explanation), || explanation_plain(&explanation))?;
    Ok(Ending::Done)
}
