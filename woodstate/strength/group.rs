//! One curve or several: do groups of pieces follow the same curve?

use crate::error::Result;
use crate::numeric::{Fit, FitOptions, Model, Points, Starts, Watch, f_sf, fit};

use super::curve::of_pairs;
use super::pair::{Pairs, range, real};
use super::{CurveFit, CurveModel, CurveOptions, Formula, Pair, Weighting};

/// A test of a simple description against one with more parameters.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NestedTest {
    /// The statistic.
    pub f: f64,
    /// Parameters that the richer description has more.
    pub more: f64,
    /// Pieces less the parameters of the richer description.
    pub left: f64,
    /// Probability of an F as large, if the simple description is right.
    pub probability: f64,
}

/// Curves of one shape, each group with a scale of its own.
#[derive(Debug, Clone, PartialEq)]
pub struct SharedShape {
    /// The fit: the scale of each group in the order of the groups, then the parameters that all share.
    pub fit: Fit,
    /// Number of groups.
    pub n_groups: usize,
}

/// Groups of pieces with one curve, with a shared shape, and with curves of their own.
#[derive(Debug, Clone, PartialEq)]
pub struct Grouped {
    /// One curve for all.
    pub one: CurveFit,
    /// One shape, scales apart; `None` for a model without a scale.
    pub shared: Option<SharedShape>,
    /// A curve for each group, in the order of the groups.
    pub separate: Vec<CurveFit>,
    /// One curve against curves of their own.
    pub one_or_separate: Option<NestedTest>,
    /// One curve against one shape with scales apart.
    pub one_or_scaled: Option<NestedTest>,
    /// One shape with scales apart against curves of their own.
    pub scaled_or_separate: Option<NestedTest>,
}

/// Fits one curve to all groups, one shape with a scale of each group, and a curve to each group, and tests them.
///
/// ```text
/// F = ( (RSS_simple − RSS_rich)/(p_rich − p_simple) ) / ( RSS_rich/(n − p_rich) )
/// ```
/// The tests take pieces as independent and the scatter as the same in all groups: where timbers gave several pieces, their
/// probabilities are too small. A scatter in proportion to strength is that of the one curve, in all three descriptions.
///
/// * `groups`: the pairs of each group, at least two groups
///
/// # Errors
/// As [`fit_curve`](super::fit_curve), and fewer than two groups.
///
/// # Source
/// D. M. Bates, D. G. Watts 1988, Nonlinear Regression Analysis and Its Applications, doi:10.1002/9780470316757, section 3.10
/// (extra sum of squares) \[memory].
pub fn group_curves(
    groups: &[Vec<Pair>],
    model: CurveModel,
    options: &CurveOptions,
    watch: &Watch<'_>,
) -> Result<Grouped> {
    options.check()?;
    if groups.len() < 2 {
        return Err(range("number of groups", real(groups.len()), "at least 2"));
    }
    let all: Vec<Pair> = groups.iter().flatten().cloned().collect();
    let one = of_pairs(Pairs::of(&all)?, model, options, watch)?;
    if options.weighting == Weighting::Proportional {
        // Sums of squares of unlike weights cannot be compared: those of the one curve hold for all.
        let weighed = |pair: &Pair| Pair { u: one.value(pair.x).map(f64::abs), ..pair.clone() };
        let groups: Vec<Vec<Pair>> = groups.iter().map(|group| group.iter().map(weighed).collect()).collect();
        let options = CurveOptions { weighting: Weighting::Relative, ..options.clone() };
        return group_curves(&groups, model, &options, watch);
    }
    let mut separate = Vec::with_capacity(groups.len());
    for group in groups {
        separate.push(of_pairs(Pairs::of(group)?, model, options, watch)?);
    }
    let shared = if model.has_scale() { Some(share(groups, &one, options, watch)?) } else { None };
    let of_one = (one.fit.rss, one.fit.free.len());
    let rss = separate.iter().map(|curve| curve.fit.rss).sum();
    let of_separate = (rss, separate.iter().map(|curve| curve.fit.free.len()).sum());
    let of_shared = shared.as_ref().map(|shared| (shared.fit.rss, shared.fit.free.len()));
    let n = one.n();
    let between = |simple: Option<(f64, usize)>, rich: Option<(f64, usize)>| match simple.zip(rich) {
        Some((simple, rich)) => nested(n, simple, rich),
        None => Ok(None),
    };
    Ok(Grouped {
        one_or_separate: between(Some(of_one), Some(of_separate))?,
        one_or_scaled: between(Some(of_one), of_shared)?,
        scaled_or_separate: between(of_shared, Some(of_separate))?,
        one,
        shared,
        separate,
    })
}

/// `None` where no piece is left to learn the scatter from.
fn nested(n: usize, (simple, few): (f64, usize), (rich, many): (f64, usize)) -> Result<Option<NestedTest>> {
    if many <= few || n <= many || rich <= 0.0 {
        return Ok(None);
    }
    let (more, left) = (real(many - few), real(n - many));
    let f = ((simple - rich) / more / (rich / left)).max(0.0);
    Ok(Some(NestedTest { f, more, left, probability: f_sf(f, more, left)? }))
}

/// A model whose rows hold x, ln(x/r) and, for each group, 1 or 0.
struct Scaled {
    formula: Formula,
    n_groups: usize,
}

impl Model for Scaled {
    fn at(&self, row: &[f64], b: &[f64], slope: &mut [f64]) -> f64 {
        let (scales, shape) = b.split_at(self.n_groups);
        let (state, is_in) = row.split_at(2);
        let scale: f64 = scales.iter().zip(is_in).map(|(scale, is_in)| scale * is_in).sum();
        let (of_scale, of_shape) = slope.split_at_mut(self.n_groups);
        let mut own = [1.0; 4];
        own[1..=shape.len()].copy_from_slice(shape);
        let mut own_slope = [0.0; 4];
        let n = shape.len() + 1;
        let value = self.formula.at(state, &own[..n], &mut own_slope[..n]);
        for (slope, is_in) in of_scale.iter_mut().zip(is_in) {
            *slope = value * is_in;
        }
        for (slope, own) in of_shape.iter_mut().zip(&own_slope[1..n]) {
            *slope = scale * own;
        }
        scale * value
    }
}

fn share(groups: &[Vec<Pair>], one: &CurveFit, options: &CurveOptions, watch: &Watch<'_>) -> Result<SharedShape> {
    let n_groups = groups.len();
    let scaled = Scaled { formula: one.formula, n_groups };
    let (mut rows, mut y, mut u) = (Vec::new(), Vec::new(), Vec::new());
    for (number, group) in groups.iter().enumerate() {
        let pairs = Pairs::of(group)?;
        for x in &pairs.x {
            rows.extend(one.formula.row(*x));
            rows.extend((0..n_groups).map(|other| if other == number { 1.0 } else { 0.0 }));
        }
        y.extend(pairs.y);
        u.extend(pairs.u);
    }
    let noise = match options.weighting {
        Weighting::Alike => crate::numeric::Noise::FromScatter,
        Weighting::Proportional | Weighting::Relative => crate::numeric::Noise::Relative(&u),
        Weighting::Known => crate::numeric::Noise::Known(&u),
    };
    let b = &one.fit.parameters;
    let mut start = vec![b[0]; n_groups];
    start.extend_from_slice(&b[1..]);
    let mut limits = vec![one.limits[0]; n_groups];
    limits.extend_from_slice(&one.limits[1..]);
    let points = Points::new(&rows, &y, noise)?;
    let fit = fit(&scaled, &points, &Starts::at(&start), &FitOptions::within(limits), watch)?;
    Ok(SharedShape { fit, n_groups })
}
