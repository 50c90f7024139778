//! What can be typed.
#![allow(clippy::doc_markdown, reason = "OK because a help text is shown as it stands")]

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};

use crate::{assess, check, completions, explain, man, schema, study, summary, template};

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
    /// What is wrong or doubtful in a file, cell by cell, each with its cure
    #[command(display_order = 3, after_help = after("woodstate check datasets-demo/messy/barge.xlsx"))]
    Check(check::CheckArgs),
    /// Groups of pieces and timbers: counts, how values spread, shares of classes
    #[command(
        display_order = 11,
        after_help = after("woodstate summary datasets-demo/harbour/harbour.xlsx --by taxon,depth_zone\n  woodstate summary datasets-demo/harbour/harbour.xlsx --where \"depth_from < 20 mm\"")
    )]
    Summary(summary::SummaryArgs),
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

/// Where from, and how to read it.
#[derive(Debug, Args)]
pub struct InputArgs {
    /// Workbook, text file, folder with samples, timbers and log, or - for standard input
    pub file: PathBuf,
    /// Study file; without it, woodstate.toml beside the data
    #[arg(long, value_name = "FILE")]
    pub study: Option<PathBuf>,
    /// Sheet that holds the samples
    #[arg(long, value_name = "NAME")]
    pub sheet: Option<String>,
    /// Row of the header, counted from 1
    #[arg(long, value_name = "ROW", value_parser = clap::value_parser!(u32).range(1..))]
    pub header_row: Option<u32>,
    /// Encoding of a text file, such as windows-1252
    #[arg(long, value_name = "NAME")]
    pub encoding: Option<String>,
    /// Character between the cells of a text file; "tab" for a tab
    #[arg(long, value_name = "CHARACTER", value_parser = delimiter)]
    pub delimiter: Option<char>,
    /// Decimal mark of numbers in text
    #[arg(long, value_name = "MARK", value_parser = [".", ","])]
    pub decimal: Option<String>,
    /// Most cells of a table; usual are 1 000 000 of a sheet and 100 000 000 of a text
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u64).range(1..))]
    pub max_cells: Option<u64>,
}

/// How to show results.
#[derive(Debug, Args)]
pub struct CommonArgs {
    /// One JSON object
    #[arg(long, conflicts_with = "plain")]
    pub json: bool,
    /// Tab-separated text for a pipe
    #[arg(long)]
    pub plain: bool,
    /// No findings and no progress on standard error
    #[arg(long, short)]
    pub quiet: bool,
    /// Colour on standard error
    #[arg(long, value_name = "WHEN", default_value = "auto")]
    pub color: Color,
}

/// When to colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Color {
    /// On a terminal that wants it; obeys NO_COLOR.
    Auto,
    /// Always.
    Always,
    /// Never.
    Never,
}

impl Arguments {
    /// How to show results.
    pub fn common(&self) -> &CommonArgs {
        match &self.command {
            Command::Assess(assess) => &assess.common,
            Command::Check(check) => &check.common,
            Command::Explain(explain) => &explain.common,
            Command::Template(template) => &template.common,
            Command::Schema(schema) => &schema.common,
            Command::Completions(completions) => &completions.common,
            Command::Man(man) => &man.common,
            Command::Study(study) => &study.common,
            Command::Summary(summary) => &summary.common,
        }
    }
}

/// A seed.
pub fn seed(text: &str) -> Result<u64, String> {
    text.parse().map_err(|_| format!("a whole number from 0 to {}", u64::MAX))
}

/// A share of a whole.
pub fn share(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(share) if share > 0.0 && share < 1.0 => Ok(share),
        _ => Err("a number between 0 and 1, such as 0.95".to_owned()),
    }
}

/// One character; a tab has a word.
pub fn delimiter(text: &str) -> Result<char, String> {
    let mut characters = text.chars();
    match (text, characters.next(), characters.next()) {
        ("tab" | "\\t", ..) => Ok('\t'),
        (_, Some(character), None) => Ok(character),
        _ => Err("one character, or the word tab".to_owned()),
    }
}
