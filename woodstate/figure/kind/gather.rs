//! Pieces by panel and by group, as the kinds need them.

use std::collections::BTreeMap;

use crate::error::{Error, ErrorKind, Result};
use crate::figure::{FigureChoice, Key, KeyMark, Stamp};
use crate::study::{Assessment, PieceRow, PieceRows, RowQuestion, known_numbers, piece_rows};

/// Panels beside each other at most.
const MOST_PANELS: usize = 24;

/// Groups with a look of their own at most: more cannot be told apart.
const MOST_SERIES: usize = 7;

/// The pieces of a figure.
pub(super) struct Gathered {
    pub(super) rows: PieceRows,
    /// The name of the group of each row.
    groups_of: Vec<String>,
    /// The title and the rows of each panel; one without a title where there are no small multiples.
    pub(super) panels: Vec<(Option<String>, Vec<usize>)>,
    is_grouped: bool,
}

/// What a kind needs of an assessment.
pub(super) struct Wanted<'a> {
    pub(super) kind: &'static str,
    pub(super) values: Vec<&'a str>,
    /// The columns that make groups where none are asked for.
    pub(super) by: &'a [&'a str],
}

impl Gathered {
    /// The pieces that a choice asks for.
    pub(super) fn of(assessment: &Assessment, choice: &FigureChoice, wanted: &Wanted<'_>) -> Result<Self> {
        let own = |names: &[&str]| names.iter().map(|name| (*name).to_owned()).collect::<Vec<_>>();
        let mut by = if choice.by.is_empty() { own(wanted.by) } else { choice.by.clone() };
        let n_groups = by.len();
        by.extend(choice.panels.clone());
        let question = RowQuestion { values: own(&wanted.values), by, condition: choice.condition.clone() };
        let mut rows = piece_rows(assessment, &question)?;
        rows.columns.iter_mut().for_each(|column| column.title = super::caption::whole_words(&column.title));
        let word = |key: &Option<String>| key.clone().unwrap_or_else(|| "unknown".to_owned());
        let group = |row: &PieceRow| row.key[..n_groups].iter().map(word).collect::<Vec<_>>().join(", ");
        let groups_of = rows.rows.iter().map(group).collect();
        let mut panels: BTreeMap<Option<Option<String>>, Vec<usize>> = BTreeMap::new();
        for (place, row) in rows.rows.iter().enumerate() {
            panels.entry(choice.panels.as_ref().map(|_| row.key[n_groups].clone())).or_default().push(place);
        }
        // What is unknown stands last.
        let mut panels: Vec<_> = panels.into_iter().collect();
        panels.sort_by_key(|(title, _)| {
            let name = title.clone().flatten();
            (matches!(title, Some(None)), counted_order(&name.unwrap_or_default()))
        });
        if panels.len() > MOST_PANELS {
            let name = format!("number of panels by {}", choice.panels.as_deref().unwrap_or_default());
            let allowed = format!("at most {MOST_PANELS}; choose some with --where");
            let value = crate::figure::real(panels.len());
            return Err(Error::new(ErrorKind::Range { name, value, allowed }));
        }
        let panels = panels.into_iter().map(|(title, rows)| (title.map(|title| word(&title)), rows)).collect();
        Ok(Self { rows, groups_of, panels, is_grouped: n_groups > 0 })
    }

    pub(super) fn row(&self, place: usize) -> &PieceRow {
        &self.rows.rows[place]
    }

    pub(super) fn group(&self, place: usize) -> &str {
        &self.groups_of[place]
    }

    /// The groups of some rows in the order of their names, what is unknown last.
    pub(super) fn groups(&self, places: &[usize]) -> Vec<(String, Vec<usize>)> {
        let mut groups: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
        places.iter().for_each(|place| groups.entry(self.group(*place)).or_default().push(*place));
        let mut groups: Vec<(&str, Vec<usize>)> = groups.into_iter().collect();
        groups.sort_by_key(|(name, _)| (*name == "unknown", counted_order(name)));
        groups.into_iter().map(|(name, places)| (name.to_owned(), places)).collect()
    }

    /// A look for each group of some rows: the largest ones have their own, the rest share one.
    pub(super) fn stamps(&self, places: &[usize]) -> Stamps {
        let groups = self.groups(places);
        let mut by_size: Vec<usize> = (0..groups.len()).collect();
        by_size.sort_by_key(|place| std::cmp::Reverse(groups[*place].1.len()));
        let mut own: Vec<usize> = by_size
            .into_iter()
            .take(if groups.len() > MOST_SERIES + 1 { MOST_SERIES } else { MOST_SERIES + 1 })
            .collect();
        own.sort_unstable();
        let n_others = groups.len() - own.len();
        let stamps = own.iter().enumerate().map(|(series, place)| (groups[*place].0.clone(), Stamp::Series(series)));
        Stamps { stamps: stamps.collect(), n_others, is_grouped: self.is_grouped }
    }

    /// Pieces and timbers of some rows as a sentence.
    pub(super) fn counts(&self, places: &[usize]) -> String {
        let rows = || places.iter().map(|place| self.row(*place));
        let without = rows().filter(|row| row.timber.is_none()).count();
        super::caption::pieces(places.len(), PieceRows::n_timbers(rows()), without)
    }

    /// Whether groups are woods and nothing else.
    pub(super) fn has_wood_names(&self, choice: &FigureChoice) -> bool {
        self.rows.by.len() - usize::from(choice.panels.is_some()) == 1 && self.rows.by[0] == "taxon"
    }

    /// The groups by a name of their columns, for a caption.
    pub(super) fn by_words(&self, choice: &FigureChoice) -> String {
        let n = self.rows.by.len() - usize::from(choice.panels.is_some());
        self.rows.by[..n].iter().map(|name| name.replace('_', " ")).collect::<Vec<_>>().join(" and ")
    }
}

/// The order in which people count: T2 before T10.
pub(super) fn counted_order(name: &str) -> Vec<(String, u64)> {
    let mut parts = vec![(String::new(), 0_u64)];
    let mut was_digit = false;
    for character in name.chars() {
        let digit = character.to_digit(10).map(u64::from);
        if was_digit && digit.is_none() {
            parts.push((String::new(), 0));
        }
        was_digit = digit.is_some();
        if let Some((text, number)) = parts.last_mut() {
            match digit {
                Some(digit) => *number = number.saturating_mul(10).saturating_add(digit),
                None => text.push(character),
            }
        }
    }
    parts
}

/// The look of each group.
pub(super) struct Stamps {
    stamps: Vec<(String, Stamp)>,
    pub(super) n_others: usize,
    is_grouped: bool,
}

impl Stamps {
    pub(super) fn of(&self, group: &str) -> Stamp {
        let own = self.stamps.iter().find(|(name, _)| name == group);
        own.map_or(Stamp::Others, |(_, stamp)| *stamp)
    }

    /// The looks in the order in which they are drawn: what is shared lies below.
    pub(super) fn all(&self) -> Vec<Stamp> {
        let others = (self.n_others > 0).then_some(Stamp::Others);
        others.into_iter().chain(self.stamps.iter().map(|(_, stamp)| *stamp)).collect()
    }

    /// The legend, where there is something to tell apart.
    pub(super) fn keys(&self, mark: fn(Stamp) -> KeyMark) -> Vec<Key> {
        if !self.is_grouped {
            return Vec::new();
        }
        let key = |(name, stamp): &(String, Stamp)| Key { name: name.clone(), mark: mark(*stamp) };
        let others = (self.n_others > 0)
            .then(|| Key { name: format!("{} other groups", self.n_others), mark: mark(Stamp::Others) });
        self.stamps.iter().map(key).chain(others).collect()
    }

    /// What the shared look means, as a sentence.
    pub(super) fn sentence(&self) -> String {
        match self.n_others {
            0 => String::new(),
            n => format!("{n} groups with fewer pieces share one look; the numbers name them all."),
        }
    }
}

/// The error of a kind whose numbers are missing: what it needs and what there is.
pub(super) fn missing(assessment: &Assessment, wanted: &Wanted<'_>, what: &str) -> Error {
    let found: Vec<String> = known_numbers(assessment)
        .into_iter()
        .filter(|(name, _)| wanted.values.contains(&name.as_str()))
        .map(|(name, n)| format!("{name} of {}", super::caption::counted(n, "piece")))
        .collect();
    let found = if found.is_empty() { "nothing of that".to_owned() } else { found.join(", ") };
    let text = format!("{} needs {what}; found: {found}", wanted.kind);
    let place = crate::error::Place {
        file: assessment.source.first().map(|source| source.file.clone()).unwrap_or_default(),
        ..crate::error::Place::default()
    };
    Error::content(place, text).with_hint("which columns lead to it: woodstate figure --list")
}
