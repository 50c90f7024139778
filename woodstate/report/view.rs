//! What is shown, as plain data: a renderer only formats it.

/// How the cells of a column stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Align {
    /// At the left: words.
    Left,
    /// At the right: numbers.
    Right,
}

/// Head of a column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ColumnView {
    /// What stands above its cells; a line break divides name and unit.
    pub head: String,
    /// How its cells stand.
    pub align: Align,
}

/// A table to be shown.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Grid {
    /// Columns from left to right.
    pub columns: Vec<ColumnView>,
    /// Rows; one text a column.
    pub rows: Vec<Vec<String>>,
    /// How many of the first columns name a row. Where they are known, a table that is too wide is shown in parts, each
    /// with these columns; where it is 0, each row becomes a paragraph.
    pub n_names: usize,
}

impl Grid {
    /// A table without rows; each head with how its cells stand.
    #[must_use]
    pub fn new(columns: &[(&str, Align)]) -> Self {
        let columns = columns.iter().map(|(head, align)| ColumnView { head: (*head).to_owned(), align: *align });
        Self { columns: columns.collect(), rows: Vec::new(), n_names: 0 }
    }

    /// The same table without columns in which every cell is empty.
    #[must_use]
    pub fn without_empty_columns(mut self) -> Self {
        for column in (0..self.columns.len()).rev() {
            if self.rows.iter().all(|row| row[column].is_empty()) {
                self.columns.remove(column);
                self.n_names -= usize::from(column < self.n_names);
                for row in &mut self.rows {
                    row.remove(column);
                }
            }
        }
        self
    }
}

/// A part of a view.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Block {
    /// A heading.
    Heading(String),
    /// A paragraph.
    Paragraph(String),
    /// A table.
    Table(Grid),
    /// Marks or names and what they mean.
    Legend(Vec<(String, String)>),
    /// The same below a title.
    Listing(String, Vec<(String, String)>),
}

/// A view: blocks from top to bottom.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct View {
    /// The blocks.
    pub blocks: Vec<Block>,
}

impl View {
    pub(super) fn push(&mut self, block: Block) {
        self.blocks.push(block);
    }
}
