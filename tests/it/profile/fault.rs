//! Increments and options that cannot be: a message, never a panic.

use std::slice::from_ref;

use woodstate::numeric::Watch;
use woodstate::profile::{
    Degraded, DepthModel, Increment, ProfileOptions, Section, depth_profile, fit_depth, monotone_depth, section_weights,
};

fn said(cores: &[Increment], options: &ProfileOptions) -> String {
    depth_profile(cores, options, &Watch::silent()).unwrap_err().to_string()
}

#[test]
fn each_fault_is_named() {
    let plain = ProfileOptions::plain(Degraded::Below);
    let one = Increment::new(0.0, 10.0, 40.0);
    assert_eq!(said(&[], &plain), "number of increments is 0; allowed is at least 1");
    assert_eq!(
        said(&[Increment::new(10.0, 5.0, 40.0)], &plain),
        "depth to is 5; allowed is 10 mm, where the increment begins, or more"
    );
    assert_eq!(said(&[Increment::new(-1.0, 5.0, 40.0)], &plain), "depth from is -1; allowed is 0 mm or more");
    assert_eq!(
        said(&[Increment::new(0.0, 5.0, f64::NAN)], &plain),
        "value of an increment is NaN; allowed is a finite number"
    );
    assert_eq!(
        said(&[one.clone().with_u(-1.0)], &plain),
        "uncertainty of an increment is -1; allowed is a finite number, 0 or above"
    );
    let shared = Increment { shared: vec![1.0], ..one.clone() };
    assert!(said(&[one.clone(), shared], &plain).contains("shared causes of an increment"));
    let wrong = ProfileOptions { coverage: 1.0, ..plain.clone() };
    assert_eq!(said(from_ref(&one), &wrong), "coverage is 1; allowed is a number between 0 and 1");
    let wrong = plain.with_threshold(f64::INFINITY);
    assert_eq!(said(from_ref(&one), &wrong), "threshold is inf; allowed is a finite number");
    let few = fit_depth(from_ref(&one), DepthModel::Step, &Watch::silent()).unwrap_err().to_string();
    assert_eq!(few, "number of increments is 1; allowed is at least 3");
    let point = Increment::new(5.0, 5.0, 40.0);
    let flat = monotone_depth(&[point], Degraded::Below).unwrap_err().to_string();
    assert_eq!(flat, "thickness of increments is 0; allowed is at least one increment thicker than 0 mm");
    assert!(section_weights(&[one], None, [5.0, 1.0], false).is_err());
    let size = Section::rectangular(0.0, 40.0).unwrap_err().to_string();
    assert_eq!(size, "timber_width is 0; allowed is a finite number of mm above 0");
}

#[test]
fn increments_at_one_depth_carry_no_curve() {
    let same: Vec<Increment> = (0..8).map(|k| Increment::new(5.0, 5.0, 40.0 + f64::from(k))).collect();
    let found = depth_profile(&same, &ProfileOptions::plain(Degraded::Below), &Watch::silent()).unwrap();
    assert!(found.fit().is_none());
}

#[test]
fn equal_values_are_a_level_without_scatter() {
    let ends = [0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0];
    let found =
        depth_profile(&super::core(&ends, &[64.0; 8]), &ProfileOptions::plain(Degraded::Below), &Watch::silent());
    let found = found.unwrap();
    let fit = found.fit().unwrap();
    assert_eq!((fit.shape.model, fit.shape.parameters.as_slice()), (DepthModel::Constant, &[64.0][..]));
}
