//! `check`: what was found in the files, and how many rows are ready.

use schemars::JsonSchema;
use serde::Serialize;

use crate::error::{Finding, Result};
use crate::numeric::Watch;
use crate::table::{Batch, Choice};

use super::assess::{Counts, assess};
use super::envelope::{Program, Settings, SourceTable};
use super::{Assessment, Study};

/// The outcome of `check`.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Checkup {
    /// Version of this form.
    pub schema_version: u32,
    /// `check`.
    pub kind: &'static str,
    /// The program.
    pub program: Program,
    /// The tables that were read.
    pub source: Vec<SourceTable>,
    /// What was stated or assumed.
    pub settings: Settings,
    /// How many rows are ready.
    pub counts: Counts,
    /// What conditions kept, in the order in which they were applied.
    #[serde(rename = "where")]
    pub choices: Vec<Choice>,
    /// What was found in the files.
    pub findings: Vec<Finding>,
}

/// Checks a batch: the same as [`assess`], without the results.
///
/// # Errors
/// As [`assess`].
pub fn check(study: &Study, batch: Batch, watch: &Watch<'_>) -> Result<Checkup> {
    let Assessment { schema_version, program, source, settings, counts, choices, findings, .. } =
        assess(study, batch, watch)?;
    Ok(Checkup { schema_version, kind: "check", program, source, settings, counts, choices, findings })
}
