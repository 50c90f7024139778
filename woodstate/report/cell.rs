//! Cells of a sheet: counts and words that may be unknown.

use crate::table::CellOut;

/// A whole number as a number.
pub(super) fn count(n: usize) -> CellOut<'static> {
    u32::try_from(n).map_or_else(|_| CellOut::text(n.to_string()), |n| CellOut::number(f64::from(n)))
}

/// A word, or nothing where it is unknown.
pub(super) fn word(text: Option<&str>) -> CellOut<'_> {
    text.map_or(CellOut::Empty, CellOut::text)
}
