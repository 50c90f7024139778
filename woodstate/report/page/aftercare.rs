//! 11: after treatment.

use crate::quantity::Cited;
use crate::report::View;
use crate::report::follow::treated_blocks;

use super::{Part, Source};

pub(super) fn parts(source: &Source<'_>) -> Vec<Part> {
    let Some(following) = source.report.following.as_ref().filter(|following| !following.treated.is_empty()) else {
        return vec![Part::paragraph("No treated wood was evaluated.")];
    };
    let blocks = treated_blocks(following).into_iter().skip(1).collect();
    let mut parts = Part::of_view(View { blocks }, "Shrinkage of treated wood beside its control");
    let beside = |cited: &&Cited| cited.used_for.contains("anti-shrink");
    let published: Vec<String> = following.sources.iter().filter(beside).map(ToString::to_string).collect();
    if !published.is_empty() {
        parts.push(Part::paragraph(format!("Published, and no limit: {}.", published.join("; "))));
    }
    parts
}
