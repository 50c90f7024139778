//! 10: after treatment.

use super::{Part, Source};

pub(super) fn parts(_: &Source<'_>) -> Vec<Part> {
    vec![Part::paragraph("No treated wood was evaluated.")]
}
