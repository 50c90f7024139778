//! The triangle of a tall matrix, rows folded in block by block.

/// Rows that are folded in at once.
const ROWS: usize = 64;

/// The upper triangle R of a QR factorisation of `[A | r]`, in memory that does not grow with the number of rows.
///
/// The last column is the right-hand side: above its last entry stands Qᵀr, the last entry is the length of what A
/// cannot reach. Householder reflections of the triangle and a block of rows; `AᵀA` is never formed.
///
/// # Source
/// C. L. Lawson, R. J. Hanson 1974, Solving Least Squares Problems, chapter 27 (sequential processing) \[memory].
#[derive(Debug, Clone)]
pub(super) struct Fold {
    columns: usize,
    filled: usize,
    block: Vec<f64>,
    r: Vec<f64>,
}

impl Fold {
    /// For `parameters` columns and the right-hand side.
    pub(super) fn new(parameters: usize) -> Self {
        let columns = parameters + 1;
        Self { columns, filled: 0, block: vec![0.0; columns * ROWS], r: vec![0.0; columns * columns] }
    }

    /// Forgets all rows.
    pub(super) fn clear(&mut self) {
        self.filled = 0;
        self.r.fill(0.0);
    }

    /// Takes the row `factor · [row | right]`.
    pub(super) fn push(&mut self, row: &[f64], right: f64, factor: f64) {
        let at = self.filled;
        for (column, value) in self.block.chunks_exact_mut(ROWS).zip(row.iter().chain([&right])) {
            column[at] = value * factor;
        }
        self.filled += 1;
        if self.filled == ROWS {
            self.finish();
        }
    }

    /// Folds in the rows that still wait.
    pub(super) fn finish(&mut self) {
        let (n, rows) = (self.columns, self.filled);
        for j in 0..n {
            let (left, rest) = self.block.split_at_mut((j + 1) * ROWS);
            let column = &left[j * ROWS..j * ROWS + rows];
            let below = dot(column, column);
            if below <= 0.0 {
                continue;
            }
            let head = self.r[j * n + j];
            let norm = (head * head + below).sqrt();
            let first = head + norm.copysign(head);
            let scale = 1.0 / (norm * (norm + head.abs()));
            self.r[j * n + j] = -norm.copysign(head);
            for (k, other) in (j + 1..n).zip(rest.chunks_exact_mut(ROWS)) {
                let other = &mut other[..rows];
                let top = &mut self.r[k * n + j];
                let share = (first * *top + dot(column, other)) * scale;
                *top -= share * first;
                for (value, part) in other.iter_mut().zip(column) {
                    *value -= share * part;
                }
            }
        }
        self.filled = 0;
    }

    /// Number of parameters.
    pub(super) fn parameters(&self) -> usize {
        self.columns - 1
    }

    /// The upper part of column `j` of the triangle, rows 0 to `j`.
    pub(super) fn column(&self, j: usize) -> &[f64] {
        &self.r[j * self.columns..=j * self.columns + j]
    }

    /// Qᵀr, one entry a parameter.
    pub(super) fn reached(&self) -> &[f64] {
        let p = self.parameters();
        &self.r[p * self.columns..p * self.columns + p]
    }

    /// Length of column `j` of A.
    pub(super) fn norm(&self, j: usize) -> f64 {
        dot(self.column(j), self.column(j)).sqrt()
    }

    /// Column `j` of A times r.
    pub(super) fn slope(&self, j: usize) -> f64 {
        dot(self.column(j), &self.reached()[..=j])
    }

    /// How far the squares fall at `step`, were A all there is.
    ///
    /// ```text
    /// ‖r‖² − ‖r − A step‖² = ‖q‖² − ‖q − R step‖²
    /// ```
    pub(super) fn gain(&self, step: &[f64]) -> f64 {
        let (p, reached) = (self.parameters(), self.reached());
        let rest = |row: usize| {
            let image: f64 = (row..p).map(|j| self.r[j * self.columns + row] * step[j]).sum();
            reached[row] - image
        };
        (0..p).map(|row| reached[row].powi(2) - rest(row).powi(2)).sum()
    }

    /// Whether every entry is finite.
    pub(super) fn is_finite(&self) -> bool {
        self.r.iter().all(|value| value.is_finite())
    }
}

/// Sum of products; eight sums side by side, so that the compiler may use wide registers.
pub(super) fn dot(a: &[f64], b: &[f64]) -> f64 {
    let (a_blocks, a_rest) = a.as_chunks::<8>();
    let (b_blocks, b_rest) = b.as_chunks::<8>();
    let mut sums = [0.0; 8];
    for (x, y) in a_blocks.iter().zip(b_blocks) {
        for k in 0..8 {
            sums[k] += x[k] * y[k];
        }
    }
    let rest: f64 = a_rest.iter().zip(b_rest).map(|(x, y)| x * y).sum();
    let half = [sums[0] + sums[4], sums[1] + sums[5], sums[2] + sums[6], sums[3] + sums[7]];
    (half[0] + half[2]) + (half[1] + half[3]) + rest
}
