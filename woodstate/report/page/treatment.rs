//! 9: treatment.

use super::{Part, Source};

pub(super) fn parts(_: &Source<'_>) -> Vec<Part> {
    vec![
        Part::paragraph("No treatment was judged."),
        Part::warning(
            "Treatments may involve solvents, biocides, formaldehyde, heat and acids; storage water may hold biocides and hydrogen \
             sulfide. Follow safety data sheets, the rules of your laboratory and local codes.",
        ),
    ]
}
