//! Integration tests: one binary, this is its table of contents.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test that fails may panic")]

#[cfg(feature = "cli")]
mod advise;
#[cfg(feature = "cli")]
mod bath;
#[cfg(feature = "cli")]
mod cautions;
#[cfg(feature = "cli")]
mod command;
#[cfg(feature = "table")]
mod condition;
#[cfg(feature = "report")]
mod datasets;
#[cfg(feature = "report")]
mod doubt;
#[cfg(feature = "cli")]
mod figure;
mod fit;
#[cfg(feature = "cli")]
mod follow;
#[cfg(feature = "frame")]
mod frame;
#[cfg(feature = "table")]
mod hazards;
mod jcgm;
mod laws;
mod layers;
mod lift;
#[cfg(feature = "cli")]
mod mended;
#[cfg(feature = "cli")]
mod messages;
mod nist;
#[cfg(all(feature = "cli", feature = "notebook"))]
mod notebook;
#[cfg(feature = "table")]
mod opendocument;
#[cfg(feature = "cli")]
mod outcome;
mod profile;
mod published;
#[cfg(feature = "table")]
mod reading;
#[cfg(feature = "cli")]
mod readme;
mod references;
#[cfg(feature = "cli")]
mod report;
#[cfg(feature = "cli")]
mod schema_command;
mod sound_strength;
#[cfg(feature = "cli")]
mod starter;
mod strength;
#[cfg(feature = "cli")]
mod study_file;
#[cfg(feature = "cli")]
mod summary;
#[cfg(feature = "cli")]
mod support;
#[cfg(feature = "cli")]
mod template;
#[cfg(feature = "report")]
mod timbers;
mod treatment;
#[cfg(feature = "report")]
mod uncertainty;
#[cfg(feature = "table")]
mod writing;
