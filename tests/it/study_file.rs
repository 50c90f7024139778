//! The study file: every key does something, every fault is named by line and column.

mod decides;
mod fault;
mod measures;
mod reads;

use woodstate::quantity::Quantity;
use woodstate::study::Assessment;

use crate::support::batch::{assessed, value};

/// Value of a quantity of the only piece of a text under a study file.
#[track_caller]
fn number(csv: &str, study: &str, quantity: Quantity) -> f64 {
    value(&assessed(csv, study), quantity).value
}

/// Its standard uncertainty.
#[track_caller]
fn u(csv: &str, study: &str, quantity: Quantity) -> f64 {
    value(&assessed(csv, study), quantity).u.unwrap()
}

#[track_caller]
fn agrees(actual: f64, expected: f64, tolerance: f64) {
    assert!((actual - expected).abs() <= tolerance, "{actual} instead of {expected}");
}

/// Label of the class of a piece.
fn label(outcome: &Assessment, piece: usize) -> Option<&str> {
    outcome.samples.view(piece).unwrap().class_label()
}
