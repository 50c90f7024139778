//! What tests of files, outcomes and the program share.

pub(crate) mod batch;
pub(crate) mod book;
pub(crate) mod expected;
pub(crate) mod program;
