//! 6: parts of the site compared.

use crate::report::View;
use crate::report::summary::group_blocks;

use super::{Part, Source};

pub(super) fn parts(source: &Source<'_>) -> Vec<Part> {
    let Some(found) = &source.report.site_parts else {
        return vec![Part::paragraph("Nothing in the file divides the site into parts.")];
    };
    let mut parts = vec![Part::paragraph(format!("The site is divided by {}.", found.by.join(", ")))];
    let scheme = &source.report.assessment.settings.scheme_title;
    parts.extend(Part::of_view(View { blocks: group_blocks(&found.groups, scheme) }, "Parts of the site"));
    parts.extend(found.notes.iter().map(Part::paragraph));
    parts.extend(source.figures("parts"));
    parts
}
