//! 8: weight and support when lifting.

use super::{Part, Source};

pub(super) fn parts(_: &Source<'_>) -> Vec<Part> {
    vec![
        Part::paragraph("No weight and no support was computed."),
        Part::warning(
            "Lifting can injure people and break a find. A load is lifted only under a plan of a licensed person, with \
             equipment rated for it, under local codes. The state of the wood in this report is one input to such a plan.",
        ),
    ]
}
