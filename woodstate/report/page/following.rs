//! 10: following a treatment by its log.

use crate::report::View;
use crate::report::follow::{caution_blocks, course_blocks};
use crate::study::Following;

use super::{Part, Source};

pub(super) fn parts(source: &Source<'_>) -> Vec<Part> {
    let Some(following) = source.report.following.as_ref().filter(|following| following.counts.rows > 0) else {
        return vec![Part::paragraph("No log of a treatment was kept.")];
    };
    let blocks = caution_blocks(following).into_iter().chain(course_blocks(following)).collect();
    let mut parts = Part::of_view(View { blocks }, "Course of the treatment");
    parts.extend(notes(following));
    parts.extend(source.figures("following"));
    parts
}

/// How the numbers are to be read, what was not asked, and dangers to people.
pub(super) fn notes(following: &Following) -> Vec<Part> {
    let mut parts: Vec<Part> = following.notes.iter().map(Part::paragraph).collect();
    if !following.questions.is_empty() {
        parts.push(Part::heading("What the study file does not say"));
        parts.push(Part::terms(following.questions.iter().map(|ask| (ask.key.to_owned(), ask.text.clone())).collect()));
    }
    parts.extend(following.safety.lines().into_iter().map(Part::warning));
    parts
}
