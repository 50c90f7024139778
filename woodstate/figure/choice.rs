//! What a figure shows of an outcome.

/// What a figure shows: which values, which groups, which pieces. The default of every kind is what it usually shows.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct FigureChoice {
    /// Quantities or columns of numbers; none for the usual ones of the kind.
    pub value: Vec<String>,
    /// Against what; `None` for the usual one of the kind.
    pub against: Option<String>,
    /// Columns that make groups.
    pub by: Vec<String>,
    /// A column that makes panels beside each other: small multiples.
    pub panels: Option<String>,
    /// Which pieces: a condition on columns and results; `None` for all.
    pub condition: Option<String>,
}
