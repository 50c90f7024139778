//! Head and tail of long tables: what a notebook shows of a batch or of pieces.

use std::collections::BTreeSet;

use crate::quantity::{Cited, Unit, counted, shown};
use crate::study::Assessment;
use crate::table::{Batch, Column, ColumnType, Table, Values};

use super::assessment::{Marks, closing, pieces_at, timbers};
use super::{Align, Block, Grid, View, choice_sentence};

/// Most columns of a table that are shown.
const COLUMNS: usize = 20;

/// A table as it was read: its first and last rows, the unit below each name; a cell that could not be used stands in
/// quotes.
#[must_use]
pub fn batch_excerpt(batch: &Batch, most: usize) -> View {
    let samples = &batch.samples;
    let mut view = View::default();
    samples.choices().iter().for_each(|choice| view.push(Block::Paragraph(choice_sentence(choice))));
    let columns: Vec<&Column> = samples.columns().iter().filter(|column| !column.header.trim().is_empty()).collect();
    let shown = telling(&columns, samples.n_rows());
    let mut grid = Grid::new(&[("row\n", Align::Right)]);
    for column in &shown {
        let align = if matches!(column.values, Values::Numbers(_)) { Align::Right } else { Align::Left };
        grid.columns.push(super::ColumnView { head: head(samples, column), align });
    }
    grid.n_names = 1 + usize::from(shown.first().is_some_and(|column| column.name == "sample"));
    let row = |row: usize| {
        let cells = shown.iter().map(|column| cell(samples, column, row));
        std::iter::once(samples.row_number(row).to_string()).chain(cells).collect()
    };
    let places: Vec<usize> = (0..samples.n_rows()).collect();
    grid.rows = with_gap(&places, most, row);
    if !grid.rows.is_empty() {
        view.push(Block::Table(grid));
    }
    let more = match columns.len() - shown.len() {
        0 => String::new(),
        more => format!(" ({more} are not shown)"),
    };
    let others = batch.timbers.iter().chain(&batch.log).map(|table| {
        let (rows, name) = (counted(table.n_rows(), "row"), table.kind().name());
        format!(" {name}: {rows}.")
    });
    let size = format!("{} x {}{more}.", counted(samples.n_rows(), "row"), counted(columns.len(), "column"));
    view.push(Block::Paragraph(std::iter::once(size).chain(others).collect()));
    view
}

/// The columns that tell most where there are too many: names and wood, then numbers that most rows have, then other
/// numbers, then texts; what no row has comes last.
fn telling<'a>(columns: &[&'a Column], rows: usize) -> Vec<&'a Column> {
    let rank = |column: &Column| match &column.values {
        _ if ["sample", "timber", "taxon"].contains(&column.name.as_str()) => 0,
        Values::Numbers(numbers) => match (0..rows).filter(|row| numbers.value(*row).is_some()).count() {
            known if 2 * known >= rows => 1,
            0 => 4,
            _ => 2,
        },
        Values::Texts(texts) if texts.iter().any(|text| text.is_some()) => 3,
        Values::Texts(_) => 4,
    };
    let mut ranked: Vec<(usize, usize)> = columns.iter().enumerate().map(|(place, one)| (rank(one), place)).collect();
    ranked.sort_unstable();
    let mut places: Vec<usize> = ranked.into_iter().take(COLUMNS).map(|(_, place)| place).collect();
    places.sort_unstable();
    places.into_iter().map(|place| columns[place]).collect()
}

/// Pieces of an assessment at these places, first and last, with their timbers and what the letters mean.
#[must_use]
pub fn pieces_excerpt(assessment: &Assessment, places: &[usize], most: usize) -> View {
    let marks = Marks::of(assessment);
    let mut view = View::default();
    let (head, tail) = ends(places.len(), most);
    let mut kept = places[..head].to_vec();
    kept.extend(&places[places.len() - tail..]);
    let mut grid = pieces_at(assessment, &marks, &kept);
    grid.n_names = 1.min(grid.columns.len());
    if head + tail < places.len() && grid.rows.len() >= head {
        grid.rows.insert(head, dots(grid.columns.len()));
    }
    let mut used: BTreeSet<String> = marks_of(&grid);
    let n = assessment.counts.pieces;
    let is_whole = places.len() == n;
    if !places.is_empty() {
        view.push(Block::Table(grid));
    }
    let of_all = if is_whole { String::new() } else { format!("{} of ", places.len()) };
    view.push(Block::Paragraph(format!("{of_all}{}.", counted(n, "piece"))));
    // Timbers are judged by all of their pieces, so they stand beside all pieces alone.
    if is_whole && !assessment.timbers.is_empty() {
        let grid = timbers(assessment, &marks, 2 * most);
        used.extend(marks_of(&grid));
        view.push(Block::Table(grid));
        if assessment.timbers.len() > 2 * most {
            view.push(Block::Paragraph(format!("{} of {}.", 2 * most, counted(assessment.timbers.len(), "timber"))));
        }
    }
    let mut legend = marks.legend(assessment);
    legend.retain(|(mark, _)| mark == "all" || used.contains(mark));
    if !legend.is_empty() && !places.is_empty() {
        view.push(Block::Legend(legend));
    }
    let closing = if is_whole { closing(assessment) } else { "± is one standard uncertainty.".to_owned() };
    view.push(Block::Paragraph(closing));
    view
}

/// The letters in the last column of a table.
fn marks_of(grid: &Grid) -> BTreeSet<String> {
    let cells = grid.rows.iter().filter_map(|row| row.last());
    cells.flat_map(|cell| cell.split_whitespace()).map(str::to_owned).collect()
}

/// Published and stated numbers that were used, each with its evidence.
#[must_use]
pub fn sources_view(sources: &[Cited]) -> View {
    let heads = [("used for", Align::Left), ("work", Align::Left), ("place", Align::Left), ("evidence", Align::Left)];
    let mut grid = Grid::new(&heads);
    let row = |cited: &Cited| {
        let Cited { used_for, citation, place, evidence, .. } = cited;
        vec![used_for.clone(), citation.clone(), place.clone(), evidence.word().to_owned()]
    };
    grid.rows = sources.iter().map(row).collect();
    let mut words: Vec<_> = sources.iter().map(|cited| cited.evidence).collect();
    words.sort_unstable();
    words.dedup();
    let legend = words.into_iter().map(|evidence| (evidence.word().to_owned(), evidence.meaning().to_owned()));
    View { blocks: vec![Block::Table(grid), Block::Legend(legend.collect())] }
}

/// How many of so many rows stand at the head, and how many at the tail.
fn ends(rows: usize, most: usize) -> (usize, usize) {
    if rows <= most { (rows, 0) } else { (most - most / 3, most / 3) }
}

/// Rows at these places, with a row of dots where some are left out.
fn with_gap(places: &[usize], most: usize, row: impl Fn(usize) -> Vec<String>) -> Vec<Vec<String>> {
    let (head, tail) = ends(places.len(), most);
    let mut rows: Vec<Vec<String>> = places[..head].iter().map(|place| row(*place)).collect();
    if head + tail < places.len() {
        let width = rows.first().map_or(0, Vec::len);
        rows.push(dots(width));
    }
    rows.extend(places[places.len() - tail..].iter().map(|place| row(*place)));
    rows
}

fn dots(width: usize) -> Vec<String> {
    vec!["...".to_owned(); width]
}

/// Name of a column with its unit below.
fn head(table: &Table, column: &Column) -> String {
    let unit = table.kind().column(&column.name).and_then(|spec| match spec.holds {
        ColumnType::Number { unit, .. } => Some(unit),
        ColumnType::Text | ColumnType::Word(_) | ColumnType::Date => None,
    });
    let unit = unit.or_else(|| column.unit_of_header().map(Unit::code));
    let name = if column.name.is_empty() { column.header.trim() } else { &column.name };
    format!("{name}\n{}", unit.unwrap_or_default())
}

fn cell(table: &Table, column: &Column, row: usize) -> String {
    let known = match &column.values {
        Values::Numbers(numbers) => numbers.value(row).map(|value| match numbers.u(row) {
            Some(u) => shown(value, Some(u)),
            None => value.to_string(),
        }),
        Values::Texts(texts) => texts.get(row).map(str::to_owned),
    };
    let unused = || table.unused(row, &column.name).map(|text| format!("\"{text}\""));
    known.or_else(unused).unwrap_or_default()
}
