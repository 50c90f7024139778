//! A small triangle with its columns scaled and in order of size: rank, solutions, inverse.

use super::summary::real;
use super::triangle::{Fold, dot};

/// QR factorisation with column pivoting of some columns of a [`Fold`], each divided by a scale.
///
/// ```text
/// A · S⁻¹ · P = Q · R,   z = S · step,   R z = Qᵀr
/// ```
/// Buffers are kept from one factorisation to the next.
#[derive(Debug, Clone)]
pub(super) struct Pivot {
    size: usize,
    /// Row stride of a column.
    rows: usize,
    r: Vec<f64>,
    right: Vec<f64>,
    /// Column of the fold that stands at each place.
    order: Vec<usize>,
    scale: Vec<f64>,
    damped: Vec<f64>,
    spare: Vec<f64>,
}

impl Pivot {
    pub(super) fn new(parameters: usize) -> Self {
        let square = parameters * parameters;
        Self {
            size: 0,
            rows: parameters,
            r: vec![0.0; square],
            right: vec![0.0; parameters],
            order: Vec::with_capacity(parameters),
            scale: vec![1.0; parameters],
            damped: vec![0.0; square],
            spare: vec![0.0; parameters],
        }
    }

    /// Factorises the columns for which `is_free`, divided by `scale`.
    pub(super) fn factorise(&mut self, fold: &Fold, scale: &[f64], is_free: &[bool]) {
        let p = self.rows;
        self.scale.copy_from_slice(scale);
        self.order.clear();
        self.order.extend((0..p).filter(|&j| is_free[j]));
        self.size = self.order.len();
        self.r.fill(0.0);
        for (column, &j) in self.r.chunks_exact_mut(p.max(1)).zip(&self.order) {
            for (entry, value) in column.iter_mut().zip(fold.column(j)) {
                *entry = value / scale[j];
            }
        }
        self.right.copy_from_slice(fold.reached());
        for step in 0..self.size {
            self.bring_largest_to(step);
            self.reflect(step);
        }
    }

    fn bring_largest_to(&mut self, step: usize) {
        let p = self.rows;
        let size_of = |k: usize| dot(&self.r[k * p + step..(k + 1) * p], &self.r[k * p + step..(k + 1) * p]);
        let first = (step, size_of(step));
        let (best, _) = (step + 1..self.size)
            .map(|k| (k, size_of(k)))
            .fold(first, |best, next| if next.1 > best.1 { next } else { best });
        if best != step {
            self.order.swap(best, step);
            for row in 0..p {
                self.r.swap(best * p + row, step * p + row);
            }
        }
    }

    fn reflect(&mut self, step: usize) {
        let p = self.rows;
        let (left, rest) = self.r.split_at_mut((step + 1) * p);
        let column = &mut left[step * p + step..];
        let head = column[0];
        let norm = dot(column, column).sqrt();
        if norm <= 0.0 {
            return;
        }
        column[0] = head + norm.copysign(head);
        let scale = 1.0 / (norm * (norm + head.abs()));
        let others = rest.chunks_exact_mut(p).take(self.size - step - 1);
        for other in others.map(|other| &mut other[step..]).chain([&mut self.right[step..]]) {
            let share = dot(column, other) * scale;
            for (value, part) in other.iter_mut().zip(&*column) {
                *value -= share * part;
            }
        }
        column.fill(0.0);
        column[0] = -norm.copysign(head);
    }

    /// Number of columns that were factorised.
    pub(super) fn size(&self) -> usize {
        self.size
    }

    /// Columns of the fold, in the order of the triangle.
    pub(super) fn order(&self) -> &[usize] {
        &self.order
    }

    /// How many columns stand above the rounding of `n` rows.
    ///
    /// ```text
    /// |R_kk| > n ε |R_11|
    /// ```
    pub(super) fn rank(&self, n: usize) -> usize {
        let floor = real(n) * f64::EPSILON * self.r.first().map_or(0.0, |first| first.abs());
        (0..self.size).take_while(|&k| self.r[k * self.rows + k].abs() > floor).count()
    }

    /// Length of Qᵀr over the columns.
    pub(super) fn reached(&self) -> f64 {
        dot(&self.right[..self.size], &self.right[..self.size]).sqrt()
    }

    /// Copies Qᵀr over the columns.
    pub(super) fn right(&self, right: &mut [f64]) {
        right.copy_from_slice(&self.right[..self.size]);
    }

    /// Solves R z = Qᵀr over the first `rank` columns; the rest of `z` is 0. `z` stands in the order of the triangle.
    pub(super) fn solve(&self, rank: usize, z: &mut [f64]) {
        z[..self.size].copy_from_slice(&self.right[..self.size]);
        self.solve_right(rank, z);
    }

    /// Replaces `z` by R⁻¹ z over the first `rank` columns; the rest becomes 0.
    pub(super) fn solve_right(&self, rank: usize, z: &mut [f64]) {
        z[rank..].fill(0.0);
        back(&self.r, self.rows, rank, z);
    }

    /// Replaces `z` by R⁻ᵀ z.
    pub(super) fn solve_left(&self, z: &mut [f64]) {
        forward(&self.r, self.rows, self.size, z);
    }

    /// Length of R z.
    pub(super) fn length_of_image(&mut self, z: &[f64]) -> f64 {
        let (p, n) = (self.rows, self.size);
        self.spare.fill(0.0);
        for (column, &z_k) in self.r.chunks_exact(p.max(1)).zip(&z[..n]) {
            for (sum, value) in self.spare.iter_mut().zip(column) {
                *sum += value * z_k;
            }
        }
        dot(&self.spare, &self.spare).sqrt()
    }

    /// Length of Rᵀ Qᵀr, the slope of half the squares in scaled parameters.
    pub(super) fn steepness(&self) -> f64 {
        let p = self.rows;
        let slopes = (0..self.size).map(|k| dot(&self.r[k * p..=k * p + k], &self.right[..=k]));
        slopes.map(|slope| slope * slope).sum::<f64>().sqrt()
    }

    /// Solves for `z` with √λ times the unit matrix below R, by rotations.
    pub(super) fn solve_damped(&mut self, lambda: f64, z: &mut [f64]) {
        let (p, n) = (self.rows, self.size);
        self.damped.copy_from_slice(&self.r);
        z[..n].copy_from_slice(&self.right[..n]);
        let root = lambda.sqrt();
        for j in 0..n {
            self.spare[j..n].fill(0.0);
            self.spare[j] = root;
            let mut right = 0.0;
            for (k, z) in z.iter_mut().enumerate().take(n).skip(j) {
                let (top, low) = (self.damped[k * p + k], self.spare[k]);
                let norm = top.hypot(low);
                if low.abs() <= 0.0 || norm <= 0.0 {
                    continue;
                }
                let (cosine, sine) = (top / norm, low / norm);
                self.damped[k * p + k] = norm;
                for m in k + 1..n {
                    let (upper, lower) = (self.damped[m * p + k], self.spare[m]);
                    self.damped[m * p + k] = cosine * upper + sine * lower;
                    self.spare[m] = cosine * lower - sine * upper;
                }
                (*z, right) = (cosine * *z + sine * right, cosine * right - sine * *z);
            }
        }
        back(&self.damped, p, n, z);
    }

    /// Replaces `z` by the transposed inverse of the triangle of [`solve_damped`](Self::solve_damped) times `z`.
    pub(super) fn solve_damped_left(&self, z: &mut [f64]) {
        forward(&self.damped, self.rows, self.size, z);
    }

    /// From the order of the triangle and scaled, to the order of the fold and unscaled; other entries become 0.
    pub(super) fn unscale(&self, z: &[f64], step: &mut [f64]) {
        step.fill(0.0);
        for (&j, &value) in self.order.iter().zip(z) {
            step[j] = value / self.scale[j];
        }
    }

    /// A row of the fold in the order of the triangle, scaled.
    pub(super) fn scale_row(&self, row: &[f64], z: &mut [f64]) {
        for (z, &j) in z.iter_mut().zip(&self.order) {
            *z = row[j] / self.scale[j];
        }
    }

    /// R⁻¹ of a triangle of full rank, column after column in the order of the triangle.
    pub(super) fn inverse(&self) -> Vec<Vec<f64>> {
        let unit = |k: usize| {
            let mut column = vec![0.0; self.size];
            column[k] = 1.0;
            back(&self.r, self.rows, self.size, &mut column);
            column
        };
        (0..self.size).map(unit).collect()
    }

    /// Columns of the fold that can be changed together without changing A·step, when the rank is below the size.
    pub(super) fn undetermined(&self, rank: usize) -> Vec<usize> {
        let mut found = Vec::new();
        for k in rank..self.size {
            let mut z: Vec<f64> = self.r[k * self.rows..k * self.rows + self.size].to_vec();
            self.solve_right(rank, &mut z);
            let near = (0..rank).filter(|&i| z[i].abs() > 1e-3).map(|i| self.order[i]);
            found.extend(near.chain([self.order[k]]));
        }
        found.sort_unstable();
        found.dedup();
        found
    }

    /// Ratio of the largest to the smallest singular value of R; infinite where R is singular.
    ///
    /// # Source
    /// One-sided Jacobi rotations: G. H. Golub, C. F. Van Loan, Matrix Computations, 3rd ed. 1996, section 8.6.3
    /// \[memory].
    pub(super) fn condition(&self) -> f64 {
        let mut columns: Vec<Vec<f64>> =
            (0..self.size).map(|k| self.r[k * self.rows..k * self.rows + self.size].to_vec()).collect();
        for _ in 0..60 {
            let mut turned = false;
            for i in 0..self.size {
                for j in i + 1..self.size {
                    turned |= rotate(&mut columns, i, j);
                }
            }
            if !turned {
                break;
            }
        }
        let lengths = columns.iter().map(|column| dot(column, column).sqrt());
        let (low, high) =
            lengths.fold((f64::INFINITY, 0.0_f64), |(low, high), length| (low.min(length), high.max(length)));
        if low > 0.0 { high / low } else { f64::INFINITY }
    }
}

/// Makes two columns orthogonal; whether there was anything to do.
fn rotate(columns: &mut [Vec<f64>], i: usize, j: usize) -> bool {
    let (head, tail) = columns.split_at_mut(j);
    let (a, b) = (&mut head[i], &mut tail[0]);
    let (aa, bb, ab) = (dot(a, a), dot(b, b), dot(a, b));
    if ab.abs() <= 1e-14 * (aa * bb).sqrt() {
        return false;
    }
    let zeta = (bb - aa) / (2.0 * ab);
    let tangent = 1.0_f64.copysign(zeta) / (zeta.abs() + zeta.hypot(1.0));
    let cosine = 1.0 / tangent.hypot(1.0);
    let sine = cosine * tangent;
    for (x, y) in a.iter_mut().zip(b.iter_mut()) {
        (*x, *y) = (cosine * *x - sine * *y, sine * *x + cosine * *y);
    }
    true
}

fn back(r: &[f64], rows: usize, n: usize, z: &mut [f64]) {
    for k in (0..n).rev() {
        z[k] /= r[k * rows + k];
        let value = z[k];
        for (entry, above) in z[..k].iter_mut().zip(&r[k * rows..k * rows + k]) {
            *entry -= value * above;
        }
    }
}

fn forward(r: &[f64], rows: usize, n: usize, z: &mut [f64]) {
    for k in 0..n {
        let known = dot(&r[k * rows..k * rows + k], &z[..k]);
        z[k] = (z[k] - known) / r[k * rows + k];
    }
}
