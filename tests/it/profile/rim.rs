//! The soft rim: its depth, its interval, and what is said of it.

use woodstate::error::DepthCautionCode;
use woodstate::numeric::Watch;
use woodstate::profile::{
    Degraded, DepthModel, DepthProfile, Increment, ProfileOptions, RimDepth, Section, depth_profile,
};

use super::{core, near};

const THIN: [f64; 9] = [0.0, 4.0, 8.0, 12.0, 16.0, 20.0, 25.0, 30.0, 40.0];
const GRADUAL: [f64; 8] = [35.0, 34.0, 38.0, 47.0, 68.0, 81.0, 89.0, 91.0];

fn profile(cores: &[Increment], options: &ProfileOptions) -> DepthProfile {
    depth_profile(cores, options, &Watch::silent()).unwrap()
}

fn usual() -> ProfileOptions {
    ProfileOptions::plain(Degraded::Below).with_threshold(70.0)
}

fn has(profile: &DepthProfile, code: DepthCautionCode) -> bool {
    profile.cautions.iter().any(|caution| caution.of == code)
}

fn two(values: &[f64], other: &[f64]) -> Vec<Increment> {
    let mut cores = core(&THIN, values);
    cores.iter_mut().for_each(|one| one.face = Some(0));
    cores.extend(core(&THIN, other).into_iter().map(|one| one.in_core(1).from_face(1)));
    cores.into_iter().map(|one| one.with_u(1.0)).collect()
}

/// A shared cause that moves all values by 10 % moves the threshold along the curve: here by hand about 7/5.2 = 1.3 mm.
#[test]
fn a_shared_cause_is_in_the_interval_of_the_rim() {
    let mut cores = two(&GRADUAL, &GRADUAL);
    let plain = profile(&cores, &usual()).rim.unwrap().drawn.unwrap().u.unwrap();
    for one in &mut cores {
        one.shared = vec![0.1 * one.value];
    }
    let shared = profile(&cores, &usual());
    let depth = shared.fit().unwrap().shape.clone();
    let slope = depth.at(17.5) - depth.at(16.5);
    let u = shared.rim.unwrap().drawn.unwrap().u.unwrap();
    near(u, 7.0_f64.hypot(plain * slope) / slope, 0.25);
    assert!(u > 3.0 * plain);
}

#[test]
fn wood_that_is_sound_to_the_surface_has_no_rim() {
    let found = profile(&two(&[88.0, 91.0, 90.0, 89.0, 92.0, 88.0, 91.0, 90.0], &[90.0; 8]), &usual());
    assert_eq!(found.rim.as_ref().unwrap().depth, Some(RimDepth::NoRim));
    assert_eq!(found.border(&usual()), Some(0.0));
}

#[test]
fn wood_that_is_degraded_to_the_end_is_said_to_be() {
    let found = profile(&two(&[30.0, 32.0, 31.0, 33.0, 30.0, 31.0, 34.0, 32.0], &[31.0; 8]), &usual());
    let rim = found.rim.as_ref().unwrap();
    assert_eq!((rim.depth, rim.between), (Some(RimDepth::Beyond(40.0)), [Some(30.0), None]));
    assert_eq!(rim.drawn.unwrap().interval, [None, None]);
    assert!(has(&found, DepthCautionCode::RimBeyondCores));
    assert_eq!(found.border(&usual()), None);
}

#[test]
fn one_increment_gives_an_interval_and_no_curve() {
    let found = profile(&[Increment::new(0.0, 10.0, 35.0)], &usual());
    assert!(found.fit().is_none() && found.draws.is_none());
    assert_eq!(found.rim.unwrap().between, [Some(0.0), None]);
}

#[test]
fn a_level_is_not_chosen_because_nothing_else_could_be() {
    let found = profile(&core(&[0.0, 10.0, 20.0, 40.0, 70.0], &[40.0, 60.0, 85.0, 88.0]), &usual());
    assert!(found.fit().is_none());
    assert!(has(&found, DepthCautionCode::FewIncrements));
    assert_eq!(found.rim.unwrap().between, [Some(10.0), Some(40.0)]);
}

#[test]
fn unknown_uncertainty_with_no_scatter_left_stays_unknown() {
    let options = ProfileOptions { model: Some(DepthModel::Linear), ..usual() };
    let found = profile(&core(&[0.0, 10.0, 20.0], &[40.0, 90.0]), &options);
    assert!(matches!(found.rim.as_ref().unwrap().depth, Some(RimDepth::At(_))));
    assert!(found.rim.unwrap().drawn.is_none());
}

#[test]
fn each_caution_fires_and_is_quiet_just_beside() {
    let plain = two(&GRADUAL, &[36.0, 33.0, 39.0, 46.0, 69.0, 80.0, 90.0, 90.0]);
    let thick = usual().with_section(Section::round(80.0).unwrap());
    let quiet = profile(&plain, &thick);
    let words: Vec<&str> = quiet.cautions.iter().map(|caution| caution.code).collect();
    assert_eq!(words, [] as [&str; 0]);

    let fires =
        |cores: &[Increment], options: &ProfileOptions, code| assert!(has(&profile(cores, options), code), "{code:?}");
    fires(&plain[..8], &thick, DepthCautionCode::SingleCore);
    fires(&plain[..8], &thick, DepthCautionCode::OneFace);
    fires(&two(&GRADUAL, &GRADUAL.map(|value| value + 9.0)), &thick, DepthCautionCode::CoresDiffer);
    fires(&plain, &usual(), DepthCautionCode::SectionUnknown);
    fires(&plain, &usual().with_section(Section::round(120.0).unwrap()), DepthCautionCode::MiddleNotReached);
    fires(&plain, &usual().with_section(Section::round(70.0).unwrap()), DepthCautionCode::PastMiddle);
    fires(&plain, &usual().with_section(Section::round(35.0).unwrap()), DepthCautionCode::DepthBeyondTimber);

    let mut changed = plain.clone();
    changed[0].depth = [0.0, 5.0];
    fires(&changed, &thick, DepthCautionCode::IncrementsOverlap);
    changed[0].depth = [0.0, 3.0];
    fires(&changed, &thick, DepthCautionCode::IncrementsGap);
    changed = plain.iter().cloned().map(|one| Increment { depth: one.depth.map(|depth| depth + 1.0), ..one }).collect();
    fires(&changed, &thick, DepthCautionCode::RimNotSampled);
    changed = plain.clone();
    changed[0].value = 52.0;
    fires(&changed, &thick, DepthCautionCode::NotMonotone);

    let rim = [30.0, 80.0, 82.0, 79.0, 81.0, 80.0, 78.0, 81.0];
    let step = ProfileOptions { model: Some(DepthModel::Step), ..thick.clone() };
    fires(&two(&rim, &rim), &step, DepthCautionCode::BreakAtEdge);
    fires(&two(&[80.0, 60.0, 85.0, 62.0, 79.0, 81.0, 60.0, 88.0], &[70.0; 8]), &step, DepthCautionCode::BreakOpen);
    let faint = core(&[0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0], &[50.0, 62.0, 60.0, 74.0, 70.0, 80.0]);
    fires(&faint, &thick, DepthCautionCode::DepthModelUndecided);
    let level = ProfileOptions { model: Some(DepthModel::Constant), ..thick };
    fires(&plain, &level, DepthCautionCode::CurveDisagrees);
}

#[test]
fn draws_are_the_same_for_the_same_seed_and_others_for_another() {
    let cores = two(&GRADUAL, &GRADUAL);
    let of = |seed| profile(&cores, &ProfileOptions { seed, replicates: 50, ..usual() }).draws.unwrap();
    assert_eq!(of(3), of(3));
    assert_ne!(of(3), of(4));
}
