//! Groups of pieces and timbers: how many, how they spread, which shares of each class.
//!
//! | question | here |
//! |---|---|
//! | how the values of some pieces spread | [`Spread`] |
//! | how far measurement alone makes their mean uncertain | [`u_of_mean`] |
//! | which share each class has | [`Classes`] |
//! | all of it, group by group | [`groups`] |
//!
//! Pieces of one timber are not independent, so a group says both how many pieces and how many timbers it has, and gives the
//! shares of classes for both. No mean is taken over pieces of different depth zones: it would mix soft rims with sound cores.
//!
//! Not here: tests and comparisons; tables and files, a [`Member`] is plain data.

mod group;
mod mean;
mod member;
mod share;
mod spread;

pub use group::{Group, GroupKey, groups};
pub use mean::u_of_mean;
pub use member::{ClassStanding, Member};
pub use share::{ClassShare, Classes};
pub use spread::{NoMean, Spread};
