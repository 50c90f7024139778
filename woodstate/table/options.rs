//! How a person's file is to be read.

use std::collections::BTreeMap;

use super::{Decimal, TableKind};

/// How one table is to be read; everything that is not given is found in the file and reported.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct TableOptions {
    /// Sheet of a workbook.
    pub sheet: Option<String>,
    /// Row of the header, counted from 1 as in the file.
    pub header_row: Option<usize>,
    /// Row that holds units and no piece, counted from 1 as in the file.
    pub units_row: Option<usize>,
    /// Encoding of a text file, such as `windows-1252`.
    pub encoding: Option<String>,
    /// Character between the cells of a text file.
    pub delimiter: Option<char>,
    /// Decimal mark of numbers in text.
    pub decimal: Option<Decimal>,
    /// Columns whose cells together name a sample.
    pub sample: Vec<String>,
    /// Header in the file, and the column and unit that it means.
    pub columns: BTreeMap<String, String>,
    /// For a column: word in the file, and the word that it means.
    pub words: BTreeMap<String, BTreeMap<String, String>>,
}

/// How a batch of up to three tables is to be read.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ReadOptions {
    /// The samples.
    pub samples: TableOptions,
    /// The timbers.
    pub timbers: TableOptions,
    /// The log.
    pub log: TableOptions,
    /// Words that mean unknown, besides the empty cell.
    pub missing: Vec<String>,
    /// Most cells of a table; `None` takes the usual limits of text and workbooks.
    pub max_cells: Option<usize>,
    /// Threads that read a long text; `None` takes as many as the machine offers. The result is the same.
    pub threads: Option<usize>,
}

impl ReadOptions {
    /// Threads that read a long text.
    #[must_use]
    pub fn n_threads(&self) -> usize {
        self.threads.unwrap_or_else(|| std::thread::available_parallelism().map_or(1, usize::from))
    }

    /// How this table is to be read.
    #[must_use]
    pub fn of(&self, kind: TableKind) -> &TableOptions {
        match kind {
            TableKind::Samples => &self.samples,
            TableKind::Timbers => &self.timbers,
            TableKind::Log => &self.log,
        }
    }
}
