//! Doubts about a depth profile, as cautions that say what they rest on.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use crate::error::DepthCautionCode;

use super::{Degraded, DepthProfile, Increment, ProfileOptions, RimDepth};

/// A caution about a depth profile.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct DepthCaution {
    /// The word.
    pub code: &'static str,
    /// One short clause.
    pub text: &'static str,
    /// What it rests on here; `None` where there is nothing to add.
    pub detail: Option<String>,
    /// The code, to match on; not written, `code` is its word.
    #[serde(skip)]
    pub of: DepthCautionCode,
}

/// Probability below which cores are called different.
const UNLIKELY: f64 = 0.05;

/// Increments on a side of a break below which it lies at the edge.
const SIDE: usize = 3;

/// Weight below which models are called undecided.
const DECIDED: f64 = 0.9;

/// Standard uncertainties, and share of a value, beyond which wood farther out is called better preserved (a proposal of ours).
const TURNS: (f64, f64) = (3.0, 0.1);

impl DepthCaution {
    /// A caution; `detail` may be empty.
    #[must_use]
    pub fn new(of: DepthCautionCode, detail: impl Into<String>) -> Self {
        let detail = Some(detail.into()).filter(|detail| !detail.is_empty());
        Self { code: of.word(), text: of.story().text, detail, of }
    }
}

/// What to know before a profile is used.
pub(super) fn cautions(
    profile: &DepthProfile,
    increments: &[Increment],
    options: &ProfileOptions,
) -> Vec<DepthCaution> {
    let mut cautions = Vec::new();
    let mut say = |is: bool, of, detail: String| {
        if is {
            cautions.push(DepthCaution::new(of, detail));
        }
    };
    let n = increments.len();
    say(profile.fit().is_none(), DepthCautionCode::FewIncrements, format!("{n} increments"));
    say(profile.n_cores < 2, DepthCautionCode::SingleCore, String::new());
    let probability = profile.scatter.as_ref().and_then(|scatter| scatter.probability);
    if let Some(p) = probability.filter(|p| *p < UNLIKELY) {
        let said = if p < 0.001 { "probability below 0.001".to_owned() } else { format!("probability {p:.3}") };
        say(true, DepthCautionCode::CoresDiffer, said);
    }
    if let Some(found) = &profile.break_depth {
        let [outside, inside] = found.n_sides;
        let detail = format!("{outside} increments outside it, {inside} inside");
        say(outside.min(inside) < SIDE, DepthCautionCode::BreakAtEdge, detail);
        let open = [
            found.ranges.iter().any(|range| range.is_open_low).then_some("outwards"),
            found.ranges.iter().any(|range| range.is_open_high).then_some("inwards"),
        ];
        let open: Vec<&str> = open.into_iter().flatten().collect();
        say(!open.is_empty(), DepthCautionCode::BreakOpen, open.join(" and "));
    }
    let [shallowest, deepest] = profile.range;
    let is_beyond = profile.rim.as_ref().is_some_and(|rim| match rim.depth {
        Some(depth) => matches!(depth, RimDepth::Beyond(_)),
        None => rim.between[1].is_none(),
    });
    let outside = profile.rim.as_ref().and_then(|rim| {
        let depth = rim.disagrees?.number();
        let of_curve =
            if depth.is_finite() { format!("at {} mm", shown(depth)) } else { "beyond the cores".to_owned() };
        let ends = rim.between.map(|end| end.map_or_else(|| "beyond the cores".to_owned(), shown));
        Some(format!("{of_curve} by the curve, {} to {} mm by increments", ends[0], ends[1]))
    });
    say(outside.is_some(), DepthCautionCode::CurveDisagrees, outside.unwrap_or_default());
    say(is_beyond, DepthCautionCode::RimBeyondCores, format!("down to {} mm", shown(deepest)));
    say(shallowest > 0.0, DepthCautionCode::RimNotSampled, format!("the first {} mm", shown(shallowest)));
    let turned = turned(increments, options.degraded);
    say(turned.is_some(), DepthCautionCode::NotMonotone, turned.unwrap_or_default());
    let (overlap, gap) = neighbours(increments);
    say(overlap.is_some(), DepthCautionCode::IncrementsOverlap, overlap.unwrap_or_default());
    say(gap.is_some(), DepthCautionCode::IncrementsGap, gap.unwrap_or_default());
    if let (None, Some(weight), Some((next, _))) = (options.model, profile.choice.weight(), profile.choice.next()) {
        let detail = format!("weight {:.0} %, next {}", 100.0 * weight, next.word());
        say(weight < DECIDED, DepthCautionCode::DepthModelUndecided, detail);
    }
    match &options.section {
        None => say(true, DepthCautionCode::SectionUnknown, String::new()),
        Some(section) => {
            let (middle, longest) = (section.deepest(), section.longest());
            let (deep, across) = (shown(deepest), shown(longest));
            let detail = format!("to {deep} mm, and the section is {across} mm across at most");
            say(deepest > longest, DepthCautionCode::DepthBeyondTimber, detail);
            let detail = format!("to {deep} mm, and no wood is deeper than {} mm below a face", shown(middle));
            let is_past = deepest > middle * (1.0 + 1e-9) && deepest <= longest;
            say(is_past, DepthCautionCode::PastMiddle, detail);
            let detail = format!("cores end at {deep} mm, the middle lies at {} mm", shown(middle));
            say(deepest < middle * (1.0 - 1e-9), DepthCautionCode::MiddleNotReached, detail);
        }
    }
    let mut faces: Vec<usize> = increments.iter().filter_map(|increment| increment.face).collect();
    faces.sort_unstable();
    faces.dedup();
    say(faces.len() < 2, DepthCautionCode::OneFace, String::new());
    cautions
}

/// A depth as a person writes it.
fn shown(depth: f64) -> String {
    let rounded = (depth * 10.0).round() / 10.0;
    rounded.to_string()
}

fn by_core(increments: &[Increment]) -> BTreeMap<usize, Vec<&Increment>> {
    let mut cores: BTreeMap<usize, Vec<&Increment>> = BTreeMap::new();
    for increment in increments {
        cores.entry(increment.core).or_default().push(increment);
    }
    for core in cores.values_mut() {
        core.sort_by(|a, b| a.depth[0].total_cmp(&b.depth[0]).then(a.depth[1].total_cmp(&b.depth[1])));
    }
    cores
}

/// The first place at which wood farther out is clearly better preserved than wood farther in.
fn turned(increments: &[Increment], degraded: Degraded) -> Option<String> {
    let is_better = |outer: &Increment, inner: &Increment| {
        let by = match degraded {
            Degraded::Below => outer.value - inner.value,
            Degraded::Above => inner.value - outer.value,
        };
        let u = outer.u.unwrap_or(0.0).hypot(inner.u.unwrap_or(0.0));
        let (times, share) = TURNS;
        outer.depth[1] <= inner.depth[0] && by > times * u && by > share * outer.value.abs().max(inner.value.abs())
    };
    by_core(increments).values().find_map(|core| {
        core.iter().enumerate().find_map(|(place, outer)| {
            let inner = core[place + 1..].iter().find(|inner| is_better(outer, inner))?;
            let depth = |one: &Increment| format!("{} to {} mm", shown(one.depth[0]), shown(one.depth[1]));
            Some(format!("{} beside {}", depth(outer), depth(inner)))
        })
    })
}

/// The first overlap and the first gap between neighbours in a core.
fn neighbours(increments: &[Increment]) -> (Option<String>, Option<String>) {
    let (mut overlap, mut gap) = (None, None);
    for core in by_core(increments).values() {
        let mut deepest = core[0].depth[1];
        for next in core.iter().skip(1) {
            let from = next.depth[0];
            if from < deepest {
                overlap.get_or_insert_with(|| format!("{} to {} mm", shown(from), shown(deepest.min(next.depth[1]))));
            } else if from > deepest {
                gap.get_or_insert_with(|| format!("{} to {} mm", shown(deepest), shown(from)));
            }
            deepest = deepest.max(next.depth[1]);
        }
    }
    (overlap, gap)
}
