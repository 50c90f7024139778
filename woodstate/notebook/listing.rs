//! Words with what they mean.

use crate::report::{Align, Block, Grid};

/// Words with what they mean, as a card.
pub(super) fn listing(heads: [&str; 2], rows: impl IntoIterator<Item = [String; 2]>) -> Block {
    let mut grid = Grid::new(&heads.map(|head| (head, Align::Left)));
    grid.n_names = 1;
    grid.rows = rows.into_iter().map(|row| row.to_vec()).collect();
    Block::Table(grid)
}
