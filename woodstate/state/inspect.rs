//! Which rows are a piece, and which of them cannot be assessed.

use std::collections::hash_map::Entry;
use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::ops::Deref;

use crate::error::{Finding, FindingCode, Place, Severity};
use crate::table::{Numbers, RowState, Table, Texts};

/// The rows of a piece: nearly always one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum RowSet {
    One([usize; 1]),
    Many(Vec<usize>),
}

impl Deref for RowSet {
    type Target = [usize];
    fn deref(&self) -> &[usize] {
        match self {
            Self::One(row) => row,
            Self::Many(rows) => rows,
        }
    }
}

impl RowSet {
    /// The rows as they are numbered in the file.
    pub(super) fn renumber(&mut self, number: impl Fn(usize) -> usize) {
        match self {
            Self::One([row]) => *row = number(*row),
            Self::Many(rows) => rows.iter_mut().for_each(|row| *row = number(*row)),
        }
    }

    fn push(&mut self, row: usize) {
        match self {
            Self::One([first]) => *self = Self::Many(vec![*first, row]),
            Self::Many(rows) => rows.push(row),
        }
    }
}

/// The rows of a piece, and whether they can be used.
#[derive(Debug)]
pub(super) struct Rows {
    pub(super) rows: RowSet,
    /// Whether a finding forbids to assess them.
    pub(super) is_refused: bool,
    /// Whether a value could not be used.
    pub(super) is_partial: bool,
}

/// The rows of each piece of a table in the order of the file; every row is in one of them.
pub(super) fn pieces(samples: &Table) -> Vec<RowSet> {
    let mut pieces: Vec<RowSet> = Vec::with_capacity(samples.n_rows());
    let mut known: HashMap<&str, usize> = HashMap::with_capacity(samples.n_rows());
    let names = samples.texts("sample");
    for row in 0..samples.n_rows() {
        let name = names.and_then(|names| names.get(row));
        match name.map(|name| known.entry(name)) {
            Some(Entry::Occupied(piece)) => pieces[*piece.get()].push(row),
            Some(Entry::Vacant(new)) => {
                new.insert(pieces.len());
                pieces.push(RowSet::One([row]));
            }
            None => pieces.push(RowSet::One([row])),
        }
    }
    pieces
}

/// The columns that must fit each other, found once.
pub(super) struct Checks<'a> {
    samples: &'a Table,
    names: Option<&'a Texts>,
    sinker: Option<&'a Numbers>,
    saturated: Option<&'a Numbers>,
    dry: Option<&'a Numbers>,
    immersed: Option<&'a Numbers>,
    depth: Option<(&'a Numbers, &'a Numbers)>,
    sizes: Vec<(&'a Numbers, &'static str, &'a Numbers)>,
    /// Rows without a name that a finding of the file tells of already.
    told: BTreeSet<usize>,
}

impl<'a> Checks<'a> {
    pub(super) fn of(samples: &'a Table, findings: &[Finding]) -> Self {
        let nameless = findings.iter().filter(|finding| finding.code == FindingCode::SampleMissing);
        let numbers = |name: &str| -> Option<&'a Numbers> { samples.numbers(name) };
        let pair = |(saturated, dry): (&str, &'static str)| Some((numbers(saturated)?, dry, numbers(dry)?));
        Self {
            samples,
            names: samples.texts("sample"),
            sinker: numbers("mass_sinker_immersed"),
            saturated: numbers("mass_saturated"),
            dry: numbers("mass_oven_dry"),
            immersed: numbers("mass_immersed"),
            depth: numbers("depth_from").zip(numbers("depth_to")),
            sizes: SIZE_PAIRS.into_iter().filter_map(pair).collect(),
            told: nameless.filter_map(|finding| finding.place.row).collect(),
        }
    }

    /// The name of a piece.
    pub(super) fn name(&self, rows: &RowSet) -> Option<&'a str> {
        self.names.and_then(|names| names.get(rows[0]))
    }

    /// What is wrong with the rows of a piece.
    pub(super) fn inspect(&self, rows: RowSet, findings: &mut Vec<Finding>) -> Rows {
        let name = self.name(&rows);
        let worst = rows.iter().map(|row| self.samples.state(*row)).max().unwrap_or_default();
        let mut piece = Rows {
            is_refused: name.is_none() || worst == RowState::Unreadable,
            is_partial: worst == RowState::Partial,
            rows,
        };
        if name.is_none() && !self.told.contains(&self.samples.row_number(piece.rows[0])) {
            let text = "the row has no sample name; it is not assessed";
            let place = self.samples.place(piece.rows[0], "sample");
            findings.push(Finding::new(FindingCode::SampleMissing, Severity::Error, place, text));
        }
        self.refuse_twins(name, &mut piece, findings);
        self.refuse_impossible_pairs(name, &mut piece, findings);
        self.doubt_sizes(name, &mut piece, findings);
        piece
    }

    /// Rows of one name that are not repeats of one piece.
    fn refuse_twins(&self, name: Option<&str>, piece: &mut Rows, findings: &mut Vec<Finding>) {
        let samples = self.samples;
        if piece.rows.len() < 2 {
            return;
        }
        let texts = |column: &str| -> Vec<Option<&str>> {
            let mut texts: Vec<_> = piece.rows.iter().map(|row| samples.text(column, *row)).collect();
            texts.sort_unstable();
            texts.dedup();
            texts
        };
        let replicates = texts("replicate");
        let are_numbered = replicates.len() == piece.rows.len() && !replicates.contains(&None);
        let differ = |column: &&str| texts(column).into_iter().flatten().count() > 1;
        let number = |column: &str, row: usize| samples.number(column, row);
        let spread = |column: &&str| {
            let first = piece.rows.iter().find_map(|row| number(column, *row));
            piece.rows.iter().filter_map(|row| number(column, *row)).any(|value| Some(value) != first)
        };
        let differing: Vec<&str> =
            SAME_WORDS.into_iter().filter(differ).chain(SAME_NUMBERS.into_iter().filter(spread)).collect();
        if are_numbered && differing.is_empty() {
            return;
        }
        let numbers: Vec<String> = piece.rows.iter().map(|row| samples.row_number(*row).to_string()).collect();
        let why = if are_numbered {
            format!("repeats of one piece must agree; they differ in {}", differing.join(", "))
        } else {
            format!("rows {} have the same sample name and no different replicate numbers", numbers.join(", "))
        };
        for row in piece.rows.iter() {
            let none = if piece.rows.len() == 2 { "neither" } else { "none of them" };
            let text = format!("{why}; {none} is assessed");
            let name = name.unwrap_or_default();
            let finding = Finding::new(FindingCode::SampleTwice, Severity::Error, samples.place(*row, "sample"), text)
                .found(name);
            findings.push(finding.of_sample(name));
        }
        piece.is_refused = true;
    }

    /// Two masses that cannot both be right.
    fn refuse_impossible_pairs(&self, name: Option<&str>, piece: &mut Rows, findings: &mut Vec<Finding>) {
        let of = |column: Option<&Numbers>, row| column.and_then(|numbers| numbers.value(row));
        for &row in piece.rows.iter() {
            let sinker = of(self.sinker, row).unwrap_or(0.0);
            let Some(saturated) = of(self.saturated, row) else { continue };
            let immersed = of(self.immersed, row).map(|mass| mass - sinker);
            let pairs = [("mass_oven_dry", "oven-dry", of(self.dry, row)), ("mass_immersed", "under water", immersed)];
            for (column, how, mass) in pairs {
                let Some(mass) = mass.filter(|mass| *mass >= saturated) else { continue };
                let text =
                    format!("{mass} g {how} is not less than {saturated} g saturated in air; the row is not assessed");
                let place = self.samples.place(row, column);
                let finding = Finding::new(FindingCode::PairImpossible, Severity::Error, place, text)
                    .found(mass.to_string())
                    .allowing(format!("less than {saturated} g"));
                findings.push(with_sample(finding, name));
                piece.is_refused = true;
            }
        }
    }

    /// Sizes and depths that cannot be right: they are not used, and the rest of the row is.
    fn doubt_sizes(&self, name: Option<&str>, piece: &mut Rows, findings: &mut Vec<Finding>) {
        for &row in piece.rows.iter() {
            for (saturated, dry_name, dry) in &self.sizes {
                let (Some(saturated), Some(dry)) = (saturated.value(row), dry.value(row)) else { continue };
                if dry > SIZE_PLAY * saturated {
                    let text = format!("dry it is larger than saturated ({dry} against {saturated}); it is not used");
                    let place = self.samples.place(row, dry_name);
                    let finding = Finding::new(FindingCode::PairImpossible, Severity::Warning, place, text)
                        .found(dry.to_string())
                        .allowing(format!("at most {saturated}"));
                    findings.push(with_sample(finding, name));
                    piece.is_partial = true;
                }
            }
            let depth = self.depth.and_then(|(from, to)| from.value(row).zip(to.value(row)));
            if let Some((from, to)) = depth.filter(|(from, to)| to <= from) {
                let text = format!("the interval ends at {to} mm and begins at {from} mm; the depth is not used");
                let place = self.samples.place(row, "depth_to");
                let finding = Finding::new(FindingCode::DepthOrder, Severity::Warning, place, text)
                    .found(to.to_string())
                    .allowing(format!("more than {from} mm"));
                findings.push(with_sample(finding, name));
                piece.is_partial = true;
            }
        }
    }
}

/// Columns in which repeats of one piece must agree: words, then numbers.
const SAME_WORDS: [&str; 9] =
    ["timber", "core_id", "taxon", "wood_zone", "charring", "metal", "prior_treatment", "sample_form", "decay_type"];
const SAME_NUMBERS: [&str; 3] = ["depth_from", "depth_to", "borer_damage"];

/// A dry size may be read a little above the saturated one where the wood hardly shrinks.
pub(super) const SIZE_PLAY: f64 = 1.01;

/// Saturated sizes and the dry ones that cannot be larger.
const SIZE_PAIRS: [(&str, &str); 7] = [
    ("radial_saturated", "radial_conditioned"),
    ("tangential_saturated", "tangential_conditioned"),
    ("longitudinal_saturated", "longitudinal_conditioned"),
    ("radial_saturated", "radial_oven_dry"),
    ("tangential_saturated", "tangential_oven_dry"),
    ("longitudinal_saturated", "longitudinal_oven_dry"),
    ("volume_saturated", "volume_oven_dry"),
];

pub(super) fn with_sample(finding: Finding, sample: Option<&str>) -> Finding {
    match sample {
        Some(sample) => finding.of_sample(sample),
        None => finding,
    }
}

/// Columns that say something of the timber and must agree within it.
const OF_TIMBER: [&str; 6] = ["taxon", "metal", "prior_treatment", "site", "context", "find_number"];

/// What the rows of each timber and the timbers table say of it, checked against each other.
pub(super) fn check_timbers(
    samples: &Table,
    timbers: Option<&Table>,
    same_taxon: impl Fn(&str, &str) -> bool,
) -> Vec<Finding> {
    let mut findings = Vec::new();
    if let Some(table) = timbers {
        refuse_timber_twins(table, &mut findings);
    }
    let listed_at = listed_at(timbers);
    let said: Vec<_> = OF_TIMBER.iter().map(|column| (*column, samples.texts(column))).collect();
    for (timber, rows) in rows_by_timber(samples) {
        let listed = listed_at.get(timber).copied();
        if let (Some(table), None) = (timbers, listed) {
            let place = samples.place(rows[0], "timber");
            let n = rows.len();
            let rows_say = if n == 1 { "1 row belongs".to_owned() } else { format!("{n} rows belong") };
            let text = format!("{rows_say} to timber {timber}, which is not in the timbers table");
            let mut finding = Finding::new(FindingCode::TimberUnknown, Severity::Warning, place, text).found(timber);
            let names: Vec<&str> = (0..table.n_rows()).filter_map(|row| table.text("timber", row)).collect();
            let near = crate::error::near(timber, names);
            if !near.is_empty() {
                finding = finding
                    .cured_by(format!("add the timber, or correct its name: did you mean {}?", near.join(" or ")));
            }
            findings.push(finding);
        }
        for &(column, texts) in &said {
            let text = |row: usize| texts.and_then(|texts| texts.get(row));
            let is_same = |a: &str, b: &str| a == b || (column == "taxon" && same_taxon(a, b));
            let in_table = listed.and_then(|row| timbers?.text(column, row));
            let mut said = in_table.into_iter().chain(rows.iter().filter_map(|row| text(*row)));
            let Some(first) = said.next() else { continue };
            let odd = rows.iter().find(|row| text(**row).is_some_and(|text| !is_same(first, text)));
            if let Some(&row) = odd {
                let other = text(row).unwrap_or_default();
                let text = format!("timber {timber} is said to be \"{first}\" and \"{other}\" in {column}");
                let place: Place = samples.place(row, column);
                findings.push(Finding::new(FindingCode::TimberDisagrees, Severity::Warning, place, text).found(other));
            }
        }
    }
    findings
}

/// The first row of the timbers table that names each timber.
pub(super) fn listed_at(timbers: Option<&Table>) -> HashMap<&str, usize> {
    let mut rows = HashMap::new();
    for (row, name) in timbers.and_then(|table| table.texts("timber")).into_iter().flat_map(Texts::iter).enumerate() {
        if let Some(name) = name {
            rows.entry(name).or_insert(row);
        }
    }
    rows
}

/// The rows of each timber; those that follow each other need one search.
fn rows_by_timber(samples: &Table) -> BTreeMap<&str, Vec<usize>> {
    let mut rows: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    let Some(names) = samples.texts("timber") else { return rows };
    let mut row = 0;
    while row < names.len() {
        let start = row;
        let name = names.get(row);
        while row < names.len() && names.get(row) == name {
            row += 1;
        }
        if let Some(name) = name {
            rows.entry(name).or_default().extend(start..row);
        }
    }
    rows
}

/// Rows of the timbers table that name a timber again, or none.
fn refuse_timber_twins(timbers: &Table, findings: &mut Vec<Finding>) {
    let mut first: BTreeMap<&str, usize> = BTreeMap::new();
    for row in 0..timbers.n_rows() {
        let place = timbers.place(row, "timber");
        let text = match timbers.text("timber", row) {
            None => "the row names no timber; it belongs to nothing".to_owned(),
            Some(name) => match first.get(name) {
                None => {
                    first.insert(name, timbers.row_number(row));
                    continue;
                }
                Some(first) => {
                    format!("timber {name} stands in row {first} already; that row is used, this one is not")
                }
            },
        };
        findings.push(Finding::new(FindingCode::TimberTwice, Severity::Warning, place, text));
    }
}
