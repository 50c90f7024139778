//! Integration tests: one binary, this is its table of contents.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test that fails may panic")]

mod jcgm;
mod laws;
mod published;
mod reading;
mod references;
#[cfg(feature = "report")]
mod uncertainty;
mod writing;
