//! woodstate
pub mod error;
pub mod quantity;
pub mod numeric;
#[cfg(feature = "table")]
pub mod table;
pub mod reference;
pub mod state;
#[cfg(feature = "table")]
pub mod study;
#[cfg(feature = "report")]
pub mod report;
