//! Following a treatment: weighings in a stepped bath, washing in changed baths, forecasts, efficiency, signs.

use proptest::prelude::*;
use woodstate::quantity::Jet;
use woodstate::state::shrinkage_cross_section;
use woodstate::treatment::{
    BathHistory, Body, Form, Ranged, WashBath, WashMoment, WashReading, Weighing, Whereabouts, anti_shrink_efficiency,
    fit_course, fit_washing, lag, reduced_time_stirred, slab_uptake_stirred, time_to_reach, washing_course,
};

use super::{DAY, fixed, near};

fn board(half: f64) -> Body {
    Body::slab(half, Ranged::exact(1.0).unwrap()).unwrap()
}

/// Source: arithmetic of the definition: 100 (15.5 − 2.1)/15.5, 100 (40 − 5)/40.
#[test]
fn efficiencies_are_those_of_worked_examples() {
    near(anti_shrink_efficiency(15.5, 2.1), 86.4516, 5e-5);
    near(anti_shrink_efficiency(40.0, 5.0), 87.5, 1e-12);
}

/// Source: arithmetic: 1 − (1 − 0.12)(1 − 0.05) = 16.4 %.
#[test]
fn a_cross_section_shrinks_by_both_directions() {
    near(shrinkage_cross_section(5.0, 12.0), 16.4, 1e-12);
}

/// Source: derivatives of the definition, `−100/S_u` and `100 S_t/S_u²`.
#[test]
fn efficiency_carries_its_derivatives() {
    let jet = anti_shrink_efficiency(Jet::<2>::cause(15.5, 0), Jet::<2>::cause(2.1, 1));
    near(jet.slope[0], 100.0 * 2.1 / 15.5_f64.powi(2), 1e-12);
    near(jet.slope[1], -100.0 / 15.5, 1e-12);
}

/// Source: the series of one stirred bath (Crank 1975, from memory), whose values are checked against roots found by `SciPy`.
#[test]
fn one_bath_is_the_stirred_bath() {
    let (half, diffusivity) = (0.02, 1e-11);
    for ratio in [0.5, 2.0, 10.0] {
        let bath = WashBath { begin: 0.0, ratio };
        let end = reduced_time_stirred(Form::Slab, 0.9, ratio).unwrap() * half * half / diffusivity;
        let times = [0.01, 0.05, 0.2, 0.5, 1.0].map(|part| WashMoment { bath: 0, time: part * end });
        let found = washing_course(&[(board(half), 1.0)], diffusivity, &[bath], &times).unwrap();
        for (moment, found) in times.iter().zip(found) {
            let uptake = slab_uptake_stirred(diffusivity * moment.time / (half * half), ratio).unwrap();
            near(found, uptake / (1.0 + ratio), 3e-4 / (1.0 + ratio));
        }
    }
}

#[test]
fn left_standing_the_baths_follow_the_law_of_repeated_extraction() {
    let baths: Vec<WashBath> = (0..3).map(|k| WashBath { begin: 1e10 * f64::from(k), ratio: 4.0 }).collect();
    let ends: Vec<WashMoment> = (0..3).zip([1e10, 2e10, 3e10]).map(|(bath, time)| WashMoment { bath, time }).collect();
    let found = washing_course(&[(board(0.02), 1.0)], 1e-11, &baths, &ends).unwrap();
    for (bath, found) in found.into_iter().enumerate() {
        near(found, 0.2_f64.powi(i32::try_from(bath).unwrap() + 1), 2e-4);
    }
}

/// Readings of a true washing, with a scatter that is written down.
fn readings(diffusivity: f64, baths: &[WashBath], noise: f64) -> Vec<WashReading> {
    let scatter = [0.4, -0.7, 0.9, -0.2, -0.8, 0.6, 0.1, -0.5, 0.8, -0.3, 0.2, -0.6];
    let moments: Vec<WashMoment> = (0..12)
        .map(|k| WashMoment { bath: k / 3, time: baths[k / 3].begin + DAY * [7.0, 28.0, 56.0][k % 3] })
        .collect();
    let truth = washing_course(&[(board(0.03), 1.0)], diffusivity, baths, &moments).unwrap();
    let reading = |((moment, share), s): ((&WashMoment, f64), f64)| WashReading {
        moment: *moment,
        value: 22.0 + 3800.0 * share + noise * s,
    };
    moments.iter().zip(truth).zip(scatter).map(reading).collect()
}

fn baths() -> Vec<WashBath> {
    (0..4).map(|k| WashBath { begin: 56.0 * DAY * f64::from(k), ratio: 6.0 }).collect()
}

#[test]
fn one_diffusivity_is_found_through_all_baths() {
    let volumes: Vec<WashBath> = baths().into_iter().map(|bath| WashBath { ratio: 900.0, ..bath }).collect();
    let fit = fit_washing(&[(board(0.03), 1.0)], &volumes, &readings(2e-11, &baths(), 0.0), 0.95).unwrap();
    near(fit.diffusivity / 2e-11, 1.0, 1e-4);
    near(fit.ratio, 6.0, 1e-3);
    near(fit.fresh, 22.0, 1e-2);
    near(fit.in_wood_at_first, 3822.0, 1.0);
    let noisy = fit_washing(&[(board(0.03), 1.0)], &volumes, &readings(2e-11, &baths(), 5.0), 0.95).unwrap();
    assert!(matches!(noisy.interval, [Some(low), Some(high)] if low < 2e-11 && 2e-11 < high), "{:?}", noisy.interval);
}

#[test]
fn a_bath_that_does_not_rise_has_no_fit() {
    let flat: Vec<WashReading> =
        readings(2e-11, &baths(), 0.0).into_iter().map(|reading| WashReading { value: 20.0, ..reading }).collect();
    let error = fit_washing(&[(board(0.03), 1.0)], &baths(), &flat, 0.95).unwrap_err();
    assert!(error.to_string().contains("do not rise"), "{error}");
}

#[test]
fn masses_that_never_rise_have_no_fit_and_few_weighings_are_refused() {
    let bath = BathHistory::new(&[0.0], &[100.0]).unwrap();
    let weighings = |n: u32, slope: f64| -> Vec<Weighing> {
        (0..n).map(|k| Weighing { time: DAY * f64::from(30 * k), mass: 50.0 + slope * f64::from(k), u: None }).collect()
    };
    let falling = fit_course(&board(0.03), &bath, &weighings(8, -0.1), 0.95).unwrap_err();
    assert!(falling.to_string().contains("do not rise with the bath"), "{falling}");
    let few = fit_course(&board(0.03), &bath, &weighings(4, 0.1), 0.95).unwrap_err();
    assert!(few.to_string().contains("at least 5"), "{few}");
}

#[test]
fn a_straight_rise_leaves_the_slow_end_open() {
    let bath = BathHistory::new(&[0.0], &[100.0]).unwrap();
    let mass = |k: u32| 50.0 + f64::from(k).sqrt() + if k.is_multiple_of(2) { 0.05 } else { -0.05 };
    let weighings: Vec<Weighing> =
        (0..10).map(|k| Weighing { time: DAY * f64::from(10 * k), mass: mass(k), u: None }).collect();
    let fit = fit_course(&board(0.03), &bath, &weighings, 0.95).unwrap();
    assert_eq!(fit.interval[0], None, "uptake by the root of time says nothing of how far it will go");
    assert!(fit.interval[1].is_some());
}

#[test]
fn a_stated_uncertainty_larger_than_the_scatter_widens_the_interval() {
    let bath = BathHistory::new(&[0.0, 90.0 * DAY], &[100.0, 200.0]).unwrap();
    let truth = Body::slab(0.03, Ranged::exact(3e-11).unwrap()).unwrap();
    let weighings = |u: Option<f64>| -> Vec<Weighing> {
        (0..12)
            .map(|k| {
                let time = 20.0 * DAY * f64::from(k);
                let noise = if k % 2 == 0 { 0.01 } else { -0.01 };
                Weighing { time, mass: 50.0 + 0.02 * bath.average(&truth, time).unwrap() + noise, u }
            })
            .collect()
    };
    let width = |u| match fit_course(&board(0.03), &bath, &weighings(u), 0.95).unwrap().interval {
        [Some(low), Some(high)] => (high / low).ln(),
        open => panic!("{open:?}"),
    };
    assert!(width(Some(0.03)) > 2.0 * width(Some(0.01)));
}

#[test]
fn the_centre_is_reached_later_and_a_faster_diffusivity_earlier() {
    let bath = BathHistory::new(&[0.0, 200.0 * DAY], &[100.0, 300.0]).unwrap();
    let body = board(0.04);
    let when = |d: f64, place| time_to_reach(&body, &bath, d, 0.9, place).unwrap().unwrap();
    assert!(when(1e-11, Whereabouts::Centre) > when(1e-11, Whereabouts::Average));
    assert!(when(2e-11, Whereabouts::Average) < when(1e-11, Whereabouts::Average));
    let reached =
        bath.average(&Body::slab(0.04, Ranged::exact(1e-11).unwrap()).unwrap(), when(1e-11, Whereabouts::Average));
    near(reached.unwrap() / 300.0, 0.9, 1e-9);
    let empty = BathHistory::new(&[0.0, 1.0], &[100.0, 0.0]).unwrap();
    assert_eq!(time_to_reach(&body, &empty, 1e-11, 0.9, Whereabouts::Average).unwrap(), None);
}

#[test]
fn a_timber_lags_only_if_all_its_last_weighings_do() {
    near(lag(&[0.2, 0.2, 0.2], 0.1).unwrap(), 2.0 * 3.0_f64.sqrt(), 1e-12);
    near(lag(&[0.2, -0.2, 0.9], 0.1).unwrap(), 0.0, 0.0);
    assert!(lag(&[], 0.1).is_err() && lag(&[0.1], 0.0).is_err());
}

proptest! {
    #![proptest_config(fixed(64))]

    /// Two baths one after the other are the first alone and the difference alone, later.
    #[test]
    fn steps_of_a_bath_add_up(half in 0.01..0.1_f64, d in 1e-12..1e-10_f64, t1 in 10.0..300.0_f64, t in 301.0..900.0_f64, c1 in 10.0..200.0_f64, c2 in 200.0..500.0_f64) {
        let body = Body::slab(half, Ranged::exact(d).unwrap()).unwrap();
        let both = BathHistory::new(&[0.0, t1 * DAY], &[c1, c2]).unwrap().average(&body, t * DAY).unwrap();
        let first = BathHistory::new(&[0.0], &[c1]).unwrap().average(&body, t * DAY).unwrap();
        let second = BathHistory::new(&[t1 * DAY], &[c2 - c1]).unwrap().average(&body, t * DAY).unwrap();
        prop_assert!((both - first - second).abs() < 1e-9 * both);
    }

    /// A rising bath is followed by rising wood that never holds more than the bath; the centre lags.
    #[test]
    fn wood_follows_a_rising_bath(d in 1e-12..1e-10_f64, t in 1.0..900.0_f64, more in 1.0..100.0_f64) {
        let body = Body::cylinder(0.05, Ranged::exact(d).unwrap()).unwrap();
        let bath = BathHistory::new(&[0.0, 100.0 * DAY], &[100.0, 250.0]).unwrap();
        let (now, later) = (bath.average(&body, t * DAY).unwrap(), bath.average(&body, (t + more) * DAY).unwrap());
        prop_assert!(now <= later && later <= 250.0);
        prop_assert!(bath.centre(&body, t * DAY).unwrap() <= now + 1e-12);
    }

    /// Salt in the bath never exceeds what an even share would be, and rises within a bath.
    #[test]
    fn a_bath_rises_towards_an_even_share(d in 1e-12..1e-10_f64, ratio in 0.5..20.0_f64) {
        let bath = WashBath { begin: 0.0, ratio };
        let moments = [5.0, 20.0, 60.0, 200.0].map(|day| WashMoment { bath: 0, time: day * DAY });
        let found = washing_course(&[(board(0.03), 1.0)], d, &[bath], &moments).unwrap();
        prop_assert!(found.windows(2).all(|pair| pair[0] <= pair[1] + 1e-9));
        prop_assert!(found[3] <= 1.0 / (1.0 + ratio) + 1e-6);
    }
}
