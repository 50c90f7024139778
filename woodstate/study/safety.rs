//! Safety notes: what can hurt someone, in a long and a short form. They can be shortened and never switched off.

use schemars::JsonSchema;
use serde::Serialize;

use crate::error::Result;
use crate::quantity::{Cited, Evidence};
use crate::reference::{ExposureLimit, Hazard, Reference, Statement};

/// How much of the safety notes is shown.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum SafetyForm {
    /// Every sentence and every limit, each with its evidence.
    #[default]
    Long,
    /// One sentence a danger.
    Short,
}

impl SafetyForm {
    /// Both forms.
    pub const ALL: [Self; 2] = [Self::Long, Self::Short];

    /// The word in the study file and on the command line.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Long => "long",
            Self::Short => "short",
        }
    }
}

/// An exposure limit as published.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct SafetyLimit {
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
    /// Author, year, title of the source.
    pub source: String,
    /// Place in it.
    pub place: String,
    /// How well that is known.
    pub evidence: Evidence,
    /// The limit in one line, with its evidence.
    pub text: String,
}

/// A danger, in a long and a short form.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct SafetyNote {
    /// The word that `explain` knows.
    pub word: String,
    /// What it is called.
    pub title: String,
    /// One sentence.
    pub short: String,
    /// Sentence by sentence, each with its evidence.
    pub long: Vec<String>,
    /// Exposure limits and fire data.
    pub limits: Vec<SafetyLimit>,
    /// Origins of the sentences.
    pub sources: Vec<Cited>,
}

/// The dangers of what an outcome speaks of, and the sentence that defers to local codes and licensed practice.
///
/// # Example
/// ```
/// use woodstate::reference::Reference;
/// use woodstate::study::{Safety, SafetyForm};
/// let safety = Safety::of(Reference::shipped()?, ["formaldehyde", "ovens"], SafetyForm::Short)?;
/// assert_eq!(safety.notes.len(), 2);
/// assert!(safety.lines().last().unwrap().contains("licensed practice"));
/// # Ok::<(), woodstate::error::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Safety {
    /// What is shown of the notes.
    pub form: SafetyForm,
    /// The dangers, in the order of the reference file.
    pub notes: Vec<SafetyNote>,
    /// What ends every safety text.
    pub deferral: String,
}

impl Safety {
    /// The notes of some dangers, by their words; a word that is named twice stands once.
    ///
    /// # Errors
    /// [`ErrorKind::Name`](crate::error::ErrorKind::Name) for a danger that does not exist.
    pub fn of<'a>(reference: &Reference, words: impl IntoIterator<Item = &'a str>, form: SafetyForm) -> Result<Self> {
        let wanted: Vec<&str> =
            words.into_iter().map(|word| Ok(reference.hazard(word)?.word.as_str())).collect::<Result<_>>()?;
        let hazards = reference.hazards().iter().filter(|hazard| wanted.contains(&hazard.word.as_str()));
        let notes = hazards.map(|hazard| SafetyNote::of(hazard, reference)).collect();
        Ok(Self { form, notes, deferral: reference.safety_deferral().to_owned() })
    }

    /// The notes of everything that some routes and some work bring with them.
    ///
    /// # Errors
    /// None for words that stand in the reference file.
    pub fn of_work(reference: &Reference, words: &[&str], form: SafetyForm) -> Result<Self> {
        let hazards = words.iter().flat_map(|word| reference.hazards_of(word));
        Self::of(reference, hazards.map(|hazard| hazard.word.as_str()), form)
    }

    /// What is to be shown, line by line; the last line defers to local codes and licensed practice. No lines without a danger.
    #[must_use]
    pub fn lines(&self) -> Vec<String> {
        if self.notes.is_empty() {
            return Vec::new();
        }
        let mut lines: Vec<String> = self.notes.iter().flat_map(|note| note.lines(self.form)).collect();
        lines.push(self.deferral.clone());
        lines
    }
}

impl SafetyNote {
    fn of(hazard: &Hazard, reference: &Reference) -> Self {
        let said = |said: &Statement| format!("{} [{}]", said.text, said.evidence);
        let sources = reference.hazard_sources(hazard);
        let limit = |(limit, cited): (&ExposureLimit, &Cited)| SafetyLimit {
            agent: limit.agent.clone(),
            kind: limit.kind.clone(),
            value: limit.value.clone(),
            unit: limit.unit.clone(),
            jurisdiction: limit.jurisdiction.clone(),
            year: limit.year,
            source: cited.citation.clone(),
            place: cited.place.clone(),
            evidence: limit.evidence,
            text: format!("{} [{}]", limit.shown(), limit.evidence),
        };
        let (of_said, of_limits) = sources.split_at(hazard.said.len());
        Self {
            word: hazard.word.clone(),
            title: hazard.title.clone(),
            short: hazard.short.clone(),
            long: hazard.said.iter().map(said).collect(),
            limits: hazard.limits.iter().zip(of_limits).map(limit).collect(),
            sources: of_said.to_vec(),
        }
    }

    /// The note line by line: the short sentence, and in the long form every sentence and limit.
    #[must_use]
    pub fn lines(&self, form: SafetyForm) -> Vec<String> {
        let mut lines = vec![self.short.clone()];
        if form == SafetyForm::Long {
            lines.push(self.long.join(" "));
            if !self.limits.is_empty() {
                let limits: Vec<&str> = self.limits.iter().map(|limit| limit.text.as_str()).collect();
                lines.push(format!("Limits as published; current local law prevails: {}.", limits.join("; ")));
            }
        }
        lines
    }
}
