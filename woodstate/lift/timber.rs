//! A timber along its length: shapes at stations, and straight lines between them.

use crate::error::Result;

use super::{Shape, check};

/// A shape at a place along a timber.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Station {
    /// Distance from the start, m.
    pub at: f64,
    /// The shape there.
    pub shape: Shape,
}

/// A timber: its length and its shape along it.
///
/// Between two stations the sizes change in straight lines, so a log that grows thinner has two.
///
/// # Example
/// ```
/// use woodstate::lift::{Shape, Timber};
/// let log = Timber::tapered(8.0, Shape::round(0.40)?, Shape::round(0.25)?)?;
/// let cone = std::f64::consts::PI / 12.0 * 8.0 * (0.40_f64.powi(2) + 0.40 * 0.25 + 0.25_f64.powi(2));
/// assert!((log.volume() - cone).abs() < 1e-12);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Timber {
    stations: Vec<Station>,
}

impl Timber {
    /// A timber of one shape all along.
    ///
    /// # Errors
    /// A length that is not above 0.
    pub fn prismatic(length: f64, shape: Shape) -> Result<Self> {
        Self::tapered(length, shape, shape)
    }

    /// A timber that changes evenly from its start to its end.
    ///
    /// # Errors
    /// A length that is not above 0, two shapes of different kinds.
    pub fn tapered(length: f64, start: Shape, end: Shape) -> Result<Self> {
        check::positive("length of the timber (m)", length)?;
        Self::of_stations(&[Station { at: 0.0, shape: start }, Station { at: length, shape: end }])
    }

    /// A timber by its shapes at stations; the first stands at 0, the last at the end.
    ///
    /// # Errors
    /// Fewer than two stations, the first not at 0, places that do not grow, shapes of different kinds.
    pub fn of_stations(stations: &[Station]) -> Result<Self> {
        let [first, rest @ ..] = stations else {
            return Err(check::range("number of stations", 0.0, "2 or more"));
        };
        if rest.is_empty() {
            return Err(check::range("number of stations", 1.0, "2 or more"));
        }
        if first.at.abs() > 0.0 {
            return Err(check::range("place of the first station (m)", first.at, "0, the start of the timber"));
        }
        let mut before = first.at;
        for (row, station) in rest.iter().enumerate() {
            if !(station.at > before && station.at.is_finite()) {
                let name = format!("place of station {} (m)", row + 2);
                return Err(check::range(name, station.at, format!("a number above {before}")));
            }
            if !station.shape.is_like(&first.shape) {
                let name = format!("width of station {} (m), whose shape is of another kind", row + 2);
                return Err(check::range(name, station.shape.width(), "one kind of shape in a timber"));
            }
            before = station.at;
        }
        Ok(Self { stations: stations.to_vec() })
    }

    /// Its length, m.
    #[must_use]
    pub fn length(&self) -> f64 {
        self.stations.last().map_or(0.0, |station| station.at)
    }

    /// Its stations.
    #[must_use]
    pub fn stations(&self) -> &[Station] {
        &self.stations
    }

    /// The shape at a place, m.
    #[must_use]
    pub fn shape_at(&self, at: f64) -> Shape {
        let next = self.stations.partition_point(|station| station.at < at).clamp(1, self.stations.len() - 1);
        let (a, b) = (&self.stations[next - 1], &self.stations[next]);
        a.shape.towards(&b.shape, (at - a.at) / (b.at - a.at))
    }

    /// Volume of the wood, m3.
    #[must_use]
    pub fn volume(&self) -> f64 {
        let of = |pair: &[Station]| {
            let [a, b, c] = pair[0].shape.area_polynomial(&pair[1].shape);
            (pair[1].at - pair[0].at) * (a + b / 2.0 + c / 3.0)
        };
        self.stations.windows(2).map(of).sum()
    }

    /// Volume of the hollow, m3; 0 for a solid timber.
    #[must_use]
    pub fn hollow_volume(&self) -> f64 {
        // Simpson's rule is exact for the area of a hollow that grows evenly.
        let of = |pair: &[Station]| {
            let middle = pair[0].shape.towards(&pair[1].shape, 0.5);
            let [a, m, b] = [pair[0].shape, middle, pair[1].shape].map(|shape| shape.hollow_area());
            (pair[1].at - pair[0].at) * (a + 4.0 * m + b) / 6.0
        };
        self.stations.windows(2).map(of).sum()
    }

    /// Width and height of the box it fits in, m.
    #[must_use]
    pub fn largest(&self) -> [f64; 2] {
        self.stations.iter().fold([0.0, 0.0], |[width, height], station| {
            [f64::max(width, station.shape.width()), f64::max(height, station.shape.height())]
        })
    }

    /// The same timber with its sizes multiplied, written over another one.
    pub(super) fn scale_into(&self, [length, width, height]: [f64; 3], scaled: &mut Self) {
        scaled.stations.clear();
        let of = |station: &Station| Station { at: station.at * length, shape: station.shape.scaled(width, height) };
        scaled.stations.extend(self.stations.iter().map(of));
    }
}
