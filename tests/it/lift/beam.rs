//! Moments, shear and sag against closed forms, coefficients in print, and the worked beam.

use woodstate::lift::{Beam, Held, Load, LoadLine, Rim, Shape, Stiffness, Support, Timber, forces_at_one_height};

use super::{hung, line_of, near, worked_beam, worked_weight};

/// A timber of 1 m that weighs 1 N a metre, so that a moment is its coefficient of w L².
fn unit() -> (Timber, f64) {
    (Timber::prismatic(1.0, Shape::rectangle(0.1, 0.1).unwrap()).unwrap(), 100.0)
}

/// Source: statics, `M_sup = a²/2`, `M_mid = (1/2)(1/2 - a) - 1/8` in units of w L²; values with ten digits.
#[test]
fn moments_in_two_slings_are_those_of_statics() {
    let cases = [
        (0.0, 0.0, 0.125),
        (0.1, 0.005, 0.075),
        (0.2, 0.02, 0.025),
        (0.2071067812, 0.0214466094, 0.0214466094),
        (0.2113248654, 0.0223290994, 0.0193375673),
        (0.25, 0.03125, 0.0),
        (1.0 / 3.0, 0.055_555_555_6, -0.041_666_666_7),
    ];
    let (timber, weight) = unit();
    let line = line_of(&timber, weight);
    for (a, over_sling, middle) in cases {
        let support = Support::Slings { first: a, second: 1.0 - a };
        hung(&timber, &line, &support, |beam| {
            near(beam.moment(a), -over_sling, 1e-10);
            near(beam.moment(0.5), middle, 1e-10);
            let largest = f64::max(over_sling, middle);
            near(beam.peaks().unwrap().moment().value.abs(), largest, 1e-10);
        });
    }
}

/// Source: statics, exact: one sling at 0.292893 L from the free end gives 0.0428932 w L²; n equalised slings w L²/(8 n²).
#[test]
fn one_end_on_the_ground_and_equalised_slings_are_those_of_statics() {
    let (timber, weight) = unit();
    let line = line_of(&timber, weight);
    let ground = Support::EndOnGround { sling: 1.0 / 2.0_f64.sqrt() };
    let largest = |support: &Support| hung(&timber, &line, support, |beam| beam.peaks().unwrap().moment().value.abs());
    near(largest(&ground), 0.042_893_2, 5e-8);
    for (count, over) in [(1, 8.0), (2, 32.0), (3, 72.0), (4, 128.0)] {
        near(largest(&Support::Equalised { count }), 1.0 / over, 1e-12);
    }
}

/// Source: overhanging beam a | b | c, Hicks, Civil Engineering Formulas, case 11 (read in a transcription):
/// R1 = w L (L - 2c)/(2b), M1 = -w a²/2, M2 = -w c²/2, M3 = R1 (R1/(2w) - a).
#[test]
fn uneven_overhangs_are_those_of_the_handbook() {
    let (a, b, c, w) = (1.2, 3.3, 1.5, 700.0);
    let timber = Timber::prismatic(6.0, Shape::rectangle(0.2, 0.35).unwrap()).unwrap();
    let line = line_of(&timber, 700.0 / 0.07);
    hung(&timber, &line, &Support::Slings { first: a, second: a + b }, |beam| {
        let near_force = w * 6.0 * (6.0 - 2.0 * c) / (2.0 * b);
        near(beam.held[0].force, near_force, 1e-9);
        near(beam.moment(a), -w * a * a / 2.0, 1e-9);
        near(beam.moment(a + b), -w * c * c / 2.0, 1e-9);
        let peaks = beam.peaks().unwrap();
        near(peaks.sagging.value, near_force * (near_force / (2.0 * w) - a), 1e-9);
        near(peaks.sagging.place, near_force / w, 1e-9);
        near(peaks.hogging.value, w * c * c / 2.0, 1e-9);
    });
}

/// Source: worked beam, derived from a basic density of 560 kg/m3, cell wall 1500, water 1000, g 9.80665; six digits and more.
#[test]
fn the_worked_beam_comes_out() {
    let timber = worked_beam();
    let line = line_of(&timber, worked_weight());
    near(line.force(), 4363.96, 5e-3);
    let peaks =
        |a: f64| hung(&timber, &line, &Support::Slings { first: a, second: 6.0 - a }, |beam| beam.peaks().unwrap());
    let ends = peaks(0.0);
    near(ends.moment().value, 3272.97, 5e-3);
    near(ends.core_bending.value, 1.25682, 5e-6);
    let best = peaks(0.207_106_8 * 6.0);
    near(best.moment().value.abs(), 561.553, 5e-4);
    near(best.core_bending.value, 0.21564, 5e-6);
    near(best.force.value, 1278.174, 5e-4);
    near(best.shear.value, 0.030676, 5e-7);
    near(peaks(1.5).core_bending.value, 0.31421, 5e-6);
    near(peaks(2.0).core_bending.value, 0.55859, 5e-6);
}

/// Source: worked beam, E 8.6 `GPa`, bending only, derived; six decimals of a mm.
#[test]
fn the_worked_beam_sags_as_it_should() {
    let timber = worked_beam();
    let line = line_of(&timber, worked_weight());
    let wood = Stiffness { modulus: 8600.0, shear_modulus: None };
    let sag = |a: f64| {
        hung(&timber, &line, &Support::Slings { first: a, second: 6.0 - a }, |beam| beam.sag(wood).unwrap().unwrap())
    };
    near(sag(0.0).at(3.0), 4.384257, 5e-7);
    // With every digit of √2: seven digits of a place leave 1e-6 mm.
    let best = sag((2.0_f64.sqrt() - 1.0) / 2.0 * 6.0);
    near(best.at(3.0), 0.206497, 5e-7);
    near(best.at(6.0), -0.068579, 5e-7);
    near(sag(1.5).at(3.0), -0.054803, 5e-7);
    near(sag(1.5).at(0.0), 0.383622, 5e-7);
}

/// Sag of a bar of 1 m that E I = 1 N.m2 and G A' = 1 N hold, m: a square of side 0.5 m has I = 1/192 m4, A' = 5/24 m2.
fn handbook(loads: &[Load], weight: f64, held: &[Held], look: f64, with_shear: bool) -> f64 {
    let timber = Timber::prismatic(1.0, Shape::rectangle(0.5, 0.5).unwrap()).unwrap();
    let line = LoadLine::new(&timber, Rim::NONE, [weight, weight], loads).unwrap();
    let bending = Stiffness { modulus: 192.0 / 1e6, shear_modulus: None };
    let both = Stiffness { modulus: 192.0 / 1e6, shear_modulus: Some(24.0 / 5.0 / 1e6) };
    let beam = Beam { timber: &timber, rim: Rim::NONE, line: &line, held };
    let sag = |wood| beam.sag(wood).unwrap().unwrap().at(look) / 1000.0;
    if with_shear { sag(both) - sag(bending) } else { sag(bending) }
}

/// Source: Forest Products Laboratory 2021, Wood Handbook, FPL-GTR-282, Table 9-1 (read in a transcription): kb and ks of
/// δ = kb W L³/(E I) + ks W L/(G A').
#[test]
fn sags_have_the_coefficients_of_the_handbook() {
    let ends = [Held { place: 0.0, force: 0.5 }, Held { place: 1.0, force: 0.5 }];
    let middle = [Load::At { place: 0.5, force: 1.0 }];
    let quarters = [0.25, 0.75].map(|place| Load::At { place, force: 0.5 });
    let simple: [(&[Load], f64, f64, f64); 3] = [
        (&[], 4.0, 5.0 / 384.0, 1.0 / 8.0),
        (&middle, 0.0, 1.0 / 48.0, 1.0 / 4.0),
        (&quarters, 0.0, 11.0 / 768.0, 1.0 / 8.0),
    ];
    for (loads, weight, kb, ks) in simple {
        near(handbook(loads, weight, &ends, 0.5, false), kb, 1e-12);
        near(handbook(loads, weight, &ends, 0.5, true), ks, 1e-12);
    }
    // Held in the middle, each half is a cantilever of half the length: W/2 and L/2.
    let middle = [Held { place: 0.5, force: 1.0 }];
    let ends = [0.0, 1.0].map(|place| Load::At { place, force: 0.5 });
    let cantilevers: [(&[Load], f64, f64, f64); 2] = [(&[], 4.0, 1.0 / 8.0, 1.0 / 2.0), (&ends, 0.0, 1.0 / 3.0, 1.0)];
    for (loads, weight, kb, ks) in cantilevers {
        near(handbook(loads, weight, &middle, 1.0, false), kb / 16.0, 1e-12);
        near(handbook(loads, weight, &middle, 1.0, true), ks / 4.0, 1e-12);
    }
}

/// Source: theorem of three moments, two equal spans under an even load: 3/16, 10/16, 3/16 of it.
#[test]
fn three_slings_at_one_height_share_as_the_theorem_says() {
    let (timber, weight) = unit();
    let line = line_of(&timber, weight);
    for shear_modulus in [None, Some(1e9)] {
        let wood = Stiffness { modulus: 8000.0, shear_modulus };
        let held = forces_at_one_height(&timber, Rim::NONE, &line, &[0.0, 0.5, 1.0], wood).unwrap();
        for (one, share) in held.iter().zip([3.0 / 16.0, 10.0 / 16.0, 3.0 / 16.0]) {
            near(one.force, share, if shear_modulus.is_some() { 1e-5 } else { 1e-12 });
        }
    }
}

/// A short piece shears: with shear as soft as it is in wood, the middle sling carries less than five eighths.
#[test]
fn shear_evens_the_forces_of_a_short_piece() {
    let timber = Timber::prismatic(1.0, Shape::rectangle(0.3, 0.3).unwrap()).unwrap();
    let line = line_of(&timber, 1.0);
    let middle = |shear_modulus| {
        let wood = Stiffness { modulus: 8000.0, shear_modulus };
        let held = forces_at_one_height(&timber, Rim::NONE, &line, &[0.0, 0.5, 1.0], wood).unwrap();
        held[1].force / line.force()
    };
    near(middle(None), 0.625, 1e-12);
    // Sag of the whole by its load over that by a force of 1 in the middle, each by bending and by shear, with E/G = 16.
    let (l, ratio) = (0.5_f64, 16.0 * 0.3 * 0.3 / 12.0 / (5.0 / 6.0));
    let loaded = 5.0 / 384.0 * (2.0 * l).powi(4) + ratio * (2.0 * l).powi(2) / 8.0;
    let lifted = (2.0 * l).powi(3) / 48.0 + ratio * 2.0 * l / 4.0;
    near(middle(Some(500.0)), loaded / lifted, 1e-12);
    assert!(middle(Some(500.0)) < 0.6);
}
