//! The story of a word.

use crate::study::Explanation;

use super::{Block, View};

/// The view of `explain`.
#[must_use]
pub fn explanation_view(explanation: &Explanation) -> View {
    let title = format!("{} ({})", explanation.word, explanation.what);
    View { blocks: vec![Block::Paragraph(title), Block::Legend(explanation.story.clone())] }
}
