//! Where numbers of a reference file are from.

use serde::Deserialize;

use crate::quantity::Evidence;

/// Where numbers of the file are from.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Origin {
    pub(super) source: String,
    pub(super) place: String,
    pub(super) evidence: Evidence,
}
