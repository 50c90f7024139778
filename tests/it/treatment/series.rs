//! Series solutions: published values, agreement of the two forms, times as the inverse.

use woodstate::error::Result;
use woodstate::treatment::{
    Body, Ranged, cylinder_uptake, cylinder_uptake_stirred, cylinder_value, slab_uptake, slab_uptake_stirred,
    slab_value, sphere_uptake, sphere_uptake_stirred, sphere_value,
};

use super::{DAY, near};

fn exact(diffusivity: f64) -> Ranged {
    Ranged::exact(diffusivity).unwrap()
}

/// Source: documentation of an independent program, published example: 100 s, 0.2 mm, 1e-10 m²/s, 0.562233541762.
#[test]
fn the_published_example_of_a_slab_is_met_to_its_last_digit() {
    let body = Body::slab(0.2e-3, exact(1e-10)).unwrap();
    near(body.uptake(100.0).unwrap().value(), 0.562_233_541_762, 5e-13);
}

/// Columns: uptake; reduced time of a slab, a long cylinder, a sphere.
///
/// Source: computed from the series with 200 to 400 terms and 20 digits, rounded to 7 digits; 0.197, 0.848, 0.063 and 0.33 are the
/// values commonly quoted.
const TIME_OF_UPTAKE: [[f64; 4]; 11] = [
    [0.1, 0.007853982, 0.002045357, 0.0009215858],
    [0.2, 0.03141593, 0.008553116, 0.003912384],
    [0.3, 0.07068584, 0.02020776, 0.009399913],
    [0.4, 0.1256731, 0.03793515, 0.01798296],
    [0.5, 0.1967307, 0.06305819, 0.03054652],
    [0.6, 0.2863993, 0.09763077, 0.04850017],
    [0.7, 0.4028505, 0.1453436, 0.07435556],
    [0.8, 0.5671641, 0.2147127, 0.113519],
    [0.9, 0.8480854, 0.3344132, 0.1829854],
    [0.95, 1.129007, 0.4542608, 0.2531176],
    [0.99, 1.781288, 0.7325564, 0.4161738],
];

/// Columns: reduced time; uptake of a slab, a long cylinder, a sphere. Source: as above, to 8 digits.
const UPTAKE_AT: [[f64; 4]; 15] = [
    [0.001, 0.035682482, 0.070358889, 0.10404745],
    [0.005, 0.079788456, 0.15450707, 0.22436537],
    [0.01, 0.11283792, 0.21547394, 0.30851375],
    [0.02, 0.15957691, 0.29856391, 0.41873074],
    [0.05, 0.25231325, 0.452121, 0.60693976],
    [0.1, 0.3568234, 0.60582419, 0.77047874],
    [0.2, 0.50408782, 0.78214755, 0.91549557],
    [0.3, 0.61323607, 0.87797153, 0.96852454],
    [0.4, 0.69788191, 0.9315687, 0.98826923],
    [0.5, 0.76395033, 0.96162129, 0.99562786],
    [0.6, 0.81556498, 0.97847568, 0.99837047],
    [0.8, 0.88740287, 0.9932297, 0.99977364],
    [1.0, 0.93125968, 0.99787045, 0.99996856],
    [1.5, 0.97998193, 0.99988184, 0.99999977],
    [2.0, 0.99417048, 0.99999344, 1.0],
];

/// Columns: value in the centre; reduced time of a slab and a long cylinder. Source: as above, to 7 digits.
const TIME_OF_CENTRE: [[f64; 3]; 4] =
    [[0.5, 0.3787478, 0.2005241], [0.9, 1.031105, 0.4796348], [0.95, 1.312027, 0.5994912], [0.99, 1.964308, 0.8777873]];

/// The three shapes of size 1 and diffusivity 1, so that the time is the reduced time.
fn units() -> [Body; 3] {
    [Body::slab(1.0, exact(1.0)), Body::cylinder(1.0, exact(1.0)), Body::sphere(1.0, exact(1.0))].map(Result::unwrap)
}

#[test]
fn tabled_uptakes_and_times_are_met_to_their_digits() {
    for [uptake, times @ ..] in TIME_OF_UPTAKE {
        for (body, time) in units().iter().zip(times) {
            near(body.time_to_uptake(uptake).unwrap().value(), time, 6e-7 * time);
        }
    }
    for [time, uptakes @ ..] in UPTAKE_AT {
        for (body, uptake) in units().iter().zip(uptakes) {
            near(body.uptake(time).unwrap().value(), uptake, 6e-9);
        }
    }
    for [value, times @ ..] in TIME_OF_CENTRE {
        for (body, time) in units().iter().zip(times) {
            near(body.time_to_centre(value).unwrap().value(), time, 6e-7 * time);
        }
    }
}

type Uptake = fn(f64) -> Result<f64>;
type Value = fn(f64, f64) -> Result<f64>;

/// Where the form for short times gives way to the series, nobody sees it: the value just before, carried on by its slope, is the
/// value just after.
#[test]
fn both_forms_of_a_series_are_one_function() {
    let whole: [(Uptake, f64); 3] = [(slab_uptake, 0.1), (cylinder_uptake, 0.02), (sphere_uptake, 0.1)];
    for (uptake, at) in whole {
        seamless(|t| uptake(t).unwrap(), at);
    }
    let local: [(Value, f64); 3] = [(slab_value, 0.1), (cylinder_value, 1e-3), (sphere_value, 0.02)];
    for (value, at) in local {
        for place in [0.0, 1e-7, 0.2, 0.49, 0.51, 0.7, 0.9, 0.97, 0.999] {
            seamless(|t| value(t, place).unwrap(), at);
        }
    }
    for ratio in [0.01, 0.1, 1.0, 10.0, 1e4] {
        seamless(|t| slab_uptake_stirred(t, ratio).unwrap(), 0.02);
        seamless(|t| sphere_uptake_stirred(t, ratio).unwrap(), 0.02);
        let at = (0.15 * ratio).powi(2).min(0.02);
        seamless(|t| cylinder_uptake_stirred(t, ratio).unwrap(), at);
    }
}

#[track_caller]
fn seamless(f: impl Fn(f64) -> f64, at: f64) {
    let [before, after] = [f(at * (1.0 - 1e-13)), f(at * (1.0 + 1e-13))];
    // Both differ by 2e-13 of T dE/dT, which is below 0.5.
    near(before, after, 2e-13);
}

/// Source: the product of a slab and a cylinder, computed with 20 digits, to 6 digits.
#[test]
fn ends_of_a_round_timber_save_five_months() {
    let across = exact(1e-11);
    let endless = Body::cylinder(0.05, across).unwrap().time_to_uptake(0.9).unwrap().value() / DAY;
    near(endless, 967.631, 5e-4);
    let cut = Body::round(0.05, across, 0.25, exact(5e-11)).unwrap().time_to_uptake(0.9).unwrap().value() / DAY;
    near(cut, 812.064, 5e-4);
}

/// Source: the figure 0.8481 a²/t commonly used to read a diffusivity from a treatment, computed with 20 digits.
#[test]
fn a_hull_plank_of_seventeen_years_implies_its_diffusivity() {
    let body = Body::slab(0.05, exact(3.95e-12)).unwrap();
    let years = body.time_to_uptake(0.9).unwrap().value() / (365.25 * DAY);
    near(years, 17.0, 0.02);
}

#[test]
fn an_interval_of_the_diffusivity_is_an_interval_of_the_time() {
    let wide = Ranged::new(1e-11, [1e-12, 1e-10]).unwrap();
    let time = Body::beam([0.1, 0.05], [wide, wide]).unwrap().time_to_centre(0.9).unwrap();
    let [soonest, latest] = time.interval();
    near(time.value() / soonest, 10.0, 1e-11);
    near(latest / time.value(), 10.0, 1e-11);
}

/// With an endless bath the stirred one is the plain one.
#[test]
fn a_very_large_bath_does_not_feel_the_wood() {
    for t in [1e-5, 1e-3, 0.015, 0.05, 0.3, 1.0] {
        near(slab_uptake_stirred(t, 1e9).unwrap(), slab_uptake(t).unwrap(), 2e-9);
        near(cylinder_uptake_stirred(t, 1e9).unwrap(), cylinder_uptake(t).unwrap(), 2e-9);
        near(sphere_uptake_stirred(t, 1e9).unwrap(), sphere_uptake(t).unwrap(), 2e-9);
    }
}

#[test]
fn what_cannot_be_is_said() {
    let said = |result: Result<f64>| result.unwrap_err().to_string();
    assert_eq!(said(slab_uptake(-1.0)), "reduced time is -1; allowed is a finite number, 0 or above");
    assert_eq!(said(slab_uptake(f64::NAN)), "reduced time is NaN; allowed is a finite number, 0 or above");
    assert_eq!(said(sphere_value(0.1, 1.5)), "place is 1.5; allowed is a number from 0 to 1");
    assert_eq!(
        said(slab_uptake_stirred(0.1, 0.001)),
        "bath over wood is 0.001; allowed is 0.01 to 1000000000; a larger bath is an endless one"
    );
    let said = |result: Result<Ranged>| result.unwrap_err().to_string();
    assert_eq!(said(Ranged::exact(0.0)), "value is 0; allowed is a finite number above 0");
    let body = Body::slab(0.05, exact(1e-11)).unwrap();
    assert_eq!(said(body.uptake(0.0)), "time is 0; allowed is a finite number above 0");
    assert_eq!(said(body.at(&[0.1, 0.2], 1.0)), "place has 2 entries, expected 1");
    assert_eq!(
        said(body.time_to_uptake(1.0)),
        "share of the final uptake is 1; allowed is a number between 0 and 1, at least 0.000000001 from both"
    );
    let size = Body::sphere(f64::INFINITY, exact(1.0)).unwrap_err().to_string();
    assert_eq!(size, "half size of the body is inf; allowed is a finite number above 0");
}
