//! Sections: shares against closed forms, polygons against circles and rectangles.

use approx::assert_relative_eq;
use woodstate::profile::{Increment, Outline, Section, section_weights};

use super::core;

/// Source: area of a circle and of a rectangle, both of whose boundaries are moved inwards by d.
#[test]
fn shares_are_those_of_the_shape_moved_inwards() {
    let log = Section::round(260.0).unwrap();
    assert_relative_eq!(log.share_deeper(32.5), 0.75 * 0.75, max_relative = 1e-14);
    let beam = Section::rectangular(200.0, 100.0).unwrap();
    assert_relative_eq!(beam.share_deeper(25.0), (150.0 * 50.0) / 20_000.0, max_relative = 1e-14);
    assert_eq!((log.share_deeper(0.0), log.share_deeper(130.0), log.share_deeper(400.0)), (1.0, 0.0, 0.0));
}

#[test]
fn a_rectangle_by_its_corners_is_a_rectangle() {
    let corners = [[10.0, 5.0], [310.0, 5.0], [310.0, 65.0], [10.0, 65.0]];
    let plank = Section::rectangular(300.0, 60.0).unwrap();
    for corners in [corners.to_vec(), corners.iter().rev().copied().collect()] {
        let outline = Section::polygon(&corners).unwrap();
        assert_relative_eq!(outline.area(), plank.area(), max_relative = 1e-14);
        assert_relative_eq!(outline.deepest(), plank.deepest(), max_relative = 1e-6);
        for depth in [0.0, 3.0, 12.5, 29.0, 30.0, 31.0] {
            assert_relative_eq!(outline.share_deeper(depth), plank.share_deeper(depth), epsilon = 1e-13);
        }
    }
}

/// A polygon with 720 corners lies within 1 - cos(π/720) = 1e-5 of its circle.
#[test]
fn a_polygon_of_many_corners_is_a_circle() {
    let corner = |k: u32| {
        let angle = std::f64::consts::TAU * f64::from(k) / 720.0;
        [100.0 * angle.cos(), 100.0 * angle.sin()]
    };
    let outline = Section::polygon(&(0..720).map(corner).collect::<Vec<_>>()).unwrap();
    let round = Section::round(200.0).unwrap();
    for depth in [0.0, 10.0, 40.0, 90.0] {
        assert!((outline.share_deeper(depth) - round.share_deeper(depth)).abs() < 4e-5);
    }
}

/// An L of two legs 100 mm wide and 300 mm long: by hand, what is deeper than 20 mm is two strips 60 mm wide that share a square, less
/// the part near the inner corner, which is cut by a quarter of a circle.
#[test]
fn a_section_with_an_inward_corner_is_counted_to_a_tenth_of_a_percent() {
    let corners = [[0.0, 0.0], [300.0, 0.0], [300.0, 100.0], [100.0, 100.0], [100.0, 300.0], [0.0, 300.0]];
    let outline = Outline::new(&corners).unwrap();
    assert_relative_eq!(outline.area(), 50_000.0);
    let (section, d) = (Section::Polygon(outline), 20.0_f64);
    let strips = 2.0 * 60.0 * 260.0 - 60.0 * 60.0;
    let corner = d * d * (1.0 - std::f64::consts::FRAC_PI_4);
    assert!((section.share_deeper(d) - (strips + corner) / 50_000.0).abs() < 1e-3);
}

#[test]
fn an_outline_that_is_none_says_why() {
    let said = |corners: &[[f64; 2]]| Outline::new(corners).unwrap_err().to_string();
    assert_eq!(said(&[[0.0, 0.0], [1.0, 0.0]]), "number of corners of a section is 2; allowed is at least 3");
    let bow = [[0.0, 0.0], [10.0, 10.0], [10.0, 0.0], [0.0, 10.0]];
    assert_eq!(
        said(&bow),
        "crossings of the outline of a section is 1; allowed is 0: write the corners in their order"
    );
    assert!(said(&[[0.0, 0.0], [f64::NAN, 1.0], [2.0, 2.0]]).contains("finite number of mm"));
}

/// By hand: a log of 100 mm with rings at 0, 10 and 25 mm has shares 36, 39 and, to the middle, 25 %.
#[test]
fn the_deepest_increment_stands_for_the_middle_where_that_is_asked() {
    let log = Section::round(100.0).unwrap();
    let cores = core(&[0.0, 10.0, 25.0], &[30.0, 90.0]);
    let asked = section_weights(&cores, Some(&log), [0.0, 50.0], true).unwrap().unwrap();
    assert_relative_eq!(asked.weights[0], 0.36, max_relative = 1e-14);
    assert_relative_eq!(asked.covered, 1.0, max_relative = 1e-14);
    let measured = section_weights(&cores, Some(&log), [0.0, 50.0], false).unwrap().unwrap();
    assert_relative_eq!(measured.covered, 0.75, max_relative = 1e-14);
    assert_relative_eq!(measured.weights[1], 0.39 / 0.75, max_relative = 1e-14);
}

/// Three cores from one face weigh together as much as one core from another face.
#[test]
fn faces_count_alike_however_many_cores_they_gave() {
    let upper = |core| Increment::new(0.0, 20.0, 30.0).in_core(core).from_face(0);
    let cores = [upper(0), upper(1), upper(2), Increment::new(0.0, 20.0, 90.0).in_core(3).from_face(1)];
    let weights = section_weights(&cores, None, [0.0, 20.0], false).unwrap().unwrap();
    assert_relative_eq!(weights.mean_of(&cores).unwrap().value, 60.0, max_relative = 1e-14);
}

/// By hand: means 40 and 44 of two cores scatter by 2.83, so their mean is known to 2; a shared 3 adds as squares.
#[test]
fn uncertainty_of_a_mean_holds_the_scatter_of_cores_and_all_that_is_shared() {
    let one = |core, value| {
        let mut increment = Increment::new(0.0, 10.0, value).in_core(core).with_u(0.5);
        increment.shared = vec![3.0];
        increment
    };
    let cores = [one(0, 40.0), one(1, 44.0)];
    let weights = section_weights(&cores, None, [0.0, 10.0], false).unwrap().unwrap();
    let mean = weights.mean_of(&cores).unwrap();
    assert_relative_eq!(mean.u.unwrap(), 13.0_f64.sqrt(), max_relative = 1e-14);
    let unknown = [Increment::new(0.0, 10.0, 40.0)];
    let weights = section_weights(&unknown, None, [0.0, 10.0], false).unwrap().unwrap();
    assert_eq!(weights.mean_of(&unknown).unwrap().u, None);
}
