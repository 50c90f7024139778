//! The views of `figure`: its caption, the list of kinds, and its files.

use std::path::Path;

use crate::error::{Error, ErrorKind, Result};
use crate::figure::{Datum, DrawnFigure, FigureList, KindNeeds, Sheet};

use super::json::json;
use super::{Align, Block, Grid, View, choice_sentence};

/// What was drawn, for people: the caption to take into a text.
#[must_use]
pub fn figure_view(outcome: &DrawnFigure) -> View {
    let said = outcome.choices.iter().map(choice_sentence).map(Block::Paragraph);
    let figure = &outcome.figure;
    let caption = [figure.title.clone(), figure.caption.clone()].map(Block::Paragraph);
    View { blocks: said.chain(caption).collect() }
}

/// The numbers behind a figure, for a pipe.
#[must_use]
pub fn figure_plain(outcome: &DrawnFigure) -> View {
    let data = &outcome.figure.data;
    let heads: Vec<(&str, Align)> = data.columns.iter().map(|head| (head.as_str(), Align::Left)).collect();
    let mut grid = Grid::new(&heads);
    let shown = |datum: &Datum| match datum {
        Datum::Number(number) => number.to_string(),
        Datum::Text(text) => text.clone(),
        Datum::Unknown => String::new(),
    };
    grid.rows = data.rows.iter().map(|row| row.iter().map(shown).collect()).collect();
    View { blocks: vec![Block::Table(grid)] }
}

/// The kinds of figures, for people and for a pipe.
#[must_use]
pub fn figure_list_view(list: &FigureList) -> View {
    let mut grid = Grid::new(&[("kind", Align::Left), ("shows", Align::Left), ("needs", Align::Left)]);
    let row = |kind: &KindNeeds| [kind.kind, kind.shows, kind.needs].map(str::to_owned).to_vec();
    grid.rows = list.kinds.iter().map(row).collect();
    View { blocks: vec![Block::Table(grid), Block::Paragraph(list.note.to_owned())] }
}

/// Endings of the files that a figure is drawn into.
const DRAWN: [&str; 3] = ["svg", "png", "pdf"];

/// Endings of the files of the numbers behind it.
const DATA: [&str; 2] = ["csv", "json"];

/// The ending of a path that a figure is drawn into.
///
/// # Errors
/// [`ErrorKind::Name`] with the endings there are.
pub fn figure_ending(path: &Path) -> Result<&'static str> {
    ending(path, "ending of a figure", &DRAWN)
}

/// The ending of a path for the numbers behind a figure.
///
/// # Errors
/// [`ErrorKind::Name`] with the endings there are.
pub fn figure_data_ending(path: &Path) -> Result<&'static str> {
    ending(path, "ending of the numbers behind a figure", &DATA)
}

fn ending(path: &Path, what: &'static str, all: &[&'static str]) -> Result<&'static str> {
    let found = path.extension().and_then(|ending| ending.to_str()).map(str::to_lowercase).unwrap_or_default();
    let known = all.iter().copied().find(|ending| *ending == found);
    known.ok_or_else(|| {
        let allowed = all.iter().map(|ending| (*ending).to_owned()).collect();
        Error::new(ErrorKind::Name { what, found, allowed })
    })
}

/// A figure as one file: `svg`, `png` or `pdf`; `csv` has the numbers behind it, `json` the whole outcome.
///
/// # Errors
/// What cannot be drawn on the sheet; an ending that is none of these.
pub fn figure_file(outcome: &DrawnFigure, ending: &str, sheet: &Sheet, dpi: u32) -> Result<Vec<u8>> {
    let figure = &outcome.figure;
    match ending {
        "svg" => figure.svg(sheet).map(String::into_bytes),
        "png" => figure.png(sheet, dpi),
        "pdf" => figure.pdf(sheet),
        "csv" => Ok(figure.csv().into_bytes()),
        "json" => Ok(json(outcome)?.into_bytes()),
        other => {
            let allowed = DRAWN.iter().chain(&DATA).map(|ending| (*ending).to_owned()).collect();
            Err(Error::new(ErrorKind::Name { what: "ending of a figure", found: other.to_owned(), allowed }))
        }
    }
}
