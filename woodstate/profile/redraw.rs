//! Profiles drawn again from the fitted one.

use crate::error::Result;
use crate::numeric::{Stream, Watch, quantile, sum};

use super::cores::Scatter;
use super::fit::least;
use super::increment::Readings;
use super::search::{Search, level, parameters};
use super::{DepthFit, DepthModel, RimDepth, Shape, Threshold};

/// A fit from which profiles are drawn: how increments scatter about it, and the share of the draws it gets.
pub(super) struct Drawable {
    pub(super) fit: DepthFit,
    pub(super) scatter: Scatter,
    pub(super) weight: f64,
}

/// Weight below which a model is not drawn from.
const LEAST: f64 = 0.01;

/// Shapes fitted to profiles that were drawn again.
#[derive(Debug, Clone, PartialEq)]
pub struct DepthDraws {
    /// One a draw that gave a shape, in the order of the draws.
    pub shapes: Vec<Shape>,
    /// Draws that gave none.
    pub failed: usize,
    deepest: f64,
}

/// Draws profiles from the fitted models, each as often as its weight, and fits the same model to each: so the choice of the
/// model is in what the draws say.
///
/// ```text
/// y* = f + e_core + e_increment + Σ s_k z_k
/// ```
/// * `e_core`: normal, with the standard deviation between cores; 0 for a single core, of which nothing is known
/// * `e_increment`: normal, with the scatter of that increment about the curve
/// * `s_k z_k`: what a shared cause adds, the same `z_k` for all increments
///
/// Normal numbers rather than residuals drawn again: a core has few increments, and its own few residuals would be all
/// that could ever happen.
///
/// # Source
/// S. T. Buckland, K. P. Burnham, N. H. Augustin 1997, Model selection: an integral part of inference, Biometrics 53, 603-618,
/// doi:10.2307/2533961 \[memory], for draws from several models by their weights.
pub(super) fn redraw(
    readings: &Readings,
    fits: &[Drawable],
    (replicates, seed): (usize, u64),
    watch: &Watch<'_>,
) -> Result<Option<DepthDraws>> {
    let n = readings.n();
    let sources: Option<Vec<Source>> =
        fits.iter().filter(|fit| fit.weight >= LEAST).map(|fit| Source::of(readings, fit)).collect();
    let Some(sources) = sources.filter(|sources| !sources.is_empty()) else { return Ok(None) };
    let total: f64 = sources.iter().map(|source| source.weight).sum();
    let mut shapes = Vec::with_capacity(replicates);
    let mut drawn = readings.clone();
    let cores = readings.core.iter().copied().max().unwrap_or(0) + 1;
    let [_, deepest] = readings.range();
    for key in 0_u64.. {
        if shapes.len() >= replicates || usize::try_from(key).map_or(true, |key| key >= replicates) {
            break;
        }
        watch.go_on()?;
        let mut stream = Stream::new(seed, key);
        let Source { between, within, means, search, model, .. } = chosen(&sources, total * stream.uniform());
        let of_cores: Vec<f64> = (0..cores).map(|_| between * stream.normal()).collect();
        let of_causes: Vec<f64> = readings.shared.iter().map(|_| stream.normal()).collect();
        for row in 0..n {
            let shared: f64 = readings.shared.iter().zip(&of_causes).map(|(parts, z)| parts[row] * z).sum();
            let own = within[row] * stream.normal();
            drawn.y[row] = means[row] + of_cores[readings.core[row]] + own + shared;
        }
        shapes.extend(refit(&drawn, search, *model, watch)?);
    }
    let failed = replicates - shapes.len();
    Ok((shapes.len() >= 2).then_some(DepthDraws { shapes, failed, deepest }))
}

/// What is drawn from, made once.
struct Source {
    model: DepthModel,
    weight: f64,
    between: f64,
    within: Vec<f64>,
    means: Vec<f64>,
    search: Search,
}

impl Source {
    fn of(readings: &Readings, Drawable { fit, scatter, weight }: &Drawable) -> Option<Self> {
        let rows = 0..readings.n();
        Some(Self {
            model: fit.shape.model,
            weight: *weight,
            between: scatter.between.unwrap_or(0.0),
            within: rows.clone().map(|row| scatter.within_of(readings, fit, row)).collect::<Option<Vec<f64>>>()?,
            means: rows.map(|row| fit.shape.mean(readings.depth(row))).collect(),
            search: Search::new(fit.shape.model, readings),
        })
    }
}

/// The source in whose part of the weights a number falls.
fn chosen(sources: &[Source], mut number: f64) -> &Source {
    let found = sources.iter().find(|source| {
        number -= source.weight;
        number <= 0.0
    });
    found.unwrap_or(&sources[sources.len() - 1])
}

fn refit(drawn: &Readings, search: &Search, model: DepthModel, watch: &Watch<'_>) -> Result<Option<Shape>> {
    // A draw needs no more digits than its interval shows.
    let theta = search.refined(drawn, 1e-6);
    let mut b = parameters(model, theta, level(model, theta, drawn).factors);
    if model == DepthModel::Logistic {
        b = match least(drawn, model, &b, watch) {
            Ok(found) => found.parameters,
            Err(error) if matches!(error.kind(), crate::error::ErrorKind::Stopped) => return Err(error),
            Err(_) => return Ok(None),
        };
    }
    Ok(b.iter().all(|b| b.is_finite()).then_some(Shape { model, parameters: b }))
}

/// A number with what draws say of it: open ends and an unknown uncertainty are `None`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drawn {
    /// Standard uncertainty: half the central interval of 68.27 %.
    pub u: Option<f64>,
    /// Interval of the stated coverage.
    pub interval: [Option<f64>; 2],
}

/// Coverage of one standard uncertainty to both sides of a normal number.
const ONE_SIGMA: f64 = 0.682_689_492_137_085_9;

impl DepthDraws {
    /// The depth of the soft rim over the draws.
    #[must_use]
    pub fn rim(&self, threshold: Threshold, coverage: f64) -> Drawn {
        self.of(coverage, |shape| threshold.rim_of(shape, self.deepest).number())
    }

    /// Share of the draws in which the rim ends where cores reach.
    #[must_use]
    pub fn share_with(&self, threshold: Threshold, is: impl Fn(RimDepth) -> bool) -> f64 {
        let with = |shape: &&Shape| is(threshold.rim_of(shape, self.deepest));
        let count = |is_with: bool| if is_with { 1.0 } else { 0.0 };
        let shares: Vec<f64> = self.shapes.iter().map(|shape| count(with(&shape))).collect();
        sum(&shares) / sum(&vec![1.0; shares.len()])
    }

    /// A parameter of one model, over the draws from that model.
    #[must_use]
    pub fn parameter(&self, model: DepthModel, place: usize, coverage: f64) -> Drawn {
        let of_model = self.shapes.iter().filter(|shape| shape.model == model);
        drawn(of_model.filter_map(|shape| shape.parameters.get(place).copied()).collect(), coverage)
    }

    /// Any number that follows from a shape, over the draws from all models; infinite numbers make an open end.
    #[must_use]
    pub fn of(&self, coverage: f64, number: impl Fn(&Shape) -> f64) -> Drawn {
        drawn(self.shapes.iter().map(number).collect(), coverage)
    }
}

fn drawn(mut numbers: Vec<f64>, coverage: f64) -> Drawn {
    numbers.sort_by(f64::total_cmp);
    let ends = |coverage: f64| {
        let end = |p: f64| quantile_with_ends(&numbers, p).filter(|value| value.is_finite());
        [end((1.0 - coverage) / 2.0), end(f64::midpoint(1.0, coverage))]
    };
    let u = match ends(ONE_SIGMA) {
        [Some(low), Some(high)] => Some((high - low) / 2.0),
        _ => None,
    };
    Drawn { u, interval: ends(coverage) }
}

/// A quantile of numbers, some of which may be infinite.
fn quantile_with_ends(sorted: &[f64], p: f64) -> Option<f64> {
    let finite = sorted.iter().take_while(|number| number.is_finite()).count();
    if finite == sorted.len() {
        return quantile(sorted, p);
    }
    let place = p * super::increment::real(sorted.len().checked_sub(1)?);
    let is_below = |count: usize| super::increment::real(count) > place.ceil();
    if !is_below(finite) {
        return Some(f64::INFINITY);
    }
    // All the numbers that the quantile rests on are finite.
    let filled: Vec<f64> = sorted.iter().map(|number| if number.is_finite() { *number } else { f64::MAX }).collect();
    quantile(&filled, p)
}
