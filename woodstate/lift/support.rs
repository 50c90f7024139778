//! Ways of supporting a timber, and the forces with which each holds it.

use crate::error::Result;
use crate::numeric::root_between;
use crate::quantity::shown_value;

use super::{LoadLine, check};

/// A way of supporting a timber; places in m from its start.
#[derive(Debug, Clone, PartialEq)]
pub enum Support {
    /// A tray or cradle along the full length: nothing bends.
    Tray,
    /// Two slings.
    Slings {
        /// Place of the first.
        first: f64,
        /// Place of the second.
        second: f64,
    },
    /// So many slings of equal tension, each in the middle of the weight that it holds.
    Equalised {
        /// How many.
        count: usize,
    },
    /// Three or more slings of fixed length: which of them carry is not known, and the worst pair is taken to carry all.
    Fixed {
        /// Their places, in order.
        places: Vec<f64>,
    },
    /// The start on the ground, one sling.
    EndOnGround {
        /// Place of the sling.
        sling: f64,
    },
}

/// An upward force at a place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Held {
    /// Distance from the start of the timber, m.
    pub place: f64,
    /// Upward force, N.
    pub force: f64,
}

impl Support {
    /// Its word.
    #[must_use]
    pub fn word(&self) -> &'static str {
        match self {
            Self::Tray => "tray",
            Self::Slings { .. } => "slings",
            Self::Equalised { .. } => "equalised",
            Self::Fixed { .. } => "fixed",
            Self::EndOnGround { .. } => "ground",
        }
    }

    /// The forces with which a load is held: one set, or every pair of slings that could carry all of it.
    ///
    /// # Errors
    /// Slings outside the timber or out of order, a centre of weight that is not between them (the timber would tip), no sling,
    /// three or more equalised slings where a part of the timber floats.
    ///
    /// # Example
    /// ```
    /// use woodstate::lift::{LoadLine, Rim, Shape, Support, Timber};
    /// let beam = Timber::prismatic(6.0, Shape::rectangle(0.25, 0.25)?)?;
    /// let line = LoadLine::new(&beam, Rim::NONE, [11_637.0, 11_637.0], &[])?;
    /// let held = Support::EndOnGround { sling: 4.0 }.held(&line)?;
    /// // The sling holds three quarters.
    /// assert!((held[0][1].force / line.force() - 0.75).abs() < 1e-12);
    /// # Ok::<(), woodstate::error::Error>(())
    /// ```
    pub fn held(&self, line: &LoadLine) -> Result<Vec<Vec<Held>>> {
        self.check(line.length())?;
        match self {
            Self::Tray => Ok(vec![Vec::new()]),
            Self::Slings { first, second } => {
                Ok(vec![pair(line, *first, *second).ok_or_else(|| tips(line, [*first, *second]))?.to_vec()])
            }
            Self::EndOnGround { sling } => {
                Ok(vec![pair(line, 0.0, *sling).ok_or_else(|| tips(line, [0.0, *sling]))?.to_vec()])
            }
            Self::Equalised { count } => Ok(vec![shared(line, *count)?]),
            Self::Fixed { places } => {
                let pairs: Vec<Vec<Held>> =
                    pairs(places).filter_map(|[a, b]| Some(pair(line, a, b)?.to_vec())).collect();
                match places.as_slice() {
                    [first, .., last] if pairs.is_empty() => Err(tips(line, [*first, *last])),
                    _ => Ok(pairs),
                }
            }
        }
    }

    /// Whether each sling lies on a timber of this length, m, and in order.
    ///
    /// # Errors
    /// As [`held`](Self::held), but for where the weight lies.
    pub fn check(&self, length: f64) -> Result<()> {
        match self {
            Self::Tray => Ok(()),
            Self::Slings { first, second } => in_order(&[*first, *second], length),
            Self::EndOnGround { sling } => in_order(&[0.0, *sling], length),
            Self::Equalised { count: 0 } => Err(check::range("number of equalised slings", 0.0, "1 or more")),
            Self::Equalised { count } if *count > MOST_SLINGS => {
                Err(check::range("number of equalised slings", check::real(*count), format!("1 to {MOST_SLINGS}")))
            }
            Self::Equalised { .. } => Ok(()),
            Self::Fixed { places } if places.len() < 3 || places.len() > MOST_SLINGS => Err(check::range(
                "number of slings of fixed length",
                check::real(places.len()),
                format!("3 to {MOST_SLINGS}"),
            )),
            Self::Fixed { places } => in_order(places, length),
        }
    }
}

/// More slings than anybody rigs.
const MOST_SLINGS: usize = 50;

fn in_order(places: &[f64], length: f64) -> Result<()> {
    places.iter().try_for_each(|place| check::along("place of a sling (m)", *place, length))?;
    match places.windows(2).find(|two| two[1] <= two[0]) {
        Some(two) => {
            let allowed = format!("a place beyond the sling before it, {} m", two[0]);
            Err(check::range("place of a sling (m)", two[1], allowed))
        }
        None => Ok(()),
    }
}

fn tips(line: &LoadLine, [first, last]: [f64; 2]) -> crate::error::Error {
    let [first, last] = [first, last].map(shown_value);
    let allowed = format!("a place between the outermost supports, {first} m and {last} m; otherwise the timber tips");
    check::range("centre of weight, from the start of the timber (m)", line.centre(), allowed)
}

/// Every two of the places.
pub(super) fn pairs(places: &[f64]) -> impl Iterator<Item = [f64; 2]> + '_ {
    places.iter().enumerate().flat_map(|(row, a)| places[row + 1..].iter().map(move |b| [*a, *b]))
}

/// Two supports that hold the load; `None` where one of them would have to pull down.
///
/// ```text
/// R₂ = F (x_c - x₁)/(x₂ - x₁),   R₁ = F - R₂
/// ```
pub(super) fn pair(line: &LoadLine, first: f64, second: f64) -> Option<[Held; 2]> {
    let (force, centre) = (line.force(), line.centre());
    let carried = (centre - first) / (second - first);
    // A centre above a sling is in balance to rounding.
    let carried = if carried.abs() < ROUNDING { 0.0 } else { carried };
    let left = if (1.0 - carried).abs() < ROUNDING { 0.0 } else { 1.0 - carried };
    let holds = carried >= 0.0 && left >= 0.0 && second > first;
    holds.then_some([Held { place: first, force: force * left }, Held { place: second, force: force * carried }])
}

const ROUNDING: f64 = 1e-12;

/// Equal forces, each in the middle of a part of equal weight.
///
/// ```text
/// x_k = n/F · [ x f - ∫ F ds ]   between f = (k-1) F/n and f = k F/n,   x: where the weight before it is f
/// ```
pub(super) fn shared(line: &LoadLine, count: usize) -> Result<Vec<Held>> {
    let (whole, length) = (line.force(), line.length());
    let each = whole / check::real(count);
    let mut before = 0.0;
    let mut held = Vec::with_capacity(count);
    for part in 1..=count {
        let wanted = each * check::real(part);
        let place = if part == count {
            length
        } else {
            root_between(|x| (line.force_before(x) - wanted) / whole, 0.0, length)?
        };
        let area = place * wanted - line.moment_before(place);
        held.push(Held { place: ((area - before) / each).clamp(0.0, length), force: each });
        before = area;
    }
    Ok(held)
}
