//! Laws of profiles, on random cores.

use proptest::prelude::*;
use woodstate::numeric::Watch;
use woodstate::profile::{
    Degraded, DepthModel, Increment, ProfileOptions, RimDepth, Section, Shape, Threshold, choose_depth_model,
    depth_profile, monotone_depth, rim_between, section_weights,
};

use super::{core, fitted};

/// Ends of five to nine increments, and their values.
fn cores() -> impl Strategy<Value = Vec<Increment>> {
    (5_usize..10)
        .prop_flat_map(|n| (prop::collection::vec(2.0..12.0, n), prop::collection::vec(10.0..100.0, n)))
        .prop_map(|(thicknesses, values)| {
            let mut ends = vec![0.0];
            for thickness in thicknesses {
                ends.push(ends[ends.len() - 1] + thickness);
            }
            core(&ends, &values)
        })
}

fn sections() -> impl Strategy<Value = Section> {
    prop_oneof![
        (60.0..400.0).prop_map(|diameter| Section::round(diameter).unwrap()),
        ((60.0..400.0), (60.0..400.0)).prop_map(|(width, height)| Section::rectangular(width, height).unwrap()),
    ]
}

fn halved(increments: &[Increment]) -> Vec<Increment> {
    let halves = |one: &Increment| {
        let [from, to] = one.depth;
        let middle = f64::midpoint(from, to);
        [[from, middle], [middle, to]].map(|depth| Increment { depth, ..one.clone() })
    };
    increments.iter().flat_map(halves).collect()
}

/// The same increments with depth counted from the other end.
fn mirrored(increments: &[Increment]) -> Vec<Increment> {
    let end = increments.iter().map(|one| one.depth[1]).fold(0.0, f64::max);
    increments.iter().map(|one| Increment { depth: [end - one.depth[1], end - one.depth[0]], ..one.clone() }).collect()
}

/// Parts of an interval for a sum.
const N: u32 = 20_000;

fn close(a: f64, b: f64, tolerance: f64) -> bool {
    (a - b).abs() <= tolerance * a.abs().max(b.abs()).max(1.0)
}

proptest! {
    #[test]
    fn weights_sum_to_one_and_a_constant_stays_what_it_is(
        cores in cores(), section in sections(), level in 10.0..100.0, to_middle: bool,
    ) {
        let level_cores: Vec<Increment> = cores.iter().map(|one| Increment { value: level, ..one.clone() }).collect();
        let part = [0.0, section.deepest()];
        let weights = section_weights(&level_cores, Some(&section), part, to_middle).unwrap().unwrap();
        prop_assert!(close(weights.weights.iter().sum(), 1.0, 1e-13));
        prop_assert!(weights.weights.iter().all(|weight| *weight >= 0.0));
        prop_assert!(close(weights.mean_of(&level_cores).unwrap().value, level, 1e-13));
    }

    #[test]
    fn halving_increments_changes_no_mean_and_no_level(cores in cores(), section in sections()) {
        let halves = halved(&cores);
        let part = [0.0, section.deepest()];
        let mean = |cores: &[Increment]| {
            let weights = section_weights(cores, Some(&section), part, true).unwrap().unwrap();
            weights.mean_of(cores).unwrap().value
        };
        prop_assert!(close(mean(&cores), mean(&halves), 1e-12));
        let threshold = Threshold { value: 55.0, degraded: Degraded::Below };
        let levels = |cores: &[Increment]| monotone_depth(cores, Degraded::Below).unwrap();
        for tread in levels(&halves) {
            let same = |other: &woodstate::profile::Tread| other.depth[0] <= tread.depth[0] && other.depth[1] >= tread.depth[1];
            let whole = levels(&cores).into_iter().find(same).unwrap();
            prop_assert!(close(whole.level, tread.level, 1e-12));
        }
        // Halves allow a closer interval for the end of the rim, never one that lies elsewhere.
        let [low, high] = rim_between(&levels(&cores), threshold);
        let [near, far] = rim_between(&levels(&halves), threshold);
        prop_assert!(near.unwrap_or(0.0) >= low.unwrap_or(0.0) && far.unwrap_or(1e9) <= high.unwrap_or(1e9));
        let constant = |cores: &[Increment]| fitted(cores, DepthModel::Constant).shape.parameters[0];
        prop_assert!(close(constant(&cores), constant(&halves), 1e-12));
    }

    #[test]
    fn mirrored_cores_give_mirrored_curves(cores in cores()) {
        let mirror = mirrored(&cores);
        let end = cores.iter().map(|one| one.depth[1]).fold(0.0, f64::max);
        for model in [DepthModel::Constant, DepthModel::Linear, DepthModel::Step, DepthModel::BrokenStick] {
            let (a, b) = (fitted(&cores, model), fitted(&mirror, model));
            // Two curves may fit alike; then the squares agree and the curves need not.
            prop_assert!(close(a.rss, b.rss, 1e-8), "{model:?} {} {}", a.rss, b.rss);
            if matches!(model, DepthModel::Constant | DepthModel::Linear) {
                prop_assert!(close(a.shape.at(3.0), b.shape.at(end - 3.0), 1e-8));
            }
        }
    }

    #[test]
    fn the_order_of_increments_moves_no_digit(cores in cores(), seed in 0_u64..100) {
        let mut shuffled = cores.clone();
        let turn = usize::try_from(seed).unwrap() % shuffled.len();
        shuffled.rotate_left(turn);
        let options = ProfileOptions { seed, replicates: 20, ..ProfileOptions::plain(Degraded::Below).with_threshold(60.0) };
        let of = |cores: &[Increment]| depth_profile(cores, &options, &Watch::silent()).unwrap();
        let (a, b) = (of(&cores), of(&shuffled));
        prop_assert_eq!(a.choice, b.choice);
        prop_assert_eq!(a.rim, b.rim);
        prop_assert_eq!(a.draws, b.draws);
    }

    #[test]
    fn means_over_intervals_are_those_of_fine_sums(
        a in 10.0..90.0, b in 10.0..90.0, at in 2.0..38.0, width in 1.0..30.0, from in 0.0..30.0, thickness in 0.5..10.0,
    ) {
        let shapes = [
            (DepthModel::Linear, vec![a, (b - a) / 40.0]),
            (DepthModel::BrokenStick, vec![a, 1.0, (b - a) / 30.0, at]),
            (DepthModel::Step, vec![a, b, at]),
            (DepthModel::Logistic, vec![a, b, at, width]),
            (DepthModel::Exponential, vec![a, b, width]),
        ];
        for (model, parameters) in shapes {
            let shape = Shape { model, parameters };
            let place = |k: u32| from + thickness * (f64::from(k) + 0.5) / f64::from(N);
            let sum: f64 = (0..N).map(|k| shape.at(place(k))).sum();
            // The middle rule misses a step by at most one part of N of it.
            prop_assert!(close(sum / f64::from(N), shape.mean([from, from + thickness]), 1e-4), "{model:?}");
        }
    }

    #[test]
    fn everything_deeper_than_the_rim_is_sound(
        a in 10.0..120.0, b in 10.0..120.0, slope in -3.0..3.0, at in 1.0..39.0, width in 1.0..40.0, value in 20.0..110.0,
    ) {
        let shapes = [
            (DepthModel::Constant, vec![a]),
            (DepthModel::Linear, vec![a, slope]),
            (DepthModel::BrokenStick, vec![a, slope, (b - a) / 20.0, at]),
            (DepthModel::Step, vec![a, b, at]),
            (DepthModel::Logistic, vec![a, b, at, width]),
            (DepthModel::Exponential, vec![a, b, width]),
        ];
        let threshold = Threshold { value, degraded: Degraded::Below };
        for (model, parameters) in shapes {
            let shape = Shape { model, parameters };
            let places = || (0..=400).map(|k| f64::from(k) / 10.0);
            match threshold.rim_of(&shape, 40.0) {
                RimDepth::NoRim => prop_assert!(places().all(|depth| !threshold.is_degraded(shape.at(depth)))),
                RimDepth::At(rim) => {
                    let beyond = places().filter(|depth| *depth > rim + 1e-9);
                    prop_assert!(beyond.into_iter().all(|depth| !threshold.is_degraded(shape.at(depth))));
                    prop_assert!(threshold.is_degraded(shape.at(rim - 1e-6)) , "{shape:?} {rim}");
                }
                RimDepth::Beyond(_) => prop_assert!(threshold.is_degraded(shape.at(40.0))),
            }
        }
    }

    #[test]
    fn a_profile_holds_no_number_that_is_none(cores in cores(), n in 1_usize..10) {
        let some = &cores[..n.min(cores.len())];
        let choice = choose_depth_model(some, &Watch::silent()).unwrap();
        if let Some(fit) = &choice.fit {
            prop_assert!(fit.shape.parameters.iter().all(|parameter| parameter.is_finite()));
            prop_assert!(fit.u.iter().flatten().all(|u| u.is_finite()));
        }
        let weights: f64 = choice.considered.iter().filter_map(|entry| entry.weight).sum();
        prop_assert!(weights == 0.0 || close(weights, 1.0, 1e-12));
    }
}

/// The centre of a curve is where the mirrored one has it.
#[test]
fn a_mirrored_break_lies_as_deep_from_the_other_side() {
    let cores =
        core(&[0.0, 4.0, 8.0, 12.0, 16.0, 20.0, 25.0, 30.0, 40.0], &[35.0, 34.0, 38.0, 47.0, 68.0, 81.0, 89.0, 91.0]);
    for model in [DepthModel::Step, DepthModel::BrokenStick, DepthModel::Logistic] {
        let place = model.break_place().unwrap();
        let [a, b] = [&cores, &mirrored(&cores)].map(|cores| fitted(cores, model).shape.parameters[place]);
        assert!((a + b - 40.0).abs() < 1e-6, "{model:?} {a} {b}");
    }
}
