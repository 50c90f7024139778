//! Baths: what to weigh, how many to wash in, how long, and whether a chamber can dry.
//!
//! | command | function | outcome |
//! |---|---|---|
//! | `bath mix` | [`bath_mix`] | [`BathMixing`] |
//! | `bath wash` | [`bath_wash`] | [`BathWashing`] |
//! | `bath time` | [`bath_time`] | [`BathTiming`] |
//! | `bath freeze` | [`bath_freeze`] | [`BathFreezing`] |

mod caution;
mod course;
mod endless;
mod freeze;
mod impregnant;
mod mix;
mod number;
mod piece;
mod plan;
mod rim;
mod stated;
mod strength;
mod time;
mod wash;
mod wood;

pub use caution::BathCaution;
pub use course::{BathCourse, BathMoment};
pub use endless::ShareTimes;
pub use freeze::{BathFreezing, FreezeQuestion, bath_freeze};
pub use impregnant::BathImpregnant;
pub use mix::{BathMixing, HeldInWood, MixedBath, MixedTimber, bath_mix, bath_water_density};
pub use number::BathNumber;
pub use piece::BathPiece;
pub use plan::{BathPlan, StatedDiffusivity};
pub(super) use stated::BathText;
pub use strength::{BathStrength, PlannedBath};
pub use time::{BathTiming, TimberTimes, UsedDiffusivity, bath_time};
pub use wash::{BaseNeed, BathCount, BathWashing, ChelatingNeed, WashingBath, bath_wash};
pub use wood::{BathTimber, BathWood};
