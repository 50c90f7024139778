//! `woodstate profile`.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use woodstate::profile::DepthModel;
use woodstate::report::{
    choice_sentence, findings_view, profiles_ending, profiles_file, profiles_plain, profiles_view,
};
use woodstate::study::{ProfileQuestion, Profiles, SectionForm, ThresholdChoice, profile};
use woodstate::table::{Overwrite, TextStyle, write_file};

use crate::args::{CommonArgs, DrawArgs, InputArgs};
use crate::assess::said;
use crate::output::{Ending, Output};
use crate::{Outcome, input, progress};

/// Form of a section.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Form {
    /// By timber_diameter.
    Round,
    /// By timber_width and timber_height.
    Rectangular,
    /// By section_outline.
    Polygon,
}

impl Form {
    fn form(self) -> SectionForm {
        match self {
            Self::Round => SectionForm::Round,
            Self::Rectangular => SectionForm::Rectangular,
            Self::Polygon => SectionForm::Polygon,
        }
    }
}

/// Arguments of `profile`.
#[derive(Debug, Args)]
pub struct ProfileArgs {
    /// Where from, and how to read it.
    #[command(flatten)]
    pub input: InputArgs,
    /// What to look at: residual_basic_density, max_water_content, basic_density, pin_penetration, ...
    #[arg(long, value_name = "QUANTITY", default_value = "residual_basic_density")]
    pub value: String,
    /// Up to which value wood counts as sound, such as "60 %", or the class whose worse end it is, such as II
    #[arg(long, value_name = "VALUE")]
    pub threshold: Option<String>,
    /// Form of the sections; without it, the one whose sizes are given
    #[arg(long, value_name = "FORM")]
    pub section: Option<Form>,
    /// auto, constant, linear, step, exponential, broken_stick or logistic
    #[arg(long, value_name = "NAME", default_value = "auto")]
    pub model: String,
    /// Which pieces: a condition on columns and results, such as "timber == 'B01'"
    #[arg(long = "where", value_name = "CONDITION")]
    pub condition: Option<String>,
    /// Profiles that are drawn again for each timber; 0 for none
    #[arg(long, value_name = "N", default_value_t = 500, value_parser = clap::value_parser!(u32).range(0..=1_000_000))]
    pub replicates: u32,
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

/// Reads, assesses, looks into depth, shows, writes.
pub fn run(arguments: &ProfileArgs, output: &Output) -> Outcome {
    let model = match arguments.model.trim() {
        "auto" => None,
        word => Some(DepthModel::of_word(word)?),
    };
    let out = match arguments.out.as_deref() {
        Some(path) => Some((path, profiles_ending(path)?)),
        None => None,
    };
    let study = input::drawn(input::study(&arguments.input)?, &arguments.draw);
    let question = ProfileQuestion {
        value: arguments.value.clone(),
        threshold: arguments.threshold.clone().map_or(ThresholdChoice::Usual, ThresholdChoice::Text),
        section: arguments.section.map(Form::form),
        model,
        condition: arguments.condition.clone(),
        replicates: usize::try_from(arguments.replicates).unwrap_or(usize::MAX),
    };
    let outcome = progress::watched(output.is_quiet, |watch| {
        let batch = input::batch(&arguments.input, &study, watch)?;
        profile(&study, batch, &question, watch)
    })?;
    output.note(&findings_view(&said(&outcome.findings)));
    if arguments.common.plain {
        outcome.choices.iter().for_each(|choice| output.line(&choice_sentence(choice)));
    }
    if let Some((path, ending)) = out {
        input::spare(read(&outcome), path)?;
        let style = TextStyle { decimal: input::mark(&arguments.out_decimal), delimiter: ',' };
        let overwrite = if arguments.force { Overwrite::Force } else { Overwrite::IfOurs };
        write_file(path, &profiles_file(&outcome, ending, style)?, overwrite)?;
        output.line(&format!("Wrote {}.", path.display()));
    }
    output.result(&outcome, || profiles_view(&outcome), || profiles_plain(&outcome))?;
    Ok(if outcome.counts.not_assessed > 0 {
        Ending::NotAssessed
    } else if arguments.strict && !outcome.cautions.is_empty() {
        Ending::Cautions
    } else {
        Ending::Done
    })
}

/// The files that were read.
fn read(outcome: &Profiles) -> impl Iterator<Item = &str> {
    let tables = outcome.source.iter().map(|source| source.file.as_str());
    tables.chain(outcome.settings.study_file.as_deref())
}
