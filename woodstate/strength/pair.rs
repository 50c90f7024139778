//! State and strength of pieces: what a curve is fitted to.

use std::collections::BTreeMap;

use crate::error::{Error, ErrorKind, Result};
use crate::numeric::Interval;

/// State and strength of one piece.
#[derive(Debug, Clone, PartialEq)]
pub struct Pair {
    /// State, in any unit, the same for all pairs.
    pub x: f64,
    /// Strength, in any unit, the same for all pairs.
    pub y: f64,
    /// Standard uncertainty of the measured strength, in the unit of `y`; `None` where unknown.
    pub u: Option<f64>,
    /// The timber that the piece comes from; `None` where unknown.
    pub timber: Option<String>,
}

impl Pair {
    /// A pair of which nothing else is known.
    #[must_use]
    pub fn new(x: f64, y: f64) -> Self {
        Self { x, y, u: None, timber: None }
    }

    /// The same piece of a timber.
    #[must_use]
    pub fn of_timber(self, timber: &str) -> Self {
        Self { timber: Some(timber.to_owned()), ..self }
    }
}

/// Pairs that were checked, in an order of their own: the order of rows moves no digit of a fit.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Pairs {
    pub(super) x: Vec<f64>,
    pub(super) y: Vec<f64>,
    /// Uncertainties of y; empty where one is unknown.
    pub(super) u: Vec<f64>,
    /// Number of the timber of each pair; empty where one is unknown.
    pub(super) timber: Vec<usize>,
    pub(super) n_timbers: Option<usize>,
    /// Place of each pair in the list that was given.
    pub(super) order: Vec<usize>,
}

impl Pairs {
    /// # Errors
    /// A number that is not finite, or fewer than two different x.
    pub(super) fn of(pairs: &[Pair]) -> Result<Self> {
        for (place, pair) in pairs.iter().enumerate() {
            for (what, number) in [("state", Some(pair.x)), ("strength", Some(pair.y)), ("uncertainty", pair.u)] {
                if let Some(value) = number.filter(|number| !number.is_finite()) {
                    return Err(range(format!("{what} of pair {}", place + 1), value, "a finite number"));
                }
            }
        }
        let mut order: Vec<usize> = (0..pairs.len()).collect();
        order.sort_by(|&a, &b| {
            let (a, b) = (&pairs[a], &pairs[b]);
            let u = |pair: &Pair| pair.u.unwrap_or(0.0);
            let numbers = a.x.total_cmp(&b.x).then_with(|| a.y.total_cmp(&b.y));
            numbers.then_with(|| u(a).total_cmp(&u(b))).then_with(|| a.timber.cmp(&b.timber))
        });
        let sorted = || order.iter().map(|place| &pairs[*place]);
        let x: Vec<f64> = sorted().map(|pair| pair.x).collect();
        let different = 1 + x.windows(2).filter(|pair| pair[1] > pair[0]).count();
        if x.is_empty() || different < 2 {
            let found = if x.is_empty() { 0 } else { different };
            return Err(range("number of different states", real(found), "at least 2"));
        }
        let u: Option<Vec<f64>> = sorted().map(|pair| pair.u.filter(|u| *u > 0.0)).collect();
        let timber = numbered(sorted().map(|pair| pair.timber.as_deref()));
        let n_timbers = timber.as_ref().map(|timbers| 1 + timbers.iter().copied().max().unwrap_or(0));
        Ok(Self {
            y: sorted().map(|pair| pair.y).collect(),
            u: u.unwrap_or_default(),
            timber: timber.unwrap_or_default(),
            n_timbers,
            x,
            order,
        })
    }

    pub(super) fn n(&self) -> usize {
        self.x.len()
    }

    pub(super) fn range(&self) -> Interval {
        Interval { low: self.x[0], high: self.x[self.n() - 1] }
    }

    /// Whether some timber gave several pieces, as far as timbers are known.
    pub(super) fn has_repeats(&self) -> bool {
        self.n_timbers.is_some_and(|timbers| timbers < self.n())
    }

    /// These pairs alone, still in order.
    pub(super) fn keep(&self, is_kept: impl Fn(usize) -> bool) -> Self {
        let places: Vec<usize> = (0..self.n()).filter(|place| is_kept(*place)).collect();
        let of = |list: &[f64]| places.iter().filter_map(|place| list.get(*place).copied()).collect();
        Self {
            x: of(&self.x),
            y: of(&self.y),
            u: of(&self.u),
            timber: places.iter().filter_map(|place| self.timber.get(*place).copied()).collect(),
            n_timbers: self.n_timbers,
            order: places.iter().map(|place| self.order[*place]).collect(),
        }
    }
}

/// A number for each timber, by their names; `None` where one is unknown.
fn numbered<'a>(timbers: impl Iterator<Item = Option<&'a str>> + Clone) -> Option<Vec<usize>> {
    let names: Option<Vec<&str>> = timbers.collect();
    let names = names?;
    let mut numbers: BTreeMap<&str, usize> = names.iter().map(|name| (*name, 0)).collect();
    for (number, place) in numbers.values_mut().enumerate() {
        *place = number;
    }
    Some(names.iter().map(|name| numbers[name]).collect())
}

pub(super) fn range(name: impl Into<String>, value: f64, allowed: impl Into<String>) -> Error {
    Error::new(ErrorKind::Range { name: name.into(), value, allowed: allowed.into() })
}

/// A count as a number.
#[allow(clippy::cast_precision_loss, reason = "OK because no batch has 2^53 pieces")]
pub(super) fn real(count: usize) -> f64 {
    count as f64
}
