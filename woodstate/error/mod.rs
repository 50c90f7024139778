//! What can go wrong, in three kinds, and the one registry of their words.
//!
//! * An [`Error`] stops a command: a file cannot be opened, a study file has an unknown key.
//! * A [`Finding`] is about the *file*: a cell, a column or a row that cannot be used as it stands. It names its
//!   place and its cure, and the rest of the batch goes on.
//! * A [`CautionCode`] is about a *result*, a [`CurveCautionCode`] about a fitted curve, a [`DepthCautionCode`]
//!   about a depth profile, a [`BathCautionCode`] about a bath, a [`CourseCautionCode`] about a treatment, a
//!   [`LiftCautionCode`] about a lift: the number stands, and a person
//!   should know this before using it.
//!
//! Every finding and caution has a word such as `mass-missing`, the same in text, JSON and [`explain`].

mod bath;
mod caution;
mod course;
mod curve;
mod depth;
mod finding;
mod kind;
mod lift;
mod story;

pub use bath::BathCautionCode;
pub use caution::{CautionCode, Cautions};
pub use course::CourseCautionCode;
pub use curve::CurveCautionCode;
pub use depth::DepthCautionCode;
pub use finding::{Finding, FindingCode, Place, Severity};
pub use kind::{Error, ErrorKind, Result};
pub use lift::LiftCautionCode;
pub use story::{Story, explain, near};
