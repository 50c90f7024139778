//! A sheet looked at: which table it is, where its header stands, what its columns hold.

use crate::quantity::Unit;
use crate::table::{Cell, Decimal, DecimalEvidence, Glossary, Grid, NumberText, TableKind, column_of, parse_number};

/// A sheet that is taken for a table.
#[derive(Debug)]
pub(super) struct Sheet {
    pub(super) grid: Grid,
    pub(super) kind: TableKind,
    /// Place of the header row in the grid.
    pub(super) header: usize,
    /// Place of a row of units, below or above the header.
    pub(super) units: Option<usize>,
    /// Places of the rows below the header that hold something.
    pub(super) rows: Vec<usize>,
    /// Headers that are known.
    pub(super) known: usize,
}

/// Rows among which a header is looked for.
const LOOKED_AT: usize = 30;

impl Sheet {
    /// Takes a grid for the table that it fits best; gives it back where no row has two known headers.
    pub(super) fn of(
        grid: Grid,
        glossary: &'static Glossary,
        kinds: &[TableKind],
        row: Option<usize>,
        is_named: bool,
    ) -> Result<Self, Box<Grid>> {
        const SAID_BY_NAME: usize = 3;
        let rows: Vec<usize> = match row {
            Some(number) => (0..grid.n_rows()).filter(|row| grid.row_number(*row) == number).collect(),
            None => (0..grid.n_rows().min(LOOKED_AT)).collect(),
        };
        let by_name = grid.sheet().and_then(|name| glossary.sheet(name));
        let known = |row: usize, kind| {
            let is_known = |column: &usize| is_known(&header_text(&grid, row, *column), kind, glossary);
            (0..grid.width(row)).filter(is_known).count()
        };
        let mut best: Option<(usize, usize, TableKind, usize)> = None;
        for (row, kind) in rows.iter().flat_map(|row| kinds.iter().map(move |kind| (*row, *kind))) {
            let found = known(row, kind);
            let score = found + if by_name == Some(kind) && found > 0 { SAID_BY_NAME } else { 0 };
            if best.is_none_or(|(highest, ..)| score > highest) {
                best = Some((score, row, kind, found));
            }
        }
        let fewest = if is_named || row.is_some() { 0 } else { 2 };
        let Some((_, header, kind, known)) = best.filter(|(.., found)| *found >= fewest) else {
            return Err(Box::new(grid));
        };
        let units = [Some(header + 1), header.checked_sub(1)].into_iter().flatten().find(|row| is_units(&grid, *row));
        let below = header + 1..grid.n_rows();
        let rows = below
            .filter(|row| Some(*row) != units && (0..grid.width(*row)).any(|at| shown(grid.cell(*row, at)).is_some()));
        Ok(Self { kind, header, units, rows: rows.collect(), known, grid })
    }

    pub(super) fn header(&self, column: usize) -> String {
        header_text(&self.grid, self.header, column)
    }

    /// The unit in the row of units.
    pub(super) fn unit_below(&self, column: usize) -> Option<String> {
        let text = shown(self.grid.cell(self.units?, column))?;
        Some(bare(&text).to_owned()).filter(|unit| Unit::parse(unit).is_ok())
    }

    /// What a column holds below the header, with the place of its row.
    pub(super) fn cells(&self, column: usize) -> impl Iterator<Item = (usize, String)> {
        self.rows.iter().filter_map(move |row| Some((*row, shown(self.grid.cell(*row, column))?)))
    }

    /// The numbers of a column row by row, texts read with this mark.
    pub(super) fn numbers(&self, column: usize, mark: Decimal) -> Vec<Option<f64>> {
        let number = |row: &usize| match self.grid.cell(*row, column) {
            Cell::Number(value) | Cell::Percent(value) => Some(value),
            Cell::Text(text) => match parse_number(text, mark) {
                NumberText::Value(value) => Some(value),
                NumberText::BelowLimit(_) | NumberText::Unreadable => None,
            },
            _ => None,
        };
        self.rows.iter().map(number).collect()
    }

    /// What the texts of some columns say about the decimal mark.
    pub(super) fn evidence(&self, columns: &[usize]) -> DecimalEvidence {
        let mut evidence = DecimalEvidence::default();
        for (row, column) in self.rows.iter().flat_map(|row| columns.iter().map(move |column| (*row, *column))) {
            if let Cell::Text(text) = self.grid.cell(row, column) {
                evidence.look(text);
            }
        }
        evidence
    }
}

/// Text of a header cell, as the study file names it.
fn header_text(grid: &Grid, row: usize, column: usize) -> String {
    match grid.shown(row, column) {
        Cell::Text(text) => text.split_whitespace().collect::<Vec<_>>().join(" "),
        Cell::Number(number) => number.to_string(),
        _ => String::new(),
    }
}

fn is_known(header: &str, kind: TableKind, glossary: &'static Glossary) -> bool {
    let is_own =
        |header: &str| column_of(header, kind).is_ok_and(|column| kind.columns().any(|own| own.name == column.name));
    !header.is_empty() && (is_own(header) || glossary.header(header, kind, None).is_some())
}

/// A row that holds units and nothing else, in at least a third of its columns.
fn is_units(grid: &Grid, row: usize) -> bool {
    let texts: Vec<String> = (0..grid.width(row)).filter_map(|column| shown(grid.cell(row, column))).collect();
    let is_unit = |text: &&String| Unit::parse(bare(text)).is_ok() && text.parse::<f64>().is_err();
    let is_blank = |text: &&String| matches!(text.trim(), "-" | "–" | "/");
    let units = texts.iter().filter(is_unit).filter(|text| !is_blank(text)).count();
    units > 0
        && 3 * units >= grid.n_columns().min(texts.len() * 3)
        && texts.iter().all(|text| is_unit(&text) || is_blank(&text))
}

fn bare(text: &str) -> &str {
    text.trim().trim_matches(['[', ']', '(', ')', '{', '}', '<', '>']).trim()
}

/// What a person sees in a cell.
pub(super) fn shown(cell: Cell<'_>) -> Option<String> {
    match cell {
        Cell::Text(text) | Cell::Date(text) | Cell::Error(text) => {
            Some(text.trim().to_owned()).filter(|text| !text.is_empty())
        }
        Cell::Number(value) | Cell::Percent(value) => Some(value.to_string()),
        Cell::Bool(value) => Some(value.to_string()),
        _ => None,
    }
}
