//! The weight of a timber when it leaves the water, and whether it can bear it.
//!
//! | question | here |
//! |---|---|
//! | weight under water, breaking the surface, in the air, drained | [`piece_density`], [`weight_partly_out`], [`growth_at_surface`] |
//! | what concretion, metal or water in a hollow adds | [`attached_weight`], [`Load`] |
//! | a beam, a log, a hollow, a plank, a taper, given sections | [`Shape`], [`Timber`] |
//! | a soft rim over a core | [`Rim`], [`LayeredSection`] |
//! | which forces a way of support gives | [`Support`], [`LoadLine`] |
//! | moments, shear and stresses along the timber | [`Beam`], [`Peaks`] |
//! | how far it sags; slings at one height | [`Beam::sag`], [`forces_at_one_height`] |
//! | pressure under a sling; slings that lean | [`bearing_stress`], [`leaning`] |
//! | where two slings go, and what a wrong place costs | [`best_slings`], [`best_sling_from_ground`], [`placing_cost`] |
//! | large pieces and loads that last | [`size_effect`], [`size_effect_even`], [`time_effect`] |
//! | all of it with its uncertainty: margins and probabilities | [`lift()`], [`Case`], [`LiftOptions`] |
//! | is the margin enough? which timber first? | [`Requirement`], [`Verdict`], [`danger_order`] |
//!
//! Plain numbers in, plain data out: m, kg, N, N.m, `MPa`, and mm for a sag.
//!
//! **A screening estimate**, for the talk between a conservator and a competent lifting person: no lifting plan. No factor of
//! safety has been published for waterlogged timber, so none stands here; the required margin is the user's. Where the strength
//! is unknown or the margin is not met, the answer is support along the full length.
//!
//! Not here: tables and their columns (`study`), curves of strength (`strength`), rigging, cranes and vessels.

mod beam;
mod bearing;
mod case;
mod check;
mod danger;
mod deflection;
mod effect;
mod load;
mod loaded;
mod numbers;
mod outcome;
mod reading;
mod run;
mod sample;
mod section;
mod shape;
mod slings;
mod support;
mod timber;
mod verdict;
mod way;
mod weight;
mod wood;

pub use beam::{Beam, Cut, Peak, Peaks};
pub use bearing::{Leaning, bearing_stress, leaning};
pub use case::{Attached, Case, Handling, SizeDoubt, Spot, Waters};
pub use danger::{Danger, danger_order};
pub use deflection::{Sag, Stiffness, forces_at_one_height};
pub use effect::{BendingSize, size_effect, size_effect_even, time_effect};
pub use load::{Load, LoadLine};
pub use outcome::{Check, Checked, Estimate, LiftOutcome, Share, SlingAdvice, SupportOutcome};
pub use run::{LiftOptions, best_places, lift};
pub use section::{LayeredSection, Rim};
pub use shape::Shape;
pub use slings::{BestSlings, best_sling_from_ground, best_slings, placing_cost};
pub use support::{Held, Support};
pub use timber::{Station, Timber};
pub use verdict::{Requirement, Verdict, Why};
pub use weight::{attached_weight, growth_at_surface, piece_density, weight_partly_out};
pub use wood::{Strength, Wood};
