//! Laws of diffusion, on random bodies.

use proptest::prelude::*;
use woodstate::numeric::Watch;
use woodstate::treatment::{
    BathStep, Body, Form, Layer, Layered, Ranged, SoakOptions, cylinder_uptake_stirred, cylinder_value,
    reduced_time_stirred, slab_uptake_stirred, slab_value, sphere_uptake_stirred, sphere_value,
};

use super::fixed;

fn exact(diffusivity: f64) -> Ranged {
    Ranged::exact(diffusivity).unwrap()
}

/// Reduced times over many powers of ten.
fn times() -> impl Strategy<Value = f64> {
    (-9.0..1.0_f64).prop_map(|power| 10.0_f64.powf(power))
}

fn bodies() -> impl Strategy<Value = Body> {
    let body = |(kind, [a, b, c], [d, e, f]): (u8, [f64; 3], [f64; 3])| {
        let [d, e, f] = [d, e, f].map(|factor| exact(1e-11 * factor));
        match kind {
            0 => Body::slab(a, d),
            1 => Body::cylinder(a, d),
            2 => Body::sphere(a, d),
            3 => Body::beam([a, b], [d, e]),
            4 => Body::prism([a, b, c], [d, e, f]),
            _ => Body::round(a, d, b, e),
        }
        .unwrap()
    };
    (0_u8..6, prop::array::uniform3(0.01..0.2), prop::array::uniform3(0.2..5.0)).prop_map(body)
}

fn layers() -> impl Strategy<Value = Layered> {
    let layer = (0.002..0.03, -13.0..-10.0_f64, 0.3..0.95).prop_map(|(thickness, power, porosity)| Layer {
        thickness,
        diffusivity: 10.0_f64.powf(power),
        porosity,
    });
    let form = prop::sample::select(vec![Form::Slab, Form::Cylinder, Form::Sphere]);
    (form, prop::collection::vec(layer, 1..4)).prop_map(|(form, layers)| Layered::new(form, &layers).unwrap())
}

fn baths() -> impl Strategy<Value = Vec<BathStep>> {
    let bath = (3.0..8.0_f64, 0.0..600.0)
        .prop_map(|(power, concentration)| BathStep { duration: 10.0_f64.powf(power), concentration });
    prop::collection::vec(bath, 1..4)
}

proptest! {
    #![proptest_config(fixed(256))]
    #[test]
    fn uptake_rises_from_nothing_to_all(body in bodies(), time in 4.0..9.0_f64) {
        let at = |power: f64| body.uptake(10.0_f64.powf(power)).unwrap().value();
        let (early, late) = (at(time), at(time + 0.1));
        prop_assert!((0.0..=1.0).contains(&early) && (early..=1.0).contains(&late), "{early} {late}");
        prop_assert!(at(-10.0) < 1e-6 && at(20.0) > 1.0 - 1e-12);
    }

    #[test]
    fn the_centre_lags_behind_the_average(body in bodies(), share in 0.01..0.99_f64) {
        let (centre, mean) = (body.time_to_centre(share).unwrap(), body.time_to_uptake(share).unwrap());
        prop_assert!(centre.value() > mean.value());
    }

    #[test]
    fn a_time_is_the_inverse_of_an_uptake(body in bodies(), share in 0.001..0.999_f64) {
        let time = body.time_to_uptake(share).unwrap().value();
        prop_assert!((body.uptake(time).unwrap().value() - share).abs() < 1e-13);
        let time = body.time_to_centre(share).unwrap().value();
        prop_assert!((body.centre(time).unwrap().value() - share).abs() < 1e-13);
    }

    #[test]
    fn half_the_thickness_takes_a_quarter_of_the_time(half in 0.005..0.3, share in 0.01..0.99_f64) {
        for of in [Body::slab, Body::cylinder, Body::sphere] {
            let time = |half: f64| of(half, exact(1e-11)).unwrap().time_to_uptake(share).unwrap().value();
            prop_assert!((time(half) / time(0.5 * half) - 4.0).abs() < 1e-11);
        }
    }

    #[test]
    fn a_further_way_in_never_slows(half in prop::array::uniform3(0.01..0.3), share in 0.01..0.99_f64) {
        let d = exact(1e-11);
        let time = |body: Body| body.time_to_uptake(share).unwrap().value();
        let slab = time(Body::slab(half[0], d).unwrap());
        let beam = time(Body::beam([half[0], half[1]], [d; 2]).unwrap());
        let prism = time(Body::prism(half, [d; 3]).unwrap());
        prop_assert!(slab >= beam && beam >= prism);
    }

    #[test]
    fn concentration_rises_with_time_and_towards_the_surface(t in times(), x in 0.0..1.0_f64) {
        for value in [slab_value, cylinder_value, sphere_value] {
            let [here, outside, later] = [(t, x), (t, 0.5 + 0.5 * x), (1.1 * t, x)].map(|(t, x)| value(t, x).unwrap());
            prop_assert!((0.0..=1.0).contains(&here));
            prop_assert!(outside >= here - 1e-14 && later >= here - 1e-14);
        }
    }

    #[test]
    fn a_smaller_bath_is_nearer_to_its_end(t in times(), power in -2.0..3.0_f64) {
        let ratio = 10.0_f64.powf(power);
        for uptake in [slab_uptake_stirred, cylinder_uptake_stirred, sphere_uptake_stirred] {
            let [small, large, later] = [(t, ratio), (t, 1.5 * ratio), (1.1 * t, ratio)].map(|(t, r)| uptake(t, r).unwrap());
            prop_assert!((0.0..=1.0).contains(&small));
            prop_assert!(small >= large - 1e-12 && later >= small - 1e-12, "{small} {large} {later}");
        }
    }

    #[test]
    fn a_time_in_a_stirred_bath_is_the_inverse_of_an_uptake(share in 0.001..0.999_f64, power in -2.0..3.0_f64) {
        let ratio = 10.0_f64.powf(power);
        let uptakes = [slab_uptake_stirred, cylinder_uptake_stirred, sphere_uptake_stirred];
        for (form, uptake) in [Form::Slab, Form::Cylinder, Form::Sphere].into_iter().zip(uptakes) {
            let time = reduced_time_stirred(form, share, ratio).unwrap();
            prop_assert!((uptake(time, ratio).unwrap() - share).abs() < 1e-12);
        }
    }

    #[test]
    fn what_came_in_is_what_is_there_and_nothing_overshoots(piece in layers(), baths in baths(), initial in 0.0..300.0) {
        let end: f64 = baths.iter().map(|bath| bath.duration).sum();
        let times: Vec<f64> = [0.0, 0.01, 0.1, 0.5, 1.0].map(|share| share * end).to_vec();
        let options = SoakOptions { initial, cells: 30, tolerance: 1e-4, ..SoakOptions::at(&times) };
        let found = piece.soak(&baths, &options, &Watch::silent()).unwrap();
        let strengths = || baths.iter().map(|bath| bath.concentration);
        let (low, high) = (strengths().fold(initial, f64::min), strengths().fold(initial, f64::max));
        prop_assert_eq!(found.moments.len(), 5);
        for moment in &found.moments {
            prop_assert!((moment.mean - initial - moment.entered).abs() <= 1e-11 * high);
            for c in moment.concentration.iter().chain([&moment.centre, &moment.mean]) {
                prop_assert!((low - 1e-11 * high..=high * (1.0 + 1e-11)).contains(c), "{c} outside {low} to {high}");
            }
        }
    }
}
