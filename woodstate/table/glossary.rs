//! Words of the trade in six languages: what a header, a cell or a sheet of a person's file may mean.
//!
//! A meaning is a proposal that a person accepts or not; where a wrong guess would change numbers there are several, with
//! a question. The words stand in `glossary.toml`.

mod entry;
mod spelling;

use std::collections::BTreeMap;
use std::sync::OnceLock;

use crate::error::{Error, ErrorKind, Finding, Result, Severity, near};
use crate::quantity::{Dimension, Unit};

use super::{ColumnSpec, ColumnType, TableKind};
use entry::{Entries, Told};
use spelling::{abbreviates, folded, plain, splits};

/// The words of this build.
///
/// # Example
/// ```
/// use woodstate::table::{Glossary, TableKind};
/// let glossary = Glossary::shipped()?;
/// let known = glossary.header("Nassgewicht [g]", TableKind::Samples, None).unwrap();
/// assert_eq!(known.meanings[0].text(), "mass_saturated [g]");
/// assert_eq!(known.languages, ["German"]);
/// let asked = glossary.header("poids immergé (g)", TableKind::Samples, None).unwrap();
/// assert_eq!(asked.meanings.len(), 2);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
#[derive(Debug)]
pub struct Glossary {
    entries: Entries,
    /// Plain word of a header to its term, languages and spelling.
    words: BTreeMap<String, (usize, Vec<&'static str>, String)>,
}

/// What the glossary knows of a header.
#[derive(Debug, Clone, PartialEq)]
pub struct KnownHeader {
    /// The languages that have the word.
    pub languages: Vec<&'static str>,
    /// The unit as it was written in the header or below it.
    pub unit: Option<String>,
    /// The question, or what to know.
    pub ask: Option<&'static str>,
    /// What it may mean; one is a proposal.
    pub meanings: Vec<Meaning>,
    /// Columns that are left out because the unit does not fit.
    pub misfits: Vec<&'static str>,
}

/// A column that a header may mean.
#[derive(Debug, Clone, PartialEq)]
pub struct Meaning {
    /// The column.
    pub column: &'static ColumnSpec,
    /// Its unit in the file; `None` where none is written, or where the column holds no numbers.
    pub unit: Option<Unit>,
    /// What it would mean, in one clause; may be empty.
    pub clause: &'static str,
}

impl Meaning {
    /// The column and unit as the study file writes them.
    #[must_use]
    pub fn text(&self) -> String {
        match self.unit {
            Some(unit) if unit.code() == "[pH]" => format!("{} [pH]", self.column.name),
            Some(unit) => format!("{} [{unit}]", self.column.name),
            None => self.column.name.to_owned(),
        }
    }
}

/// What the glossary knows of a cell: words of its column, each with a clause, and a question where there are several.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KnownCell {
    /// The languages that have the word.
    pub languages: Vec<&'static str>,
    /// The question.
    pub ask: Option<&'static str>,
    /// Words that it may mean.
    pub meanings: Vec<(&'static str, &'static str)>,
}

impl Glossary {
    /// The words compiled into this build.
    ///
    /// # Errors
    /// [`ErrorKind::Reference`] if the compiled-in file is broken: a fault of the build, not of the caller.
    pub fn shipped() -> Result<&'static Self> {
        static SHIPPED: OnceLock<std::result::Result<Glossary, String>> = OnceLock::new();
        let broken = |text: &String| Error::new(ErrorKind::Reference { file: "glossary.toml", text: text.clone() });
        SHIPPED.get_or_init(Self::read).as_ref().map_err(broken)
    }

    fn read() -> std::result::Result<Self, String> {
        let entries = Entries::read()?;
        let mut words: BTreeMap<String, (usize, Vec<&'static str>, String)> = BTreeMap::new();
        for (place, term) in entries.terms.iter().enumerate() {
            for (language, word) in &term.words {
                let (other, languages, _) =
                    words.entry(plain(word)).or_insert_with(|| (place, Vec::new(), word.clone()));
                if *other != place {
                    return Err(format!("\"{word}\" stands in two terms"));
                }
                if !languages.contains(language) {
                    languages.push(language);
                }
            }
        }
        Ok(Self { entries, words })
    }

    /// What a header may mean in a table; `below` is the unit in a row of units. `None` where its word is not known.
    #[must_use]
    pub fn header(&'static self, header: &str, kind: TableKind, below: Option<&str>) -> Option<KnownHeader> {
        splits(header).into_iter().find_map(|(name, unit)| {
            let (place, languages) = self.term(&name)?;
            let term = &self.entries.terms[place];
            let unit = unit.or_else(|| below.map(str::to_owned));
            let mut known = KnownHeader {
                languages,
                unit: unit.clone(),
                ask: term.ask.as_deref(),
                meanings: Vec::new(),
                misfits: Vec::new(),
            };
            for (told, column) in of_table(&term.to, kind) {
                match fit(told, column, unit.as_deref()) {
                    Some(meaning) => known.meanings.push(meaning),
                    None => known.misfits.push(column.name),
                }
            }
            let is_of_table = !known.meanings.is_empty() || !known.misfits.is_empty() || term.to.is_empty();
            is_of_table.then_some(known)
        })
    }

    /// The term of a name: the word itself, or the only term whose word it abbreviates with a dot.
    fn term(&self, name: &str) -> Option<(usize, Vec<&'static str>)> {
        if let Some((place, languages, _)) = self.words.get(&plain(name)) {
            return Some((*place, languages.clone()));
        }
        if !name.contains('.') {
            return None;
        }
        let mut found: Option<(usize, Vec<&'static str>)> = None;
        for (place, languages, _) in self.words.iter().filter(|(word, _)| abbreviates(name, word)).map(|(_, hit)| hit) {
            match &mut found {
                Some((other, _)) if other != place => return None,
                Some((_, all)) => all.extend(languages.iter().filter(|one| !all.contains(one)).collect::<Vec<_>>()),
                None => found = Some((*place, languages.clone())),
            }
        }
        found
    }

    /// What a column is called in each language, where one word means this column and no other.
    #[must_use]
    pub fn words_of(&'static self, column: &str) -> Vec<(&'static str, Vec<&'static str>)> {
        let mut found: Vec<(&'static str, Vec<&'static str>)> = Vec::new();
        let is_meant = |term: &&entry::Term| matches!(term.to.as_slice(), [only] if only.name() == column);
        for (language, word) in self.entries.terms.iter().filter(is_meant).flat_map(|term| &term.words) {
            match found.iter_mut().find(|(other, _)| other == language) {
                Some((_, words)) => words.push(word),
                None => found.push((language, vec![word])),
            }
        }
        found
    }

    /// Known words similar to a header, as they are spelt, each with a column that it may mean.
    #[must_use]
    pub fn near(&'static self, header: &str, kind: TableKind) -> Vec<(&'static str, &'static str)> {
        let name = splits(header).into_iter().next().map_or_else(String::new, |(name, _)| plain(&name));
        let hits = near(&name, self.words.keys().map(String::as_str));
        let spelt = hits.into_iter().filter_map(|hit| self.words.get(hit));
        spelt
            .filter_map(|(place, _, spelling)| {
                let (_, column) = of_table(&self.entries.terms[*place].to, kind).into_iter().next()?;
                Some((spelling.as_str(), column.name))
            })
            .collect()
    }

    /// What a cell of a column may mean; `None` where its word is not known.
    #[must_use]
    pub fn cell(&'static self, column: &ColumnSpec, text: &str) -> Option<KnownCell> {
        let listed: &[&'static str] = match column.holds {
            ColumnType::Word(words) => words,
            _ => &[],
        };
        let wanted = folded(text);
        self.entries.cells.iter().find_map(|entry| {
            let is_for = |name: &String| match name.as_str() {
                "yes" => listed.contains(&"none"),
                name => name == column.name || listed.contains(&name),
            };
            let hits = entry.words.iter().filter(|(_, word)| folded(word) == wanted).map(|(language, _)| *language);
            let mut languages: Vec<&'static str> = hits.collect();
            languages.dedup();
            if languages.is_empty() || !entry.columns.iter().any(is_for) {
                return None;
            }
            let mut meanings: Vec<(&str, &str)> = entry.to.iter().map(|told| (told.name(), told.clause())).collect();
            if meanings.is_empty() {
                let which = listed.iter().filter(|word| !matches!(**word, "none" | "unknown"));
                meanings = which.map(|word| (*word, "")).collect();
            }
            Some(KnownCell { languages, ask: entry.ask.as_deref(), meanings })
        })
    }

    /// The table that a sheet with this name holds, as far as its name says.
    #[must_use]
    pub fn sheet(&self, name: &str) -> Option<TableKind> {
        let name = plain(name);
        let is_meant = |word: &str| name.split(' ').any(|part| part == word) || name == word;
        let entry = self.entries.sheets.iter().find(|entry| entry.words.iter().any(|(_, word)| is_meant(&plain(word))));
        let own = TableKind::ALL.into_iter().find(|kind| is_meant(kind.name()));
        own.or_else(|| TableKind::ALL.into_iter().find(|kind| entry.is_some_and(|entry| entry.to == kind.name())))
    }

    /// Whether a text is a usual sign for a value that nobody has.
    #[must_use]
    pub fn is_missing(&self, text: &str) -> bool {
        let wanted = text.trim().to_lowercase();
        self.entries.missing.iter().any(|(_, word)| word.to_lowercase() == wanted)
    }
}

/// The columns of a term that a table has; timber columns stand among the samples only where they are sizes.
fn of_table(to: &'static [Told], kind: TableKind) -> Vec<(&'static Told, &'static ColumnSpec)> {
    let found = to.iter().filter_map(|told| {
        let column = kind.column(told.name())?;
        let is_own = kind.columns().any(|own| own.name == column.name);
        (is_own || matches!(column.holds, ColumnType::Number { .. })).then_some((told, column))
    });
    found.collect()
}

/// A column with the unit that was written, if they fit each other.
fn fit(told: &'static Told, column: &'static ColumnSpec, unit: Option<&str>) -> Option<Meaning> {
    let meaning = |unit| Some(Meaning { column, unit, clause: told.clause() });
    let ColumnType::Number { unit: own, .. } = column.holds else {
        return if unit.is_some_and(|unit| Unit::parse(unit).is_ok()) { None } else { meaning(None) };
    };
    let Some(written) = unit else { return meaning(None) };
    let own = Unit::parse(own).ok()?;
    if let Ok(unit) = Unit::parse_like(written, own) {
        return meaning(Some(unit));
    }
    // "% PEG" may be grams in 100 mL.
    let is_share = Unit::parse(written).is_ok_and(|unit| unit.dimension() == Dimension::Ratio);
    let other = told.unit().and_then(|unit| Unit::parse(unit).ok()).filter(|_| is_share)?;
    meaning(Some(other))
}

/// What a finding says of a header that only the glossary knows.
#[derive(Debug)]
pub(super) struct Said {
    text: String,
    cure: String,
    is_measured: bool,
}

/// What a header may mean, and the line to write.
pub(super) fn said(header: &str, kind: TableKind) -> Option<Said> {
    let known = Glossary::shipped().ok()?.header(header, kind, None)?;
    let lines: Vec<String> =
        known.meanings.iter().map(|meaning| format!("\"{header}\" = \"{}\"", meaning.written())).collect();
    let names: Vec<&str> = known.meanings.iter().map(|meaning| meaning.column.name).collect();
    let languages = known.languages.join(" and ");
    let text = match names.as_slice() {
        [] => return None,
        [name] => format!("It is a {languages} word for {name}"),
        names => format!("It may mean {} ({languages} word)", names.join(" or ")),
    };
    let table = kind.name();
    let cure = format!("write the line {} under [{table}.columns] in woodstate.toml", lines.join(" or "));
    let is_measured = known.meanings.iter().any(|meaning| matches!(meaning.column.holds, ColumnType::Number { .. }));
    Some(Said { text, cure, is_measured })
}

impl Said {
    /// The finding with the word and the line; a measured column that is not used is more than a note.
    pub(super) fn add_to(self, mut finding: Finding) -> Finding {
        finding.text = format!("{}. {}", finding.text.trim_end_matches('.'), self.text);
        finding.severity = if self.is_measured { Severity::Warning } else { finding.severity };
        finding.cured_by(self.cure)
    }
}

impl Meaning {
    /// As [`Meaning::text`], with our unit where none is written.
    fn written(&self) -> String {
        match (self.unit, self.column.holds) {
            (None, ColumnType::Number { unit, .. }) => {
                format!("{} [{}]", self.column.name, unit.trim_matches(['[', ']']))
            }
            _ => self.text(),
        }
    }
}
