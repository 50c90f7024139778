//! `assess`: from a batch to the state of every piece and timber.

use schemars::JsonSchema;
use serde::Serialize;

use crate::error::{Cautions, Finding, Result};
use crate::numeric::Watch;
use crate::quantity::{Cited, Quantity};
use crate::reference::Reference;
use crate::state::{PieceView, Pieces, Route, State, Status, Timber, UsedReference};
use crate::table::{Batch, Choice};

use super::Study;
use super::envelope::{LegendEntry, Program, SCHEMA_VERSION, Settings, SourceTable};
use super::section::outline_findings;
use super::soft_rim::add_soft_rims;

/// How many rows became what. The first is the sum of the next four.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Counts {
    /// Rows of the samples in the file.
    pub rows: usize,
    /// Rows that were assessed.
    pub assessed: usize,
    /// Rows of which a value could not be used.
    pub partial: usize,
    /// Rows that were not assessed.
    pub not_assessed: usize,
    /// Rows that a condition left out before the assessment.
    pub left_out: usize,
    /// Pieces; repeats of one piece count once.
    pub pieces: usize,
    /// Pieces whose density was reached without drying.
    pub undried: usize,
    /// Pieces whose uncertainty was drawn.
    pub drawn: usize,
    /// Timbers.
    pub timbers: usize,
}

/// The outcome of `assess`.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct Assessment {
    /// Version of this form.
    pub schema_version: u32,
    /// `assess`.
    pub kind: &'static str,
    /// The program.
    pub program: Program,
    /// The tables that were read.
    pub source: Vec<SourceTable>,
    /// What was stated or assumed.
    pub settings: Settings,
    /// How many rows became what.
    pub counts: Counts,
    /// What conditions kept, in the order in which they were applied; timbers are judged by the rows that are kept.
    #[serde(rename = "where")]
    pub choices: Vec<Choice>,
    /// Every piece, in the order of the file.
    pub samples: Pieces,
    /// Every timber, in the order of their names.
    pub timbers: Vec<Timber>,
    /// What was found in the files.
    pub findings: Vec<Finding>,
    /// The cautions that were raised, with their long stories.
    pub cautions: Vec<LegendEntry>,
    /// What sound wood of each taxon was taken to be.
    pub references: Vec<UsedReference>,
    /// Every published or stated number that was used.
    pub sources: Vec<Cited>,
    /// The tables as they were read, for the echo of the input; not written as JSON.
    #[serde(skip)]
    pub batch: Batch,
    /// Labels of the classes of the scheme, the worst first; not written, the settings say them in words.
    #[serde(skip)]
    pub scheme_labels: Vec<String>,
}

/// Assesses a batch.
///
/// # Errors
/// A stop asked for through `watch`, or options outside their range.
pub fn assess(study: &Study, batch: Batch, watch: &Watch<'_>) -> Result<Assessment> {
    let State { pieces, mut timbers, findings: found, references, sources, drawn } =
        crate::state::assess(&batch, &study.options, Reference::shipped()?, watch)?;
    add_soft_rims(&mut timbers, &pieces, study.read.n_threads())?;
    let findings = study.findings.iter().cloned().chain(found).chain(outline_findings(&batch)).collect();
    let rows = |status| pieces.views().filter(|piece| piece.status() == status).map(|piece| piece.rows().len()).sum();
    let is_undried = |piece: &PieceView<'_>| {
        piece.value(Quantity::BasicDensity).is_some_and(|density| density.route == Route::SaturatedUndried)
    };
    let counts = Counts {
        rows: batch.samples.n_rows_in_file(),
        assessed: rows(Status::Assessed),
        partial: rows(Status::Partial),
        not_assessed: rows(Status::NotAssessed),
        left_out: batch.samples.n_rows_in_file() - batch.samples.n_rows(),
        pieces: pieces.len(),
        undried: pieces.views().filter(is_undried).count(),
        drawn,
        timbers: timbers.len(),
    };
    let of_pieces: Vec<Cautions> = pieces.views().map(PieceView::cautions).collect();
    let of_timbers: Vec<Cautions> = timbers.iter().map(|timber| timber.cautions).collect();
    Ok(Assessment {
        schema_version: SCHEMA_VERSION,
        kind: "assess",
        program: Program::this(),
        source: SourceTable::of(&batch),
        settings: Settings::of(study),
        counts,
        choices: batch.samples.choices().to_vec(),
        cautions: LegendEntry::of(&of_pieces, &of_timbers),
        samples: pieces,
        timbers,
        findings,
        references,
        sources,
        batch,
        scheme_labels: study.options.scheme.classes.iter().map(|class| class.label.clone()).collect(),
    })
}
