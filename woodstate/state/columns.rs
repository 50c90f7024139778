//! Results of many pieces from columns of readings.

use std::ops::Range;

use crate::error::{Error, ErrorKind, Result};
use crate::numeric::{BLOCK, Watch, map_ordered};
use crate::quantity::Quantity;
use crate::reference::Scheme;

use super::together::Plan;
use super::{Cause, Propagation, Reading, Readings, Results, Rules, Shape, propagate};

/// Pieces whose results stand together.
pub const RUN: usize = 4096;

/// Pieces that are tried as the sample of a plan.
const SAMPLES: usize = 8;

/// What was read of one cause for many pieces.
#[derive(Debug, Clone, Copy)]
pub struct ReadingColumn<'a> {
    /// What was read.
    pub cause: Cause,
    /// The values, one a piece, in the unit of the cause; not a number where unknown.
    pub value: &'a [f64],
    /// Their standard uncertainties.
    pub u: ColumnUncertainty<'a>,
    /// How their errors are distributed.
    pub shape: Shape,
}

/// Standard uncertainties of a column.
#[derive(Debug, Clone, Copy)]
pub enum ColumnUncertainty<'a> {
    /// Unknown.
    Unknown,
    /// The same for all.
    Same(f64),
    /// One for each; not a number where unknown.
    Each(&'a [f64]),
}

/// What was read of many pieces of one wood.
///
/// * `common`: what all pieces share; a column of the same cause takes its place
/// * `columns`: one value a piece, all of one length
/// * `names`: of the pieces; they key the random streams
/// * `taxon`: the wood; it keys them too
#[derive(Clone, Copy)]
#[allow(missing_docs, reason = "OK because the list above says what they are")]
pub struct PieceColumns<'a> {
    pub common: &'a Readings,
    pub columns: &'a [ReadingColumn<'a>],
    pub names: &'a (dyn Fn(usize) -> String + Sync),
    pub taxon: &'a str,
}

impl std::fmt::Debug for PieceColumns<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "PieceColumns({} columns)", self.columns.len())
    }
}

/// Results of many pieces of one wood: to the last bit those of [`propagate`] for each of them, many times faster.
///
/// Pieces of which all columns are known run together; a piece that lacks one, or that needs random draws of its own, is
/// taken alone.
///
/// * `scheme`: of the classes whose probabilities are wanted
/// * `threads`: how many to use; the results do not depend on it
///
/// Returns the results in runs of [`RUN`] pieces.
///
/// # Errors
/// Columns of different length, a coverage outside 0 to 1, a stop asked for through `watch`.
///
/// # Example
/// ```
/// use woodstate::numeric::Watch;
/// use woodstate::quantity::Quantity;
/// use woodstate::reference::Reference;
/// use woodstate::state::*;
/// let (saturated, dry) = ([5.00, 4.10], [1.00, 0.84]);
/// let column = |cause, value| ReadingColumn { cause, value, u: ColumnUncertainty::Same(0.01), shape: Shape::Normal };
/// let columns = [column(Cause::MassSaturated, &saturated), column(Cause::MassOvenDry, &dry)];
/// let pieces = PieceColumns { common: &Readings::default(), columns: &columns, names: &|_| String::new(), taxon: "" };
/// let reference = Reference::shipped()?;
/// let (rules, how) = (Rules::plain(reference), Propagation::usual());
/// let scheme = reference.scheme("oak-water-content")?;
/// let results = propagate_columns(&pieces, &rules, &how, Some(scheme), 1, &Watch::silent())?;
/// let content = results[0].value(0, Quantity::MaxWaterContent).unwrap();
/// assert!((content.value - 400.0).abs() < 1e-9);
/// assert!((content.u.unwrap() - 5.099).abs() < 5e-4);
/// assert!((results[0].class_shares()[0][0] - 0.5).abs() < 1e-9);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
pub fn propagate_columns(
    pieces: &PieceColumns<'_>,
    rules: &Rules<'_>,
    how: &Propagation,
    scheme: Option<&Scheme>,
    threads: usize,
    watch: &Watch<'_>,
) -> Result<Vec<Results>> {
    let n_pieces = pieces.columns.first().map_or(0, |column| column.value.len());
    for column in pieces.columns {
        let lengths = match column.u {
            ColumnUncertainty::Each(u) => [column.value.len(), u.len()],
            _ => [column.value.len(); 2],
        };
        if let Some(found) = lengths.into_iter().find(|length| *length != n_pieces) {
            return Err(Error::new(ErrorKind::Shape { what: "a column of readings", found, expected: n_pieces }));
        }
    }
    let mut columns = pieces.columns.to_vec();
    columns.sort_by_key(|column| column.cause.index());
    let ruling = scheme.and_then(|scheme| Quantity::of_name(&scheme.quantity)).unwrap_or(how.ruling);
    let how = &Propagation { ruling, ..how.clone() };
    let together = Together { pieces: PieceColumns { columns: &columns, ..*pieces }, rules, how, scheme };
    let mut plan = None;
    for piece in (0..n_pieces).filter(|piece| together.is_complete(*piece)).take(SAMPLES) {
        plan = Plan::of(&together.readings(piece), &together.each_u(), &[], rules, how, pieces.taxon)?;
        if plan.is_some() {
            break;
        }
    }
    let starts: Vec<usize> = (0..n_pieces).step_by(RUN).collect();
    let run = |start: usize| {
        watch.advance("propagating", start, n_pieces)?;
        together.run(plan.as_ref(), start..(start + RUN).min(n_pieces))
    };
    map_ordered(threads, starts, run)?.into_iter().collect()
}

struct Together<'a> {
    pieces: PieceColumns<'a>,
    rules: &'a Rules<'a>,
    how: &'a Propagation,
    scheme: Option<&'a Scheme>,
}

impl Together<'_> {
    fn is_complete(&self, piece: usize) -> bool {
        self.pieces.columns.iter().all(|column| {
            let has_u = match column.u {
                ColumnUncertainty::Each(u) => u[piece].is_finite() && u[piece] > 0.0,
                _ => true,
            };
            column.value[piece].is_finite() && has_u
        })
    }

    fn readings(&self, piece: usize) -> Readings {
        let mut readings = self.pieces.common.clone();
        for column in self.pieces.columns {
            let u = match column.u {
                ColumnUncertainty::Unknown => None,
                ColumnUncertainty::Same(u) => Some(u),
                ColumnUncertainty::Each(u) => Some(u[piece]).filter(|u| u.is_finite()),
            };
            let value = column.value[piece];
            if value.is_finite() {
                readings.set_own(column.cause, Reading { value, u, shape: column.shape });
            } else {
                readings.clear(column.cause);
            }
        }
        readings
    }

    fn each_u(&self) -> Vec<usize> {
        let has_each = |column: &&ReadingColumn<'_>| matches!(column.u, ColumnUncertainty::Each(_));
        self.pieces.columns.iter().filter(has_each).map(|column| column.cause.index()).collect()
    }

    fn run(&self, plan: Option<&Plan>, pieces: Range<usize>) -> Result<Results> {
        let mut results = Results::unknown(pieces.len(), self.how.factor()?, &[]);
        let mut alone: Vec<usize> = Vec::new();
        match plan {
            None => alone.extend(pieces.clone()),
            Some(plan) => {
                let mut run = plan.start();
                for start in pieces.clone().step_by(BLOCK) {
                    let block = start..(start + BLOCK).min(pieces.end);
                    let at: Vec<usize> = block.clone().map(|piece| piece - pieces.start).collect();
                    let apart = plan.run_columns(&mut run, &self.inputs(&block), &at, self.how, &mut results);
                    alone.extend(apart.into_iter().map(|row| block.start + row));
                    alone.extend(block.filter(|piece| !self.is_complete(*piece)));
                }
                alone.sort_unstable();
                alone.dedup();
            }
        }
        for piece in alone {
            results.forget(piece - pieces.start);
            let name = (self.pieces.names)(piece);
            let one = propagate(&self.readings(piece), self.rules, self.how, &name, self.pieces.taxon)?;
            results.put(piece - pieces.start, one);
        }
        if let Some(scheme) = self.scheme {
            results.class(scheme)?;
        }
        results.finish();
        Ok(results)
    }

    /// The columns of a block in the order of the causes, each followed by its uncertainties where these differ.
    fn inputs(&self, block: &Range<usize>) -> Vec<&[f64]> {
        let mut inputs = Vec::new();
        for column in self.pieces.columns {
            let u = if let ColumnUncertainty::Each(u) = column.u { Some(u) } else { None };
            inputs.extend(std::iter::once(column.value).chain(u).filter_map(|column| column.get(block.clone())));
        }
        inputs
    }
}
