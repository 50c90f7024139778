//! Which model of depth the increments speak for.

use crate::error::{ErrorKind, Result};
use crate::numeric::Watch;

use super::fit::fitted;
use super::increment::Readings;
use super::{DepthFit, DepthModel, Increment};

/// Increments that are enough for a model that bends: three parameters, the scatter, and two more.
const ENOUGH: usize = 6;

/// Why a model is not weighed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NotWeighed {
    /// Too few increments for its parameters: AICc needs two more than parameters and scatter.
    TooFew,
    /// A parameter ran to the limit of what was searched: a simpler model says the same.
    OnLimit,
    /// The border is as sharp as a step: its width cannot be told.
    AsSharpAsAStep,
    /// The increments do not determine its parameters.
    Undetermined,
}

impl NotWeighed {
    /// In words.
    #[must_use]
    pub fn reason(self) -> &'static str {
        match self {
            Self::TooFew => "too few increments for its parameters",
            Self::OnLimit => "a parameter ran to the limit of the search: a simpler model says the same",
            Self::AsSharpAsAStep => "its border is as sharp as a step",
            Self::Undetermined => "the increments do not determine its parameters",
        }
    }
}

/// A model beside the others.
#[derive(Debug, Clone, PartialEq)]
pub struct Considered {
    /// The model.
    pub model: DepthModel,
    /// Its criterion.
    pub aicc: Option<f64>,
    /// Its Akaike weight; `None` where it is not weighed.
    pub weight: Option<f64>,
    /// Why it is not weighed.
    pub reason: Option<NotWeighed>,
}

/// The models beside each other, and the one with the smallest AICc.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// The chosen fit; `None` where the increments carry no model, or all lie at one depth.
    pub fit: Option<DepthFit>,
    /// All models, those with few parameters first.
    pub considered: Vec<Considered>,
    /// The weighed fits with their weights.
    pub(super) weighed: Vec<(DepthFit, f64)>,
}

/// Weighs all models by AICc and keeps the best one.
///
/// ```text
/// w = exp(−Δ/2) / Σ exp(−Δ/2),   Δ = AICc − smallest AICc
/// ```
/// A model whose parameters run to the limits of the search, or are not determined, is not weighed: with the reason. A level
/// or a line is chosen only where increments are enough for a model that bends.
///
/// # Errors
/// As [`fit_depth`](super::fit_depth), but for too few increments, which is a reason here.
///
/// # Example
/// ```
/// use woodstate::numeric::Watch;
/// use woodstate::profile::{DepthModel, Increment, choose_depth_model};
/// let values = [31.0, 33.0, 30.0, 52.0, 88.0, 91.0, 90.0, 89.0];
/// let core = [0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0].into_iter().zip(values);
/// let core: Vec<Increment> = core.map(|(from, value)| Increment::new(from, from + 5.0, value)).collect();
/// let choice = choose_depth_model(&core, &Watch::silent())?;
/// assert_eq!(choice.fit.unwrap().shape.model, DepthModel::Step);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
/// # Source
/// K. P. Burnham, D. R. Anderson 2002, Model Selection and Multimodel Inference, 2nd edition, section 2.9 \[memory].
pub fn choose_depth_model(increments: &[Increment], watch: &Watch<'_>) -> Result<Choice> {
    chosen(&Readings::of(increments)?, watch)
}

pub(super) fn chosen(readings: &Readings, watch: &Watch<'_>) -> Result<Choice> {
    let mut fits: Vec<(DepthModel, Option<DepthFit>, Option<NotWeighed>)> = Vec::new();
    for model in DepthModel::ALL {
        let entry = match fitted(readings, model, watch) {
            Ok(fit) => {
                let reason = doubt(readings, &fit);
                (model, Some(fit), reason)
            }
            Err(error) if matches!(error.kind(), ErrorKind::Stopped) => return Err(error),
            // Too few of them, or the model has no value anywhere it was started.
            Err(_) if readings.n() < model.n_parameters() => (model, None, Some(NotWeighed::TooFew)),
            Err(_) => (model, None, Some(NotWeighed::Undetermined)),
        };
        fits.push(entry);
    }
    let criterion = |fit: &Option<DepthFit>| fit.as_ref().and_then(|fit| fit.aicc);
    let weighed = || fits.iter().filter(|(.., reason)| reason.is_none()).filter_map(|(_, fit, _)| criterion(fit));
    let least = weighed().fold(f64::INFINITY, f64::min);
    let share = |aicc: f64| (-(aicc - least) / 2.0).exp();
    let total: f64 = weighed().map(share).sum();
    let considered = fits.iter().map(|(model, fit, reason)| Considered {
        model: *model,
        aicc: criterion(fit),
        weight: criterion(fit).filter(|_| reason.is_none()).map(|aicc| share(aicc) / total),
        reason: *reason,
    });
    let considered: Vec<Considered> = considered.collect();
    // A level or a line is chosen against models that bend, not because increments are too few for any of them.
    let bends = |entry: &Considered| entry.weight.is_some() && entry.model.n_parameters() > 2;
    let has_rivals = considered.iter().any(bends) || readings.n() >= ENOUGH;
    let [shallowest, deepest] = readings.range();
    // Of equals the one with fewer parameters, which stands first.
    let best = considered.iter().position(|entry| {
        let is_least = entry.aicc.is_some_and(|aicc| aicc <= least);
        entry.reason.is_none() && is_least
    });
    if !has_rivals || deepest <= shallowest {
        return Ok(Choice { fit: None, considered, weighed: Vec::new() });
    }
    let of = |(_, fit, _): &(DepthModel, Option<DepthFit>, Option<NotWeighed>), entry: &Considered| {
        Some((fit.clone()?, entry.weight?))
    };
    let weighed = fits.iter().zip(&considered).filter_map(|(fit, entry)| of(fit, entry)).collect();
    let fit = best.and_then(|best| fits.swap_remove(best).1);
    Ok(Choice { fit, considered, weighed })
}

fn doubt(readings: &Readings, fit: &DepthFit) -> Option<NotWeighed> {
    let is_logistic = fit.shape.model == DepthModel::Logistic;
    let ends = readings.ends();
    let thinnest = ends.windows(2).map(|pair| pair[1] - pair[0]).fold(f64::INFINITY, f64::min);
    // Within the thinnest interval a border from 10 to 90 % cannot be told from a sharp one.
    if is_logistic && fit.shape.parameters[3] < thinnest {
        return Some(NotWeighed::AsSharpAsAStep);
    }
    if fit.aicc.is_none() {
        return Some(NotWeighed::TooFew);
    }
    if !fit.on_limit.is_empty() {
        return Some(NotWeighed::OnLimit);
    }
    fit.is_undetermined.then_some(NotWeighed::Undetermined)
}

impl Choice {
    /// Weight of the chosen model; `None` where there is none.
    #[must_use]
    pub fn weight(&self) -> Option<f64> {
        let model = self.fit.as_ref()?.shape.model;
        self.considered.iter().find(|entry| entry.model == model)?.weight
    }

    /// The closest of the other models, with how much larger its AICc is; `None` where there is no other.
    #[must_use]
    pub fn next(&self) -> Option<(DepthModel, f64)> {
        let best = self.fit.as_ref()?;
        let others = self.considered.iter().filter(|entry| entry.model != best.shape.model && entry.weight.is_some());
        let next = others.min_by(|a, b| real_or_far(a.aicc).total_cmp(&real_or_far(b.aicc)))?;
        Some((next.model, next.aicc? - best.aicc?))
    }
}

fn real_or_far(aicc: Option<f64>) -> f64 {
    aicc.unwrap_or(f64::INFINITY)
}
