//! A page as plain data: what the templates see.

use serde::Serialize;

use super::PageFigure;
use crate::report::{Align, Block, Grid, View};

/// A page.
#[derive(Debug, Clone, Serialize)]
pub(in crate::report) struct Page {
    /// Title of the page.
    pub(in crate::report) title: String,
    /// Title of the study; empty where it has none.
    pub(in crate::report) study: String,
    /// Day; empty where it was not given.
    pub(in crate::report) date: String,
    /// Laboratory; empty where it is not recorded.
    pub(in crate::report) laboratory: String,
    /// Name and version of the program.
    pub(in crate::report) program: String,
    /// Files that were read.
    pub(in crate::report) files: Vec<String>,
    /// Its sections, from 0.
    pub(in crate::report) sections: Vec<Section>,
}

/// A section.
#[derive(Debug, Clone, Serialize)]
pub(in crate::report) struct Section {
    /// Anchor.
    pub(in crate::report) id: &'static str,
    /// Its number.
    pub(in crate::report) number: usize,
    /// Its title.
    pub(in crate::report) title: &'static str,
    /// What stands in it.
    pub(in crate::report) parts: Vec<Part>,
}

/// A part of a section.
#[derive(Debug, Clone, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub(in crate::report) enum Part {
    /// A heading below that of the section.
    Heading { text: String },
    /// A paragraph.
    Paragraph { text: String },
    /// A caution about safety.
    Warning { text: String },
    /// A list.
    Points { items: Vec<String> },
    /// Words and what they mean.
    Terms { items: Vec<(String, String)>, are_marks: bool },
    /// Counts side by side, each with its name.
    Strip { label: String, items: Vec<Count> },
    /// A table.
    Table(Table),
    /// A figure.
    Figure(PageFigure),
}

/// A count with its name.
#[derive(Debug, Clone, Serialize)]
pub(in crate::report) struct Count {
    pub(in crate::report) name: String,
    pub(in crate::report) n: usize,
    /// How it is drawn: the place of a class from the worst one on, or `other`.
    pub(in crate::report) tone: String,
}

/// A table.
#[derive(Debug, Clone, Serialize)]
pub(in crate::report) struct Table {
    /// Its number on the page, from 1.
    pub(in crate::report) number: usize,
    /// What it shows.
    pub(in crate::report) caption: String,
    /// Its columns.
    pub(in crate::report) columns: Vec<Head>,
    /// Its rows.
    pub(in crate::report) rows: Vec<Vec<Cell>>,
    /// How many of the first cells name a row.
    pub(in crate::report) n_names: usize,
}

/// Head of a column.
#[derive(Debug, Clone, Serialize)]
pub(in crate::report) struct Head {
    pub(in crate::report) text: String,
    pub(in crate::report) is_number: bool,
}

/// A cell: a text, then links.
#[derive(Debug, Clone, Default, Serialize)]
pub(in crate::report) struct Cell {
    pub(in crate::report) text: String,
    pub(in crate::report) links: Vec<Link>,
    /// `keep` for a short name that stays on one line, `middle` for some words, `long` for a sentence, `split` for words that
    /// may be broken, `wrap` for a number that may be.
    pub(in crate::report) class: &'static str,
}

/// A link to a place of this report.
#[derive(Debug, Clone, Serialize)]
pub(in crate::report) struct Link {
    pub(in crate::report) text: String,
    pub(in crate::report) href: String,
}

impl Table {
    /// A table; each head with how its cells stand.
    pub(in crate::report) fn new(caption: impl Into<String>, columns: &[(&str, Align)]) -> Self {
        let head = |(text, align): &(&str, Align)| Head { text: (*text).to_owned(), is_number: *align == Align::Right };
        let columns = columns.iter().map(head).collect();
        Self { number: 0, caption: caption.into(), columns, rows: Vec::new(), n_names: 1 }
    }

    /// A table of a view.
    pub(in crate::report) fn of(grid: Grid, caption: impl Into<String>) -> Self {
        let head = |text: &str| match text.replace('\n', " ").trim() {
            "" => "notes".to_owned(),
            text => text.to_owned(),
        };
        let columns = grid.columns.iter();
        let columns =
            columns.map(|column| Head { text: head(&column.head), is_number: column.align == Align::Right }).collect();
        let rows = grid.rows.into_iter().map(|row| row.into_iter().map(Cell::from).collect()).collect();
        Self { number: 0, caption: caption.into(), columns, rows, n_names: grid.n_names.max(1) }
    }

    pub(in crate::report) fn row<const N: usize>(&mut self, cells: [String; N]) {
        self.rows.push(cells.into_iter().map(Cell::from).collect());
    }
}

impl From<String> for Cell {
    fn from(text: String) -> Self {
        const SHORT: usize = 12;
        const LONG: usize = 40;
        const LONGEST_WORD: usize = 20;
        let is_split = text.split_whitespace().any(|word| word.chars().count() > LONGEST_WORD);
        let class = match (text.chars().count(), is_split) {
            _ if text.ends_with("± unknown") => "wrap",
            (n, _) if n <= SHORT && !text.contains(' ') => "keep",
            (n, true) if n > LONG => "long split",
            (n, false) if n > LONG => "long",
            (_, true) => "middle split",
            (n, false) if n > SHORT => "middle",
            _ => "",
        };
        // A number and its sign of per cent stay together.
        Self { text: text.replace(" %", "\u{a0}%"), links: Vec::new(), class }
    }
}

impl Part {
    pub(in crate::report) fn paragraph(text: impl Into<String>) -> Self {
        Self::Paragraph { text: text.into() }
    }

    pub(in crate::report) fn heading(text: impl Into<String>) -> Self {
        Self::Heading { text: text.into() }
    }

    /// Words or marks and what they mean.
    pub(in crate::report) fn terms(items: Vec<(String, String)>) -> Self {
        const OF_A_MARK: usize = 3;
        let are_marks = items.iter().all(|(term, _)| term.chars().count() <= OF_A_MARK);
        Self::Terms { items, are_marks }
    }

    pub(in crate::report) fn warning(text: impl Into<String>) -> Self {
        Self::Warning { text: text.into() }
    }

    /// The parts of a view. A paragraph that ends with a colon is the caption of the table below it; other tables take the
    /// caption that is given.
    pub(in crate::report) fn of_view(view: View, caption: &str) -> Vec<Self> {
        let mut parts: Vec<Self> = Vec::new();
        let mut heading = String::new();
        for block in view.blocks {
            match block {
                Block::Heading(text) => {
                    heading = format!(", {text}");
                    parts.push(Self::Heading { text });
                }
                Block::Paragraph(text) => parts.push(Self::Paragraph { text }),
                Block::Legend(items) => parts.push(Self::terms(items)),
                Block::Listing(title, items) => {
                    parts.push(Self::Paragraph { text: title });
                    parts.push(Self::terms(items));
                }
                Block::Table(grid) => {
                    let above = match parts.last() {
                        Some(Self::Paragraph { text }) => text.strip_suffix(':').map(str::to_owned),
                        _ => None,
                    };
                    if above.is_some() {
                        parts.pop();
                    }
                    let caption = above.unwrap_or_else(|| format!("{caption}{heading}"));
                    parts.push(Self::Table(Table::of(grid, caption)));
                }
            }
        }
        parts
    }
}
