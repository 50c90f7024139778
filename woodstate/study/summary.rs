//! `summary`: groups of pieces and timbers.

use std::collections::{BTreeMap, BTreeSet};

use schemars::JsonSchema;
use serde::Serialize;

use crate::error::{Cautions, Error, ErrorKind, Finding, Result, near};
use crate::numeric::Watch;
use crate::quantity::Quantity;
use crate::reference::Reference;
use crate::site::{Group, Member, NoMean, groups};
use crate::state::PieceView;
use crate::table::{Batch, Choice, Condition, Datum, NameKind, Names};

use super::assess::{Counts, assess};
use super::choose::{is_wood, plain_wood};
use super::envelope::{LegendEntry, Program, SCHEMA_VERSION, Settings, SourceTable};
use super::piece::Pieces;
use super::{Assessment, Study};

/// What a summary is asked for.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct SummaryQuestion {
    /// Quantities and columns of numbers; none for the usual three.
    pub values: Vec<String>,
    /// Columns that make groups; none for one group of all.
    pub by: Vec<String>,
    /// Which pieces; `None` for all.
    pub condition: Option<String>,
}

/// The outcome of `summary`.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Summary {
    /// Version of this form.
    pub schema_version: u32,
    /// `summary`.
    pub kind: &'static str,
    /// The program.
    pub program: Program,
    /// The tables that were read.
    pub source: Vec<SourceTable>,
    /// What was stated or assumed.
    pub settings: Settings,
    /// How many rows became what.
    pub counts: Counts,
    /// What conditions kept, in the order in which they were applied.
    #[serde(rename = "where")]
    pub choices: Vec<Choice>,
    /// The groups, in the order of what they have in common.
    pub groups: Vec<Group>,
    /// How the numbers are to be read.
    pub notes: Vec<String>,
    /// What was found in the files.
    pub findings: Vec<Finding>,
    /// The cautions of the pieces and timbers that were assessed, with their long stories.
    pub cautions: Vec<LegendEntry>,
}

/// The quantities that are summed up where none is named.
const USUAL: [&str; 3] = ["max_water_content", "basic_density", "residual_basic_density"];

/// Assesses a batch and sums up its pieces.
///
/// # Errors
/// As [`assess`] and [`summarise`].
pub fn summary(study: &Study, batch: Batch, question: &SummaryQuestion, watch: &Watch<'_>) -> Result<Summary> {
    let mut study = study.clone();
    study.options.parts_of = Quantity::ALL.to_vec();
    summarise(&assess(&study, batch, watch)?, question)
}

/// Sums up the pieces of an assessment.
///
/// Pieces are chosen after the assessment, so timbers keep the class that all of their pieces give them.
///
/// # Errors
/// [`ErrorKind::Name`] for a column that does not exist or holds no numbers,
/// [`ErrorKind::Condition`] with the place of a fault in the condition.
pub fn summarise(assessment: &Assessment, question: &SummaryQuestion) -> Result<Summary> {
    let pieces = Pieces::of(assessment);
    let names = pieces.names();
    let usual = USUAL.map(str::to_owned).to_vec();
    let asked = if question.values.is_empty() { &usual } else { &question.values };
    let values = asked.iter().map(|name| number(&names, name)).collect::<Result<Vec<_>>>()?;
    let by = question.by.iter().map(|name| column(&names, name)).collect::<Result<Vec<_>>>()?;
    let condition = question.condition.as_ref().map(|text| Condition::parse(text, &names)).transpose()?;
    let reference = Reference::shipped()?;
    let mut choices = assessment.choices.clone();
    let kept = match &condition {
        None => (0..pieces.n()).collect(),
        Some(condition) => {
            let datum = |name: &str, piece: usize| pieces.datum(name, piece);
            let (kept, choice) = condition.choose(pieces.n(), "piece", &datum, &|a, b| is_wood(reference, a, b));
            choices.push(choice);
            kept
        }
    };
    let number_of = |name: &str, piece| match pieces.datum(name, piece) {
        Datum::Number(number) => Some(number),
        Datum::Text(_) | Datum::Unknown => None,
    };
    let word_of = |name: &str, piece| match pieces.datum(name, piece) {
        Datum::Number(number) => Some(number.to_string()),
        Datum::Text(text) => Some(text.trim().to_owned()).filter(|text| !text.is_empty()),
        Datum::Unknown => None,
    };
    let mut woods = Woods { reference, spelt: BTreeMap::new() };
    let mut key_of = |name: &String, piece| match name.as_str() {
        "taxon" => word_of(name, piece).map(|written| woods.folded(&written)),
        _ => word_of(name, piece),
    };
    let member = |piece: &usize| Member {
        key: by.iter().map(|name| key_of(name, *piece)).collect(),
        timber: pieces.timber(*piece).map(str::to_owned),
        taxon: pieces.taxon(*piece).map(str::to_owned),
        zone: pieces.zone(*piece),
        values: values.iter().map(|(name, _)| number_of(name, *piece)).collect(),
        parts: values.iter().map(|(name, _)| pieces.parts(name, *piece)).collect(),
        class: pieces.standing(*piece),
    };
    let members: Vec<Member> = kept.iter().map(member).collect();
    let coverage = assessment.settings.coverage;
    let groups = groups(&members, &by, &values, &pieces.timbers(), &pieces.labels(), coverage)?;
    let cautions = |chosen: &dyn Fn(usize) -> Cautions| kept.iter().map(|piece| chosen(*piece)).collect::<Vec<_>>();
    let of_pieces = cautions(&|piece| assessment.samples.view(piece).map(PieceView::cautions).unwrap_or_default());
    let named: BTreeSet<&str> = members.iter().filter_map(|member| member.timber.as_deref()).collect();
    let of_timbers: Vec<Cautions> = assessment
        .timbers
        .iter()
        .filter(|timber| named.contains(timber.timber.as_str()))
        .map(|timber| timber.cautions)
        .collect();
    Ok(Summary {
        schema_version: SCHEMA_VERSION,
        kind: "summary",
        program: Program::this(),
        source: assessment.source.clone(),
        settings: assessment.settings.clone(),
        counts: assessment.counts,
        choices,
        notes: notes(&groups, coverage),
        groups,
        findings: assessment.findings.clone(),
        cautions: LegendEntry::of(&of_pieces, &of_timbers),
    })
}

/// Woods by the name that makes a group: that of the list of taxa, or else the first spelling met.
pub(super) struct Woods {
    pub(super) reference: &'static Reference,
    pub(super) spelt: BTreeMap<String, String>,
}

impl Woods {
    pub(super) fn folded(&mut self, written: &str) -> String {
        match self.reference.taxon(written) {
            Some(taxon) => taxon.name.clone(),
            None => self.spelt.entry(plain_wood(written)).or_insert_with(|| written.to_owned()).clone(),
        }
    }
}

/// A name that can be summed up, and its unit.
pub(super) fn number(names: &Names, asked: &str) -> Result<(String, &'static str)> {
    match names.kind(asked.trim()) {
        Ok((name, NameKind::Number { unit })) => Ok((name.to_owned(), unit)),
        _ => {
            let is_number = |name: &&str| matches!(names.kind(name), Ok((_, NameKind::Number { .. })));
            Err(unknown("quantity or column of numbers", asked, names.all().filter(is_number).collect()))
        }
    }
}

/// A name that can make groups.
pub(super) fn column(names: &Names, asked: &str) -> Result<String> {
    match names.kind(asked.trim()) {
        Ok((name, _)) => Ok(name.to_owned()),
        Err(_) => Err(unknown("column", asked, names.all().collect())),
    }
}

/// The nearest names, or the first ones.
fn unknown(what: &'static str, found: &str, all: Vec<&str>) -> Error {
    const SHOWN: usize = 12;
    let nearest = near(found, all.iter().copied());
    let listed = if nearest.is_empty() { all.into_iter().take(SHOWN).collect() } else { nearest };
    let allowed: Vec<String> = listed.into_iter().map(str::to_owned).collect();
    Error::new(ErrorKind::Name { what, found: found.to_owned(), allowed })
}

/// How the numbers are to be read, as far as it matters for these groups.
fn notes(groups: &[Group], coverage: f64) -> Vec<String> {
    let mut notes = Vec::new();
    let spreads = || groups.iter().flat_map(|group| &group.values);
    let mut say = |is: bool, text: &str| {
        if is {
            notes.push(text.to_owned());
        }
    };
    say(
        groups.iter().any(|group| group.n_timbers > 0 && group.n_pieces > group.n_timbers),
        "Pieces of one timber are not independent: what speaks for the site is the number of timbers.",
    );
    say(
        spreads().any(|spread| spread.no_mean == Some(NoMean::SeveralZones)),
        "No mean where the pieces of a group lie in several depth zones: it would mix soft rims with sound cores. Add depth_zone \
         to --by, or choose one zone: --where \"depth_zone == 'outer'\".",
    );
    say(
        spreads().any(|spread| spread.no_mean == Some(NoMean::ZoneUnknown)),
        "No mean where a piece has no depth or no timber: it is unknown whether a mean would mix soft rims with sound cores. \
         Write depth_from, or choose the pieces of one zone.",
    );
    say(
        spreads().any(|spread| spread.mean.is_some()),
        "± is the standard uncertainty of the mean from the measurement of these pieces alone: what pieces share, such as the \
         density of sound wood, does not average out. It says nothing of pieces that were not taken.",
    );
    say(spreads().any(|spread| spread.n > 0), "Quartiles are those of type 7 (Hyndman and Fan 1996).");
    if groups.iter().any(|group| group.classes.n > 0) {
        notes.push(format!(
            "Shares of classes are shares of those inside the scope of the scheme that have a class reading, decided or not. \
             Intervals: Wilson 1927, coverage {} %. They hold for independent counts: those of pieces are too narrow where \
             timbers gave several pieces, those of timbers are the ones to cite. The class of a timber is that of its worst \
             zone, from all of its pieces.",
            coverage * 100.0
        ));
    }
    notes
}
