//! Drawing the units of a sample with replacement.

use std::sync::atomic::{AtomicUsize, Ordering};

use super::Bootstrap;
use crate::error::Result;
use crate::numeric::check;
use crate::numeric::parallel::map_ordered;
use crate::numeric::stream::Stream;
use crate::numeric::watch::Watch;

/// Samples that one thread takes at once.
const RUN: usize = 16;

/// What is drawn, and left out in turn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Units<'a> {
    /// So many cases, each alone.
    Cases(usize),
    /// Whole groups: the number of the group of each case, such as its timber. Cases of one group stay together.
    Groups(&'a [usize]),
}

/// How many samples, with which seed, on how many threads.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Plan {
    /// Samples to draw.
    pub replicates: usize,
    /// Seed; sample number b draws from stream b of it, whatever the threads.
    pub seed: u64,
    /// Threads at most.
    pub threads: usize,
}

impl Units<'_> {
    /// The cases of each unit; groups in the order of their first case.
    pub(in crate::numeric) fn members(self) -> Result<Vec<Vec<usize>>> {
        let members = match self {
            Units::Cases(n) => (0..n).map(|case| vec![case]).collect(),
            Units::Groups(groups) => grouped(groups),
        };
        check::at_least("number of units to draw from", members.len(), 2)?;
        Ok(members)
    }
}

fn grouped(groups: &[usize]) -> Vec<Vec<usize>> {
    let mut order: Vec<usize> = (0..groups.len()).collect();
    order.sort_by_key(|&case| groups[case]);
    let mut members: Vec<Vec<usize>> = order.chunk_by(|&a, &b| groups[a] == groups[b]).map(<[usize]>::to_vec).collect();
    members.sort_by_key(|cases| cases.first().copied());
    members
}

/// Estimates from samples drawn from one sample, with those of the sample itself and with each unit left out.
///
/// `statistic` gets the cases of a sample, with repetitions, and gives the estimates, or `None` where there are none;
/// such samples are counted.
///
/// # Errors
/// When there are fewer than two units or samples, the sample itself (or with one unit left out) gives no estimates,
/// or the watch stops.
///
/// # Source
/// B. Efron 1979, Bootstrap methods: another look at the jackknife, The Annals of Statistics 7, 1-26,
/// doi:10.1214/aos/1176344552 \[memory].
pub fn bootstrap(
    units: Units<'_>,
    plan: Plan,
    watch: &Watch<'_>,
    statistic: impl Fn(&[usize]) -> Option<Vec<f64>> + Sync,
) -> Result<Bootstrap> {
    let members = units.members()?;
    let whole: Vec<usize> = match units {
        Units::Cases(n) => (0..n).collect(),
        Units::Groups(groups) => (0..groups.len()).collect(),
    };
    let missing = || check::range("number of estimates of the sample", 0.0, "at least 1");
    let estimate = statistic(&whole).ok_or_else(missing)?;
    let jackknife = left_out(&members).map(|cases| statistic(&cases)).collect::<Option<Vec<_>>>();
    let drawn = replicate(plan, watch, Vec::new, |cases, stream| {
        draw_units(&members, stream, cases);
        Ok(statistic(cases))
    })?;
    Bootstrap::new(estimate, drawn, jackknife.unwrap_or_default(), plan.seed)
}

/// The cases without those of one unit, unit by unit.
pub(in crate::numeric) fn left_out(members: &[Vec<usize>]) -> impl Iterator<Item = Vec<usize>> {
    (0..members.len()).map(|unit| {
        let others = members.iter().enumerate().filter(move |(other, _)| *other != unit);
        let mut cases: Vec<usize> = others.flat_map(|(_, cases)| cases.iter().copied()).collect();
        cases.sort_unstable();
        cases
    })
}

/// As many units as there are, drawn with replacement.
pub(in crate::numeric) fn draw_units(members: &[Vec<usize>], stream: &mut Stream, cases: &mut Vec<usize>) {
    cases.clear();
    for _ in members {
        cases.extend_from_slice(&members[stream.below(members.len())]);
    }
}

/// Calls `one` for each sample with a stream of its own; results in the order of the samples. `start` makes the
/// memory that a run of samples shares, which must not change results.
pub(in crate::numeric) fn replicate<W>(
    plan: Plan,
    watch: &Watch<'_>,
    start: impl Fn() -> W + Sync,
    one: impl Fn(&mut W, &mut Stream) -> Result<Option<Vec<f64>>> + Sync,
) -> Result<Vec<Option<Vec<f64>>>> {
    check::at_least("number of samples to draw", plan.replicates, 2)?;
    let done = AtomicUsize::new(0);
    let runs: Vec<usize> = (0..plan.replicates).step_by(RUN).collect();
    let results = map_ordered(plan.threads, runs, |first| {
        // Asked before the work: every run is begun, also after one of them was stopped.
        watch.go_on()?;
        let mut memory = start();
        let last = (first + RUN).min(plan.replicates);
        let mut results = Vec::with_capacity(last - first);
        for (key, _) in (0_u64..).zip(0..last).skip(first) {
            results.push(one(&mut memory, &mut Stream::new(plan.seed, key))?);
        }
        // Progress only; no other data hangs on the count.
        let count = done.fetch_add(last - first, Ordering::Relaxed) + last - first;
        watch.advance("samples", count, plan.replicates)?;
        Ok(results)
    })?;
    let mut all = Vec::with_capacity(plan.replicates);
    for run in results {
        all.extend(run?);
    }
    Ok(all)
}
