//! What pulls a timber down, along its length: its own weight and what is attached to it.

use crate::error::Result;

use super::{Rim, Timber, check};

/// Something attached to a timber.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Load {
    /// At one place.
    At {
        /// Distance from the start, m.
        place: f64,
        /// Force, N.
        force: f64,
    },
    /// Spread evenly from one place to another.
    Over {
        /// Distance of its begin from the start, m.
        from: f64,
        /// Distance of its end from the start, m.
        to: f64,
        /// The whole force, N.
        force: f64,
    },
}

impl Load {
    pub(super) fn check(&self, length: f64) -> Result<()> {
        match *self {
            Self::At { place, force } => {
                check::along("place of a load (m)", place, length)?;
                check::not_negative("load (N)", force)
            }
            Self::Over { from, to, force } => {
                check::along("begin of a load (m)", from, length)?;
                check::along("end of a load (m)", to, length)?;
                check::not_negative("load (N)", force)?;
                if to > from {
                    return Ok(());
                }
                Err(check::range("end of a load (m)", to, format!("a number above its begin, {from} m")))
            }
        }
    }
}

/// A stretch whose load per metre is a polynomial of the distance from its begin.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Stretch {
    from: f64,
    to: f64,
    /// Load per metre, N/m, as c0 + c1 t + c2 t².
    density: [f64; 3],
}

impl Stretch {
    /// Force over the first t metres, N.
    fn force(&self, t: f64) -> f64 {
        let [a, b, c] = self.density;
        t * (a + t * (b / 2.0 + t * c / 3.0))
    }

    /// Moment of that force about its end, N.m.
    fn moment(&self, t: f64) -> f64 {
        let [a, b, c] = self.density;
        t * t * (a / 2.0 + t * (b / 6.0 + t * c / 12.0))
    }
}

/// All that pulls a timber down, as far as statics needs it.
///
/// Force and moment of everything before a place are exact: the weight of a timber whose sizes change in straight lines is a
/// polynomial between stations.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LoadLine {
    stretches: Vec<Stretch>,
    points: Vec<[f64; 2]>,
    length: f64,
    force: f64,
    moment: f64,
}

impl LoadLine {
    /// The weight of a timber whose rim and core weigh differently, and what is attached.
    ///
    /// * `rim_weight`, `core_weight`: N per m3 of rim and of core; under water less what they displace
    ///
    /// # Errors
    /// Loads outside the timber.
    ///
    /// # Example
    /// ```
    /// use woodstate::lift::{LoadLine, Rim, Shape, Timber};
    /// let beam = Timber::prismatic(6.0, Shape::rectangle(0.25, 0.25)?)?;
    /// let line = LoadLine::new(&beam, Rim::NONE, [11637.224, 11637.224], &[])?;
    /// assert!((line.force() - 4363.96).abs() < 0.01 && (line.centre() - 3.0).abs() < 1e-12);
    /// # Ok::<(), woodstate::error::Error>(())
    /// ```
    pub fn new(timber: &Timber, rim: Rim, weight: [f64; 2], loads: &[Load]) -> Result<Self> {
        check::not_negative("depth of the rim (m)", rim.depth)?;
        loads.iter().try_for_each(|load| load.check(timber.length()))?;
        let mut line = Self::default();
        line.fill(timber, rim.depth, weight, loads, 1.0);
        Ok(line)
    }

    /// Writes a line over this one; `scale` stretches the places of loads.
    pub(super) fn fill(&mut self, timber: &Timber, rim_depth: f64, [rim, core]: [f64; 2], loads: &[Load], scale: f64) {
        self.stretches.clear();
        self.points.clear();
        self.length = timber.length();
        for pair in timber.stations().windows(2) {
            let (a, b) = (&pair[0], &pair[1]);
            let run = b.at - a.at;
            let whole = a.shape.area_polynomial(&b.shape);
            let inside = match (a.shape.inside(rim_depth), b.shape.inside(rim_depth)) {
                (Some(start), Some(end)) => start.area_polynomial(&end),
                _ => [0.0; 3],
            };
            let area = |power: usize| rim * whole[power] + (core - rim) * inside[power];
            let density = [area(0), area(1) / run, area(2) / (run * run)];
            self.stretches.push(Stretch { from: a.at, to: b.at, density });
        }
        for load in loads {
            match *load {
                Load::At { place, force } => self.points.push([place * scale, force]),
                Load::Over { from, to, force } => {
                    let [from, to] = [from * scale, to * scale];
                    self.stretches.push(Stretch { from, to, density: [force / (to - from), 0.0, 0.0] });
                }
            }
        }
        let end = self.length;
        self.force = self.force_before(end) + self.points_at(end);
        self.moment = self.moment_before(end);
    }

    fn points_at(&self, x: f64) -> f64 {
        self.points.iter().filter(|[place, _]| *place >= x).map(|[_, force]| force).sum()
    }

    /// All of it, N.
    #[must_use]
    pub fn force(&self) -> f64 {
        self.force
    }

    /// Distance of its centre from the start, m.
    #[must_use]
    pub fn centre(&self) -> f64 {
        self.length - self.moment / self.force
    }

    /// Length of the timber, m.
    #[must_use]
    pub fn length(&self) -> f64 {
        self.length
    }

    /// Force of all that lies before a place, N.
    #[must_use]
    pub fn force_before(&self, x: f64) -> f64 {
        let spread: f64 =
            self.stretches.iter().filter(|part| part.from < x).map(|part| part.force(x.min(part.to) - part.from)).sum();
        let points: f64 = self.points.iter().filter(|[place, _]| *place < x).map(|[_, force]| force).sum();
        spread + points
    }

    /// Moment about a place of all that lies before it, N.m.
    #[must_use]
    pub fn moment_before(&self, x: f64) -> f64 {
        let of = |part: &Stretch| {
            let t = x.min(part.to) - part.from;
            part.moment(t) + part.force(t) * (x - part.from - t)
        };
        let spread: f64 = self.stretches.iter().filter(|part| part.from < x).map(of).sum();
        let points: f64 =
            self.points.iter().filter(|[place, _]| *place < x).map(|[place, force]| force * (x - place)).sum();
        spread + points
    }

    /// Places where the load changes, m, unsorted: ends of stretches and points.
    pub(super) fn changes(&self) -> impl Iterator<Item = f64> + '_ {
        let ends = self.stretches.iter().flat_map(|part| [part.from, part.to]);
        ends.chain(self.points.iter().map(|[place, _]| *place))
    }
}
