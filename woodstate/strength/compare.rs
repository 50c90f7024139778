//! Models side by side, with the weight of each.

use crate::error::{ErrorKind, Result};
use crate::numeric::{Ending, FitDoubt, Watch};

use super::curve::of_pairs;
use super::pair::{Pairs, range, real};
use super::{CurveFit, CurveModel, CurveOptions, Pair, Weighting};

/// Why a model is not weighed against the others.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NotCompared {
    /// Too few pieces for its parameters.
    TooFewPieces,
    /// A state is 0 or below, where the model does not exist.
    StateNotPositive,
    /// The data do not tell its parameters apart.
    Undetermined,
    /// A parameter stands on the limit of what was searched.
    OnLimit,
    /// The fit came to no end.
    Unsettled,
    /// The curve comes to 0 or below at a piece, where scatter cannot be in proportion to it.
    NotAboveZero,
}

impl NotCompared {
    /// In words, as the end of a sentence.
    #[must_use]
    pub fn reason(self) -> &'static str {
        match self {
            Self::TooFewPieces => "too few pieces for its parameters",
            Self::StateNotPositive => "a state is 0 or below, where it does not exist",
            Self::Undetermined => "the data do not tell its parameters apart",
            Self::OnLimit => "a parameter stands on the limit of the search",
            Self::Unsettled => "the fit came to no end",
            Self::NotAboveZero => "it comes to 0 or below, where scatter cannot be in proportion to it",
        }
    }
}

/// A model beside others.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Compared {
    /// The model.
    pub model: CurveModel,
    /// Its criterion; `None` where it has none.
    pub aicc: Option<f64>,
    /// Its weight among those that are weighed; they sum to 1. `None` where it is not.
    pub weight: Option<f64>,
    /// Why it is not weighed.
    pub why_not: Option<NotCompared>,
}

/// Models beside each other for the same pieces.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison {
    /// Every model that was asked for, in that order.
    pub entries: Vec<Compared>,
    /// The curves that are weighed, with their weights, the heaviest first.
    pub weighed: Vec<(CurveFit, f64)>,
}

/// Fits several models to the same pieces and weighs them by AICc.
///
/// ```text
/// w_i = exp(−Δ_i/2) / Σ exp(−Δ_j/2),   Δ_i = AICc_i − the smallest AICc
/// ```
/// A model whose parameters the data do not hold is listed with the reason and not weighed.
///
/// # Errors
/// As [`fit_curve`](super::fit_curve), and where no model can be weighed.
///
/// # Example
/// ```
/// use woodstate::numeric::Watch;
/// use woodstate::strength::{CurveModel, CurveOptions, Pair, compare};
/// let states = [20.0, 30.0, 40.0, 50.0, 60.0, 70.0, 80.0, 90.0];
/// // Invented: proportional to the square of the state, and a scatter that is no scatter of wood.
/// let pairs: Vec<Pair> = (0..8).map(|i| Pair::new(states[i], 0.004 * states[i].powi(2) + [0.1, -0.1][i % 2])).collect();
/// let models = [CurveModel::Linear, CurveModel::Power];
/// let found = compare(&pairs, &models, &CurveOptions::plain(100.0), &Watch::silent())?;
/// assert_eq!(found.weighed[0].0.formula.model, CurveModel::Power);
/// assert!(found.entries[1].weight.unwrap() > 0.999);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
/// # Source
/// K. P. Burnham, D. R. Anderson 2002, Model Selection and Multimodel Inference, doi:10.1007/b97636, section 2.9 \[memory].
pub fn compare(pairs: &[Pair], models: &[CurveModel], options: &CurveOptions, watch: &Watch<'_>) -> Result<Comparison> {
    options.check()?;
    let pairs = Pairs::of(pairs)?;
    let mut entries = Vec::with_capacity(models.len());
    let mut curves: Vec<(CurveFit, f64)> = Vec::new();
    for (done, &model) in models.iter().enumerate() {
        watch.advance("models", done, models.len())?;
        let entry = |aicc, why_not| Compared { model, aicc, weight: None, why_not };
        if let Some(why_not) = before(&pairs, model) {
            entries.push(entry(None, Some(why_not)));
            continue;
        }
        let curve = match of_pairs(pairs.clone(), model, options, watch) {
            Ok(curve) => curve,
            Err(error) if matches!(error.kind(), ErrorKind::Stopped | ErrorKind::Shape { .. }) => return Err(error),
            Err(_) => {
                let is_scaled = options.weighting == Weighting::Proportional;
                let why_not = if is_scaled { NotCompared::NotAboveZero } else { NotCompared::Unsettled };
                entries.push(entry(None, Some(why_not)));
                continue;
            }
        };
        let aicc = curve.aicc();
        let why_not = after(&curve).or(aicc.is_none().then_some(NotCompared::TooFewPieces));
        entries.push(entry(aicc, why_not));
        if let (Some(aicc), None) = (aicc, why_not) {
            curves.push((curve, aicc));
        }
    }
    let best = curves.iter().map(|(_, aicc)| *aicc).fold(f64::INFINITY, f64::min);
    if curves.is_empty() {
        return Err(range("number of models that could be compared", 0.0, "at least 1; more pieces are needed"));
    }
    let total: f64 = curves.iter().map(|(_, aicc)| (0.5 * (best - aicc)).exp()).sum();
    for (_, share) in &mut curves {
        *share = (0.5 * (best - *share)).exp() / total;
    }
    curves.sort_by(|(_, a), (_, b)| b.total_cmp(a));
    for entry in &mut entries {
        let weighed = curves.iter().find(|(curve, _)| curve.formula.model == entry.model);
        entry.weight = weighed.map(|(_, weight)| *weight);
    }
    Ok(Comparison { entries, weighed: curves })
}

fn before(pairs: &Pairs, model: CurveModel) -> Option<NotCompared> {
    // One parameter more for the scatter, and one piece more for the criterion.
    let needed = real(model.n_parameters()) + 3.0;
    if real(pairs.n()) < needed {
        return Some(NotCompared::TooFewPieces);
    }
    let is_below = model == CurveModel::Power && pairs.x.iter().any(|x| *x <= 0.0);
    is_below.then_some(NotCompared::StateNotPositive)
}

fn after(curve: &CurveFit) -> Option<NotCompared> {
    match curve.fit.ending {
        Ending::RankDeficient => return Some(NotCompared::Undetermined),
        Ending::Unsettled => return Some(NotCompared::Unsettled),
        _ => {}
    }
    let doubts = &curve.fit.doubts;
    let is_on_limit = doubts.iter().any(|doubt| matches!(doubt, FitDoubt::AtLimit { .. }));
    is_on_limit.then_some(NotCompared::OnLimit)
}
