//! A route judged for a timber: the verdict, what it rests on, and what is not known.

use crate::quantity::Evidence;
use crate::reference::{
    Grade, RouteRule, RouteTest, RouteVerdict, Statement, Support, SupportBasis, TreatmentRoute, weakness,
};

use super::answer::{Answer, Supposed};
use super::circumstance::Circumstances;
use super::gap::{Gap, GapAnswer};

/// Works that have to recommend a route before it is suited.
const WORKS_FOR_SUITED: usize = 2;

/// How a reason bears on a verdict.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Bearing {
    /// An author's condition is fulfilled.
    Supports,
    /// A rule holds.
    Limits,
    /// A rule would hold, or an author's condition be fulfilled, if what is not known turned out so.
    Open,
}

/// Why a verdict is no better, or no worse.
#[derive(Debug, Clone, PartialEq)]
pub struct RouteReason<'r> {
    /// How it bears on the verdict.
    pub bearing: Bearing,
    /// Word of the rule; `None` for what an author recommends.
    pub rule: Option<&'r str>,
    /// What a recommendation rests on; `None` for a rule.
    pub basis: Option<SupportBasis>,
    /// The best verdict that it leaves.
    pub at_best: RouteVerdict,
    /// Place of the zone that it was found in; `None` where it does not depend on the zone.
    pub zone: Option<usize>,
    /// What is said, with source.
    pub said: &'r Statement,
    /// The weakest evidence of what is said and of the grade that it asks for.
    pub evidence: Evidence,
    /// The tests behind it.
    pub tests: &'r [RouteTest],
    /// What is not known.
    pub gaps: Vec<Gap>,
}

/// A route judged for a timber.
#[derive(Debug, Clone, PartialEq)]
pub struct JudgedRoute<'r> {
    /// The verdict: that of the worst zone.
    pub verdict: RouteVerdict,
    /// The verdict in each zone.
    pub zones: Vec<RouteVerdict>,
    /// The evidence that the verdict rests on.
    pub evidence: Evidence,
    /// Why: supports, then limits, then what is open.
    pub reasons: Vec<RouteReason<'r>>,
}

/// Judges a route.
///
/// ```text
/// verdict(zone) = min( suited,
///                      each rule: verdict where it holds, unknown where that cannot be told,
///                      suited where two broad works that were read recommend it, possible where one published work does, or doubtful )
/// verdict       = min over the zones
/// ```
///
/// A recommendation counts as read only where everything that it asks for is known as well as that: the limits behind a
/// grade are part of it. So nothing is suited on memory, on an opinion or on a single case.
#[must_use]
pub fn judge<'r>(route: &'r TreatmentRoute, no_support: &'r Statement, at: &Circumstances<'_>) -> JudgedRoute<'r> {
    let supposed = Supposed::known(at);
    let mut reasons = Vec::new();
    let mut zones = Vec::with_capacity(at.zones.len());
    for zone in 0..at.zones.len() {
        let of_zone = weigh(route, &supposed, zone, |weighed| {
            let reason = weighed.reason(at, zone);
            if reason.zone.is_some() || zone == 0 {
                reasons.push(reason);
            }
        });
        if of_zone.1 == 0 {
            reasons.push(nothing(no_support, route, zone, at));
        }
        zones.push(of_zone.0);
    }
    let verdict = zones.iter().copied().min().unwrap_or(RouteVerdict::Doubtful);
    reasons.sort_by_key(|reason| (reason.bearing, reason.at_best));
    JudgedRoute { verdict, evidence: rests_on(verdict, &reasons), zones, reasons }
}

/// The verdict alone, with grades of zones that stand for those known.
pub(super) fn verdict(route: &TreatmentRoute, supposed: &Supposed<'_>) -> RouteVerdict {
    let zones = 0..supposed.at.zones.len();
    zones.map(|zone| weigh(route, supposed, zone, |_| ()).0).min().unwrap_or(RouteVerdict::Doubtful)
}

/// The verdict that a route would have if the zones were degraded like this: for draws of their state.
///
/// * `grades`: one a zone; `None` takes what is known of it
#[must_use]
pub fn verdict_at_grades(route: &TreatmentRoute, at: &Circumstances<'_>, grades: &[Option<Grade>]) -> RouteVerdict {
    verdict(route, &Supposed { grades, ..Supposed::known(at) })
}

/// The verdict that a route would have if some gaps turned out to be this, and everything else stayed as it is.
///
/// # Example
/// See `woodstate advise`: iron is not measured, and would be below the limit.
#[must_use]
pub fn verdict_if(route: &TreatmentRoute, at: &Circumstances<'_>, closed: &[(Gap, GapAnswer)]) -> RouteVerdict {
    verdict(route, &Supposed { closed, ..Supposed::known(at) })
}

/// Whether one of some tests is fulfilled; `None` where that cannot be told.
///
/// Zones do not matter: tests on a grade are looked at in the first zone.
#[must_use]
pub fn any_holds(tests: &[RouteTest], at: &Circumstances<'_>) -> Option<bool> {
    let answers = tests.iter().map(|test| Supposed::known(at).answer(test, 0));
    let mut is_open = false;
    for answer in answers {
        match answer {
            Answer::Yes => return Some(true),
            Answer::Unknown(_) => is_open = true,
            Answer::No => {}
        }
    }
    (!is_open).then_some(false)
}

/// Something that bears on a verdict.
enum Weighed<'r> {
    Support(&'r Support, bool, [Option<Gap>; MOST_GAPS]),
    Rule(&'r RouteRule, bool, [Option<Gap>; MOST_GAPS]),
}

/// Tests of one condition at most.
const MOST_GAPS: usize = 3;

/// The verdict in a zone, and how many recommendations are fulfilled there.
fn weigh<'r>(
    route: &'r TreatmentRoute,
    supposed: &Supposed<'_>,
    zone: usize,
    mut say: impl FnMut(Weighed<'r>),
) -> (RouteVerdict, usize) {
    let mut verdict = RouteVerdict::Suited;
    for rule in &route.rules {
        let (is, gaps) = all(&rule.when, supposed, zone);
        match is {
            Some(true) => verdict = verdict.min(rule.verdict),
            None if !supposed.hopes(&gaps) => verdict = verdict.min(rule.unknown),
            _ => continue,
        }
        say(Weighed::Rule(rule, is.is_some(), gaps));
    }
    let mut published = 0;
    // Two works: what one work says twice counts once.
    let (mut broad, mut first): (usize, Option<&str>) = (0, None);
    for support in &route.supports {
        let (is, gaps) = all(&support.when, supposed, zone);
        let is_fulfilled = is.unwrap_or_else(|| supposed.hopes(&gaps));
        if is_fulfilled {
            let is_published = matches!(support.said.evidence, Evidence::Read | Evidence::Copy);
            let evidence = with_grade(support.said.evidence, &support.when, supposed.at, zone);
            published += usize::from(is_published);
            let source = support.said.source.as_str();
            if support.basis.is_broad() && evidence == Evidence::Read && first != Some(source) {
                broad += 1;
                first = first.or(Some(source));
            }
        }
        if is != Some(false) {
            say(Weighed::Support(support, is.is_some(), gaps));
        }
    }
    let by_support = match (published, broad) {
        (_, WORKS_FOR_SUITED..) => RouteVerdict::Suited,
        (1.., _) => RouteVerdict::Possible,
        _ => RouteVerdict::Doubtful,
    };
    (verdict.min(by_support), published)
}

/// Whether all tests are fulfilled; `None` where that cannot be told, with what is missing.
fn all(tests: &[RouteTest], supposed: &Supposed<'_>, zone: usize) -> (Option<bool>, [Option<Gap>; MOST_GAPS]) {
    let mut gaps = [None; MOST_GAPS];
    let mut n = 0;
    for test in tests {
        match supposed.answer(test, zone) {
            Answer::Yes => {}
            Answer::No => return (Some(false), [None; MOST_GAPS]),
            Answer::Unknown(gap) => {
                if let Some(place) = gaps.get_mut(n) {
                    *place = Some(gap);
                }
                n += 1;
            }
        }
    }
    ((n == 0).then_some(true), gaps)
}

/// The weaker of the evidence of what is said and of the grade that it asks for.
fn with_grade(evidence: Evidence, tests: &[RouteTest], at: &Circumstances<'_>, zone: usize) -> Evidence {
    let asks = tests.iter().any(|test| matches!(test, RouteTest::Grade { .. } | RouteTest::Mixed));
    let of_zone = at.zones.get(zone).map(|zone| zone.evidence).filter(|_| asks);
    of_zone.filter(|other| weakness(*other) > weakness(evidence)).unwrap_or(evidence)
}

fn is_of_zone(tests: &[RouteTest]) -> bool {
    tests.iter().any(|test| matches!(test, RouteTest::Grade { .. }))
}

impl<'r> Weighed<'r> {
    fn reason(self, at: &Circumstances<'_>, zone: usize) -> RouteReason<'r> {
        let (rule, basis, said, tests, is_known, gaps) = match self {
            Self::Support(support, is_known, gaps) => {
                (None, Some(support.basis), &support.said, &support.when, is_known, gaps)
            }
            Self::Rule(rule, is_known, gaps) => (Some(rule), None, &rule.said, &rule.when, is_known, gaps),
        };
        let bearing = match (rule, is_known) {
            (_, false) => Bearing::Open,
            (Some(_), true) => Bearing::Limits,
            (None, true) => Bearing::Supports,
        };
        let at_best = match (rule, is_known) {
            (Some(rule), true) => rule.verdict,
            (Some(rule), false) => rule.unknown,
            (None, _) => RouteVerdict::Suited,
        };
        RouteReason {
            bearing,
            rule: rule.map(|rule| rule.word.as_str()),
            basis,
            at_best,
            zone: is_of_zone(tests).then_some(zone),
            said,
            evidence: with_grade(said.evidence, tests, at, zone),
            tests,
            gaps: gaps.into_iter().flatten().collect(),
        }
    }
}

/// The reason where no recommendation is fulfilled in a zone.
fn nothing<'r>(said: &'r Statement, route: &'r TreatmentRoute, zone: usize, at: &Circumstances<'_>) -> RouteReason<'r> {
    let depends = route.supports.iter().any(|support| is_of_zone(&support.when)) && at.zones.len() > 1;
    RouteReason {
        bearing: Bearing::Limits,
        rule: None,
        basis: None,
        at_best: RouteVerdict::Doubtful,
        zone: depends.then_some(zone),
        said,
        evidence: said.evidence,
        tests: &[],
        gaps: Vec::new(),
    }
}

/// The evidence that a verdict rests on: where something limits to it, the strongest of that; where it is recommended, the
/// strongest recommendation or the limit, whichever is weaker.
fn rests_on(verdict: RouteVerdict, reasons: &[RouteReason<'_>]) -> Evidence {
    let strongest = |reasons: &mut dyn Iterator<Item = &RouteReason<'_>>| {
        reasons.map(|reason| reason.evidence).min_by_key(|evidence| weakness(*evidence))
    };
    let limits =
        strongest(&mut reasons.iter().filter(|reason| {
            reason.bearing != Bearing::Supports && reason.basis.is_none() && reason.at_best == verdict
        }));
    let supports = strongest(&mut reasons.iter().filter(|reason| reason.bearing == Bearing::Supports));
    let both = match verdict {
        RouteVerdict::Excluded | RouteVerdict::Doubtful => [limits, None],
        RouteVerdict::Possible | RouteVerdict::Suited => [limits, supports],
    };
    both.into_iter().flatten().max_by_key(|evidence| weakness(*evidence)).unwrap_or(Evidence::Proposal)
}
