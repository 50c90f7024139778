//! The profile of one timber: curve, break and soft rim.

use std::collections::BTreeMap;

use crate::error::Result;
use crate::numeric::Watch;

use super::break_depth::break_depth;
use super::choice::chosen;
use super::cores::scatter;
use super::doubt::cautions;
use super::fit::fitted;
use super::increment::Readings;
use super::redraw::{Drawable, redraw};
use super::rim::treads;
use super::{
    BreakDepth, Choice, Considered, DepthCaution, DepthDraws, DepthFit, Drawn, Increment, NotWeighed, ProfileOptions,
    RimDepth, Scatter, Tread, rim_between,
};

/// The end of the soft rim.
#[derive(Debug, Clone, PartialEq)]
pub struct Rim {
    /// By the curve; `None` where the increments carry none, or where it lies outside the interval that they allow.
    pub depth: Option<RimDepth>,
    /// What draws say of it; `None` without a curve, or where its uncertainty is unknown.
    pub drawn: Option<Drawn>,
    /// Share of the draws in which the rim ends within the sampled depth, or is none at all.
    pub reached: Option<f64>,
    /// What the curve says where that lies outside the interval that the increments allow.
    pub disagrees: Option<RimDepth>,
    /// Between which depths it ends as far as the increments themselves tell, all cores together, mm.
    pub between: [Option<f64>; 2],
    /// The same for each core, with its number.
    pub by_core: Vec<(usize, [Option<f64>; 2])>,
}

/// A timber in depth.
#[derive(Debug, Clone, PartialEq)]
pub struct DepthProfile {
    /// Number of increments.
    pub n: usize,
    /// Number of cores.
    pub n_cores: usize,
    /// The shallowest and the deepest depth, mm.
    pub range: [f64; 2],
    /// The models beside each other, and the chosen one.
    pub choice: Choice,
    /// How increments scatter, between cores and within; `None` without a curve.
    pub scatter: Option<Scatter>,
    /// The break of the curve; `None` where it has none.
    pub break_depth: Option<BreakDepth>,
    /// What draws say of the break.
    pub break_drawn: Option<Drawn>,
    /// What was measured at each depth, and the closest curve that never turns.
    pub treads: Vec<Tread>,
    /// The soft rim; `None` where no threshold is given.
    pub rim: Option<Rim>,
    /// The curve drawn again; `None` without a curve or without a known scatter.
    pub draws: Option<DepthDraws>,
    /// What to know before it is used.
    pub cautions: Vec<DepthCaution>,
}

/// The profile of a timber from the increments of its cores.
///
/// The curve is the mean of the cores; each increment is taken as the mean over its interval. Where increments are too few
/// for a curve, the interval in which the rim ends still stands: it needs no curve.
///
/// # Errors
/// No increments, numbers that are not finite, a model that was asked for and has more parameters
/// than there are increments, options outside their range, or a stop asked for through `watch`.
///
/// # Example
/// ```
/// use woodstate::numeric::Watch;
/// use woodstate::profile::{Degraded, DepthModel, Increment, ProfileOptions, RimDepth, depth_profile};
/// let values = [31.0, 33.0, 30.0, 52.0, 88.0, 91.0, 90.0, 89.0];
/// let core = [0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0].into_iter().zip(values);
/// let core: Vec<Increment> = core.map(|(from, value)| Increment::new(from, from + 5.0, value).with_u(1.5)).collect();
/// let options = ProfileOptions::plain(Degraded::Below).with_threshold(80.0);
/// let profile = depth_profile(&core, &options, &Watch::silent())?;
/// let rim = profile.rim.unwrap();
/// assert!(matches!(rim.depth, Some(RimDepth::At(depth)) if (depth - 18.2).abs() < 0.3));
/// assert_eq!(rim.between, [Some(15.0), Some(25.0)]);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
pub fn depth_profile(increments: &[Increment], options: &ProfileOptions, watch: &Watch<'_>) -> Result<DepthProfile> {
    options.check()?;
    let readings = Readings::of(increments)?;
    let treads = treads(&readings, options.degraded)?;
    let choice = match options.model {
        None => chosen(&readings, watch)?,
        Some(model) => {
            let fit = fitted(&readings, model, watch)?;
            let considered = vec![Considered { model, aicc: fit.aicc, weight: None, reason: None::<NotWeighed> }];
            Choice { weighed: vec![(fit.clone(), 1.0)], fit: Some(fit), considered }
        }
    };
    let mut profile = DepthProfile {
        n: readings.n(),
        n_cores: readings.n_cores(),
        range: readings.range(),
        choice,
        scatter: None,
        break_depth: None,
        break_drawn: None,
        treads,
        rim: None,
        draws: None,
        cautions: Vec::new(),
    };
    if let Some(fit) = profile.choice.fit.clone() {
        let found = scatter(&readings, &fit)?;
        profile.break_depth = break_depth(&readings, &fit, options.coverage, watch)?;
        if options.replicates > 1 {
            let plan = (options.replicates, options.seed);
            let drawable = |(fit, weight): &(DepthFit, f64)| -> Result<Drawable> {
                Ok(Drawable { scatter: scatter(&readings, fit)?, fit: fit.clone(), weight: *weight })
            };
            let fits = profile.choice.weighed.iter().map(drawable).collect::<Result<Vec<_>>>()?;
            profile.draws = redraw(&readings, &fits, plan, watch)?;
        }
        let model = fit.shape.model;
        let of = |(place, draws): (usize, &DepthDraws)| draws.parameter(model, place, options.coverage);
        profile.break_drawn = model.break_place().zip(profile.draws.as_ref()).map(of);
        profile.scatter = Some(found);
    }
    profile.rim = rim(&profile, increments, options)?;
    profile.cautions = cautions(&profile, increments, options);
    Ok(profile)
}

fn rim(profile: &DepthProfile, increments: &[Increment], options: &ProfileOptions) -> Result<Option<Rim>> {
    let Some(threshold) = options.limit() else { return Ok(None) };
    let [_, deepest] = profile.range;
    let draws = profile.draws.as_ref();
    let mut by_core: BTreeMap<usize, Vec<Increment>> = BTreeMap::new();
    for increment in increments {
        by_core.entry(increment.core).or_default().push(increment.clone());
    }
    let mut cores = Vec::with_capacity(by_core.len());
    for (core, increments) in by_core {
        let treads = treads(&Readings::of(&increments)?, options.degraded)?;
        cores.push((core, rim_between(&treads, threshold)));
    }
    let between = rim_between(&profile.treads, threshold);
    let by_curve = profile.fit().map(|fit| threshold.rim_of(&fit.shape, deepest));
    let is_allowed = |depth: &RimDepth| {
        let depth = depth.number();
        let [low, high] = between;
        low.is_none_or(|low| depth >= low) && high.is_none_or(|high| depth <= high)
    };
    let (depth, disagrees) = (by_curve.filter(is_allowed), by_curve.filter(|depth| !is_allowed(depth)));
    let draws = draws.filter(|_| depth.is_some());
    Ok(Some(Rim {
        depth,
        disagrees,
        drawn: draws.map(|draws| draws.rim(threshold, options.coverage)),
        reached: draws.map(|draws| draws.share_with(threshold, |rim| !matches!(rim, RimDepth::Beyond(_)))),
        between,
        by_core: cores,
    }))
}

impl DepthProfile {
    /// The chosen fit; `None` where the increments carry no curve.
    #[must_use]
    pub fn fit(&self) -> Option<&DepthFit> {
        self.choice.fit.as_ref()
    }

    /// The depth that parts rim from core, mm: by the curve, or the end of the last degraded increment where there is no curve.
    /// 0 without a rim; `None` where the end of the rim was not reached, or no threshold was given.
    #[must_use]
    pub fn border(&self, options: &ProfileOptions) -> Option<f64> {
        let threshold = options.limit()?;
        match self.rim.as_ref()?.depth {
            Some(RimDepth::NoRim) => Some(0.0),
            Some(RimDepth::At(depth)) => Some(depth),
            Some(RimDepth::Beyond(_)) => None,
            None => {
                let is_degraded = |tread: &&Tread| threshold.is_degraded(tread.level);
                let last = self.treads.iter().rev().find(is_degraded).map_or(0.0, |tread| tread.depth[1]);
                (last < self.range[1]).then_some(last)
            }
        }
    }
}
