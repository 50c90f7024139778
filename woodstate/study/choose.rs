//! Rows of a batch that a condition keeps, and the names that a condition may use.

use std::collections::{BTreeMap, BTreeSet};

use crate::error::Result;
use crate::reference::Reference;
use crate::table::{Batch, Choice, Condition, Datum, NameKind, Names, Table};

/// Names that exist after `assess` only.
const RESULTS: [&str; 3] = ["status", "degradation_class", "depth_zone"];

/// Chooses the rows of the samples that fulfil a condition; timbers of which no row is left go with them.
///
/// Rows are chosen before they are assessed, so a timber is judged by the rows that are kept.
///
/// # Errors
/// [`ErrorKind::Condition`](crate::error::ErrorKind::Condition) with the place of the fault.
///
/// # Example
/// ```
/// use woodstate::numeric::Watch;
/// use woodstate::study::{Study, assess, choose};
/// use woodstate::table::{SourceFile, batch_of};
/// let csv = b"sample,depth_from [mm],mass_saturated [g],mass_oven_dry [g]\nK1,0,5,1\nK2,30,4,1\nK3,,4,1\n";
/// let study = Study::unstated()?;
/// let batch = batch_of(&SourceFile::from_bytes("d.csv", csv.to_vec()), &study.read, &Watch::silent())?;
/// let outer = choose(batch, "depth_from < 2 cm")?;
/// let counts = assess(&study, outer, &Watch::silent())?.counts;
/// assert_eq!((counts.rows, counts.assessed, counts.left_out), (3, 1, 2));
/// # Ok::<(), woodstate::error::Error>(())
/// ```
pub fn choose(batch: Batch, condition: &str) -> Result<Batch> {
    let reference = Reference::shipped()?;
    let mut names = names_of(&batch);
    for result in RESULTS {
        if names.kind(result).is_err() {
            names = names.refusing(result, "is a result, not a measurement; results exist after assess");
        }
    }
    let condition = Condition::parse(condition, &names)?;
    let (samples, listed) = (&batch.samples, Listed::of(batch.timbers.as_ref()));
    let datum = |name: &str, row: usize| match datum_of(samples, name, row) {
        Datum::Unknown => samples.text("timber", row).map_or(Datum::Unknown, |timber| listed.datum(name, timber)),
        known => known,
    };
    let (rows, choice) = condition.choose(samples.n_rows(), "row", &datum, &|a, b| is_wood(reference, a, b));
    Ok(keep_rows(batch, &rows, choice))
}

/// The samples at these places alone, counted from 0; timbers of which no row is left go with them. `choice` says why the
/// others were left out.
#[must_use]
pub fn keep_rows(mut batch: Batch, rows: &[usize], choice: Choice) -> Batch {
    let samples = &batch.samples;
    let kept: BTreeSet<usize> = rows.iter().map(|row| samples.row_number(*row)).collect();
    let all: BTreeSet<usize> = (0..samples.n_rows()).map(|row| samples.row_number(row)).collect();
    let origin = samples.origin().clone();
    batch.findings.retain(|finding| {
        let is_here = finding.place.file == origin.file && finding.place.sheet == origin.sheet;
        !is_here || finding.place.row.is_none_or(|row| kept.contains(&row) || !all.contains(&row))
    });
    batch.timbers = batch.timbers.as_ref().map(|timbers| with_rows(timbers, samples, rows, &choice.condition));
    batch.samples = batch.samples.keep(rows, choice);
    batch
}

/// Timbers that have a row among those kept, and those that had none before.
fn with_rows(timbers: &Table, samples: &Table, rows: &[usize], condition: &str) -> Table {
    let named = |rows: &mut dyn Iterator<Item = usize>| -> BTreeSet<String> {
        rows.filter_map(|row| samples.text("timber", row)).map(str::to_owned).collect()
    };
    let (before, after) = (named(&mut (0..samples.n_rows())), named(&mut rows.iter().copied()));
    let is_kept = |row: &usize| {
        let name = timbers.text("timber", *row);
        name.is_none_or(|name| after.contains(name) || !before.contains(name))
    };
    let kept: Vec<usize> = (0..timbers.n_rows()).filter(is_kept).collect();
    let choice = Choice {
        condition: condition.to_owned(),
        of: "timber",
        rows: timbers.n_rows(),
        kept: kept.len(),
        left_out: timbers.n_rows() - kept.len(),
        unknown: 0,
        unknown_in: Vec::new(),
        seen: Vec::new(),
    };
    timbers.keep(&kept, choice)
}

/// Names of the samples, and of what the timbers table adds.
pub(super) fn names_of(batch: &Batch) -> Names {
    let mut names = Names::of_table(&batch.samples);
    let others = batch.timbers.iter().flat_map(Table::columns).filter(|column| !column.name.is_empty());
    for column in others {
        if names.kind(&column.name).is_err() && batch.samples.kind().column(&column.name).is_none() {
            names = names.with(column.name.clone(), NameKind::Text);
        }
    }
    names
}

/// What a table holds.
pub(super) fn datum_of<'a>(table: &'a Table, name: &str, row: usize) -> Datum<'a> {
    match (table.number(name, row), table.text(name, row)) {
        (Some(number), _) => Datum::Number(number),
        (None, Some(text)) => Datum::Text(text),
        (None, None) => Datum::Unknown,
    }
}

/// The timbers table by the names of its timbers.
pub(super) struct Listed<'a> {
    table: Option<&'a Table>,
    rows: BTreeMap<&'a str, usize>,
}

impl<'a> Listed<'a> {
    pub(super) fn of(table: Option<&'a Table>) -> Self {
        let named =
            |table: &'a Table| (0..table.n_rows()).rev().filter_map(move |row| Some((table.text("timber", row)?, row)));
        Self { table, rows: table.into_iter().flat_map(named).collect() }
    }

    /// What the timbers table says of a timber.
    pub(super) fn datum(&self, name: &str, timber: &str) -> Datum<'a> {
        let row = self.rows.get(timber);
        self.table.zip(row).map_or(Datum::Unknown, |(table, row)| datum_of(table, name, *row))
    }
}

/// Whether a wood is the one that is asked for or belongs to it. Unknown where it is named less exactly than asked.
pub(super) fn is_wood(reference: &Reference, found: &str, wanted: &str) -> Option<bool> {
    match (reference.taxon(found), reference.taxon(wanted)) {
        (Some(found), Some(wanted)) if reference.belongs_to(found, wanted) => Some(true),
        (Some(found), Some(wanted)) => (!reference.belongs_to(wanted, found)).then_some(false),
        _ => Some(plain_wood(found) == plain_wood(wanted)),
    }
}

/// A name of a wood without its case and its extra spaces.
pub(super) fn plain_wood(name: &str) -> String {
    name.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}
