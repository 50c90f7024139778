//! Views of `bath`: what is common to mixing, washing, time and freezing.

use crate::quantity::{Cited, counted, shown_value};
use crate::study::{BathCaution, BathNumber, BathTimber, Safety, SafetyNote};

use super::{Align, Block, Grid, View};

/// Timbers named behind one caution at most.
const NAMED: usize = 12;

/// A number and, in brackets, its interval where that changes the digits that are shown.
pub(super) fn spanned(number: &BathNumber) -> String {
    scaled(number, 1.0, "")
}

/// The same, divided, with what stands between value and interval.
fn scaled(number: &BathNumber, over: f64, between: &str) -> String {
    let Some([low, high]) = number.interval else { return format!("{}{between}", digits(number.value / over, 4)) };
    // Two digits are enough of what is known so badly.
    let kept = if high > WIDE * low { 2 } else { 4 };
    // Only a diffusivity is small; a trace of a concentration is none to be shown by powers of ten.
    let is_small = number.unit == "m2/s";
    let shown = |number: f64| if number.abs() < SMALL && !is_small { "0".to_owned() } else { digits(number, kept) };
    let [value, low, high] = [number.value, low, high].map(|number| shown(number / over));
    if low == high { format!("{value}{between}") } else { format!("{value}{between} ({low} - {high})") }
}

/// Upper over lower end from which an interval is wide.
const WIDE: f64 = 1.5;

/// A number with so many leading digits; a very small one by powers of ten.
fn digits(value: f64, kept: usize) -> String {
    let short = format!("{value:.*e}", kept.saturating_sub(1));
    match short.parse::<f64>() {
        Ok(rounded) if rounded.abs() >= SMALL || value.abs() <= 0.0 => shown_value(rounded),
        Ok(rounded) => format!("{rounded:e}"),
        Err(_) => short,
    }
}

/// Below it a number is written by powers of ten.
const SMALL: f64 = 1e-3;

/// The same, empty where there is none.
pub(super) fn or_empty(number: Option<&BathNumber>) -> String {
    number.map_or_else(String::new, spanned)
}

/// The same with its unit.
pub(super) fn with_unit(number: &BathNumber) -> String {
    format!("{} {}", spanned(number), number.unit)
}

/// Days in a year, and days from which years are shown.
const YEAR: (f64, f64) = (365.25, 730.0);

/// A time in days, as years where it is long.
pub(super) fn time(days: &BathNumber) -> String {
    if days.value >= YEAR.1 { scaled(days, YEAR.0, " a") } else { scaled(days, 1.0, " d") }
}

/// Value and ends as three cells with full digits.
pub(super) fn three(number: Option<&BathNumber>) -> [String; 3] {
    let ends = number.and_then(|number| number.interval);
    let text = |number: Option<f64>| number.map(|number| number.to_string()).unwrap_or_default();
    [text(number.map(|number| number.value)), text(ends.map(|ends| ends[0])), text(ends.map(|ends| ends[1]))]
}

/// Heads of a number with its ends, `name [unit]`, `name_low`, `name_high`.
pub(super) fn heads_of(name: &str, unit: &str) -> [String; 3] {
    [format!("{name} [{unit}]"), format!("{name}_low [{unit}]"), format!("{name}_high [{unit}]")]
}

/// A table for a pipe.
pub(super) fn plain(heads: &[String], rows: Vec<Vec<String>>) -> Grid {
    let columns: Vec<(&str, Align)> = heads.iter().map(|head| (head.as_str(), Align::Left)).collect();
    let mut grid = Grid::new(&columns);
    grid.rows = rows;
    grid
}

/// The wood of a tank in a sentence.
pub(super) fn wood(timbers: &[BathTimber], [volume, water]: [&BathNumber; 2], dry_mass: Option<&BathNumber>) -> String {
    let dry = dry_mass.map_or_else(String::new, |mass| format!(", oven-dry mass {}", with_unit(mass)));
    let who = match timbers.iter().filter(|timber| timber.not_counted.is_none()).count() {
        0 => "Wood as stated".to_owned(),
        n => counted(n, "timber"),
    };
    format!("{who}: volume {}, water {}{dry}.", with_unit(volume), with_unit(water))
}

/// What follows every answer: notes, cautions, safety, sources.
pub(super) fn close(view: &mut View, notes: &[String], cautions: &[BathCaution], safety: &Safety, sources: &[Cited]) {
    for note in notes {
        view.push(Block::Paragraph(note.clone()));
    }
    if !cautions.is_empty() {
        view.push(Block::Listing("Cautions:".to_owned(), cautions.iter().map(caution).collect()));
    }
    if !safety.notes.is_empty() {
        let note = |note: &SafetyNote| (note.word.clone(), note.lines(safety.form).join(" "));
        let mut said: Vec<(String, String)> = safety.notes.iter().map(note).collect();
        said.push((String::new(), safety.deferral.clone()));
        view.push(Block::Listing("Safety:".to_owned(), said));
    }
    if !sources.is_empty() {
        let said = sources.iter().map(|source| (source.id.clone(), source.to_string()));
        view.push(Block::Listing("Numbers behind this:".to_owned(), said.collect()));
    }
    let explained = cautions.first().map_or("bath", |caution| caution.code);
    view.push(Block::Paragraph(format!(
        "In brackets: the interval. Without brackets: it is narrower than the digits shown, or nobody said how well the number is \
         known (--json tells which). The long story of a word: woodstate explain {explained}"
    )));
}

fn caution(caution: &BathCaution) -> (String, String) {
    let detail = caution.detail.as_ref().map_or_else(String::new, |detail| format!(" ({detail})"));
    let timbers = match caution.timbers.as_slice() {
        [] => String::new(),
        names => {
            let more = names.len().saturating_sub(NAMED);
            let more = if more > 0 { format!(" and {more} more") } else { String::new() };
            format!(" Timbers: {}{more}.", names[..names.len().min(NAMED)].join(", "))
        }
    };
    (caution.code.to_owned(), format!("{}{detail}. {}{timbers}", caution.text, caution.consequence))
}

/// Timbers that are not counted, each with the reason.
pub(super) fn not_counted<'a>(timbers: impl Iterator<Item = &'a BathTimber>) -> Option<Block> {
    let said: Vec<(String, String)> =
        timbers.filter_map(|timber| Some((timber.timber.clone(), timber.not_counted.clone()?))).collect();
    (!said.is_empty()).then(|| Block::Listing("Not counted:".to_owned(), said))
}
