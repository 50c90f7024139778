//! 7: strength, where it was measured.

use crate::report::View;
use crate::report::strength::curve_blocks;

use super::{Part, Source};

pub(super) fn parts(source: &Source<'_>) -> Vec<Part> {
    let Some(curves) = &source.report.strength else {
        let why = source.report.no_strength.as_deref().unwrap_or("No strength was measured.");
        return vec![Part::paragraph(why)];
    };
    let caption = format!("{} against {}", curves.value.title, curves.against.title);
    let mut parts = Part::of_view(View { blocks: curve_blocks(curves) }, &caption);
    parts.push(Part::warning(
        "A curve holds for wood like the pieces that were tested. Nothing here says that a timber may be lifted.",
    ));
    parts.extend(source.figures("strength"));
    parts
}
