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

#[cfg(feature = "table")]
mod assess;
mod basic_density;
mod cause;
mod degradation_class;
mod derive;
#[cfg(feature = "table")]
mod gather;
#[cfg(feature = "table")]
mod inspect;
mod loss;
mod max_water_content;
mod options;
#[cfg(feature = "table")]
mod piece;
mod pore_salt;
mod porosity;
mod propagate;
mod readings;
mod route;
mod saturated_density;
mod shrinkage;
#[cfg(feature = "table")]
mod timber;
mod value;
mod volume;
mod water_density;
#[cfg(feature = "table")]
mod wood;

#[cfg(feature = "table")]
pub use assess::{State, assess};
pub use basic_density::{
    basic_density, basic_density_of_density_12, basic_density_of_water_content, basic_density_undried,
};
pub use cause::Cause;
pub use degradation_class::{ClassReading, Doubt};
pub use derive::{Derived, Rules, derive};
pub use loss::{loss_of_wood_substance, organic_basic_density, residual_basic_density};
pub use max_water_content::{dry_basis, max_water_content, max_water_content_of_density, wet_basis};
pub use options::{Instruments, OutsideScope, StateOptions, StatedReference, VolumeUncertainty, Waters};
#[cfg(feature = "table")]
pub use piece::{Piece, Routes, Status};
pub use pore_salt::mass_without_salt;
pub use porosity::{porosity, saturation};
pub use propagate::{Parts, Propagated, Propagation, propagate};
pub use readings::{Reading, Readings, Shape};
pub use route::Route;
pub use saturated_density::{saturated_density, submerged_density};
pub use shrinkage::{collapse, shrinkage, shrinkage_cross_section, shrinkage_of_swelling, shrinkage_volumetric};
#[cfg(feature = "table")]
pub use timber::{Timber, Worst, Zone};
pub use value::{ByQuantity, Value};
pub use volume::{volume_cylinder, volume_displaced, volume_immersed, volume_prism};
pub use water_density::{fresh_water_density, water_density};
