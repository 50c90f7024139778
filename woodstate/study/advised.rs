//! One timber: its routes in order, how often each verdict holds, what to measure next.

use std::collections::BTreeMap;

use crate::numeric::Stream;
use crate::quantity::{shown, shown_value};
use crate::reference::{
    Demand, Grade, RecordedFact, Reference, Room, RouteTest, RouteVerdict, Substance, TreatmentRoute, weakness,
};
use crate::state::Timber;
use crate::treatment::{Bearing, Gap, JudgedRoute, NextStep, RouteReason, judge, next_steps, verdict_at_grades};

use super::advice::{ChangeAdvice, NextAdvice, ReasonAdvice, RouteAdvice, Said, TimberAdvice};
use super::circumstances::{Gathered, SUBSTANCES, fact_column};

/// How timbers are advised on.
pub(super) struct Advising {
    reference: &'static Reference,
    draws: usize,
    seed: u64,
    /// What reasons say, each once.
    pub(super) statements: Vec<Said>,
    /// Place of a sentence among them.
    places: BTreeMap<&'static str, usize>,
}

impl Advising {
    pub(super) fn new(reference: &'static Reference, draws: usize, seed: u64) -> Self {
        let of_route = |route: &'static TreatmentRoute| {
            let supports = route.supports.iter().map(|support| {
                let basis = Some(support.basis.words());
                Said { basis, ..Said::of(&support.said, reference) }
            });
            let rules = route.rules.iter().map(|rule| {
                let word = Some(rule.word.as_str());
                Said { rule: word, ..Said::of(&rule.said, reference) }
            });
            supports.chain(rules)
        };
        let mut advising = Self { reference, draws, seed, statements: Vec::new(), places: BTreeMap::new() };
        let all = reference.routes().iter().flat_map(of_route).chain([Said::of(reference.no_support(), reference)]);
        for said in all {
            let place = advising.statements.len();
            if *advising.places.entry(said.text).or_insert(place) == place {
                advising.statements.push(said);
            }
        }
        advising
    }

    pub(super) fn timber(&self, timber: &Timber, gathered: &Gathered<'_>) -> TimberAdvice {
        let (routes, at) = (self.reference.routes(), &gathered.circumstances);
        let judged: Vec<JudgedRoute<'static>> =
            routes.iter().map(|route| judge(route, self.reference.no_support(), at)).collect();
        let drawn = self.drawn(&timber.timber, gathered);
        let next = next_steps(routes, &judged, at);
        let mut advice: Vec<RouteAdvice> = routes
            .iter()
            .zip(&judged)
            .map(|(route, judged)| self.route(route, judged, holds(route, judged.verdict, gathered, &drawn), gathered))
            .collect();
        // A stable sort: what is equal stays in the order of the reference file.
        advice.sort_by_key(|route| (std::cmp::Reverse(route.verdict), weakness(route.evidence)));
        TimberAdvice {
            timber: timber.timber.clone(),
            taxon: timber.taxon.clone(),
            zones: gathered.zones.clone(),
            routes: advice,
            next: next.iter().map(|step| self.next(step, gathered)).collect(),
        }
    }

    fn route(
        &self,
        route: &'static TreatmentRoute,
        judged: &JudgedRoute<'static>,
        holds: Option<f64>,
        gathered: &Gathered<'_>,
    ) -> RouteAdvice {
        RouteAdvice {
            route: &route.word,
            title: &route.title,
            verdict: judged.verdict,
            holds,
            evidence: judged.evidence,
            zones: judged.zones.clone(),
            trial_piece: route.irreversible.is_some(),
            reasons: judged.reasons.iter().map(|reason| self.reason(reason, gathered)).collect(),
        }
    }

    fn reason(&self, reason: &RouteReason<'static>, gathered: &Gathered<'_>) -> ReasonAdvice {
        let found: Vec<String> =
            reason.tests.iter().filter_map(|test| found(test, reason.zone.unwrap_or(0), gathered)).collect();
        ReasonAdvice {
            bearing: match reason.bearing {
                Bearing::Supports => "for",
                Bearing::Limits => "against",
                Bearing::Open => "open",
            },
            at_best: reason.at_best,
            statement: self.places.get(reason.said.text.as_str()).copied().unwrap_or(0),
            rests_on: reason.evidence,
            zone: reason.zone.and_then(|zone| gathered.zones.get(zone)).map(|zone| zone.zone),
            found: (!found.is_empty()).then(|| found.join("; ")),
            missing: reason.gaps.iter().map(|gap| what(*gap, gathered)).collect(),
        }
    }

    fn next(&self, step: &NextStep, gathered: &Gathered<'_>) -> NextAdvice {
        let routes = self.reference.routes();
        let changes = step.changes.iter().filter_map(|change| {
            Some(ChangeAdvice {
                route: &routes.get(change.route)?.word,
                found: step.gap.words(change.answer),
                from: change.from,
                alone: change.alone,
                at_best: change.at_best,
                also: change.also.iter().map(|gap| what(*gap, gathered)).collect(),
            })
        });
        NextAdvice {
            what: what(step.gap, gathered),
            act: act(step.gap, gathered),
            is_measured: step.gap.is_measured(),
            n_routes: step.n_routes,
            changes: changes.collect(),
        }
    }

    /// How often zones came out graded like this; nothing where no zone has a grade with a known uncertainty.
    fn drawn(&self, timber: &str, gathered: &Gathered<'_>) -> Vec<(Vec<Option<Grade>>, usize)> {
        let mut zones = Vec::with_capacity(gathered.graded.len());
        let mut is_any = false;
        for (graded, zone) in gathered.graded.iter().zip(&gathered.zones) {
            let Some(graded) = graded else {
                zones.push(None);
                continue;
            };
            // One zone of unknown uncertainty makes every share unknown.
            let Some(u) = graded.value.u else { return Vec::new() };
            is_any = true;
            zones.push(Some((graded, u, Stream::keyed(self.seed, &["advise", timber, zone.zone]))));
        }
        if !is_any {
            return Vec::new();
        }
        let mut counts: Vec<(Vec<Option<Grade>>, usize)> = Vec::new();
        let mut grades = vec![None; zones.len()];
        for _ in 0..self.draws {
            for (zone, grade) in zones.iter_mut().zip(&mut grades) {
                *grade = zone
                    .as_mut()
                    .map(|(graded, u, stream)| graded.grading.grade(graded.value.value + *u * stream.normal()));
            }
            match counts.iter_mut().find(|(known, _)| *known == grades) {
                Some((_, count)) => *count += 1,
                None => counts.push((grades.clone(), 1)),
            }
        }
        counts
    }
}

/// The share of the draws in which a verdict holds.
fn holds(
    route: &TreatmentRoute,
    verdict: RouteVerdict,
    gathered: &Gathered<'_>,
    drawn: &[(Vec<Option<Grade>>, usize)],
) -> Option<f64> {
    let number = |count: usize| u32::try_from(count).map(f64::from).ok();
    let total = number(drawn.iter().map(|(_, count)| count).sum()).filter(|total| *total > 0.0)?;
    let same = drawn.iter().filter(|(grades, _)| verdict_at_grades(route, &gathered.circumstances, grades) == verdict);
    Some(number(same.map(|(_, count)| count).sum())? / total)
}

/// What was measured, recorded or stated and a test asks for; `None` where it is not known.
fn found(test: &RouteTest, zone: usize, gathered: &Gathered<'_>) -> Option<String> {
    let at = &gathered.circumstances;
    let sizes = |sizes: &[f64]| sizes.iter().map(|size| shown_value(*size)).collect::<Vec<_>>().join(" x ");
    match test {
        RouteTest::Recorded { fact, .. } => {
            let words = &at.fact(*fact).words;
            (!words.is_empty()).then(|| format!("{}: {}", fact_column(*fact), words.join(", ")))
        }
        RouteTest::AboveLimit { substance } => {
            let measured = at.substance(*substance)?;
            let limit = at
                .laboratory
                .limit(*substance)
                .map_or("none stated".to_owned(), |limit| format!("{} mg/kg", shown_value(limit)));
            let (name, value) = (SUBSTANCES[*substance as usize], shown(measured.value, measured.u));
            Some(format!("{name} {value} mg/kg, limit {limit}"))
        }
        RouteTest::Grade { .. } => graded(zone, gathered),
        RouteTest::Mixed => {
            let zones: Vec<String> = (0..gathered.zones.len()).filter_map(|zone| graded(zone, gathered)).collect();
            (!zones.is_empty()).then(|| zones.join("; "))
        }
        RouteTest::Wood { .. } => at.taxon.map(|taxon| format!("wood: {}", taxon.name)),
        RouteTest::HumidityAbove { .. } => {
            at.laboratory.display_humidity.map(|humidity| format!("display_humidity {} %", shown_value(humidity)))
        }
        RouteTest::TooLarge { room } | RouteTest::Fits { room } => {
            let inner = at.laboratory.room(*room)?;
            Some(format!("size {} mm, {} {} mm", sizes(at.size.known()), room_key(*room), sizes(inner)))
        }
        RouteTest::WithoutSolvent { .. } => at.laboratory.solvents.as_ref().map(|solvents| match solvents.as_slice() {
            [] => "solvents: none".to_owned(),
            solvents => format!("solvents: {}", solvents.join(", ")),
        }),
        RouteTest::Demanded { demand, .. } => {
            at.laboratory.says(*demand).map(|is| format!("{}: {}", demand_key(*demand), if is { "yes" } else { "no" }))
        }
    }
}

/// The value of a zone and its grade.
fn graded(zone: usize, gathered: &Gathered<'_>) -> Option<String> {
    let (of, by) = (gathered.zones.get(zone)?, gathered.graded.get(zone)?.as_ref()?);
    let value = shown(by.value.value, by.value.u);
    let name =
        if of.residual_basic_density == Some(by.value) { "residual basic density" } else { "max. water content" };
    Some(format!("{} {name} {value} {}: {}", of.zone, by.value.unit, of.grade?.words()))
}

/// Column of the tables or key of the study file that closes a gap.
fn what(gap: Gap, gathered: &Gathered<'_>) -> &'static str {
    match gap {
        Gap::Recorded(fact) => fact_column(fact),
        Gap::Substance(substance) => SUBSTANCES[substance as usize],
        Gap::State(place) => match gathered.zones.get(place).map(|zone| zone.zone) {
            Some("outer") => "state of the outer zone",
            Some("inner") => "state of the inner zone",
            Some("worst piece") => "state of the worst piece",
            _ => "state of the timber",
        },
        Gap::Zones => "depth_from",
        Gap::Wood => "taxon",
        Gap::Size => "timber_length",
        Gap::Limit(Substance::Iron) => "iron_limit",
        Gap::Limit(Substance::Chloride) => "chloride_limit",
        Gap::Limit(Substance::ReducedSulfur) => "reduced_sulfur_limit",
        Gap::GradeLimits(_) => "heavily_degraded",
        Gap::Room(room) => room_key(room),
        Gap::Solvents => "solvents",
        Gap::Demand(demand) => demand_key(demand),
        Gap::Humidity => "display_humidity",
    }
}

fn room_key(room: Room) -> &'static str {
    match room {
        Room::Tank => "largest_tank",
        Room::FreezeDryer => "largest_freeze_dryer",
        Room::SolventTank => "largest_solvent_tank",
        Room::PressureVessel => "largest_pressure_vessel",
    }
}

fn demand_key(demand: Demand) -> &'static str {
    match demand {
        Demand::Retreatability => "retreatability",
        Demand::FormaldehydeWork => "formaldehyde_work",
        Demand::LaterAnalysis => "later_analysis",
        Demand::BurialMonitored => "burial_monitored",
    }
}

/// What to do to close a gap, in one clause.
fn act(gap: Gap, gathered: &Gathered<'_>) -> String {
    match gap {
        Gap::Recorded(RecordedFact::Metal) => "look for metal and record it, or record none".to_owned(),
        Gap::Recorded(RecordedFact::Charring) => "look for charring and record it, or record none".to_owned(),
        Gap::Recorded(RecordedFact::PriorTreatment) => {
            "find out about earlier treatment and record it, or record none".to_owned()
        }
        Gap::Substance(substance) => format!("measure {}", SUBSTANCES[substance as usize]),
        Gap::State(_) => format!("measure the {}, or mend its reading", what(gap, gathered)),
        Gap::Zones => "measure cores in depth, so that rim and core are told apart".to_owned(),
        Gap::Wood => "have the wood identified, as closely as the condition asks".to_owned(),
        Gap::Size => "measure length, width and height".to_owned(),
        Gap::GradeLimits(_) => {
            "state your own limits for this wood, heavily_degraded and slightly_degraded, under [laboratory]".to_owned()
        }
        Gap::Limit(_) | Gap::Room(_) | Gap::Solvents | Gap::Demand(_) | Gap::Humidity => {
            format!("state {} under [laboratory]", what(gap, gathered))
        }
    }
}
