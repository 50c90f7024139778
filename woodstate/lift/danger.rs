//! Which timbers of a batch are in most danger.

use std::cmp::Ordering;

/// What decides the place of a timber among others.
#[derive(Debug, Clone, PartialEq)]
pub struct Danger {
    /// Its name.
    pub name: String,
    /// The largest margin of the ways of support that were looked at, the tray left out; `None` where no strength is known.
    pub margin: Option<f64>,
    /// Weight in the air, N; `None` where it is unknown.
    pub weight: Option<f64>,
}

/// The order of danger: what is unknown first, then the smallest margin, then the heaviest, then by name.
///
/// Unknown stands first, since nobody knows that it holds.
///
/// # Example
/// ```
/// use woodstate::lift::{Danger, danger_order};
/// let of = |name: &str, margin, weight| Danger { name: name.to_owned(), margin, weight: Some(weight) };
/// let mut batch = [of("A", Some(5.0), 900.0), of("B", None, 100.0), of("C", Some(2.0), 50.0)];
/// batch.sort_by(danger_order);
/// assert_eq!(batch.map(|timber| timber.name), ["B", "C", "A"]);
/// ```
#[must_use]
pub fn danger_order(a: &Danger, b: &Danger) -> Ordering {
    let least = |margin: Option<f64>| margin.unwrap_or(f64::NEG_INFINITY);
    let most = |weight: Option<f64>| weight.unwrap_or(f64::INFINITY);
    least(a.margin)
        .total_cmp(&least(b.margin))
        .then(most(b.weight).total_cmp(&most(a.weight)))
        .then_with(|| a.name.cmp(&b.name))
}
