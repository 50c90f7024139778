//! Single values with their uncertainty, units, sources, and how numbers are shown.
//!
//! | for | use |
//! |---|---|
//! | one value in or out | [`Measured`] |
//! | a formula that works on plain numbers and carries derivatives when asked | [`Number`], [`Jet`] |
//! | a unit typed by a person | [`Unit`] |
//! | where a published number comes from | [`Cited`], [`Evidence`] |
//! | the name, unit and meaning of a derived quantity | [`Quantity`] |
//! | a number for a person | [`shown`], [`shown_value`] |
//!
//! Not here: formulas of wood (`state`), columns of many values (`table`), propagation (`numeric`).

mod derived;
mod jet;
mod measured;
mod number;
mod rounding;
mod source;
mod unit;

pub use derived::{Quantity, QuantitySpec};
pub use jet::Jet;
pub use measured::Measured;
pub use number::Number;
#[cfg(feature = "table")]
pub(crate) use rounding::counted;
pub use rounding::{decimals, shown, shown_value};
pub use source::{Cited, Evidence};
pub use unit::{Dimension, Unit};
