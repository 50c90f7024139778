//! What the tables say of a piece beside its readings: its timber, its wood, its condition.

use std::collections::HashMap;

use crate::table::{Numbers, Table, Texts};

use super::inspect::listed_at;

/// The columns that hold it, found once.
pub(super) struct Record<'a> {
    pub(super) samples: &'a Table,
    timber: Option<&'a Texts>,
    core_id: Option<&'a Texts>,
    taxon: Option<&'a Texts>,
    certainty: Option<&'a Texts>,
    charring: Option<&'a Texts>,
    metal: Option<&'a Texts>,
    prior_treatment: Option<&'a Texts>,
    depth_from: Option<&'a Numbers>,
    depth_to: Option<&'a Numbers>,
    borer_damage: Option<&'a Numbers>,
    ash_content: Option<&'a Numbers>,
    iron: Option<&'a Numbers>,
    immersed: Option<&'a Numbers>,
    sinker: Option<&'a Numbers>,
    /// The row of each timber in the timbers table, and what stands there.
    listed: HashMap<&'a str, usize>,
    of_timber: [Option<&'a Texts>; 3],
}

/// Condition of a piece; `None` where unknown.
#[derive(Debug, Clone, Copy)]
pub(super) struct Noted<'a> {
    pub(super) charring: Option<&'a str>,
    pub(super) metal: Option<&'a str>,
    pub(super) prior_treatment: Option<&'a str>,
    pub(super) borer_damage: Option<f64>,
    pub(super) ash_content: Option<f64>,
    pub(super) iron: Option<f64>,
    pub(super) certainty: Option<&'a str>,
}

impl<'a> Record<'a> {
    pub(super) fn of(samples: &'a Table, timbers: Option<&'a Table>) -> Self {
        let texts = |name| samples.texts(name);
        let numbers = |name| samples.numbers(name);
        Self {
            samples,
            timber: texts("timber"),
            core_id: texts("core_id"),
            taxon: texts("taxon"),
            certainty: texts("taxon_certainty"),
            charring: texts("charring"),
            metal: texts("metal"),
            prior_treatment: texts("prior_treatment"),
            depth_from: numbers("depth_from"),
            depth_to: numbers("depth_to"),
            borer_damage: numbers("borer_damage"),
            ash_content: numbers("ash_content"),
            iron: numbers("iron_in_wood"),
            immersed: numbers("mass_immersed"),
            sinker: numbers("mass_sinker_immersed"),
            listed: listed_at(timbers),
            of_timber: ["taxon", "metal", "prior_treatment"].map(|name| timbers.and_then(|table| table.texts(name))),
        }
    }

    pub(super) fn timber(&self, rows: &[usize]) -> Option<&'a str> {
        first_text(self.timber, rows)
    }

    pub(super) fn core_id(&self, rows: &[usize]) -> Option<&'a str> {
        first_text(self.core_id, rows)
    }

    /// The wood as the samples say, or the timbers table.
    pub(super) fn taxon(&self, rows: &[usize]) -> Option<&'a str> {
        first_text(self.taxon, rows).or_else(|| self.of_timber(0, rows))
    }

    /// Rows of the samples with this word for the wood.
    pub(super) fn count_taxon(&self, written: &str) -> usize {
        self.taxon.into_iter().flat_map(Texts::iter).filter(|taxon| *taxon == Some(written)).count()
    }

    /// Depths from and to, mm; none where the interval ends above its beginning.
    pub(super) fn depth(&self, rows: &[usize]) -> [Option<f64>; 2] {
        match [first_number(self.depth_from, rows), first_number(self.depth_to, rows)] {
            [Some(from), Some(to)] if to <= from => [None, None],
            depth => depth,
        }
    }

    pub(super) fn noted(&self, rows: &[usize]) -> Noted<'a> {
        Noted {
            charring: first_text(self.charring, rows),
            metal: first_text(self.metal, rows).or_else(|| self.of_timber(1, rows)),
            prior_treatment: first_text(self.prior_treatment, rows).or_else(|| self.of_timber(2, rows)),
            borer_damage: first_number(self.borer_damage, rows),
            ash_content: first_number(self.ash_content, rows),
            iron: first_number(self.iron, rows),
            certainty: first_text(self.certainty, rows),
        }
    }

    /// Whether the piece pulled up under water and no sinker was hung.
    pub(super) fn hangs_up(&self, rows: &[usize]) -> bool {
        let of = |numbers: Option<&Numbers>, row| numbers.and_then(|numbers| numbers.value(row));
        rows.iter()
            .any(|row| of(self.sinker, *row).is_none() && of(self.immersed, *row).is_some_and(|mass| mass <= 0.0))
    }

    fn of_timber(&self, column: usize, rows: &[usize]) -> Option<&'a str> {
        let texts = self.of_timber[column]?;
        texts.get(*self.listed.get(self.timber(rows)?)?)
    }
}

fn first_text<'a>(texts: Option<&'a Texts>, rows: &[usize]) -> Option<&'a str> {
    texts.and_then(|texts| rows.iter().find_map(|row| texts.get(*row)))
}

fn first_number(numbers: Option<&Numbers>, rows: &[usize]) -> Option<f64> {
    numbers.and_then(|numbers| rows.iter().find_map(|row| numbers.value(*row)))
}
