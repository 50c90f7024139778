//! `woodstate check`.

use woodstate::report::{checkup_plain, checkup_view};
use woodstate::study::check;

use crate::args::CheckArgs;
use crate::output::{Ending, Output};
use crate::{Outcome, input, progress};

/// Reads, checks, shows.
pub fn run(arguments: &CheckArgs, output: &Output) -> Outcome {
    let study = input::study(&arguments.input)?;
    let checkup = progress::watched(output.is_quiet, |watch| {
        let batch = input::batch(&arguments.input, &study, watch)?;
        check(&study, batch, watch)
    })?;
    output.result(&checkup, || checkup_view(&checkup), || checkup_plain(&checkup))?;
    Ok(if checkup.counts.not_assessed > 0 || checkup.counts.rows == 0 { Ending::NotAssessed } else { Ending::Done })
}
