//! The commands, with their help.
#![allow(clippy::doc_markdown, reason = "OK because a help text is shown as it stands")]

use clap::error::ErrorKind;
use clap::{CommandFactory, Parser, Subcommand};

use crate::args::CommonArgs;
#[cfg(feature = "kernel")]
use crate::kernel;
#[cfg(feature = "notebook")]
use crate::run;
use crate::{
    advise, assess, bath_args, check, completions, explain, figure, fit, follow, lift, man, profile, report, schema,
    study, summary, template,
};

const EXIT_CODES: &str = "\
Exit codes:
  0    done; cautions are answers, not failures
  1    computation failed
  2    usage
  3    some row or file was not assessed; the rest was, and is written
  4    cautions under --strict
  5    input or output failed
  70   a bug
  130  interrupted";

/// What stands below the options of a command.
fn after(example: &str) -> String {
    format!("Example:\n  {example}\n\n{EXIT_CODES}")
}

/// State of preservation of waterlogged wood, with its uncertainty.
#[derive(Debug, Parser)]
#[command(name = "woodstate", version, after_help = EXIT_CODES, subcommand_required = true, arg_required_else_help = true)]
pub struct Arguments {
    /// The command.
    #[command(subcommand)]
    pub command: Command,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// An empty form: samples, timbers and log with units, lists of words, limits and notes
    #[command(display_order = 2, after_help = after("woodstate template -o form.xlsx"))]
    Template(template::TemplateArgs),
    /// Water content, densities, losses, shrinkage and class of every piece and timber
    #[command(display_order = 10, after_help = after("woodstate assess datasets-demo/harbour/harbour.xlsx --out state"))]
    Assess(assess::AssessArgs),
    /// Baths: what to weigh, how many to wash in, how long, whether a chamber can dry
    #[command(
        display_order = 15,
        subcommand_required = true,
        arg_required_else_help = true,
        after_help = after("woodstate bath time --diameter \"100 mm\" --diffusivity \"1e-12 to 1e-10 m2/s\"\n  woodstate bath freeze --wood-temperature \"-30 Cel\" --chamber-pressure \"10 Pa\"")
    )]
    Bath(Box<bath_args::BathArgs>),
    /// What is wrong or doubtful in a file, cell by cell, each with its cure
    #[command(display_order = 3, after_help = after("woodstate check datasets-demo/messy/barge.xlsx"))]
    Check(check::CheckArgs),
    /// Groups of pieces and timbers: counts, how values spread, shares of classes
    #[command(
        display_order = 11,
        after_help = after("woodstate summary datasets-demo/harbour/harbour.xlsx --by taxon,depth_zone\n  woodstate summary datasets-demo/harbour/harbour.xlsx --where \"depth_from < 20 mm\"")
    )]
    Summary(summary::SummaryArgs),
    /// Strength against state: curve, bands, models compared, what it means for the wood
    #[command(
        display_order = 12,
        after_help = after("woodstate fit datasets-demo/strength/mechanics.csv --value bending_modulus --against basic_density\n  woodstate fit datasets-demo/strength/mechanics.csv --value basic_density --against pin_penetration")
    )]
    Fit(fit::FitArgs),
    /// A treatment by its log: where timbers stand, when they are done, what goes wrong
    #[command(
        display_order = 13,
        after_help = after("woodstate follow datasets-demo/tank/log.csv\n  woodstate follow datasets-demo/harbour/log.csv --json")
    )]
    Follow(follow::FollowArgs),
    /// Each timber in depth: soft rim, sound core, what is left of the section
    #[command(
        display_order = 11,
        after_help = after("woodstate profile datasets-demo/harbour/harbour.xlsx\n  woodstate profile datasets-demo/harbour/harbour.xlsx --where \"timber == 'B01'\" --threshold \"60 %\"")
    )]
    Profile(profile::ProfileArgs),
    /// Routes of treatment for each timber, with reasons, gaps and dangers
    #[command(
        display_order = 13,
        after_help = after("woodstate advise datasets-demo/harbour/harbour.xlsx\n  woodstate advise datasets-demo/harbour/harbour.xlsx --where \"timber == 'B01'\" --safety short")
    )]
    Advise(advise::AdviseArgs),
    /// Weight out of the water, margins, where slings go: a screening estimate
    #[command(
        display_order = 13,
        after_help = after("woodstate lift datasets-demo/harbour/harbour.xlsx --where \"timber == 'B01'\"\n  woodstate lift --length 6m --diameter 300mm --basic-density 560kg/m3 --water fresh")
    )]
    Lift(Box<lift::LiftArgs>),
    /// A figure for a journal, with its caption: SVG, PNG or PDF
    #[command(
        display_order = 20,
        after_help = after("woodstate figure density-water datasets-demo/harbour/harbour.xlsx -o density.svg -o density.pdf\n  woodstate figure --list")
    )]
    Figure(figure::FigureArgs),
    /// A report for the files of a museum: a page, decision sheets, tables
    #[command(
        display_order = 21,
        after_help = after("woodstate report datasets-demo/harbour/harbour.xlsx --out harbour --tables tex,md")
    )]
    Report(report::ReportArgs),
    /// A script: the language of the notebook cells, over the same functions
    #[cfg(feature = "notebook")]
    #[command(display_order = 22, after_help = after("woodstate run datasets-demo/harbour/look.star"))]
    Run(run::RunArgs),
    /// The kernel of Jupyter notebooks: install, start, remove
    #[cfg(feature = "kernel")]
    #[command(display_order = 23, after_help = after("woodstate kernel install --prefix environment"))]
    Kernel(kernel::KernelArgs),
    /// The long story of a word that woodstate uses
    #[command(display_order = 4, after_help = after("woodstate explain not-saturated"))]
    Explain(explain::ExplainArgs),
    /// A starter study file: what your headers may mean, to accept line by line
    #[command(display_order = 1, after_help = after("woodstate study datasets-demo/messy/barge.xlsx --out starter.toml"))]
    Study(study::StudyArgs),
    /// JSON schema of the study file, or of what a command says with --json
    #[command(display_order = 30, after_help = after("woodstate schema study"))]
    Schema(schema::SchemaArgs),
    /// Script that completes commands and options in a shell
    #[command(display_order = 31, after_help = after("woodstate completions bash"))]
    Completions(completions::CompletionsArgs),
    /// Pages of the manual
    #[command(display_order = 32, after_help = after("woodstate man assess"))]
    Man(man::ManArgs),
}

impl Arguments {
    /// Refuses what was typed and cannot be done together.
    pub fn checked(self) -> Result<Self, clap::Error> {
        let conflict = match &self.command {
            Command::Assess(assess) => assess.conflict(),
            Command::Lift(lift) => lift.conflict(),
            Command::Study(study) => study.conflict(),
            _ => None,
        };
        conflict.map_or(Ok(self), |text| Err(Self::command().error(ErrorKind::ArgumentConflict, text)))
    }

    /// How to show results.
    pub fn common(&self) -> &CommonArgs {
        match &self.command {
            Command::Advise(advise) => &advise.common,
            Command::Assess(assess) => &assess.common,
            Command::Bath(bath) => bath.common(),
            Command::Check(check) => &check.common,
            Command::Explain(explain) => &explain.common,
            Command::Figure(figure) => &figure.common,
            Command::Fit(fit) => &fit.common,
            Command::Follow(follow) => &follow.common,
            Command::Lift(lift) => &lift.common,
            Command::Profile(profile) => &profile.common,
            Command::Report(report) => &report.common,
            #[cfg(feature = "kernel")]
            Command::Kernel(kernel) => kernel.common(),
            #[cfg(feature = "notebook")]
            Command::Run(run) => &run.common,
            Command::Template(template) => &template.common,
            Command::Schema(schema) => &schema.common,
            Command::Completions(completions) => &completions.common,
            Command::Man(man) => &man.common,
            Command::Study(study) => &study.common,
            Command::Summary(summary) => &summary.common,
        }
    }
}
