//! A small matrix of numbers, for covariances and sensitivities.

use std::ops::{Index, IndexMut};

use super::check;
use super::summary::real;
use crate::error::{Error, Result};

/// A matrix, stored row after row.
#[derive(Debug, Clone, PartialEq)]
pub struct Matrix {
    rows: usize,
    columns: usize,
    values: Vec<f64>,
}

impl Matrix {
    /// A matrix of `rows` x `columns` from its values, row after row.
    ///
    /// # Errors
    /// When the number of values is not rows x columns, or a value is not finite.
    ///
    /// # Example
    /// ```
    /// use woodstate::numeric::Matrix;
    /// let m = Matrix::new(2, 2, vec![4.0, 2.0, 2.0, 3.0]).unwrap();
    /// assert_eq!(m.cholesky().unwrap()[(1, 0)], 1.0);
    /// ```
    pub fn new(rows: usize, columns: usize, values: Vec<f64>) -> Result<Self> {
        check::length("values of a matrix", values.len(), rows.saturating_mul(columns))?;
        for (place, &value) in values.iter().enumerate() {
            if !value.is_finite() {
                let name = format!("matrix entry in row {}, column {}", place / columns + 1, place % columns + 1);
                return Err(check::range(name, value, "a finite number"));
            }
        }
        Ok(Self { rows, columns, values })
    }

    /// A matrix full of zeros.
    #[must_use]
    pub fn zeros(rows: usize, columns: usize) -> Self {
        Self { rows, columns, values: vec![0.0; rows * columns] }
    }

    /// The covariance of independent inputs: the squares of `u` on the diagonal, 0 elsewhere.
    ///
    /// # Errors
    /// When a standard uncertainty is negative or not finite.
    pub fn of_independent(u: &[f64]) -> Result<Self> {
        let mut matrix = Self::zeros(u.len(), u.len());
        for (i, &u_i) in u.iter().enumerate() {
            check::uncertainty("standard uncertainty", u_i)?;
            matrix[(i, i)] = u_i * u_i;
        }
        Ok(matrix)
    }

    /// The covariance from standard uncertainties `u` and a matrix of correlations.
    ///
    /// # Errors
    /// When the sizes differ, an uncertainty is negative or not finite, or a correlation lies outside −1 … 1.
    pub fn of_correlated(u: &[f64], correlation: &Self) -> Result<Self> {
        check::length("correlation matrix", correlation.rows, u.len())?;
        check::length("correlation matrix", correlation.columns, u.len())?;
        let mut matrix = Self::of_independent(u)?;
        for i in 0..u.len() {
            for j in (0..u.len()).filter(|&j| j != i) {
                let r = correlation[(i, j)];
                if !(-1.0..=1.0).contains(&r) {
                    return Err(check::range("correlation", r, "a number from -1 to 1"));
                }
                matrix[(i, j)] = r * u[i] * u[j];
            }
        }
        Ok(matrix)
    }

    /// Number of rows.
    #[must_use]
    pub fn rows(&self) -> usize {
        self.rows
    }

    /// Number of columns.
    #[must_use]
    pub fn columns(&self) -> usize {
        self.columns
    }

    /// One row, or an empty slice where there is none.
    #[must_use]
    pub fn row(&self, row: usize) -> &[f64] {
        self.values.get(row * self.columns..(row + 1) * self.columns).unwrap_or(&[])
    }

    /// All values, row after row.
    #[must_use]
    pub fn values(&self) -> &[f64] {
        &self.values
    }

    /// Correlation of entries `i` and `j` of a covariance; `None` where one of them does not vary.
    ///
    /// # Panics
    /// When there is no such row or column.
    #[must_use]
    pub fn correlation(&self, i: usize, j: usize) -> Option<f64> {
        let scale = (self[(i, i)] * self[(j, j)]).sqrt();
        (scale > 0.0).then(|| self[(i, j)] / scale)
    }

    /// The lower triangle L with L Lᵀ = this matrix.
    ///
    /// Inputs that do not vary, or that vary fully together, are allowed: their column of L is 0 below rounding.
    ///
    /// # Errors
    /// When the matrix is not square, not symmetric or not positive semidefinite. Such a matrix is no covariance.
    pub fn cholesky(&self) -> Result<Self> {
        check::length("columns of a covariance", self.columns, self.rows)?;
        let n = self.rows;
        // A pivot below this share of its diagonal entry is rounding.
        let rounding = 8.0 * real(n) * f64::EPSILON;
        let mut lower = Self::zeros(n, n);
        for j in 0..n {
            let rest =
                |i: usize, lower: &Self| self[(i, j)] - (0..j).map(|k| lower[(i, k)] * lower[(j, k)]).sum::<f64>();
            let pivot = rest(j, &lower);
            let floor = rounding * self[(j, j)].abs();
            if pivot < -floor {
                return Err(indefinite(j, pivot));
            }
            let root = if pivot > floor { pivot.sqrt() } else { 0.0 };
            lower[(j, j)] = root;
            for i in j + 1..n {
                let size = (self[(i, i)] * self[(j, j)]).abs().sqrt();
                if (self[(i, j)] - self[(j, i)]).abs() > 1e-12 * size {
                    let name = format!("covariance of inputs {} and {}", i + 1, j + 1);
                    return Err(check::range(name, self[(i, j)], format!("the same on both sides: {}", self[(j, i)])));
                }
                let below = rest(i, &lower);
                if root > 0.0 {
                    lower[(i, j)] = below / root;
                } else if below.abs() > rounding.sqrt() * size {
                    return Err(indefinite(j, pivot));
                }
            }
        }
        Ok(lower)
    }
}

fn indefinite(j: usize, pivot: f64) -> Error {
    let name = format!("variance left to input {} by the inputs before it", j + 1);
    check::range(name, pivot, "0 or above, with covariances to match; these correlations contradict each other")
}

/// # Panics
/// When there is no such row or column.
impl Index<(usize, usize)> for Matrix {
    type Output = f64;

    fn index(&self, (row, column): (usize, usize)) -> &f64 {
        assert!(column < self.columns, "column {column} of {}", self.columns);
        &self.values[row * self.columns + column]
    }
}

/// # Panics
/// When there is no such row or column.
impl IndexMut<(usize, usize)> for Matrix {
    fn index_mut(&mut self, (row, column): (usize, usize)) -> &mut f64 {
        assert!(column < self.columns, "column {column} of {}", self.columns);
        &mut self.values[row * self.columns + column]
    }
}
