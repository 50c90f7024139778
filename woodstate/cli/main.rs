//! The command line: arguments, one study function, one view, an exit code.
#![allow(unreachable_pub, reason = "a program has no public interface")]
#![allow(clippy::doc_markdown, reason = "OK because a help text is shown as it stands")]

mod advise;
mod args;
mod assess;
mod bath;
mod bath_args;
mod check;
mod command;
mod completions;
mod day;
mod explain;
mod figure;
mod fit;
mod folder;
mod follow;
mod input;
#[cfg(feature = "kernel")]
#[path = "../kernel/mod.rs"]
mod kernel;
mod lift;
mod lift_args;
mod man;
mod output;
mod profile;
mod progress;
mod report;
#[cfg(feature = "notebook")]
mod run;
mod schema;
mod study;
mod summary;
mod template;

use std::process::ExitCode;

use clap::{CommandFactory, Parser};

use crate::command::{Arguments, Command};
use crate::output::{Ending, Output};

fn main() -> ExitCode {
    let arguments = match Arguments::try_parse().and_then(Arguments::checked) {
        Ok(arguments) => arguments,
        Err(error) => return output::usage(&error),
    };
    let output = Output::new(arguments.common());
    let ending = match &arguments.command {
        Command::Advise(advise) => advise::run(advise, &output),
        Command::Assess(assess) => assess::run(assess, &output),
        Command::Bath(bath) => bath::run(bath, &output),
        Command::Check(check) => check::run(check, &output),
        Command::Explain(explain) => explain::run(explain, &output),
        Command::Figure(figure) => figure::run(figure, &output),
        Command::Fit(fit) => fit::run(fit, &output),
        Command::Follow(follow) => follow::run(follow, &output),
        Command::Lift(lift) => lift::run(lift, &output),
        Command::Profile(profile) => profile::run(profile, &output),
        Command::Report(report) => report::run(report, &output),
        #[cfg(feature = "kernel")]
        Command::Kernel(kernel) => kernel::run(kernel, &output),
        #[cfg(feature = "notebook")]
        Command::Run(run) => run::run(run, &output),
        Command::Template(template) => template::run(template, &output),
        Command::Schema(schema) => schema::run(schema, &output),
        Command::Completions(completions) => completions::run(completions, Arguments::command(), &output),
        Command::Man(man) => man::run(man, Arguments::command(), &output),
        Command::Study(study) => study::run(study, &output),
        Command::Summary(summary) => summary::run(summary, &output),
    };
    match ending {
        Ok(ending) => ending.code(),
        Err(error) => output.failure(&error),
    }
}

/// What a command comes to.
type Outcome = woodstate::error::Result<Ending>;
