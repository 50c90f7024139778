//! With what a treatment is followed.

use crate::numeric::Watch;
use crate::reference::Reference;
use crate::table::Batch;

use super::FollowOptions;
use super::log::Entry;

/// Everything that a timber is followed with.
pub(super) struct Tracker<'a> {
    pub(super) entries: &'a [Entry],
    pub(super) batch: &'a Batch,
    pub(super) options: &'a FollowOptions,
    pub(super) reference: &'a Reference,
    pub(super) coverage: f64,
    pub(super) watch: &'a Watch<'a>,
}
