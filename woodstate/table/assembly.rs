//! Parts of a table, read one by one, put together.

use crate::error::Finding;

use super::number::DecimalEvidence;
use super::texts::TextsBuilder;
use super::{Column, Origin, Table, TableKind, Texts, Values};

/// Rows that were read together.
#[derive(Debug)]
pub(super) struct Part {
    pub(super) table: Table,
    /// What was found, by step: one for each column, one for the uncertainties of each column, one for rows.
    pub(super) findings: Vec<Vec<Finding>>,
    /// What its texts say of the decimal mark.
    pub(super) evidence: DecimalEvidence,
    /// How many cells of the file it took.
    pub(super) n_cells: usize,
}

/// What the parts come to so far.
#[derive(Debug)]
pub(super) struct Assembly {
    table: Table,
    /// Columns of texts grow here; `None` for numbers.
    texts: Vec<Option<TextsBuilder>>,
    findings: Vec<Vec<Finding>>,
    pub(super) evidence: DecimalEvidence,
    pub(super) n_cells: usize,
}

impl Assembly {
    pub(super) fn new(kind: TableKind) -> Self {
        let table = Table::new(kind, Origin::default(), Vec::new());
        let evidence = DecimalEvidence::default();
        Self { table, texts: Vec::new(), findings: Vec::new(), evidence, n_cells: 0 }
    }

    /// Adds the rows of the next part.
    pub(super) fn add(&mut self, part: Part) {
        self.evidence.add(part.evidence);
        self.n_cells += part.n_cells;
        self.findings.resize_with(self.findings.len().max(part.findings.len()), Vec::new);
        for (mine, theirs) in self.findings.iter_mut().zip(part.findings) {
            mine.extend(theirs);
        }
        let columns = self.table.append(part.table);
        if self.texts.is_empty() {
            for Column { name, header, place, values } in columns {
                let (values, texts) = match values {
                    Values::Numbers(numbers) => (Values::Numbers(numbers), None),
                    Values::Texts(texts) => {
                        let mut builder = TextsBuilder::default();
                        builder.append(&texts);
                        (Values::Texts(Texts::default()), Some(builder))
                    }
                };
                self.table.push(Column { name, header, place, values });
                self.texts.push(texts);
            }
            return;
        }
        for ((mine, texts), theirs) in self.table.columns_mut().iter_mut().zip(&mut self.texts).zip(columns) {
            match (&mut mine.values, texts, theirs.values) {
                (Values::Numbers(mine), _, Values::Numbers(theirs)) => mine.append(&theirs),
                (_, Some(mine), Values::Texts(theirs)) => mine.append(&theirs),
                _ => {}
            }
        }
    }

    /// The whole table, and what was found in the order of the steps.
    pub(super) fn finish(self) -> (Table, Vec<Finding>) {
        let Self { mut table, texts, findings, .. } = self;
        for (column, texts) in table.columns_mut().iter_mut().zip(texts) {
            match (&mut column.values, texts) {
                (Values::Texts(mine), Some(texts)) => *mine = texts.finish(),
                (Values::Numbers(numbers), _) => numbers.shrink(),
                (Values::Texts(_), None) => {}
            }
        }
        (table, findings.into_iter().flatten().collect())
    }
}
