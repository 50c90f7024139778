//! One-way analysis of variance.

use super::check;
use super::distribution::f_sf;
use super::summary::{self, real};
use crate::error::Result;

/// A sum of squares with its degrees of freedom.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Squares {
    /// Degrees of freedom.
    pub freedom: usize,
    /// Sum of squares, in the square of the unit of the values.
    pub sum: f64,
}

impl Squares {
    /// Sum over degrees of freedom; `None` where there are none.
    #[must_use]
    pub fn mean(&self) -> Option<f64> {
        (self.freedom > 0).then(|| self.sum / real(self.freedom))
    }
}

/// The table of a one-way analysis of variance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Anova {
    /// Between groups: k − 1 degrees of freedom.
    pub between: Squares,
    /// Within groups: N − k degrees of freedom.
    pub within: Squares,
    /// Ratio of the mean squares; `None` where nothing varies within groups, or each has one value.
    pub f: Option<f64>,
    /// Probability of an F as large or larger, were all groups alike; `None` where F is.
    pub probability: Option<f64>,
    /// Share of the squares that lies between groups; `None` where all values are equal.
    pub r_squared: Option<f64>,
    /// Standard deviation within groups; `None` for one value a group.
    pub residual_sd: Option<f64>,
}

/// Splits the variation of values into that between groups and that within them.
///
/// ```text
/// F = [ Σ nᵢ (x̄ᵢ − x̄)² / (k − 1) ] / [ ΣΣ (x − x̄ᵢ)² / (N − k) ]
/// ```
/// All values are first taken relative to the first one, which costs no digit where they are alike, and each sum of
/// squares is taken in two passes.
///
/// # Errors
/// When there are fewer than two groups, a group is empty, or a value is not finite.
///
/// # Example
/// ```
/// let table = woodstate::numeric::one_way_anova(&[&[6.0, 8.0, 4.0], &[8.0, 12.0, 9.0], &[13.0, 9.0, 11.0]])?;
/// assert!((table.f.unwrap() - 181.0 / 37.0).abs() < 1e-12);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
/// # Source
/// R. A. Fisher 1925, Statistical Methods for Research Workers, chapter VII \[memory]. Checked with the NIST
/// Statistical Reference Datasets for analysis of variance.
pub fn one_way_anova(groups: &[&[f64]]) -> Result<Anova> {
    check::at_least("number of groups", groups.len(), 2)?;
    for (group, values) in groups.iter().enumerate() {
        check::at_least(&format!("number of values in group {}", group + 1), values.len(), 1)?;
        let name = format!("group {}, value", group + 1);
        values.iter().enumerate().try_for_each(|(row, &value)| check::finite_of(&name, row, value))?;
    }
    let origin = groups[0][0];
    let moved: Vec<Vec<f64>> = groups.iter().map(|group| group.iter().map(|x| x - origin).collect()).collect();
    let all: Vec<f64> = moved.iter().flatten().copied().collect();
    let centre = average(&all);

    let means: Vec<f64> = moved.iter().map(|group| average(group)).collect();
    let parts: Vec<f64> =
        moved.iter().zip(&means).map(|(group, mean)| real(group.len()) * (mean - centre).powi(2)).collect();
    let rests: Vec<f64> =
        moved.iter().zip(&means).flat_map(|(group, mean)| group.iter().map(move |x| (x - mean).powi(2))).collect();
    let between = Squares { freedom: groups.len() - 1, sum: summary::sum(&parts) };
    let within = Squares { freedom: all.len() - groups.len(), sum: summary::sum(&rests) };

    let f = within.mean().filter(|&mean| mean > 0.0).zip(between.mean()).map(|(within, between)| between / within);
    let f = f.filter(|f| f.is_finite());
    let probability = f.map(|f| f_sf(f, real(between.freedom), real(within.freedom))).transpose()?;
    let total = between.sum + within.sum;
    check::finite("sum of squares", total)?;
    let r_squared = (total > 0.0).then(|| between.sum / total);
    Ok(Anova { between, within, f, probability, r_squared, residual_sd: within.mean().map(f64::sqrt) })
}

fn average(values: &[f64]) -> f64 {
    summary::mean(values).unwrap_or(0.0)
}
