//! Values with uncertainty, and mathematics.

use super::desk::{harbour, harbour_fault};

/// Source: Python package `uncertainties` 3.2.3 is the peer of the propagation of the library; here by hand:
/// u/x of the quotient is the root of 0.002^2 + 0.025^2 = 0.02508.
#[test]
fn a_quotient_carries_both_uncertainties() {
    assert_eq!(harbour("measured(5, 0.01, 'g') / measured(4, 0.1, 'cm3')"), "1250 ± 31 kg/m3");
    assert_eq!(harbour("x = measured(5, 0.1, 'g')\n[x - x, x / x, x + x]"), "[0 ± 0 g, 1 ± 0, 10.00 ± 0.20 g]");
    assert_eq!(harbour("measured(5, None, 'g') * 2"), "10 ± unknown g");
    assert_eq!(harbour("measured(4.71, 0.01, 'g').to('kg').unit"), "\"kg\"");
    assert_eq!(harbour("measured(1, 0.1, 'g') > measured(900, 1, 'mg')"), "True");
    assert_eq!(harbour("measured(2, 0.02, 'cm') + measured(5, 0.1, 'mm')"), "2.500 ± 0.022 cm");
}

#[test]
fn mathematics_is_for_numbers_values_and_columns() {
    assert_eq!(
        harbour("[round(2.345, 2), abs(-3), sqrt(16), pow(2, 10), sum([1, 2, 3])]"),
        "[2.35, 3, 4.0, 1024.0, 6]"
    );
    assert_eq!(
        harbour("[mean([1, None, 3]), median([3, 1, 2]), sd([1, 2, 3]), min(3, 1), max([1, 4])]"),
        "[2.0, 2.0, 1.0, 1, 4]"
    );
    assert_eq!(harbour("max(measured(1, 0, 'g'), measured(900, 0, 'mg'))"), "1 ± 0 g");
    assert_eq!(harbour("pow(measured(2, 0.1, 'cm'), 3)"), "8000 ± 1200 mm3");
    assert_eq!(harbour("exp(log(measured(2, 0.1, '1')))"), "2.00 ± 0.10");
    assert_eq!(
        harbour("[fmt(2 / 3, digits=2), fmt(1234.5678), fmt(measured(4.712, 0.013, 'g'))]"),
        "[\"0.67\", \"1235\", \"4.712 ± 0.013 g\"]"
    );
    let fault = harbour_fault("log(measured(2, 0.1, 'g'))");
    assert_eq!(fault.cure.as_deref(), Some("divide first: log(x / measured(1, 0, \"g\"))"));
}

#[test]
fn a_mean_of_results_is_left_to_groups_by_depth() {
    let fault = harbour_fault("s = assess(read('harbour.xlsx'))\nmean(s.max_water_content)");
    assert_eq!(fault.cure.as_deref(), Some("summary(s, value=\"max_water_content\", by=\"depth_zone\")"));
    assert!(harbour("t = read('harbour.xlsx')\nmean(t.depth_from).unit").contains("mm"));
}

#[test]
fn a_comma_in_a_number_is_explained() {
    let fault = harbour_fault("width = 0,2\nmeasured(width, 0.1, 'mm')");
    assert_eq!(fault.text, "Value is 0,2, which is two numbers, 0 and 2.");
    assert_eq!(fault.cure.as_deref(), Some("the decimal mark in cells is the point: 0.2"));
}
