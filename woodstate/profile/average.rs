//! Averages over a part of a section, weighed by how much of the section each increment stands for.

use std::collections::BTreeMap;

use crate::error::Result;
use crate::numeric::{effective_degrees_of_freedom, normal_quantile, student_quantile, sum, variance_of};

use super::increment::{range, real};
use super::{Increment, Section};

/// How much of a part of a section each increment stands for.
#[derive(Debug, Clone, PartialEq)]
pub struct SectionWeights {
    /// One weight an increment, in their order; together 1.
    pub weights: Vec<f64>,
    /// Share of the part that increments cover; the rest lies outside the shallowest one, in gaps, or deeper than the deepest.
    pub covered: f64,
}

/// A weighed mean with its uncertainty.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SectionMean {
    /// The mean, in the unit of the quantity.
    pub value: f64,
    /// One standard uncertainty; `None` where unknown.
    pub u: Option<f64>,
    /// Effective degrees of freedom of `u`; infinite where it does not rest on scatter between cores.
    pub freedom: f64,
    /// Cores behind it.
    pub n_cores: usize,
}

impl SectionMean {
    /// Interval of a coverage.
    ///
    /// # Errors
    /// A coverage outside 0 to 1.
    pub fn interval(&self, coverage: f64) -> Result<Option<[f64; 2]>> {
        let p = f64::midpoint(1.0, coverage);
        let factor = if self.freedom.is_finite() { student_quantile(p, self.freedom)? } else { normal_quantile(p)? };
        Ok(self.u.map(|u| [self.value - factor * u, self.value + factor * u]))
    }
}

/// The weights of increments for the part of a section between two depths.
///
/// ```text
/// w = Σ ( A(a) − A(b) ) / ( faces that cover a … b · cores of that face that do ),   then divided by Σ w
/// ```
/// * `a`, `b`: neighbouring ends of increments between `part[0]` and `part[1]`, mm
/// * `A`: share of the section deeper than a depth; without a section, w is the thickness: an average along the cores
///
/// Each face counts alike, and each core of a face alike; cores of unknown face stand for one face together.
/// With `to_middle`, the deepest increments stand for all that lies deeper. `None` where no increment lies in the part.
///
/// # Errors
/// Numbers of increments that are not finite, or a part that ends before it begins.
///
/// # Example
/// ```
/// use woodstate::profile::{Increment, Section, section_weights};
/// let core = [Increment::new(0.0, 10.0, 40.0), Increment::new(10.0, 20.0, 80.0)];
/// let weights = section_weights(&core, Some(&Section::round(40.0)?), [0.0, 20.0], false)?.unwrap();
/// assert_eq!(weights.weights, [0.75, 0.25]);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
pub fn section_weights(
    increments: &[Increment],
    section: Option<&Section>,
    part: [f64; 2],
    to_middle: bool,
) -> Result<Option<SectionWeights>> {
    super::increment::Readings::of(increments)?;
    let [low, high] = part;
    if low.is_nan() || high.is_nan() || high < low {
        return Err(range("end of a part of a section", high, format!("{low} mm, where it begins, or more")));
    }
    let mut ends: Vec<f64> = increments.iter().flat_map(|increment| increment.depth).chain(part).collect();
    ends.retain(|end| (low..=high).contains(end) && end.is_finite());
    ends.sort_by(f64::total_cmp);
    ends.dedup();
    let deepest = increments.iter().map(|increment| increment.depth[1]).fold(f64::NEG_INFINITY, f64::max);
    let amount = |from: f64, to: f64| match section {
        Some(section) => section.share_deeper(from) - section.share_deeper(to),
        None => to - from,
    };
    let reaches = section.map_or(high, |section| high.min(section.deepest()));
    let whole = amount(low, reaches.max(low));
    let mut weights = vec![0.0; increments.len()];
    for pair in ends.windows(2) {
        let is_last = to_middle && pair[1] >= deepest.min(reaches);
        if is_last && pair[0] >= deepest {
            continue;
        }
        let to = if is_last { reaches.max(pair[1]) } else { pair[1] };
        spread(increments, pair[0], pair[1], amount(pair[0], to), &mut weights);
    }
    let covered = sum(&weights);
    if covered <= 0.0 {
        return Ok(None);
    }
    weights.iter_mut().for_each(|weight| *weight /= covered);
    let covered = if whole > 0.0 { (covered / whole).min(1.0) } else { 1.0 };
    Ok(Some(SectionWeights { weights, covered }))
}

/// Gives an amount of the section between two depths to the increments that cover them.
fn spread(increments: &[Increment], from: f64, to: f64, amount: f64, weights: &mut [f64]) {
    let mut faces: BTreeMap<Option<usize>, BTreeMap<usize, Vec<usize>>> = BTreeMap::new();
    for (place, increment) in increments.iter().enumerate() {
        if increment.depth[0] <= from && increment.depth[1] >= to && increment.thickness() > 0.0 {
            faces.entry(increment.face).or_default().entry(increment.core).or_default().push(place);
        }
    }
    for cores in faces.values() {
        for places in cores.values() {
            let each = amount / (real(faces.len()) * real(cores.len()) * real(places.len()));
            places.iter().for_each(|place| weights[*place] += each);
        }
    }
}

impl SectionWeights {
    /// The weighed mean of increments, which stand in the order of the weights.
    ///
    /// ```text
    /// u² = max( s²/k,  Σ w² uᵢ² )  +  Σₖ ( Σ w sₖ )²
    /// ```
    /// `s`: standard deviation between the `k` cores of their own means; `sₖ`: what a shared cause adds, which does not average
    /// out.
    ///
    /// # Errors
    /// None for increments that gave the weights.
    pub fn mean_of(&self, increments: &[Increment]) -> Result<SectionMean> {
        let of = |number: &dyn Fn(&Increment) -> f64| {
            let parts: Vec<f64> =
                increments.iter().zip(&self.weights).map(|(one, weight)| weight * number(one)).collect();
            sum(&parts)
        };
        let used = || increments.iter().zip(&self.weights).filter(|(_, weight)| **weight > 0.0);
        let own: Option<Vec<f64>> = used().map(|(one, weight)| one.u.map(|u| (weight * u).powi(2))).collect();
        let own = own.map(|squares| sum(&squares));
        let n_shared = increments.first().map_or(0, |increment| increment.shared.len());
        let shared: f64 = (0..n_shared).map(|k| of(&|one| one.shared.get(k).copied().unwrap_or(0.0)).powi(2)).sum();
        let means = self.core_offsets(increments);
        let between = variance_of(&means).map(|variance| variance / real(means.len()));
        let (variance, freedom) = match (between, own) {
            (Some(between), Some(own)) if own > between => (Some(own), f64::INFINITY),
            (Some(between), _) => (Some(between), real(means.len()) - 1.0),
            (None, own) => (own, f64::INFINITY),
        };
        let u = variance.map(|variance| (variance + shared).sqrt());
        let components = [(variance.unwrap_or(0.0).sqrt(), freedom), (shared.sqrt(), f64::INFINITY)];
        let freedom = effective_degrees_of_freedom(&components).unwrap_or(freedom).max(1.0);
        let value = match increments {
            [one] => one.value,
            _ => of(&|one| one.value),
        };
        let mut cores: Vec<usize> = used().map(|(one, _)| one.core).collect();
        cores.sort_unstable();
        cores.dedup();
        Ok(SectionMean { value, u, freedom, n_cores: cores.len() })
    }

    /// How far each core lies from the mean of the cores, at the depths that at least two of them cover.
    fn core_offsets(&self, increments: &[Increment]) -> Vec<f64> {
        let used: Vec<(&Increment, f64)> = increments.iter().zip(self.weights.iter().copied()).collect();
        let mut ends: Vec<f64> = increments.iter().flat_map(|one| one.depth).collect();
        ends.sort_by(f64::total_cmp);
        ends.dedup();
        let mut offsets: BTreeMap<usize, (f64, f64)> = BTreeMap::new();
        for pair in ends.windows(2) {
            let mut cores: BTreeMap<usize, (f64, f64)> = BTreeMap::new();
            for (one, weight) in &used {
                if one.depth[0] <= pair[0] && one.depth[1] >= pair[1] && *weight > 0.0 {
                    let part = weight * (pair[1] - pair[0]) / one.thickness();
                    let entry = cores.entry(one.core).or_default();
                    *entry = (entry.0 + part * one.value, entry.1 + part);
                }
            }
            if cores.len() < 2 {
                continue;
            }
            let centre = cores.values().map(|(total, weight)| total / weight).sum::<f64>() / real(cores.len());
            for (core, (total, weight)) in cores {
                let entry = offsets.entry(core).or_default();
                *entry = (entry.0 + total - centre * weight, entry.1 + weight);
            }
        }
        offsets.values().map(|(total, weight)| total / weight).collect()
    }
}
