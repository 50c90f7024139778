//! A piece in one bath after the other: what is asked, and what comes of it in time.

/// One bath: how long, and how strong.
///
/// Concentrations may be in any unit of mass per volume of solution, the same throughout; results are in it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BathStep {
    /// How long the piece lies in it, s.
    pub duration: f64,
    /// Concentration of the bath, held.
    pub concentration: f64,
}

/// How finely a soaking is computed, and when it is looked at.
#[derive(Debug, Clone, PartialEq)]
pub struct SoakOptions {
    /// Concentration in the solution of the wood at first; 0 for a piece that is impregnated, above 0 for one that is washed.
    pub initial: f64,
    /// Times at which the piece is looked at, s from the start, ascending.
    pub times: Vec<f64>,
    /// Number of cells from the surface to the centre, about; at least 4 in each layer.
    pub cells: usize,
    /// Error allowed in one step of time, relative to the largest difference of concentration.
    pub tolerance: f64,
}

impl SoakOptions {
    /// A piece without the solute, looked at at these times; 100 cells, tolerance 1e-7.
    #[must_use]
    pub fn at(times: &[f64]) -> Self {
        Self { initial: 0.0, times: times.to_vec(), cells: 100, tolerance: 1e-7 }
    }
}

/// The piece at one time.
#[derive(Debug, Clone, PartialEq)]
pub struct Moment {
    /// Time from the start, s.
    pub time: f64,
    /// Mean concentration in the solution of the wood.
    pub mean: f64,
    /// Concentration in the centre.
    pub centre: f64,
    /// What came in through the surface since the start, as a mean concentration: the mean less the initial one, summed up by another
    /// way.
    pub entered: f64,
    /// Concentration in each cell, in the order of [`Soaking::places`].
    pub concentration: Vec<f64>,
}

/// What a soaking came to.
#[derive(Debug, Clone, PartialEq)]
pub struct Soaking {
    /// Distance of the middle of each cell from the centre, m, one number a direction.
    pub places: Vec<Vec<f64>>,
    /// The piece at each of the times that were asked for.
    pub moments: Vec<Moment>,
    /// Steps of time that were taken.
    pub n_steps: usize,
}
