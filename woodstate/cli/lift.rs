//! `woodstate lift`.

use std::path::PathBuf;

use clap::Args;
use woodstate::error::Result;
use woodstate::report::{choice_sentence, findings_view, lifts_ending, lifts_file, lifts_plain, lifts_view};
use woodstate::study::{LiftQuestion, Lifts, StatedLoad, Study, SupportChoice, lift, lift_typed};
use woodstate::table::{Overwrite, TextStyle, write_file};

use crate::args::{CommonArgs, DrawArgs, InputArgs, ReadingArgs};
use crate::assess::said;
use crate::lift_args::{HandlingArgs, StrengthArgs, TimberArgs, each};
use crate::output::{Ending, Output};
use crate::{Outcome, input, progress};

/// Arguments of `lift`.
#[derive(Debug, Args)]
pub struct LiftArgs {
    /// Workbook, text file, folder with samples and timbers, or -; without it the sizes of one timber are typed
    pub file: Option<PathBuf>,
    /// Study file; without it, woodstate.toml beside the data
    #[arg(long, value_name = "FILE")]
    pub study: Option<PathBuf>,
    /// How to read it.
    #[command(flatten)]
    pub reading: ReadingArgs,
    /// Most cells of a table; usual are 1 000 000 of a sheet and 100 000 000 of a text
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u64).range(1..))]
    pub max_cells: Option<u64>,
    /// One timber that is typed.
    #[command(flatten)]
    pub timber: TimberArgs,
    /// How it is supported and handled.
    #[command(flatten)]
    pub handling: HandlingArgs,
    /// Strengths that are stated.
    #[command(flatten)]
    pub strength: StrengthArgs,
    /// Which pieces of a file: a condition on columns and results, such as "timber == 'B01'"
    #[arg(long = "where", value_name = "CONDITION")]
    pub condition: Option<String>,
    /// Random draws a timber; 10000 for a typed timber and 2000 for each of a file, 0 for none
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(0..=1_000_000))]
    pub draws: Option<u32>,
    /// Write a file: all tables as .xlsx or .ods, all as .json, the timbers in the order of danger as .csv or .tsv
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
    /// Exit with 4 if any caution was raised; a lift always has some
    #[arg(long)]
    pub strict: bool,
    /// How to show it.
    #[command(flatten)]
    pub common: CommonArgs,
}

impl LiftArgs {
    /// What was typed, over what the study file states.
    fn question(&self, study: &Study) -> Result<LiftQuestion> {
        let handling = &self.handling;
        let draws = self.draws.unwrap_or(if self.file.is_some() { 2000 } else { 10_000 });
        let mut question = study.lift.clone();
        for (key, text) in handling.typed().into_iter().chain(self.strength.typed()) {
            question.set(key, text)?;
        }
        question.supports = each(&handling.support, SupportChoice::parse)?.unwrap_or(question.supports);
        question.attached = each(&handling.attached, StatedLoad::parse)?.unwrap_or(question.attached);
        question.required.margin = handling.required_margin.or(question.required.margin);
        question.sling_angle = handling.sling_angle.or(question.sling_angle);
        question.hollow_drains |= handling.hollow_drains;
        question.size_effect |= handling.size_effect;
        question.draws = usize::try_from(draws).unwrap_or(usize::MAX);
        question.condition.clone_from(&self.condition);
        if self.file.is_none() {
            question.timbers = std::iter::once(("timber".to_owned(), self.timber.stated()?)).collect();
        }
        Ok(question)
    }

    /// What was typed and cannot be done together.
    pub fn conflict(&self) -> Option<&'static str> {
        match (&self.file, self.timber.is_typed()) {
            (Some(_), true) => Some("a file and the sizes of one timber; give one of the two"),
            (None, false) => Some(
                "a file, or the sizes of one timber: --length, --width and --height or --diameter or --station, --basic-density",
            ),
            (None, true) if self.condition.is_some() => Some("--where chooses pieces of a file"),
            (None, true) if self.timber.length.is_none() => Some("--length is missing, such as --length 6m"),
            (None, true) if self.timber.basic_density.is_none() => {
                Some("--basic-density is missing, such as --basic-density 560kg/m3")
            }
            _ => None,
        }
    }

    fn look(&self, output: &Output) -> Result<Lifts> {
        let Some(file) = &self.file else {
            let mut study = match &self.study {
                Some(path) => Study::open(path)?,
                None => Study::unstated()?,
            };
            study = input::drawn(study, &self.draw);
            let question = self.question(&study)?;
            let timber = self.timber.timber()?;
            return progress::watched(output.is_quiet, |watch| lift_typed(&study, &timber, &question, watch));
        };
        let typed = InputArgs {
            file: file.clone(),
            study: self.study.clone(),
            reading: self.reading.clone(),
            max_cells: self.max_cells,
        };
        let study = input::drawn(input::study(&typed)?, &self.draw);
        let question = self.question(&study)?;
        progress::watched(output.is_quiet, |watch| {
            let batch = input::batch(&typed, &study, watch)?;
            lift(&study, batch, &question, watch)
        })
    }
}

/// Reads, looks at each timber, shows, writes.
pub fn run(arguments: &LiftArgs, output: &Output) -> Outcome {
    let out = match arguments.out.as_deref() {
        Some(path) => Some((path, lifts_ending(path)?)),
        None => None,
    };
    let outcome = arguments.look(output)?;
    output.note(&findings_view(&said(&outcome.findings)));
    if arguments.common.plain {
        outcome.choices.iter().for_each(|choice| output.line(&choice_sentence(choice)));
    }
    if let Some((path, ending)) = out {
        let tables = outcome.source.iter().map(|source| source.file.as_str());
        input::spare(tables.chain(outcome.settings.study_file.as_deref()), path)?;
        let style = TextStyle { decimal: input::mark(&arguments.out_decimal), delimiter: ',' };
        let overwrite = if arguments.force { Overwrite::Force } else { Overwrite::IfOurs };
        write_file(path, &lifts_file(&outcome, ending, style)?, overwrite)?;
        output.line(&format!("Wrote {}.", path.display()));
    }
    output.result(&outcome, || lifts_view(&outcome), || lifts_plain(&outcome))?;
    Ok(if !outcome.without.is_empty() {
        Ending::NotAssessed
    } else if arguments.strict && !outcome.cautions.is_empty() {
        Ending::Cautions
    } else {
        Ending::Done
    })
}
