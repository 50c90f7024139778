//! The entries of `glossary.toml`.

use serde::Deserialize;

use super::plain;
use crate::table::TableKind;

/// Code and name of each language.
const LANGUAGES: [&str; 6] = ["English", "German", "French", "Italian", "Spanish", "Dutch"];

/// A column or a word, perhaps with a unit, and what it would mean: `name [unit]: clause`.
#[derive(Debug, Deserialize)]
#[serde(transparent)]
pub(super) struct Told(String);

impl Told {
    fn parts(&self) -> (&str, &str) {
        self.0.split_once(": ").unwrap_or((&self.0, ""))
    }

    pub(super) fn name(&self) -> &str {
        let name = self.parts().0;
        name.split_once(" [").map_or(name, |(name, _)| name)
    }

    pub(super) fn unit(&self) -> Option<&str> {
        Some(self.parts().0.split_once(" [")?.1.trim_end_matches(']'))
    }

    pub(super) fn clause(&self) -> &str {
        self.parts().1
    }
}

/// Words with their language.
type Words = Vec<(&'static str, String)>;

#[derive(Debug)]
pub(super) struct Term {
    pub(super) ask: Option<String>,
    pub(super) to: Vec<Told>,
    pub(super) words: Words,
}

#[derive(Debug)]
pub(super) struct CellEntry {
    pub(super) columns: Vec<String>,
    pub(super) ask: Option<String>,
    pub(super) to: Vec<Told>,
    pub(super) words: Words,
}

#[derive(Debug)]
pub(super) struct SheetEntry {
    pub(super) to: String,
    pub(super) words: Words,
}

#[derive(Debug)]
pub(super) struct Entries {
    pub(super) terms: Vec<Term>,
    pub(super) cells: Vec<CellEntry>,
    pub(super) sheets: Vec<SheetEntry>,
    pub(super) missing: Words,
}

/// The words of an entry by language.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
struct ByLanguage {
    en: Vec<String>,
    de: Vec<String>,
    fr: Vec<String>,
    it: Vec<String>,
    es: Vec<String>,
    nl: Vec<String>,
}

impl ByLanguage {
    fn words(self) -> Words {
        let lists = [self.en, self.de, self.fr, self.it, self.es, self.nl];
        let one = |(language, words): (&'static str, Vec<String>)| words.into_iter().map(move |word| (language, word));
        LANGUAGES.into_iter().zip(lists).flat_map(one).collect()
    }
}

#[derive(Deserialize)]
struct TermText {
    ask: Option<String>,
    to: Vec<Told>,
    #[serde(flatten)]
    words: ByLanguage,
}

#[derive(Deserialize)]
struct CellText {
    columns: Vec<String>,
    ask: Option<String>,
    to: Vec<Told>,
    #[serde(flatten)]
    words: ByLanguage,
}

#[derive(Deserialize)]
struct SheetText {
    to: String,
    #[serde(flatten)]
    words: ByLanguage,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    term: Vec<TermText>,
    cell: Vec<CellText>,
    sheet: Vec<SheetText>,
    missing: ByLanguage,
}

impl Entries {
    pub(super) fn read() -> Result<Self, String> {
        let file: File = toml::from_str(include_str!("../glossary.toml")).map_err(|error| error.to_string())?;
        let term = |text: TermText| Term { ask: text.ask, to: text.to, words: text.words.words() };
        let cell =
            |text: CellText| CellEntry { columns: text.columns, ask: text.ask, to: text.to, words: text.words.words() };
        let sheet = |text: SheetText| SheetEntry { to: text.to, words: text.words.words() };
        let entries = Self {
            terms: file.term.into_iter().map(term).collect(),
            cells: file.cell.into_iter().map(cell).collect(),
            sheets: file.sheet.into_iter().map(sheet).collect(),
            missing: file.missing.words(),
        };
        entries.every_name_exists()?;
        Ok(entries)
    }

    fn every_name_exists(&self) -> Result<(), String> {
        let column = |name: &str| TableKind::ALL.into_iter().find_map(|kind| kind.column(name));
        for term in &self.terms {
            if let Some(told) = term.to.iter().find(|told| column(told.name()).is_none()) {
                return Err(format!("\"{}\" is not a column", told.name()));
            }
            if let Some((_, word)) = term.words.iter().find(|(_, word)| plain(word).is_empty()) {
                return Err(format!("\"{word}\" has no letter"));
            }
            if term.words.is_empty() || (term.to.is_empty() && term.ask.is_none()) {
                return Err("a term says nothing".to_owned());
            }
        }
        for cell in &self.cells {
            let specs = cell.columns.iter().filter_map(|name| column(name));
            for (spec, told) in specs.flat_map(|spec| cell.to.iter().map(move |told| (spec, told))) {
                if spec.name != "taxon" && spec.word_of(told.name()) != Ok(told.name()) {
                    return Err(format!("\"{}\" is not a word of {}", told.name(), spec.name));
                }
            }
        }
        Ok(())
    }
}
