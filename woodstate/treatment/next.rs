//! What to measure next: what is not known and would change a verdict.

use crate::reference::{RouteVerdict, TreatmentRoute};

use super::answer::Supposed;
use super::circumstance::Circumstances;
use super::gap::{Gap, GapAnswer};
use super::judge::{JudgedRoute, verdict};

/// A verdict that would change.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct VerdictChange {
    /// Place of the route in the list.
    pub route: usize,
    /// If the gap turned out to be this.
    pub answer: GapAnswer,
    /// The verdict now.
    pub from: RouteVerdict,
    /// The verdict then, if everything else stayed as it is.
    pub alone: RouteVerdict,
    /// The verdict then, if what else is not known of the route turned out well.
    pub at_best: RouteVerdict,
    /// What else is not known of the route.
    pub also: Vec<Gap>,
}

/// Something to be measured or stated.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NextStep {
    /// What.
    pub gap: Gap,
    /// What would change.
    pub changes: Vec<VerdictChange>,
    /// How many routes have a verdict that would change.
    pub n_routes: usize,
}

/// What would change a verdict: measurements first, then statements of the laboratory; those that touch the most routes
/// first.
///
/// * `routes` and `judged`: as many, in the same order
#[must_use]
pub fn next_steps(routes: &[TreatmentRoute], judged: &[JudgedRoute<'_>], at: &Circumstances<'_>) -> Vec<NextStep> {
    let mut steps: Vec<NextStep> = Vec::new();
    for (place, (route, judged)) in routes.iter().zip(judged).enumerate() {
        let mut gaps: Vec<Gap> = judged.reasons.iter().flat_map(|reason| reason.gaps.iter().copied()).collect();
        gaps.sort_unstable();
        gaps.dedup();
        for gap in &gaps {
            let changes = changes(route, place, judged.verdict, *gap, &gaps, at);
            if changes.is_empty() {
                continue;
            }
            let step = match steps.iter().position(|step| step.gap == *gap) {
                Some(step) => &mut steps[step],
                None => {
                    steps.push(NextStep { gap: *gap, changes: Vec::new(), n_routes: 0 });
                    let last = steps.len() - 1;
                    &mut steps[last]
                }
            };
            step.changes.extend(changes);
            step.n_routes += 1;
        }
    }
    steps.sort_by_key(|step| (!step.gap.is_measured(), usize::MAX - step.n_routes, step.gap));
    steps
}

fn changes(
    route: &TreatmentRoute,
    place: usize,
    from: RouteVerdict,
    gap: Gap,
    gaps: &[Gap],
    at: &Circumstances<'_>,
) -> Vec<VerdictChange> {
    // The best verdict that is possible while the gap stays open: where it is the verdict now, the gap holds the route there.
    let hopeful = Supposed { is_hopeful: true, ..Supposed::known(at) };
    let is_held = verdict(route, &Supposed { held: Some(gap), ..hopeful }) == from;
    let change = |answer: &GapAnswer| {
        let closed = [(gap, *answer)];
        let alone = verdict(route, &Supposed { closed: &closed, ..Supposed::known(at) });
        let at_best = verdict(route, &Supposed { closed: &closed, ..hopeful });
        let also =
            if alone == from { gaps.iter().copied().filter(|other| *other != gap).collect() } else { Vec::new() };
        let is_change = alone != from || (is_held && at_best != from);
        is_change.then_some(VerdictChange { route: place, answer: *answer, from, alone, at_best, also })
    };
    gap.answers().iter().filter_map(change).collect()
}
