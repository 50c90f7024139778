//! A timber in depth: soft rim, sound core, what lies between.
//!
//! | question | here |
//! |---|---|
//! | a timber from the increments of its cores | [`depth_profile`], [`Increment`], [`ProfileOptions`] |
//! | how deep is the soft rim? | [`Rim`], [`Threshold::rim_of`], [`rim_between`] |
//! | a curve through increments | [`fit_depth`], [`choose_depth_model`], [`DepthModel`] |
//! | its value at a depth, its mean over an interval | [`Shape`] |
//! | a profile without a formula | [`monotone_depth`] |
//! | where is the break, and how sure is that? | [`BreakDepth`], [`DepthDraws`] |
//! | how much of the section is that? | [`Section::share_deeper`], [`Outline`] |
//! | means over section, rim or core | [`section_weights`] |
//! | do cores differ? | [`Scatter`] |
//!
//! An increment is a mean over its interval, not a reading in its middle, so curves are integrated over it. Plain numbers in,
//! plain data out; the order of increments moves no digit.
//!
//! Not here: tables and their columns (`study`), groups of timbers (`site`), the timber's weight and strength.

mod average;
mod break_depth;
mod choice;
mod cores;
mod depth_profile;
mod doubt;
mod fit;
mod increment;
mod model;
mod options;
mod outline;
mod redraw;
mod rim;
mod search;
mod section;
mod shape;

pub use average::{SectionMean, SectionWeights, section_weights};
pub use break_depth::{BreakDepth, BreakRange};
pub use choice::{Choice, Considered, NotWeighed, choose_depth_model};
pub use cores::Scatter;
pub use depth_profile::{DepthProfile, Rim, depth_profile};
pub use doubt::DepthCaution;
pub use fit::{DepthFit, fit_depth};
pub use increment::Increment;
pub use model::{DepthModel, DepthParameter, DepthUnit};
pub use options::ProfileOptions;
pub use outline::Outline;
pub use redraw::{DepthDraws, Drawn};
pub use rim::{Degraded, RimDepth, Threshold, Tread, monotone_depth, rim_between};
pub use section::Section;
pub use shape::Shape;
