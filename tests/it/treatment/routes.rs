//! Routes of treatment: each verdict of each route and the neighbour that flips it, and the laws over all entries.

use proptest::prelude::{Just, Strategy, any, prop_assert, prop_assert_eq, prop_oneof, proptest};
use proptest::sample::select;
use woodstate::quantity::{Evidence, Measured};
use woodstate::reference::{
    Demand, Grade, RecordedFact, Reference, RouteTest, RouteVerdict, Substance, SupportBasis, TreatmentRoute,
};
use woodstate::treatment::{
    Bearing, Circumstances, Gap, GapAnswer, JudgedRoute, JudgedZone, Laboratory, NoGrade, Recorded, TimberSize, judge,
    next_steps, verdict_if,
};

use super::fixed;

/// A timber and a laboratory, to be changed one thing at a time.
#[derive(Debug, Clone)]
struct Case {
    laboratory: Laboratory,
    recorded: [Option<&'static str>; 3],
    substances: [Option<f64>; 3],
    wood: Option<&'static str>,
    length: Option<f64>,
    zones: Vec<Result<Grade, NoGrade>>,
    has_zones: bool,
}

/// Nothing speaks against anything: a small ash, moderately degraded, in a laboratory that has everything.
fn good() -> Case {
    let room = || Some(vec![3000.0, 500.0, 500.0]);
    let solvents = ["acetone", "diethyl ether", "ethanol", "methanol"].map(str::to_owned).to_vec();
    Case {
        laboratory: Laboratory {
            rooms: [room(), room(), room(), room()],
            solvents: Some(solvents),
            demands: [Some(false), Some(true), Some(false), Some(true)],
            display_humidity: Some(55.0),
            limits: [Some(1000.0); 3],
        },
        recorded: [Some("none"); 3],
        substances: [Some(0.0); 3],
        wood: Some("Fraxinus excelsior"),
        length: Some(1000.0),
        zones: vec![Ok(Grade::Middle)],
        has_zones: true,
    }
}

impl Case {
    fn with<R>(&self, f: impl FnOnce(&Circumstances<'_>) -> R) -> R {
        let reference = Reference::shipped().unwrap();
        f(&Circumstances {
            reference,
            laboratory: &self.laboratory,
            recorded: self.recorded.map(|word| word.map_or_else(Recorded::default, Recorded::of)),
            substances: self.substances.map(|value| value.map(|value| Measured::new(value, 1.0))),
            taxon: self.wood.and_then(|name| reference.taxon(name)),
            size: TimberSize::new([self.length, Some(200.0), Some(100.0)]),
            zones: self.zones.iter().map(|grade| JudgedZone { grade: *grade, evidence: Evidence::Proposal }).collect(),
            has_zones: self.has_zones,
        })
    }

    fn judged(&self, route: &'static TreatmentRoute) -> JudgedRoute<'static> {
        self.with(|at| judge(route, Reference::shipped().unwrap().no_support(), at))
    }

    /// Makes a test fulfilled, not fulfilled, or not to be told.
    fn set(&mut self, test: &RouteTest, is: Option<bool>) {
        match test {
            RouteTest::Recorded { fact, among } => {
                let word = among.first().map(|word| &*word.clone().leak());
                self.recorded[*fact as usize] = is.and_then(|is| if is { word } else { Some("none") });
            }
            RouteTest::AboveLimit { substance } => {
                self.substances[*substance as usize] = is.map(|is| if is { 1001.0 } else { 999.0 });
            }
            RouteTest::Grade { among } => {
                let other = Grade::ALL.into_iter().find(|grade| !among.contains(grade)).unwrap();
                self.zones = vec![is.map(|is| if is { among[0] } else { other }).ok_or(NoGrade::State)];
            }
            RouteTest::Wood { among } => {
                let wood = among.first().map(|name| &*name.clone().leak());
                self.wood = is.and_then(|is| if is { wood } else { Some("Fraxinus excelsior") });
            }
            RouteTest::HumidityAbove { percent } => {
                self.laboratory.display_humidity = is.map(|is| if is { percent + 0.1 } else { *percent });
            }
            RouteTest::TooLarge { room } => {
                self.laboratory.rooms[*room as usize] = is.map(|is| vec![if is { 999.0 } else { 1000.0 }]);
            }
            RouteTest::WithoutSolvent { among } => {
                self.laboratory.solvents = is.map(|is| if is { among[1..].to_vec() } else { among.clone() });
            }
            RouteTest::Demanded { demand, is: wanted } => {
                self.laboratory.demands[*demand as usize] = is.map(|is| is == *wanted);
            }
            RouteTest::Mixed | RouteTest::Fits { .. } => panic!("no rule asks this"),
        }
    }
}

fn routes() -> &'static [TreatmentRoute] {
    Reference::shipped().unwrap().routes()
}

fn verdict(route: &str, change: impl FnOnce(&mut Case)) -> RouteVerdict {
    let mut case = good();
    change(&mut case);
    case.judged(Reference::shipped().unwrap().route(route).unwrap()).verdict
}

/// Source: the routes that the project has to judge.
#[test]
fn every_route_is_there() {
    let words: Vec<&str> = routes().iter().map(|route| route.word.as_str()).collect();
    let expected = [
        "air-drying",
        "peg-low",
        "peg-high",
        "peg-two-step",
        "peg-freeze-drying",
        "peg-air-drying",
        "sucrose",
        "trehalose",
        "lactitol",
        "melamine-resin",
        "alcohol-ether-resin",
        "acetone-rosin",
        "silicone-oil",
        "supercritical-drying",
        "freeze-drying",
        "wet-storage",
        "reburial",
    ];
    assert_eq!(words, expected);
    let irreversible = routes().iter().filter(|route| route.irreversible.is_some()).map(|route| route.word.as_str());
    assert_eq!(irreversible.collect::<Vec<_>>(), ["melamine-resin", "silicone-oil"]);
}

/// Source: the conditions of routes.toml, each with its work; here each verdict that a route can take, and what flips it.
#[test]
fn each_route_takes_each_of_its_verdicts() {
    use RouteVerdict::{Doubtful, Excluded, Possible, Suited};
    let grade = |grade: Grade| move |case: &mut Case| case.zones = vec![Ok(grade)];
    let oak = |grade: Grade| move |case: &mut Case| (case.wood, case.zones) = (Some("Quercus robur"), vec![Ok(grade)]);
    let too_large = |case: &mut Case| case.length = Some(3000.5);
    let is_metal = |case: &mut Case| case.recorded[0] = Some("iron");
    let is_charred = |case: &mut Case| case.recorded[1] = Some("surface");
    let as_it_is = |_: &mut Case| ();

    assert_eq!(verdict("air-drying", oak(Grade::Slight)), Possible);
    assert_eq!(verdict("air-drying", oak(Grade::Middle)), Doubtful);
    assert_eq!(verdict("air-drying", oak(Grade::Heavy)), Excluded);
    assert_eq!(verdict("air-drying", grade(Grade::Slight)), Doubtful, "the one published case is an oak");

    assert_eq!(verdict("peg-low", grade(Grade::Slight)), Possible);
    assert_eq!(verdict("peg-low", grade(Grade::Middle)), Possible);
    assert_eq!(verdict("peg-low", grade(Grade::Heavy)), Doubtful);
    assert_eq!(verdict("peg-low", too_large), Excluded);

    assert_eq!(verdict("peg-high", grade(Grade::Heavy)), Possible);
    assert_eq!(verdict("peg-high", grade(Grade::Slight)), Doubtful);
    assert_eq!(verdict("peg-high", too_large), Excluded);

    let mixed = |case: &mut Case| case.zones = vec![Ok(Grade::Heavy), Ok(Grade::Slight)];
    assert_eq!(verdict("peg-two-step", mixed), Possible);
    assert_eq!(verdict("peg-two-step", |case| case.zones = vec![Ok(Grade::Heavy); 2]), Doubtful);
    assert_eq!(verdict("peg-two-step", too_large), Excluded);

    assert_eq!(verdict("peg-freeze-drying", as_it_is), Suited);
    assert_eq!(verdict("peg-freeze-drying", |case| case.laboratory.rooms[1] = None), Possible);
    assert_eq!(verdict("peg-freeze-drying", |case| case.substances[0] = Some(1001.0)), Doubtful);
    assert_eq!(verdict("peg-freeze-drying", too_large), Excluded);

    assert_eq!(verdict("peg-air-drying", |case| case.wood = Some("Pinus sylvestris")), Possible);
    assert_eq!(verdict("peg-air-drying", as_it_is), Doubtful);

    assert_eq!(verdict("sucrose", as_it_is), Possible);
    assert_eq!(verdict("sucrose", is_metal), Doubtful);
    assert_eq!(verdict("sucrose", too_large), Excluded);

    assert_eq!(verdict("trehalose", grade(Grade::Heavy)), Possible);
    assert_eq!(verdict("trehalose", grade(Grade::Slight)), Doubtful);
    assert_eq!(verdict("trehalose", too_large), Excluded);

    assert_eq!(verdict("lactitol", grade(Grade::Heavy)), Possible);
    assert_eq!(verdict("lactitol", grade(Grade::Middle)), Doubtful);
    assert_eq!(verdict("lactitol", too_large), Excluded);

    assert_eq!(verdict("melamine-resin", as_it_is), Suited);
    assert_eq!(verdict("melamine-resin", oak(Grade::Middle)), Possible, "acids are washed out of oak first");
    assert_eq!(verdict("melamine-resin", is_metal), Doubtful);
    assert_eq!(verdict("melamine-resin", |case| case.laboratory.demands[0] = Some(true)), Excluded);

    assert_eq!(verdict("alcohol-ether-resin", is_metal), Suited);
    assert_eq!(verdict("alcohol-ether-resin", as_it_is), Possible);
    assert_eq!(verdict("alcohol-ether-resin", is_charred), Doubtful);
    assert_eq!(verdict("alcohol-ether-resin", |case| case.laboratory.solvents = Some(Vec::new())), Excluded);

    assert_eq!(verdict("acetone-rosin", as_it_is), Doubtful);
    assert_eq!(verdict("acetone-rosin", too_large), Excluded);
    assert_eq!(verdict("silicone-oil", as_it_is), Doubtful);
    assert_eq!(verdict("silicone-oil", |case| case.laboratory.demands[0] = Some(true)), Excluded);

    assert_eq!(verdict("supercritical-drying", as_it_is), Possible);
    assert_eq!(verdict("supercritical-drying", is_charred), Doubtful);
    assert_eq!(verdict("supercritical-drying", too_large), Excluded);

    assert_eq!(verdict("freeze-drying", is_metal), Possible);
    assert_eq!(verdict("freeze-drying", as_it_is), Doubtful);
    assert_eq!(verdict("freeze-drying", too_large), Excluded);
    let both = |case: &mut Case| (case.recorded[0], case.laboratory.demands[2]) = (Some("iron"), Some(true));
    assert_eq!(verdict("freeze-drying", both), Possible, "one work that says two things is one work");

    assert_eq!(verdict("wet-storage", as_it_is), Possible);
    assert_eq!(verdict("reburial", as_it_is), Possible);
    assert_eq!(verdict("reburial", |case| case.laboratory.demands[3] = Some(false)), Doubtful);
}

/// Source: routes.toml; each rule of each route, where it holds, just beside, and where that cannot be told.
#[test]
fn each_rule_fires_and_is_quiet_just_beside() {
    let mut n = 0;
    for route in routes() {
        for rule in &route.rules {
            let mut case = good();
            let holds = |case: &Case, bearing| {
                let judged = case.judged(route);
                let found =
                    judged.reasons.iter().any(|reason| reason.rule == Some(&rule.word) && reason.bearing == bearing);
                (judged.verdict, found)
            };
            rule.when.iter().for_each(|test| case.set(test, Some(true)));
            let (verdict, fires) = holds(&case, Bearing::Limits);
            assert!(fires && verdict <= rule.verdict, "{} {}: {verdict:?}", route.word, rule.word);
            for test in &rule.when {
                let mut beside = case.clone();
                beside.set(test, Some(false));
                let found = [Bearing::Limits, Bearing::Open].map(|bearing| holds(&beside, bearing).1);
                assert_eq!(found, [false; 2], "{} {} is quiet", route.word, rule.word);
                let mut unknown = case.clone();
                unknown.set(test, None);
                let (verdict, is_open) = holds(&unknown, Bearing::Open);
                assert!(is_open && verdict <= rule.unknown, "{} {} is open: {verdict:?}", route.word, rule.word);
            }
            n += 1;
        }
    }
    assert!(n > 90, "{n}");
}

#[test]
fn rim_and_core_are_judged_apart_and_the_worst_zone_decides() {
    let mut case = good();
    case.zones = vec![Ok(Grade::Heavy), Ok(Grade::Slight)];
    let of = |route: &str| case.judged(Reference::shipped().unwrap().route(route).unwrap());
    assert_eq!(of("peg-high").zones, [RouteVerdict::Possible, RouteVerdict::Doubtful]);
    assert_eq!(of("peg-low").zones, [RouteVerdict::Doubtful, RouteVerdict::Possible]);
    assert_eq!(of("peg-high").verdict, RouteVerdict::Doubtful);
    case.zones = vec![Ok(Grade::Heavy), Err(NoGrade::State)];
    let two_step = case.judged(Reference::shipped().unwrap().route("peg-two-step").unwrap());
    assert_eq!(two_step.verdict, RouteVerdict::Doubtful);
    let gaps: Vec<Gap> = two_step.reasons.iter().flat_map(|reason| reason.gaps.clone()).collect();
    assert_eq!(gaps, [Gap::State(1)]);
}

/// Source: the rule that a limit nobody published is asked for: iron was measured, and no limit was stated.
#[test]
fn a_limit_that_nobody_published_is_asked_for() {
    let route = Reference::shipped().unwrap().route("peg-high").unwrap();
    let mut case = good();
    (case.substances[0], case.laboratory.limits[0], case.zones) = (Some(300.0), None, vec![Ok(Grade::Heavy)]);
    let judged = case.judged(route);
    assert_eq!(judged.verdict, RouteVerdict::Doubtful);
    assert!(judged.reasons.iter().any(|reason| reason.gaps == [Gap::Limit(Substance::Iron)]));
    case.laboratory.limits[0] = Some(300.0);
    assert_eq!(case.judged(route).verdict, RouteVerdict::Possible);
    case.laboratory.limits[0] = Some(299.9);
    assert_eq!(case.judged(route).verdict, RouteVerdict::Doubtful);
}

#[test]
fn what_to_measure_next_says_which_verdict_changes_from_what_to_what() {
    let mut case = good();
    (case.substances[0], case.recorded[2]) = (None, None);
    let routes = routes();
    let steps = case.with(|at| {
        let judged: Vec<JudgedRoute<'_>> =
            routes.iter().map(|route| judge(route, Reference::shipped().unwrap().no_support(), at)).collect();
        next_steps(routes, &judged, at)
    });
    let gaps: Vec<Gap> = steps.iter().map(|step| step.gap).collect();
    let (treated, iron) = (Gap::Recorded(RecordedFact::PriorTreatment), Gap::Substance(Substance::Iron));
    assert_eq!(gaps, [treated, iron], "the one that touches most routes first");
    let place = routes.iter().position(|route| route.word == "peg-freeze-drying").unwrap();
    let change = steps[1].changes.iter().find(|change| change.route == place).unwrap();
    assert_eq!((change.answer, change.from), (GapAnswer::No, RouteVerdict::Doubtful));
    assert_eq!((change.alone, change.at_best), (RouteVerdict::Doubtful, RouteVerdict::Suited));
    assert_eq!(change.also, [treated]);
    // With everything else known, one measurement is enough.
    case.recorded[2] = Some("none");
    let alone = case.with(|at| verdict_if(&routes[place], at, &[(iron, GapAnswer::No)]));
    assert_eq!(alone, RouteVerdict::Suited);
}

#[test]
fn what_matters_later_is_not_asked_for_first() {
    // Charred wood stays doubtful whatever the humidity of display is.
    let mut case = good();
    (case.recorded[1], case.laboratory.display_humidity) = (Some("through"), None);
    let routes = routes();
    let steps = case.with(|at| {
        let judged: Vec<JudgedRoute<'_>> =
            routes.iter().map(|route| judge(route, Reference::shipped().unwrap().no_support(), at)).collect();
        next_steps(routes, &judged, at)
    });
    assert_eq!(steps, []);
}

fn grades() -> impl Strategy<Value = Result<Grade, NoGrade>> {
    prop_oneof![
        select(Grade::ALL.to_vec()).prop_map(Ok),
        Just(Err(NoGrade::State)),
        Just(Err(NoGrade::Limits)),
        Just(Err(NoGrade::Wood(Some(Grade::Heavy)))),
    ]
}

fn word(words: &'static [&'static str]) -> impl Strategy<Value = Option<&'static str>> {
    select(words.iter().copied().map(Some).chain([None]).collect::<Vec<_>>())
}

fn cases() -> impl Strategy<Value = Case> {
    let recorded = (
        word(&["none", "iron", "copper_alloy", "lead", "other"]),
        word(&["none", "surface", "partial", "through"]),
        word(&["none", "peg", "sugar", "alum", "resin", "biocide", "other"]),
    );
    let wood = word(&["Quercus robur", "Quercus", "Pinus sylvestris", "Fraxinus excelsior", "Alnus glutinosa"]);
    let numbers = proptest::array::uniform3(proptest::option::of(0.0..2000.0));
    let demands = proptest::array::uniform4(any::<Option<bool>>());
    let zones = proptest::collection::vec(grades(), 1..4);
    let rooms = proptest::array::uniform4(proptest::option::of(500.0..4000.0));
    let others =
        (proptest::option::of(200.0..6000.0), proptest::option::of(30.0..100.0), any::<bool>(), any::<[bool; 3]>());
    (recorded, wood, numbers, demands, zones, rooms, others).prop_map(
        |(
            (metal, charring, treated),
            wood,
            substances,
            demands,
            zones,
            rooms,
            (length, humidity, has_zones, limits),
        )| {
            let mut case = good();
            case.recorded = [metal, charring, treated];
            (case.wood, case.substances, case.zones, case.length) = (wood, substances, zones, length);
            case.has_zones = has_zones;
            case.laboratory.demands = demands;
            case.laboratory.display_humidity = humidity;
            case.laboratory.rooms = rooms.map(|room: Option<f64>| room.map(|size| vec![size]));
            case.laboratory.limits = limits.map(|is| is.then_some(1000.0));
            case
        },
    )
}

proptest! {
    #![proptest_config(fixed(400))]

    /// Source: the rules of the project: nothing is suited on memory, an opinion or a single case; air drying is never above
    /// possible; unknown metal, charring or earlier treatment keeps every route that it concerns at doubtful.
    #[test]
    fn the_rules_hold_over_all_routes(case in cases()) {
        for route in routes() {
            let judged = case.judged(route);
            prop_assert_eq!(judged.verdict, judged.zones.iter().copied().min().unwrap());
            if judged.verdict == RouteVerdict::Suited {
                let works = judged.reasons.iter().filter(|reason| {
                    let is_broad = matches!(reason.basis, Some(SupportBasis::Comparison | SupportBasis::Practice));
                    reason.bearing == Bearing::Supports && is_broad && reason.evidence == Evidence::Read
                });
                let works: std::collections::BTreeSet<&str> = works.map(|reason| reason.said.source.as_str()).collect();
                prop_assert!(works.len() >= 2, "{}: {works:?}", route.word);
                prop_assert_eq!(judged.evidence, Evidence::Read);
            }
            if judged.verdict >= RouteVerdict::Possible {
                let is_published = |evidence| matches!(evidence, Evidence::Read | Evidence::Copy);
                let mut supports = judged.reasons.iter().filter(|reason| reason.bearing == Bearing::Supports);
                prop_assert!(supports.any(|reason| is_published(reason.said.evidence)), "{}", route.word);
            }
            if route.word == "air-drying" {
                prop_assert!(judged.verdict <= RouteVerdict::Possible);
            }
            for fact in [RecordedFact::Metal, RecordedFact::Charring, RecordedFact::PriorTreatment] {
                let asks = |test: &RouteTest| matches!(test, RouteTest::Recorded { fact: other, .. } if *other == fact);
                let is_concerned = route.rules.iter().flat_map(|rule| &rule.when).any(asks);
                if is_concerned && case.recorded[fact as usize].is_none() {
                    prop_assert!(judged.verdict <= RouteVerdict::Doubtful, "{} {fact:?}", route.word);
                }
            }
        }
    }

    /// Source: the meaning of a gap: a verdict with it closed is the verdict of the case in which it is known.
    #[test]
    fn a_gap_that_closes_gives_the_verdict_of_the_known_case(case in cases(), is in any::<bool>()) {
        for route in routes() {
            let mut open = case.clone();
            (open.recorded[0], open.laboratory.demands[1]) = (None, None);
            let mut closed = open.clone();
            let word = if is { "iron" } else { "none" };
            (closed.recorded[0], closed.laboratory.demands[1]) = (Some(word), Some(is));
            let answer = if is { GapAnswer::Yes } else { GapAnswer::No };
            let gaps = [
                (Gap::Recorded(RecordedFact::Metal), GapAnswer::Word(word)),
                (Gap::Demand(Demand::FormaldehydeWork), answer),
            ];
            let supposed = open.with(|at| verdict_if(route, at, &gaps));
            prop_assert_eq!(supposed, closed.judged(route).verdict, "{}", route.word);
        }
    }

    /// Source: the definition of what to measure next: each change starts at the verdict now and ends at another one.
    #[test]
    fn what_to_measure_next_changes_a_verdict(case in cases()) {
        let routes = routes();
        let (judged, steps) = case.with(|at| {
            let judged: Vec<RouteVerdict> = routes.iter().map(|route| case.judged(route).verdict).collect();
            let all: Vec<JudgedRoute<'_>> = routes.iter().map(|route| case.judged(route)).collect();
            (judged, next_steps(routes, &all, at))
        });
        for step in &steps {
            let mut named: Vec<usize> = step.changes.iter().map(|change| change.route).collect();
            named.dedup();
            prop_assert_eq!(named.len(), step.n_routes);
            for change in &step.changes {
                prop_assert_eq!(change.from, judged[change.route]);
                prop_assert!(change.alone != change.from || change.at_best > change.from);
                prop_assert!(change.alone <= change.at_best);
            }
        }
    }
}
