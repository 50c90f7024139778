//! `woodstate explain`.

use woodstate::report::{explanation_plain, explanation_view};
use woodstate::study::explain;

use crate::Outcome;
use crate::args::ExplainArgs;
use crate::output::{Ending, Output};

/// Tells the story of a word.
pub fn run(arguments: &ExplainArgs, output: &Output) -> Outcome {
    let explanation = explain(&arguments.word)?;
    output.result(&explanation, || explanation_view(&explanation), || explanation_plain(&explanation))?;
    Ok(Ending::Done)
}
