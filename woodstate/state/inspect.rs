//! Which rows are a piece, and which of them cannot be assessed.

use std::collections::BTreeMap;

use crate::error::{Finding, FindingCode, Place, Severity};
use crate::table::{RowState, Table};

/// The rows of a piece, and whether they can be used.
pub(super) struct Rows {
    pub(super) sample: Option<String>,
    pub(super) rows: Vec<usize>,
    /// Whether a finding forbids to assess them.
    pub(super) is_refused: bool,
    /// Whether a value could not be used.
    pub(super) is_partial: bool,
}

/// The pieces of a table in the order of the file; every row is in one of them.
pub(super) fn pieces(samples: &Table, findings: &mut Vec<Finding>) -> Vec<Rows> {
    let mut pieces: Vec<Rows> = Vec::new();
    let mut known: BTreeMap<&str, usize> = BTreeMap::new();
    for row in 0..samples.n_rows() {
        let name = samples.text("sample", row);
        match name.and_then(|name| known.get(name).copied()) {
            Some(piece) => pieces[piece].rows.push(row),
            None => {
                if let Some(name) = name {
                    known.insert(name, pieces.len());
                } else if !findings.iter().any(|finding| is_nameless(finding, samples, row)) {
                    let text = "the row has no sample name; it is not assessed";
                    let place = samples.place(row, "sample");
                    findings.push(Finding::new(FindingCode::SampleMissing, Severity::Error, place, text));
                }
                let sample = name.map(str::to_owned);
                pieces.push(Rows { sample, rows: vec![row], is_refused: name.is_none(), is_partial: false });
            }
        }
    }
    for piece in &mut pieces {
        let worst = piece.rows.iter().map(|row| samples.state(*row)).max().unwrap_or_default();
        piece.is_refused |= worst == RowState::Unreadable;
        piece.is_partial |= worst == RowState::Partial;
        refuse_twins(samples, piece, findings);
        refuse_impossible_pairs(samples, piece, findings);
        doubt_sizes(samples, piece, findings);
    }
    pieces
}

fn is_nameless(finding: &Finding, samples: &Table, row: usize) -> bool {
    finding.code == FindingCode::SampleMissing && finding.place.row == Some(samples.row_number(row))
}

/// Columns in which repeats of one piece must agree: words, then numbers.
const SAME_WORDS: [&str; 9] =
    ["timber", "core_id", "taxon", "wood_zone", "charring", "metal", "prior_treatment", "sample_form", "decay_type"];
const SAME_NUMBERS: [&str; 3] = ["depth_from", "depth_to", "borer_damage"];

/// Rows of one name that are not repeats of one piece.
fn refuse_twins(samples: &Table, piece: &mut Rows, findings: &mut Vec<Finding>) {
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
    for row in &piece.rows {
        let none = if piece.rows.len() == 2 { "neither" } else { "none of them" };
        let text = format!("{why}; {none} is assessed");
        let name = piece.sample.clone().unwrap_or_default();
        let finding =
            Finding::new(FindingCode::SampleTwice, Severity::Error, samples.place(*row, "sample"), text).found(&name);
        findings.push(finding.of_sample(name));
    }
    piece.is_refused = true;
}

/// Two masses that cannot both be right.
fn refuse_impossible_pairs(samples: &Table, piece: &mut Rows, findings: &mut Vec<Finding>) {
    for &row in &piece.rows {
        let number = |name| samples.number(name, row);
        let sinker = number("mass_sinker_immersed").unwrap_or(0.0);
        let Some(saturated) = number("mass_saturated") else { continue };
        let immersed = number("mass_immersed").map(|mass| mass - sinker);
        let pairs =
            [("mass_oven_dry", "oven-dry", number("mass_oven_dry")), ("mass_immersed", "under water", immersed)];
        for (name, how, mass) in pairs {
            let Some(mass) = mass.filter(|mass| *mass >= saturated) else { continue };
            let text =
                format!("{mass} g {how} is not less than {saturated} g saturated in air; the row is not assessed");
            let finding = Finding::new(FindingCode::PairImpossible, Severity::Error, samples.place(row, name), text)
                .found(mass.to_string())
                .allowing(format!("less than {saturated} g"));
            findings.push(with_sample(finding, piece.sample.as_ref()));
            piece.is_refused = true;
        }
    }
}

/// A dry size may be read a little above the saturated one where the wood hardly shrinks.
pub(super) const SIZE_PLAY: f64 = 1.01;

/// Sizes and depths that cannot be right: they are not used, and the rest of the row is.
fn doubt_sizes(samples: &Table, piece: &mut Rows, findings: &mut Vec<Finding>) {
    const PAIRS: [(&str, &str); 7] = [
        ("radial_saturated", "radial_conditioned"),
        ("tangential_saturated", "tangential_conditioned"),
        ("longitudinal_saturated", "longitudinal_conditioned"),
        ("radial_saturated", "radial_oven_dry"),
        ("tangential_saturated", "tangential_oven_dry"),
        ("longitudinal_saturated", "longitudinal_oven_dry"),
        ("volume_saturated", "volume_oven_dry"),
    ];
    for &row in &piece.rows {
        let number = |name| samples.number(name, row);
        for (saturated_name, dry_name) in PAIRS {
            let (Some(saturated), Some(dry)) = (number(saturated_name), number(dry_name)) else { continue };
            if dry > SIZE_PLAY * saturated {
                let text = format!("dry it is larger than saturated ({dry} against {saturated}); it is not used");
                let place = samples.place(row, dry_name);
                let finding = Finding::new(FindingCode::PairImpossible, Severity::Warning, place, text)
                    .found(dry.to_string())
                    .allowing(format!("at most {saturated}"));
                findings.push(with_sample(finding, piece.sample.as_ref()));
                piece.is_partial = true;
            }
        }
        if let (Some(from), Some(to)) = (number("depth_from"), number("depth_to"))
            && to <= from
        {
            let text = format!("the interval ends at {to} mm and begins at {from} mm; the depth is not used");
            let finding =
                Finding::new(FindingCode::DepthOrder, Severity::Warning, samples.place(row, "depth_to"), text)
                    .found(to.to_string())
                    .allowing(format!("more than {from} mm"));
            findings.push(with_sample(finding, piece.sample.as_ref()));
            piece.is_partial = true;
        }
    }
}

pub(super) fn with_sample(finding: Finding, sample: Option<&String>) -> Finding {
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
    findings: &mut Vec<Finding>,
) {
    if let Some(table) = timbers {
        refuse_timber_twins(table, findings);
    }
    let mut rows: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for row in 0..samples.n_rows() {
        if let Some(timber) = samples.text("timber", row) {
            rows.entry(timber).or_default().push(row);
        }
    }
    for (timber, rows) in rows {
        let listed =
            timbers.and_then(|table| (0..table.n_rows()).find(|row| table.text("timber", *row) == Some(timber)));
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
        for column in OF_TIMBER {
            let is_same = |a: &str, b: &str| a == b || (column == "taxon" && same_taxon(a, b));
            let in_table = listed.and_then(|row| timbers?.text(column, row));
            let mut said = in_table.into_iter().chain(rows.iter().filter_map(|row| samples.text(column, *row)));
            let Some(first) = said.next() else { continue };
            let odd = rows.iter().find(|row| samples.text(column, **row).is_some_and(|text| !is_same(first, text)));
            if let Some(&row) = odd {
                let other = samples.text(column, row).unwrap_or_default();
                let text = format!("timber {timber} is said to be \"{first}\" and \"{other}\" in {column}");
                let place: Place = samples.place(row, column);
                findings.push(Finding::new(FindingCode::TimberDisagrees, Severity::Warning, place, text).found(other));
            }
        }
    }
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
