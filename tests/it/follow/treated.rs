//! Treated wood beside its control.

use super::try_followed;

const TIMBERS: &str = "timber,control_of,treatment\nT1,,PEG 2000\nC1,T1,\n";

fn efficiency(samples: &str, study: &str) -> woodstate::study::TreatedTimber {
    let head = "sample,timber,radial_saturated [mm],radial_conditioned [mm],tangential_saturated [mm],tangential_conditioned [mm],conditioning_rh [%]\n";
    let log = "date,tank\n2024-01-01,P1\n";
    try_followed(log, TIMBERS, &format!("{head}{samples}"), study).unwrap().treated.remove(0)
}

/// Source: arithmetic of the definition: shrinkages 15.5 and 2.1 % give 86.4516 %.
#[test]
fn the_efficiency_is_that_of_the_worked_example() {
    let one = efficiency("A,T1,100,97.9,,,55\nB,C1,100,84.5,,,55\n", "[instruments]\ncalliper = \"0.1 mm\"\n");
    let radial = &one.directions[0];
    assert!((radial.efficiency.unwrap() - 86.4516).abs() < 5e-5, "{radial:?}");
    // u of a size 0.1/√12 mm; of a shrinkage 0.1/√12 √(1 + (l/100)²) %; by the derivatives −100/S_u and 100 S_t/S_u².
    let size = 0.1 / 12.0_f64.sqrt();
    let [treated, control] = [0.979_f64, 0.845].map(|ratio| size * (1.0 + ratio * ratio).sqrt());
    let u = (100.0 / 15.5 * treated).hypot(100.0 * 2.1 / 15.5_f64.powi(2) * control);
    assert!((radial.u.unwrap() - u).abs() < 1e-9, "{:?}, {u}", radial.u);
    assert_eq!((one.climate, one.control.as_deref()), (Some(55.0), Some("C1")));
}

/// Source: arithmetic: radial 5 %, tangential 12 % give 16.4 % of the cross-section.
#[test]
fn the_cross_section_is_that_of_both_directions() {
    let one = efficiency("A,T1,100,99,100,98,55\nB,C1,100,95,100,88,55\n", "");
    let cross = one.directions.iter().find(|direction| direction.direction == "cross_section").unwrap();
    assert!((cross.control.unwrap().value - 16.4).abs() < 1e-9);
    assert!((cross.efficiency.unwrap() - 100.0 * (16.4 - 2.98) / 16.4).abs() < 1e-9);
    assert_eq!(cross.u, None, "one piece and no instrument: unknown, not 0");
}

#[test]
fn several_pieces_tell_by_their_scatter() {
    let rows = "A,T1,100,99,,,55\nB,T1,100,98,,,55\nC,C1,100,90,,,55\nD,C1,100,92,,,55\nE,C1,100,91,,,55\n";
    let one = efficiency(rows, "");
    let radial = &one.directions[0];
    let (treated, control) = (radial.treated.unwrap(), radial.control.unwrap());
    assert_eq!((treated.n, control.n), (2, 3));
    assert!((treated.u.unwrap() - 0.5).abs() < 1e-9 && (control.u.unwrap() - 1.0 / 3.0_f64.sqrt()).abs() < 1e-9);
    let [low, high] = radial.interval.unwrap();
    assert!(low < radial.efficiency.unwrap() && radial.efficiency.unwrap() < high);
}

#[test]
fn another_or_an_unknown_climate_gives_no_efficiency() {
    for humidity in ["45", ""] {
        let one = efficiency(&format!("A,T1,100,99,,,55\nB,C1,100,90,,,{humidity}\n"), "");
        assert!(one.directions[0].efficiency.is_none() && one.no_efficiency.is_some() && one.climate.is_none());
        assert!(one.directions[0].treated.is_some() && one.directions[0].control.is_some());
    }
}

#[test]
fn only_a_stated_limit_is_judged() {
    let rows = "A,T1,100,99,100,98,55\nB,C1,100,95,100,88,55\n";
    assert_eq!(efficiency(rows, "").accepted, None);
    let judged =
        |limit| efficiency(rows, &format!("[follow]\naccepted_efficiency = \"{limit} %\"\n")).accepted.unwrap().is_met;
    assert!(judged(81.8) && !judged(81.9), "100 (16.4 − 2.98)/16.4 is 81.83");
}
