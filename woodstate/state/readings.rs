//! The readings of one piece, and what it shares with others, each with its uncertainty.

use super::Cause;

/// How the error of a reading is distributed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shape {
    /// Normal.
    Normal,
    /// Rectangular: the resolution of an instrument.
    Rectangular,
}

/// One reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// The value, in the unit of its [`Cause`].
    pub value: f64,
    /// One standard uncertainty; `None` where unknown.
    pub u: Option<f64>,
    /// How its error is distributed.
    pub shape: Shape,
}

impl Reading {
    /// A reading with a normal error; `u` is `None` where unknown.
    #[must_use]
    pub fn normal(value: f64, u: Option<f64>) -> Self {
        Self { value, u, shape: Shape::Normal }
    }
}

/// All that is known of one piece.
///
/// # Example
/// ```
/// use woodstate::state::{Cause, Reading, Readings};
/// let mut piece = Readings::default();
/// piece.set(Cause::MassSaturated, Reading::normal(5.00, Some(0.01)));
/// assert_eq!(piece.of(Cause::MassSaturated).unwrap().value, 5.00);
/// assert!(piece.of(Cause::MassOvenDry).is_none());
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Readings {
    entries: [Option<Reading>; Cause::COUNT],
    own: [bool; Cause::SHARED],
}

impl Default for Readings {
    fn default() -> Self {
        Self { entries: [None; Cause::COUNT], own: [false; Cause::SHARED] }
    }
}

impl Readings {
    /// Sets what is known of a cause.
    pub fn set(&mut self, cause: Cause, reading: Reading) {
        self.entries[cause.index()] = Some(reading);
    }

    /// Sets what was measured for this piece alone, of a cause that pieces usually share: its error averages out.
    pub fn set_own(&mut self, cause: Cause, reading: Reading) {
        self.set(cause, reading);
        if let Some(place) = Cause::shared_index(cause.index()) {
            self.own[place] = true;
        }
    }

    /// Forgets a cause.
    pub fn clear(&mut self, cause: Cause) {
        self.entries[cause.index()] = None;
    }

    /// Place among the causes that other pieces share; `None` for what belongs to this piece alone.
    pub(super) fn shared_place(&self, index: usize) -> Option<usize> {
        Cause::shared_index(index).filter(|place| !self.own[*place])
    }

    /// What is known of a cause.
    #[must_use]
    pub fn of(&self, cause: Cause) -> Option<Reading> {
        self.entries[cause.index()]
    }

    /// The entries by their place; `None` where nothing is known.
    #[must_use]
    pub fn entries(&self) -> &[Option<Reading>; Cause::COUNT] {
        &self.entries
    }

    /// The plain values.
    #[must_use]
    pub fn values(&self) -> [Option<f64>; Cause::COUNT] {
        self.entries.map(|entry| entry.map(|reading| reading.value))
    }
}
