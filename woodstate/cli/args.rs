//! Arguments that several commands take.
#![allow(clippy::doc_markdown, reason = "OK because a help text is shown as it stands")]

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use woodstate::study::SafetyForm;

/// Where from, and how to read it.
#[derive(Debug, Args)]
pub struct InputArgs {
    /// Workbook, text file, folder with samples, timbers and log, or - for standard input
    pub file: PathBuf,
    /// Study file; without it, woodstate.toml beside the data
    #[arg(long, value_name = "FILE")]
    pub study: Option<PathBuf>,
    /// How to read it.
    #[command(flatten)]
    pub reading: ReadingArgs,
    /// Most cells of a table; usual are 1 000 000 of a sheet and 100 000 000 of a text
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u64).range(1..))]
    pub max_cells: Option<u64>,
}

/// How to read a table of samples.
#[derive(Debug, Clone, Args)]
pub struct ReadingArgs {
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
}

/// What decides uncertainties.
#[derive(Debug, Args)]
pub struct DrawArgs {
    /// Seed of random draws
    #[arg(long, value_name = "N", value_parser = seed)]
    pub seed: Option<u64>,
    /// Coverage of intervals, between 0 and 1
    #[arg(long, value_name = "SHARE", value_parser = share)]
    pub coverage: Option<f64>,
}

/// How much of the safety notes is shown.
#[derive(Debug, Args)]
pub struct SafetyArgs {
    /// Safety notes in full, or one sentence each; without it, as the study file says. They cannot be switched off
    #[arg(long, value_name = "FORM", value_parser = ["long", "short"])]
    pub safety: Option<String>,
}

impl SafetyArgs {
    /// The form that was typed, or else that of the study.
    pub fn form(&self, of_study: SafetyForm) -> SafetyForm {
        let typed = self.safety.as_deref();
        SafetyForm::ALL.into_iter().find(|form| typed == Some(form.word())).unwrap_or(of_study)
    }
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

/// A seed.
fn seed(text: &str) -> Result<u64, String> {
    text.parse().map_err(|_| format!("a whole number from 0 to {}", u64::MAX))
}

/// A share of a whole.
fn share(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(share) if share > 0.0 && share < 1.0 => Ok(share),
        _ => Err("a number between 0 and 1, such as 0.95".to_owned()),
    }
}

/// One character; a tab has a word.
fn delimiter(text: &str) -> Result<char, String> {
    let mut characters = text.chars();
    match (text, characters.next(), characters.next()) {
        ("tab" | "\\t", ..) => Ok('\t'),
        (_, Some(character), None) => Ok(character),
        _ => Err("one character, or the word tab".to_owned()),
    }
}
