//! Words in the cells: taxa, charring, metals, yes and no, and signs for what nobody knows.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use crate::quantity::counted;
use crate::reference::{Rank, Reference, Taxon};
use crate::table::{ColumnSpec, ColumnType, Decimal, Glossary, NumberText, cell_name, parse_number};

use super::column::Looked;
use super::item::{Answer, Item, ItemState, meant};
use super::sheet::Sheet;

/// Words of one column.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct StarterWords {
    /// The column of woodstate.
    pub column: &'static str,
    /// The words in the file that woodstate does not read as they stand.
    pub words: Vec<Item>,
}

/// A text that stands where a number or a word is expected.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Oddity {
    /// The text.
    pub text: String,
    /// Cells that hold it.
    pub cells: usize,
    /// The first of them.
    pub first: String,
    /// Whether it is a usual sign for a value that nobody has.
    pub is_missing: bool,
}

/// Most different words of a column that are looked at.
const MOST: usize = 40;

/// The words of every column that holds some, and what stands there instead.
pub(super) fn words(
    sheet: &Sheet,
    found: &[Looked],
    mark: Decimal,
    glossary: &'static Glossary,
    reference: &Reference,
) -> (Vec<StarterWords>, Vec<Oddity>) {
    let (mut all, mut odd): (Vec<StarterWords>, Vec<Oddity>) = (Vec::new(), Vec::new());
    for looked in found {
        let column = looked.meanings.first().copied().filter(|_| looked.is_number() || looked.meanings.len() == 1);
        let Some(column) = column else { continue };
        let mut words: BTreeMap<String, Item> = BTreeMap::new();
        for (row, text) in sheet.cells(looked.place) {
            if let Some(item) = words.get_mut(&text) {
                item.filled += 1;
                continue;
            }
            let is_number = matches!(column.holds, ColumnType::Number { .. });
            let is_sign = is_listed(column) && glossary.is_missing(&text) && glossary.cell(column, &text).is_none();
            if is_number || is_sign {
                let is_read = is_number && parse_number(&text, mark) != NumberText::Unreadable;
                if !is_read && text.parse::<f64>().is_err() {
                    let first = cell_name(sheet.grid.row_number(row), looked.place);
                    note(&mut odd, text, first, glossary);
                }
                continue;
            }
            let item = match column.name {
                "taxon" => taxon(&text, column, glossary, reference),
                _ if is_listed(column) => word(&text, column, glossary),
                _ => None,
            };
            if let Some(mut item) = item.filter(|_| words.len() < MOST) {
                item.filled = 1;
                words.insert(text, item);
            }
        }
        if !words.is_empty() {
            all.push(StarterWords { column: column.name, words: words.into_values().collect() });
        }
    }
    (all, odd)
}

fn is_listed(column: &ColumnSpec) -> bool {
    matches!(column.holds, ColumnType::Word(_))
}

fn note(odd: &mut Vec<Oddity>, text: String, first: String, glossary: &'static Glossary) {
    match odd.iter_mut().find(|other| other.text == text) {
        Some(other) => other.cells += 1,
        None => {
            let is_missing = glossary.is_missing(&text);
            odd.push(Oddity { text, cells: 1, first, is_missing });
        }
    }
}

/// A word of a column with a list; `None` where woodstate reads it as it stands.
fn word(text: &str, column: &'static ColumnSpec, glossary: &'static Glossary) -> Option<Item> {
    if column.word_of(text).is_ok() {
        return None;
    }
    let Some(known) = glossary.cell(column, text) else {
        let near = column.word_of(text).err().unwrap_or_default();
        let near = if near.is_empty() { String::new() } else { format!(". Near: {}", near.join(", ")) };
        return Some(Item::new(text, format!("not in the glossary; allowed: {}{near}", column.allowed()), Vec::new()));
    };
    let answers = known.meanings.iter().map(|(word, clause)| meant(text, word, clause)).collect();
    let why = match (known.ask, known.meanings.len()) {
        (Some(ask), 2..) => ask.to_owned(),
        _ => format!("{} word", known.languages.join(" and ")),
    };
    Some(Item::new(text, why, answers))
}

/// A wood: nothing for a species or type that is known; a genus asks for the species or type where one is meant.
fn taxon(text: &str, column: &'static ColumnSpec, glossary: &'static Glossary, reference: &Reference) -> Option<Item> {
    if let Some(taxon) = reference.taxon(text) {
        if taxon.rank != Rank::Genus {
            return None;
        }
        let mut answers = vec![meant(text, &taxon.name, "as it is read without this line: the genus")];
        answers.extend(narrower(taxon, reference).into_iter().map(|name| meant(text, name, "")));
        let why = "the genus, or one of its species? They have densities of their own";
        return Some(Item::new(text, why, answers)).filter(|item| item.state == ItemState::Question);
    }
    if let Some(known) = glossary.cell(column, text) {
        let mut answers: Vec<Answer> = known.meanings.iter().map(|(name, clause)| meant(text, name, clause)).collect();
        let mut why = known.ask.map_or_else(|| format!("{} word", known.languages.join(" and ")), str::to_owned);
        let genus =
            known.meanings.first().filter(|_| known.meanings.len() == 1).and_then(|(name, _)| reference.taxon(name));
        if let Some(genus) = genus.filter(|genus| genus.rank == Rank::Genus) {
            answers.extend(narrower(genus, reference).into_iter().map(|name| meant(text, name, "")));
            if answers.len() > 1 {
                why.push_str(": the genus, or one of its species? They have densities of their own");
            }
        }
        return Some(Item::new(text, why, answers));
    }
    let near: Vec<&str> = reference.near_taxa(text);
    let near = if near.is_empty() { String::new() } else { format!(". Near: {}", near.join(", ")) };
    Some(Item::new(text, format!("no wood of the list; write its scientific name{near}"), Vec::new()))
}

/// Types and species of a genus: those that stand for it where it has such, all of them otherwise.
fn narrower<'a>(genus: &Taxon, reference: &'a Reference) -> Vec<&'a str> {
    const SHOWN: usize = 4;
    let is_of = |taxon: &&Taxon| {
        taxon.name != genus.name
            && taxon.genus.as_ref() == Some(&genus.name)
            && match (taxon.rank, genus.members.is_empty()) {
                (Rank::Type, false) => taxon.members.iter().any(|member| genus.members.contains(member)),
                (Rank::Species, false) => genus.members.contains(&taxon.name),
                (_, is_whole) => is_whole,
            }
    };
    reference.taxa().iter().filter(is_of).map(|taxon| taxon.name.as_str()).take(SHOWN).collect()
}

/// How a text that is no number is said.
pub(super) fn said(odd: &Oddity) -> String {
    format!("\"{}\" in {}, first {}", odd.text, counted(odd.cells, "cell"), odd.first)
}
