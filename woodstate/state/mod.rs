//! State of preservation of a piece and of a timber.
//!
//! One derived quantity a file. A formula takes numbers, with the unit in its doc, and is usable alone; it is generic over
//! [`Number`](crate::quantity::Number), so that `f64` gives a value and a jet its derivatives too. [`derive()`] joins the
//! formulas for one piece; [`propagate`] adds uncertainty; `assess` does both for a table.
//!
//! Which density when: mass and volume if there is any volume; without drying only if nothing may be dried, since then
//! the assumed cell-wall density decides; from the water content alone only if nothing else is there.
//!
//! Not here: depth profiles (`profile`), groups (`site`), strength.

mod cause;
mod columns;
mod degradation_class;
mod depth_zone;
mod derive;
mod derived;
mod draw;
mod options;
mod propagate;
mod readings;
mod results;
mod route;
mod together;
mod value;
mod weighed;

// Formulas: one noun a file, every public function of it offered.
mod basic_density;
mod cell_wall;
mod loss;
mod max_water_content;
mod pore_salt;
mod porosity;
mod saturated_density;
mod shrinkage;
mod volume;
mod water_density;

#[cfg(feature = "table")]
mod assess;
#[cfg(feature = "table")]
mod doubt;
#[cfg(feature = "table")]
mod gather;
#[cfg(feature = "table")]
mod inspect;
#[cfg(feature = "table")]
mod limit;
#[cfg(feature = "table")]
mod missing;
#[cfg(feature = "table")]
mod piece;
#[cfg(feature = "table")]
mod pieces;
#[cfg(feature = "table")]
mod record;
#[cfg(feature = "table")]
mod run;
#[cfg(feature = "table")]
mod timber;
#[cfg(feature = "table")]
mod verdict;
#[cfg(feature = "table")]
mod wood;
#[cfg(feature = "table")]
mod zone;

pub use basic_density::*;
pub use cell_wall::*;
pub use loss::*;
pub use max_water_content::*;
pub use pore_salt::*;
pub use porosity::*;
pub use saturated_density::*;
pub use shrinkage::*;
pub use volume::*;
pub use water_density::*;

#[cfg(feature = "table")]
pub use assess::{State, UsedReference, assess};
pub use cause::Cause;
pub use columns::{ColumnUncertainty, PieceColumns, RUN, ReadingColumn, propagate_columns};
pub use degradation_class::{ClassReading, Doubt, class_probabilities};
pub use depth_zone::DepthZone;
pub use derive::derive;
pub use derived::{Derived, Rules};
pub use options::{Instruments, OutsideScope, StateOptions, StatedReference, VolumeUncertainty, Waters};
#[cfg(feature = "table")]
pub use piece::{Condition, Piece, Routes, Status};
#[cfg(feature = "table")]
pub use pieces::{PieceView, Pieces};
pub use propagate::{Parts, Propagated, Propagation, propagate};
pub use readings::{Reading, Readings, Shape};
pub use results::Results;
pub use route::Route;
#[cfg(feature = "table")]
pub use timber::{SoftRim, Timber, Worst};
pub use value::{ByQuantity, Value};
#[cfg(feature = "table")]
pub use zone::{Zone, depth_zones};
