//! Pieces of cores, each with what was measured on it.

use crate::error::{Error, ErrorKind, Result};
use crate::numeric::sum;

/// One piece of a core: an average over its interval of depth, not a reading in its middle.
#[derive(Debug, Clone, PartialEq)]
pub struct Increment {
    /// Depth from and to below the surface, mm; equal ends for a reading at a point.
    pub depth: [f64; 2],
    /// What was found in it, in the unit of the quantity.
    pub value: f64,
    /// Number of the core that it was cut from.
    pub core: usize,
    /// Number of the face from which the core was taken; `None` where unknown.
    pub face: Option<usize>,
    /// Standard uncertainty of its own, which it shares with no other increment; `None` where unknown.
    pub u: Option<f64>,
    /// What each shared cause (cell wall, reference, balance) adds for one standard uncertainty of it: sensitivity times u,
    /// with its sign. The same causes in the same order for all increments; empty where there is none.
    pub shared: Vec<f64>,
    /// Standard uncertainties of the two depths, mm; `None` where unknown.
    pub u_depth: [Option<f64>; 2],
}

impl Increment {
    /// An increment of the first core, of unknown face and uncertainty.
    ///
    /// # Example
    /// ```
    /// use woodstate::profile::Increment;
    /// let rim = Increment::new(0.0, 10.0, 34.0).with_u(1.2);
    /// assert_eq!(rim.thickness(), 10.0);
    /// ```
    #[must_use]
    pub fn new(from: f64, to: f64, value: f64) -> Self {
        Self { depth: [from, to], value, core: 0, face: None, u: None, shared: Vec::new(), u_depth: [None; 2] }
    }

    /// The same in another core.
    #[must_use]
    pub fn in_core(self, core: usize) -> Self {
        Self { core, ..self }
    }

    /// The same from a face.
    #[must_use]
    pub fn from_face(self, face: usize) -> Self {
        Self { face: Some(face), ..self }
    }

    /// The same with a standard uncertainty of its own.
    #[must_use]
    pub fn with_u(self, u: f64) -> Self {
        Self { u: Some(u), ..self }
    }

    /// Thickness, mm.
    #[must_use]
    pub fn thickness(&self) -> f64 {
        self.depth[1] - self.depth[0]
    }
}

/// Increments as columns, sorted, so that the order of rows moves no digit.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Readings {
    /// from, to, row after row: the predictors of a fit.
    pub(super) depths: Vec<f64>,
    pub(super) y: Vec<f64>,
    /// Thickness over the mean thickness; 1 where a reading at a point is among them.
    pub(super) weight: Vec<f64>,
    pub(super) core: Vec<usize>,
    pub(super) own: Vec<Option<f64>>,
    pub(super) u_depth: Vec<[Option<f64>; 2]>,
    /// One list a shared cause.
    pub(super) shared: Vec<Vec<f64>>,
}

impl Readings {
    /// # Errors
    /// No increments, a number that is not finite, an interval that is reversed, an uncertainty below 0, shared causes that
    /// do not fit.
    pub(super) fn of(increments: &[Increment]) -> Result<Self> {
        let n_shared = increments.first().map_or(0, |increment| increment.shared.len());
        for increment in increments {
            check(increment, n_shared)?;
        }
        if increments.is_empty() {
            return Err(range("number of increments", 0.0, "at least 1"));
        }
        let mut sorted: Vec<&Increment> = increments.iter().collect();
        sorted.sort_by(|a, b| {
            let by_depth = a.depth[0].total_cmp(&b.depth[0]).then(a.depth[1].total_cmp(&b.depth[1]));
            by_depth.then(a.value.total_cmp(&b.value)).then(a.core.cmp(&b.core))
        });
        let thicknesses: Vec<f64> = sorted.iter().map(|increment| increment.thickness()).collect();
        let mean = sum(&thicknesses) / real(sorted.len());
        let has_points = thicknesses.iter().any(|thickness| *thickness <= 0.0);
        let weight = |thickness: &f64| if has_points { 1.0 } else { thickness / mean };
        Ok(Self {
            depths: sorted.iter().flat_map(|increment| increment.depth).collect(),
            y: sorted.iter().map(|increment| increment.value).collect(),
            weight: thicknesses.iter().map(weight).collect(),
            core: sorted.iter().map(|increment| increment.core).collect(),
            own: sorted.iter().map(|increment| increment.u).collect(),
            u_depth: sorted.iter().map(|increment| increment.u_depth).collect(),
            shared: (0..n_shared).map(|k| sorted.iter().map(|increment| increment.shared[k]).collect()).collect(),
        })
    }

    pub(super) fn n(&self) -> usize {
        self.y.len()
    }

    /// Depth from and to of one of them.
    pub(super) fn depth(&self, row: usize) -> [f64; 2] {
        [self.depths[2 * row], self.depths[2 * row + 1]]
    }

    /// The shallowest and the deepest depth.
    pub(super) fn range(&self) -> [f64; 2] {
        let deepest = self.depths.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        [self.depths[0], deepest]
    }

    /// Ends of all intervals, ascending, each once.
    pub(super) fn ends(&self) -> Vec<f64> {
        let mut ends = self.depths.clone();
        ends.sort_by(f64::total_cmp);
        ends.dedup();
        ends
    }

    pub(super) fn n_cores(&self) -> usize {
        let mut cores = self.core.clone();
        cores.sort_unstable();
        cores.dedup();
        cores.len()
    }
}

fn check(increment: &Increment, n_shared: usize) -> Result<()> {
    let [from, to] = increment.depth;
    for (name, value) in [("depth from", from), ("depth to", to), ("value of an increment", increment.value)] {
        if !value.is_finite() {
            return Err(range(name, value, "a finite number"));
        }
    }
    if from < 0.0 {
        return Err(range("depth from", from, "0 mm or more"));
    }
    if to < from {
        return Err(range("depth to", to, format!("{from} mm, where the increment begins, or more")));
    }
    let uncertainties = [increment.u, increment.u_depth[0], increment.u_depth[1]];
    for u in uncertainties.into_iter().flatten() {
        if !(u >= 0.0 && u.is_finite()) {
            return Err(range("uncertainty of an increment", u, "a finite number, 0 or above"));
        }
    }
    if increment.shared.len() != n_shared {
        let found = increment.shared.len();
        return Err(Error::new(ErrorKind::Shape { what: "shared causes of an increment", found, expected: n_shared }));
    }
    match increment.shared.iter().find(|part| !part.is_finite()) {
        Some(part) => Err(range("what a shared cause adds", *part, "a finite number")),
        None => Ok(()),
    }
}

pub(super) fn range(name: impl Into<String>, value: f64, allowed: impl Into<String>) -> Error {
    Error::new(ErrorKind::Range { name: name.into(), value, allowed: allowed.into() })
}

/// A count as a number.
#[allow(clippy::cast_precision_loss, reason = "OK because no timber has 2^53 increments")]
pub(super) fn real(count: usize) -> f64 {
    count as f64
}
