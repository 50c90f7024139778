//! From delimited text to a table, chunk by chunk: no grid of all cells is ever held.

use crate::error::{Finding, Result};
use crate::numeric::{Watch, map_ordered};

use super::assembly::Assembly;
use super::ingest::{refuse_numbers, settled, whole};
use super::mapping::{LOOKED_AT, header_row, map};
use super::number::{DecimalEvidence, DecimalVerdict};
use super::plan::{Mark, Plan};
use super::text::{Chunk, Opened, first_fault, grid_of, head};
use super::{Decimal, Origin, Table, TableKind, TableOptions, TextOptions};

/// How a text is taken in.
#[derive(Debug, Clone, Copy)]
pub(super) struct Intake<'a> {
    pub(super) opened: &'a Opened<'a>,
    pub(super) file: &'a str,
    pub(super) text: &'a TextOptions,
    pub(super) threads: usize,
}

impl Intake<'_> {
    /// Reads the text as one of the three tables; what comes out does not hang on the number of threads.
    pub(super) fn read(
        self,
        kind: TableKind,
        options: &TableOptions,
        missing: &[String],
        mut origin: Origin,
        watch: &Watch<'_>,
    ) -> Result<(Table, Vec<Finding>)> {
        let grid = head(self.opened, self.file, options.header_row, LOOKED_AT, self.text)?;
        let of_text = |error| first_fault(self.opened, self.file, self.text).unwrap_or(error);
        let header = header_row(&grid, kind, options).map_err(of_text)?;
        let (mapped, findings) = map(&grid, header, kind, options).map_err(of_text)?;
        if let Some(row) = options.units_row {
            refuse_numbers(&head(self.opened, self.file, Some(row), 1, self.text)?, row)?;
        }
        let plan = Plan { kind, mapped: &mapped, options, missing, grid: &grid, header };
        let chunks = self.opened.chunks(self.threads, self.file, self.text)?;
        let assembly = settled(&plan, &mut origin, |mark| self.pass(&plan, &chunks, mark, watch))?;
        whole(&plan, assembly, findings, origin)
    }

    /// One walk through all chunks. Where the mark is open, the first chunk proposes it.
    fn pass(
        self,
        plan: &Plan<'_>,
        chunks: &[Chunk<'_>],
        mark: Option<Mark>,
        watch: &Watch<'_>,
    ) -> Result<(Assembly, Mark)> {
        let (first, others) = chunks.split_at(chunks.len().min(1));
        let mut assembly = Assembly::new(plan.kind);
        let mut used = mark.unwrap_or(Ok(Decimal::Point));
        self.add(plan, &mut assembly, first, used)?;
        if mark.is_none() && shows_comma(assembly.evidence) {
            used = Ok(Decimal::Comma);
            assembly = Assembly::new(plan.kind);
            self.add(plan, &mut assembly, first, used)?;
        }
        let wave = 8 * self.threads.max(1);
        for (done, chunks) in others.chunks(wave).enumerate() {
            watch.advance("reading", done * wave, others.len())?;
            self.add(plan, &mut assembly, chunks, used)?;
        }
        Ok((assembly, used))
    }

    fn add(self, plan: &Plan<'_>, assembly: &mut Assembly, chunks: &[Chunk<'_>], mark: Mark) -> Result<()> {
        let parts = map_ordered(self.threads, chunks.to_vec(), |chunk| {
            let grid = grid_of(chunk, self.opened.byte, self.file, self.text)?;
            let after = plan.grid.row_number(plan.header);
            let rows = (0..grid.n_rows()).filter(|row| grid.row_number(*row) > after).collect::<Vec<_>>();
            plan.part(&grid, &rows, mark, &Watch::silent())
        })?;
        for part in parts {
            // A chunk counts its own cells only, and what is wrong first is to be named.
            let part = part.map_err(|error| first_fault(self.opened, self.file, self.text).unwrap_or(error))?;
            assembly.add(part);
        }
        let is_too_large = assembly.n_cells > self.text.max_cells;
        let fault = if is_too_large { first_fault(self.opened, self.file, self.text) } else { None };
        fault.map_or(Ok(()), Err)
    }
}

fn shows_comma(evidence: DecimalEvidence) -> bool {
    evidence.verdict() == DecimalVerdict::Shown(Decimal::Comma)
}
