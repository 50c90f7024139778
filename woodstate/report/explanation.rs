//! The story of a word.

use crate::study::Explanation;

use super::{Align, Block, Grid, View};

/// The view of `explain`.
#[must_use]
pub fn explanation_view(explanation: &Explanation) -> View {
    let title = format!("{} ({})", explanation.word, explanation.what);
    View { blocks: vec![Block::Paragraph(title), Block::Legend(explanation.story.clone())] }
}

/// The same for a pipe: item and text.
#[must_use]
pub fn explanation_plain(explanation: &Explanation) -> View {
    let mut grid = Grid::new(&[("item", Align::Left), ("text", Align::Left)]);
    grid.rows = explanation.story.iter().map(|(item, text)| vec![item.clone(), text.clone()]).collect();
    View { blocks: vec![Block::Table(grid)] }
}
