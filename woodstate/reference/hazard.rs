//! Dangers of treatments and of the work around them, with exposure limits as published.

use std::collections::BTreeSet;

use serde::Deserialize;

use super::Reference;
use super::source::parse;
use crate::error::{Error, ErrorKind, Result, near};
use crate::quantity::{Cited, Evidence};

const FILE: &str = "hazards.toml";

/// What can hurt someone, and how to keep it from doing so.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Hazard {
    /// Its word, such as `hot-tanks`.
    pub word: String,
    /// What it is called.
    pub title: String,
    /// Words of the routes that bring it with them.
    pub routes: Vec<String>,
    /// Work that brings it, such as `washing`.
    pub work: Vec<String>,
    /// The caution in one sentence, without numbers.
    pub short: String,
    /// The caution, sentence by sentence.
    pub said: Vec<Statement>,
    /// Exposure limits and fire data.
    #[serde(default, rename = "limit")]
    pub limits: Vec<ExposureLimit>,
}

/// A sentence with its origin.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Statement {
    /// The sentence.
    pub text: String,
    /// Short name of the work it comes from.
    pub source: String,
    /// Place in that work.
    pub place: String,
    /// How well that is known.
    pub evidence: Evidence,
}

/// A limit of exposure or a number of fire safety, as its source gives it. Local law prevails.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ExposureLimit {
    /// The substance.
    pub agent: String,
    /// What is limited, and over which time.
    pub kind: String,
    /// A number, two numbers or words, as published.
    pub value: String,
    /// Unit of the numbers.
    pub unit: Option<String>,
    /// Who set it.
    pub jurisdiction: Option<String>,
    /// Year of the source, where known.
    pub year: Option<u16>,
    /// Short name of the work it comes from.
    pub source: String,
    /// Place in that work.
    pub place: String,
    /// How well that is known.
    pub evidence: Evidence,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    deferral: String,
    works: Vec<String>,
    hazard: Vec<Hazard>,
}

/// The content of the file.
#[derive(Debug)]
pub(super) struct Hazards {
    deferral: String,
    works: Vec<String>,
    pub(super) list: Vec<Hazard>,
}

impl Hazards {
    pub(super) fn origins(&self) -> impl Iterator<Item = &str> {
        let said = self.list.iter().flat_map(|hazard| &hazard.said).map(|said| said.source.as_str());
        said.chain(self.list.iter().flat_map(|hazard| &hazard.limits).map(|limit| limit.source.as_str()))
    }
}

pub(super) fn read() -> std::result::Result<Hazards, (&'static str, String)> {
    let File { deferral, works, hazard: list } = parse(FILE, include_str!("hazards.toml"))?;
    let mut words = BTreeSet::new();
    for hazard in &list {
        if !words.insert(&hazard.word) {
            return Err((FILE, format!("hazard \"{}\" stands twice", hazard.word)));
        }
        if let Some(work) = hazard.work.iter().find(|work| !works.contains(work)) {
            return Err((FILE, format!("work \"{work}\" of \"{}\" is none of works", hazard.word)));
        }
    }
    Ok(Hazards { deferral, works, list })
}

impl Reference {
    /// All dangers, in the order of the file.
    #[must_use]
    pub fn hazards(&self) -> &[Hazard] {
        &self.hazards.list
    }

    /// The danger with this word.
    ///
    /// # Errors
    /// [`ErrorKind::Name`] with the words there are.
    ///
    /// # Example
    /// ```
    /// use woodstate::reference::Reference;
    /// let reference = Reference::shipped().unwrap();
    /// let hazard = reference.hazard("formaldehyde").unwrap();
    /// assert_eq!(hazard.routes, ["melamine-resin"]);
    /// assert!(reference.hazard("formaldehide").unwrap_err().to_string().contains("formaldehyde"));
    /// ```
    pub fn hazard(&self, word: &str) -> Result<&Hazard> {
        let words = || self.hazards.list.iter().map(|hazard| hazard.word.as_str());
        self.hazards.list.iter().find(|hazard| hazard.word == word).ok_or_else(|| {
            let near: Vec<&str> = near(word, words());
            let allowed = if near.is_empty() { words().collect() } else { near };
            let allowed = allowed.into_iter().map(str::to_owned).collect();
            Error::new(ErrorKind::Name { what: "danger", found: word.to_owned(), allowed })
        })
    }

    /// The dangers of a route or of some work, in the order of the file.
    ///
    /// # Example
    /// ```
    /// use woodstate::reference::Reference;
    /// let reference = Reference::shipped().unwrap();
    /// let words: Vec<&str> = reference.hazards_of("iron-extraction").map(|hazard| hazard.word.as_str()).collect();
    /// assert_eq!(words, ["dithionite", "chelating-baths"]);
    /// ```
    pub fn hazards_of<'a>(&'a self, word: &'a str) -> impl Iterator<Item = &'a Hazard> {
        let is_named = move |hazard: &&Hazard| hazard.routes.iter().chain(&hazard.work).any(|name| name == word);
        self.hazards.list.iter().filter(is_named)
    }

    /// Work that brings dangers with it.
    #[must_use]
    pub fn hazardous_works(&self) -> &[String] {
        &self.hazards.works
    }

    /// The sentence that ends every safety text: local codes and licensed practice come first.
    #[must_use]
    pub fn safety_deferral(&self) -> &str {
        &self.hazards.deferral
    }

    /// The origins of a danger's sentences and limits.
    #[must_use]
    pub fn hazard_sources(&self, hazard: &Hazard) -> Vec<Cited> {
        let of_said = |said: &Statement| self.cited(said.text.as_str(), &said.source, &said.place, said.evidence);
        let of_limit = |limit: &ExposureLimit| self.cited(limit.shown(), &limit.source, &limit.place, limit.evidence);
        hazard.said.iter().map(of_said).chain(hazard.limits.iter().map(of_limit)).collect()
    }
}

impl ExposureLimit {
    /// The limit in one line, without its evidence.
    #[must_use]
    pub fn shown(&self) -> String {
        let unit = match self.unit.as_deref() {
            Some("Cel") => " °C".to_owned(),
            Some(unit) => format!(" {unit}"),
            None => String::new(),
        };
        let year = self.year.map(|year| year.to_string());
        let by: Vec<&str> = [self.jurisdiction.as_deref(), year.as_deref()].into_iter().flatten().collect();
        let by = if by.is_empty() { String::new() } else { format!(" ({})", by.join(", ")) };
        format!("{}, {}: {}{unit}{by}", self.agent, self.kind, self.value)
    }
}
