//! Margins, probabilities, shared causes, verdicts.

use woodstate::lift::{
    Attached, Case, Check, Handling, LiftOptions, LiftOutcome, Requirement, Rim, Shape, SizeDoubt, Spot, Strength,
    Support, Timber, Verdict, Why, Wood, leaning, lift,
};
use woodstate::numeric::{Watch, normal_cdf};
use woodstate::quantity::Measured;

use super::{GRAVITY, exactly, near, worked_case, worked_weight};

fn look(case: &Case, supports: &[Support], required: Option<f64>) -> LiftOutcome {
    let options = LiftOptions { required_margin: required, draws: 4000, ..LiftOptions::usual() };
    lift(case, supports, &options, &Watch::silent()).unwrap()
}

fn ends() -> Support {
    Support::Slings { first: 0.0, second: 6.0 }
}

/// All strengths of one wood, `MPa`, each with a relative standard deviation.
fn wood(values: [f64; 4], scatter: f64) -> Wood {
    let [bending, compression, shear, bearing] =
        values.map(|value| Some(Strength::measured(value, Some(scatter * value)).unwrap()));
    Wood { bending, compression, shear, bearing, modulus: None }
}

/// Source: worked beam: 1.25682 MPa on end slings; with only the strength uncertain the probability is that of a normal number.
#[test]
fn a_probability_is_that_of_the_normal_distribution_where_only_strength_is_unsure() {
    let mut case = worked_case();
    case.core.bending = Some(Strength::measured(4.0, Some(1.0)).unwrap());
    let found = look(&case, &[ends()], Some(2.0));
    let share = found.supports[0].probability_below.unwrap();
    let expected = normal_cdf(2.0 * 1.25682 - 4.0);
    let error = (expected * (1.0 - expected) / 4000.0).sqrt();
    near(share.value, expected, 4.0 * error);
    assert!(share.interval.low < expected && expected < share.interval.high);
    near(found.supports[0].margin.unwrap().value, 4.0 / 1.25682, 5e-5);
    near(found.supports[0].margin.unwrap().u.unwrap(), 1.0 / 1.25682, 0.04);
}

#[test]
fn nothing_unsure_gives_a_share_of_0_or_1() {
    let mut case = worked_case();
    case.core = wood([4.0, 4.0, 4.0, 4.0], 0.0);
    for (required, share) in [(3.18, 0.0), (3.19, 1.0)] {
        near(look(&case, &[ends()], Some(required)).supports[0].probability_below.unwrap().value, share, 0.0);
    }
}

#[test]
fn the_weakest_check_decides() {
    let mut case = worked_case();
    case.handling.sling_width = Some(0.1);
    for (row, check) in
        [Check::BendingTension, Check::BendingCompression, Check::Shear, Check::Bearing].into_iter().enumerate()
    {
        let mut values = [100.0; 4];
        values[row] = 0.2;
        case.core = wood(values, 0.1);
        let found = look(&case, &[ends()], None);
        assert_eq!(found.supports[0].governing, Some(check));
        assert!(found.supports[0].unknown().is_empty());
    }
}

/// Source: worked beam: a sling of 100 mm over 250 mm presses with 0.087279 MPa.
#[test]
fn pressure_under_slings_is_that_of_the_worked_beam() {
    let mut case = worked_case();
    case.handling.sling_width = Some(0.1);
    let found = look(&case, &[ends(), Support::Tray], None);
    let pressure = |row: usize| found.supports[row].checks.last().unwrap().stress.unwrap().value;
    near(pressure(0), 0.087279, 5e-7);
    near(pressure(1), worked_weight() * 0.25 / 1e6, 1e-9);
    assert_eq!(found.supports[1].checks.len(), 1);
}

/// A strength that is not known is not met, whatever the others say, and pressure without a width of slings is not known.
#[test]
fn what_is_unknown_is_not_met() {
    let mut case = worked_case();
    case.core = Wood { shear: None, ..wood([100.0; 4], 0.1) };
    let required = Requirement { margin: Some(1.5), probability: Some(0.01) };
    let verdict = |case: &Case| Verdict::of(&look(case, &[ends()], required.margin).supports[0], required);
    assert_eq!(verdict(&case), Verdict::Not(Why::Unknown(vec![Check::Shear, Check::Bearing])));
    case.handling.sling_width = Some(0.1);
    case.core = wood([100.0; 4], 0.1);
    assert_eq!(verdict(&case), Verdict::Met);
    case.core = wood([100.0; 4], 0.5);
    // A scatter of half the value falls below in 2.5 % of draws.
    assert_eq!(verdict(&case), Verdict::Not(Why::Probability));
    case.core_density = Measured::of_unknown_uncertainty(560.0);
    assert_eq!(verdict(&case), Verdict::Not(Why::ProbabilityUnknown));
    case.core = wood([1.0; 4], 0.1);
    assert_eq!(verdict(&case), Verdict::Not(Why::Margin));
}

#[test]
fn nothing_is_decided_that_nobody_asked_for() {
    let mut case = worked_case();
    case.handling.sling_width = Some(0.1);
    case.core = wood([100.0; 4], 0.1);
    let found = look(&case, &[ends(), Support::Tray], Some(2.0));
    assert_eq!(Verdict::of(&found.supports[0], Requirement::default()), Verdict::NotAsked);
    let margin_only = Requirement { margin: Some(2.0), probability: None };
    assert_eq!(Verdict::of(&found.supports[0], margin_only), Verdict::ProbabilityNotAsked);
    assert_eq!(Verdict::of(&found.supports[1], margin_only), Verdict::FullLength);
}

/// Unknown uncertainty stays unknown: no ±, no interval, no probability, and the inputs are named.
#[test]
fn unknown_uncertainty_stays_unknown() {
    let mut case = worked_case();
    case.core = wood([4.0; 4], 0.2);
    case.sizes = SizeDoubt { length: None, ..case.sizes };
    let found = look(&case, &[ends()], Some(2.0));
    assert_eq!(found.unsure, ["length"]);
    assert_eq!((found.weight_in_air.u, found.weight_in_air.interval), (None, None));
    assert_eq!(found.supports[0].probability_below, None);
    assert_eq!(found.supports[0].margin.unwrap().u, None);
    case.sizes = SizeDoubt { length: Some(0.01), ..case.sizes };
    case.core.bending = Some(Strength::measured(4.0, None).unwrap());
    let found = look(&case, &[ends()], Some(2.0));
    assert!(found.weight_in_air.u.is_some() && found.supports[0].probability_below.is_none());
}

/// The k-th draw of every timber has the same water, cell wall and curve: two timbers alike in name of nothing else go together.
#[test]
fn shared_causes_are_drawn_once_for_all() {
    let curve = |shared: f64, own: f64| Strength {
        value: 4.0,
        exponent: 1.0,
        own: Some(own),
        shared: Some(shared),
        cause: "curve".to_owned(),
    };
    let margins = |name: &str, shared: f64, own: f64| {
        let mut case = worked_case();
        case.name = name.to_owned();
        case.waters.cell_wall = Measured::new(1500.0, 30.0);
        case.core.bending = Some(curve(shared, own));
        let found = look(&case, &[ends()], Some(3.0));
        (found.supports[0].margin.unwrap(), found.supports[0].probability_below.unwrap().value)
    };
    assert_eq!(margins("A", 0.2, 0.0), margins("B", 0.2, 0.0));
    assert_ne!(margins("A", 0.0, 0.2), margins("B", 0.0, 0.2));
}

/// A lighter timber is weaker: with strength in proportion to density the two go together, and the margin scatters less.
#[test]
fn density_is_a_cause_of_weight_and_strength() {
    let mut case = worked_case();
    case.core_density = Measured::new(560.0, 56.0);
    let scatter = |exponent: f64, case: &mut Case| {
        let strength = Strength { value: 4.0, exponent, own: Some(0.0), shared: Some(0.0), cause: String::new() };
        case.core.bending = Some(strength);
        let margin = look(case, &[ends()], None).supports[0].margin.unwrap();
        margin.u.unwrap() / margin.value
    };
    // d ln(weight)/d ln(density) = 560 (1 - 1000/1500)/1186.667 = 0.1573.
    near(scatter(0.0, &mut case), 0.01573, 0.001);
    near(scatter(1.0, &mut case), 0.1 - 0.01573, 0.004);
}

/// Source: derived: three slings of fixed length, any two of which may carry all: the worst pair is that of the ends.
#[test]
fn the_worst_pair_carries_all() {
    let case = worked_case();
    let fixed = Support::Fixed { places: vec![0.0, 3.0, 6.0] };
    let found = look(&case, &[fixed, ends()], None);
    assert_eq!(found.supports[0].held.len(), 3);
    near(found.supports[0].moment_max.unwrap().value, found.supports[1].moment_max.unwrap().value, 1e-9);
    // Under the middle sling alone with an end at rest, all of the weight.
    near(found.supports[0].sling_tension.unwrap().value, worked_weight() * 0.375, 1e-6);
}

#[test]
fn slings_that_lean_pull_harder_and_press_the_timber_together() {
    let mut case = worked_case();
    case.core = wood([4.0, 2.0, 4.0, 4.0], 0.1);
    let upright = look(&case, &[ends()], None);
    case.handling.sling_angle = 45.0;
    let leaned = look(&case, &[ends()], None);
    let half = worked_weight() * 0.375 / 2.0;
    near(leaned.supports[0].sling_tension.unwrap().value, half * 2.0_f64.sqrt(), 1e-6);
    let pressed = |found: &LiftOutcome| found.supports[0].checks[1].stress.unwrap().value;
    near(pressed(&leaned) - pressed(&upright), leaning(half, 45.0).unwrap().push / 0.0625 / 1e6, 1e-12);
    near(
        leaned.supports[0].checks[0].stress.unwrap().value,
        upright.supports[0].checks[0].stress.unwrap().value,
        1e-12,
    );
}

/// The rim weighs, and only the core bears; concretion adds what the law of Archimedes says.
#[test]
fn a_rim_and_concretion_count_as_weight() {
    let mut case = worked_case();
    case.rim = Rim::weight_only(0.025).unwrap();
    case.rim_u = Some(0.0);
    case.rim_density = exactly(200.0);
    case.attached = vec![Attached { mass: exactly(50.0), density: 2500.0, spot: Spot::At(3.0) }];
    let found = look(&case, &[ends()], None);
    let (core, rim) = (6.0 * 0.04, 6.0 * 0.0225);
    near(found.weight_in_air.value, GRAVITY * (core * 1186.667 + rim * 1066.667 + 50.0), 0.005);
    near(found.weight_submerged.value, GRAVITY * (core * 186.667 + rim * 66.667 + 50.0 * 0.6), 0.005);
    let even = (found.weight_in_air.value - GRAVITY * 50.0) * 6.0 / 8.0;
    near(found.supports[0].moment_max.unwrap().value, even + GRAVITY * 50.0 * 6.0 / 4.0, 1e-6);
    near(
        found.supports[0].checks[0].stress.unwrap().value * 1e6,
        found.supports[0].moment_max.unwrap().value * 6.0 / 0.008,
        1e-3,
    );
}

#[test]
fn a_rim_right_through_leaves_only_the_tray() {
    let mut case = worked_case();
    case.rim = Rim::weight_only(0.13).unwrap();
    case.rim_u = Some(0.005);
    case.core = wood([4.0; 4], 0.1);
    let found = look(&case, &[ends(), Support::Tray], Some(2.0));
    assert!(found.slings.is_none());
    let reason = found.supports[0].impossible.as_deref().unwrap();
    assert!(reason.contains("the soft rim goes right through the timber"), "{reason}");
    assert!(found.supports[1].impossible.is_none());
}

#[test]
fn a_hollow_full_of_water_weighs_more_in_the_air_alone() {
    let mut case = worked_case();
    case.timber = Timber::prismatic(5.0, Shape::hollow(0.5, 0.3).unwrap()).unwrap();
    let drained = look(&case, &[], None);
    case.hollow_holds_water = true;
    let full = look(&case, &[], None);
    near(full.weight_submerged.value, drained.weight_submerged.value, 1e-9);
    let water = std::f64::consts::PI / 4.0 * 0.09 * 5.0 * 1000.0 * GRAVITY;
    near(full.weight_in_air.value - drained.weight_in_air.value, water, 1e-6);
}

#[test]
fn jerks_raise_stress_and_not_weight() {
    let mut case = worked_case();
    let still = look(&case, &[ends()], None);
    case.handling = Handling { dynamic: Some(exactly(1.5)), ..case.handling };
    let jerked = look(&case, &[ends()], None);
    near(jerked.weight_in_air.value, still.weight_in_air.value, 1e-9);
    let moment = |found: &LiftOutcome| found.supports[0].moment_max.unwrap().value;
    near(moment(&jerked) / moment(&still), 1.5, 1e-12);
}

/// Slings near the centre of weight with a poor aim tip the timber in some draws: a margin of 0, and no ± of the stress.
#[test]
fn a_timber_that_tips_has_no_margin() {
    let mut case = worked_case();
    case.core = wood([100.0; 4], 0.1);
    case.handling.placing = Some(0.3);
    let close = Support::Slings { first: 2.7, second: 3.3 };
    let found = look(&case, &[close], Some(1.0));
    let share = found.supports[0].probability_below.unwrap().value;
    // Either sling beyond the middle: 1 - (1 - Φ(-1))².
    let expected = 1.0 - normal_cdf(1.0).powi(2);
    near(share, expected, 4.0 * (expected * (1.0 - expected) / 4000.0).sqrt());
    assert_eq!(found.supports[0].moment_max.unwrap().u, None);
}
