//! Treatment of waterlogged wood: how fast a solute comes in or goes out, and the numbers of baths.
//!
//! | question | here |
//! |---|---|
//! | how long for 90 % on average, for the centre? | [`Body`] |
//! | share of the final uptake at a reduced time | [`slab_uptake`], [`cylinder_uptake`], [`sphere_uptake`] |
//! | concentration at a place | [`slab_value`], [`cylinder_value`], [`sphere_value`] |
//! | a bath that grows poorer | [`slab_uptake_stirred`], [`cylinder_uptake_stirred`], [`sphere_uptake_stirred`] |
//! | a soft rim over a sound core, baths one after the other | [`Layered`] |
//! | warm baths | [`arrhenius_factor`], [`diffusivity_at`] |
//!
//! Plain numbers in, plain numbers out, in SI units that stand in each doc. A diffusivity of a whole timber is known to an order of
//! magnitude at best, so it is an interval ([`Ranged`]), and so is every time that comes from it. Numbers of the trade, such as
//! densities of solutions, are arguments.
//!
//! Not here: which treatment suits a piece, tables and their columns, the wood's state (`state`).

mod body;
mod check;
mod cylinder;
mod layered;
mod line;
mod ranged;
mod series;
mod slab;
mod soaking;
mod sphere;
mod stirred;
mod temperature;

pub use body::Body;
pub use cylinder::{cylinder_uptake, cylinder_value};
pub use layered::{Form, Layer, Layered};
pub use ranged::Ranged;
pub use slab::{slab_uptake, slab_value};
pub use soaking::{BathStep, Moment, SoakOptions, Soaking};
pub use sphere::{sphere_uptake, sphere_value};
pub use stirred::{cylinder_uptake_stirred, slab_uptake_stirred, sphere_uptake_stirred};
pub use temperature::{arrhenius_factor, diffusivity_at};
