//! Size and time under load against numbers in print.

use woodstate::lift::{BendingSize, size_effect, size_effect_even, time_effect};

use super::near;

const TEST_IN: BendingSize = BendingSize { depth: 2.0, span: 28.0, between_loads: 0.0 };

/// Source: Forest Products Laboratory 2021, Wood Handbook, FPL-GTR-282, p. 9-10 (read in a transcription): 7330 lbf/in2 of
/// 10 000, and 7326.97 with every digit.
#[test]
fn the_example_of_the_handbook_comes_out() {
    let beam = BendingSize { depth: 10.0, span: 216.0, between_loads: 72.0 };
    near(10_000.0 * size_effect(beam, TEST_IN, 18.0).unwrap(), 7326.97, 5e-3);
}

/// Source: Eq. 9-19 with 3.876 for an even load, 250 mm and 6 m against 50.8 mm and 711.12 mm, derived: 0.75406.
#[test]
fn an_even_load_is_that_of_the_handbook() {
    let test = BendingSize { depth: 50.8, span: 711.12, between_loads: 0.0 };
    near(size_effect_even(250.0, 6000.0, 3.876, test, 18.0).unwrap(), 0.75406, 5e-6);
}

/// Source: the Madison curve, SL = 18.3 + 108.4 t^-0.0464, derived: % at 1 h, 1 d, 1 week, 1 a of 365.25 d, 10 a.
#[test]
fn the_curve_of_madison_comes_out() {
    let hour = 3600.0;
    let cases = [
        (hour, 92.434),
        (24.0 * hour, 82.270),
        (168.0 * hour, 76.747),
        (8766.0 * hour, 66.949),
        (87_660.0 * hour, 62.019),
    ];
    for (seconds, percent) in cases {
        near(100.0 * time_effect(seconds, [18.3, 108.4, 0.0464]).unwrap(), percent, 5e-4);
    }
    // 300 s would give 101.494 %: no credit is taken for a short load.
    near(time_effect(300.0, [18.3, 108.4, 0.0464]).unwrap(), 1.0, 0.0);
}

#[test]
fn sizes_and_times_must_be_above_nothing() {
    let test = |depth| size_effect(BendingSize { depth, ..TEST_IN }, TEST_IN, 18.0);
    assert!(test(0.0).unwrap_err().to_string().contains("depth of a piece in bending is 0"));
    assert!(time_effect(0.0, [18.3, 108.4, 0.0464]).unwrap_err().to_string().contains("time under load"));
}
