//! A model together with the x axis that it stands on.

use crate::numeric::{Interval, Model};

use super::start::Sight;
use super::{CurveModel, exponential, gompertz, linear, logistic, power, threshold};

/// Which way strength goes as x grows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Direction {
    /// It rises, as with density.
    Rising,
    /// It falls, as with loss of wood substance.
    Falling,
}

impl Direction {
    pub(super) fn sign(self) -> f64 {
        match self {
            Self::Rising => 1.0,
            Self::Falling => -1.0,
        }
    }
}

/// A model on an x axis: what is needed to compute it, parameters apart.
///
/// # Example
/// ```
/// use woodstate::strength::{CurveModel, Direction, Formula};
/// let power = Formula { model: CurveModel::Power, reference: 1000.0, direction: Direction::Rising };
/// // Half of 118.7 MPa at a density of 500 kg/m3 and an exponent of 1.
/// assert!((power.value(500.0, &[118.7, 1.0]).unwrap() - 59.35).abs() < 1e-12);
/// assert_eq!(power.text(), "a (x/1000)^b");
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Formula {
    /// The model.
    pub model: CurveModel,
    /// The point of reference r of a power, in the unit of x, above 0.
    pub reference: f64,
    /// Which way strength goes; a threshold needs to know.
    pub direction: Direction,
}

/// Below this share of the reference a power is taken to be where its logarithm still exists.
const SMALLEST: f64 = 1e-300;

impl Formula {
    /// The formula as a person writes it.
    #[must_use]
    pub fn text(&self) -> String {
        match (self.model, self.direction) {
            (CurveModel::Linear, _) => "a + b x".to_owned(),
            (CurveModel::Power, _) => format!("a (x/{})^b", self.reference),
            (CurveModel::Exponential, _) => "a exp(k x)".to_owned(),
            (CurveModel::Logistic, _) => "a / (1 + exp(-k (x - m)))".to_owned(),
            (CurveModel::Gompertz, _) => "a exp(-exp(-k (x - m)))".to_owned(),
            (CurveModel::Threshold, Direction::Rising) => "a - b max(t - x, 0)".to_owned(),
            (CurveModel::Threshold, Direction::Falling) => "a - b max(x - t, 0)".to_owned(),
        }
    }

    /// Whether the curve exists at x: a power does not below 0.
    #[must_use]
    pub fn exists_at(&self, x: f64) -> bool {
        x.is_finite() && (self.model != CurveModel::Power || x >= 0.0)
    }

    /// The curve at `x` for parameters `b`; `None` where it does not exist.
    #[must_use]
    pub fn value(&self, x: f64, b: &[f64]) -> Option<f64> {
        let mut slope = vec![0.0; b.len()];
        self.with_slope(x, b, &mut slope)
    }

    /// The curve at `x` and its derivatives by the parameters; `None` where it does not exist.
    ///
    /// * `slope`: one entry a parameter, is filled
    #[must_use]
    pub fn with_slope(&self, x: f64, b: &[f64], slope: &mut [f64]) -> Option<f64> {
        let is_asked_rightly = b.len() == self.model.n_parameters() && slope.len() == b.len();
        (is_asked_rightly && self.exists_at(x)).then(|| self.at(&self.row(x), b, slope))
    }

    /// The x at which the curve with parameters `b` has the value `y`; `None` where it never has, or has everywhere.
    ///
    /// On the plateau of a threshold there is no such x either.
    #[must_use]
    pub fn inverse(&self, y: f64, b: &[f64]) -> Option<f64> {
        if b.len() != self.model.n_parameters() {
            return None;
        }
        let x = match self.model {
            CurveModel::Linear => linear::inverse(y, b),
            CurveModel::Power => self.reference * power::inverse(y, b),
            CurveModel::Exponential => exponential::inverse(y, b),
            CurveModel::Logistic => logistic::inverse(y, b),
            CurveModel::Gompertz => gompertz::inverse(y, b),
            CurveModel::Threshold => threshold::inverse(y, self.direction.sign(), b),
        };
        Some(x).filter(|x| x.is_finite())
    }

    /// What a solver is given of one x: x and ln(x/r), which is used by a power alone.
    pub(in crate::strength) fn row(&self, x: f64) -> [f64; 2] {
        [x, (x / self.reference).max(SMALLEST).ln()]
    }

    /// Starts read off the data, the best first.
    pub(in crate::strength) fn starts(&self, sight: &Sight<'_>) -> Vec<Vec<f64>> {
        match self.model {
            CurveModel::Linear => linear::starts(sight),
            CurveModel::Power => power::starts(sight, self.reference),
            CurveModel::Exponential => exponential::starts(sight),
            CurveModel::Logistic => logistic::starts(sight),
            CurveModel::Gompertz => gompertz::starts(sight),
            CurveModel::Threshold => threshold::starts(sight, self.direction.sign()),
        }
    }

    /// Where further starts are scattered, for a model whose starts from the data may miss the best curve.
    pub(in crate::strength) fn search(&self, sight: &Sight<'_>) -> Option<Vec<Interval>> {
        match self.model {
            CurveModel::Logistic | CurveModel::Gompertz => Some(logistic::search(sight)),
            CurveModel::Linear | CurveModel::Power | CurveModel::Exponential | CurveModel::Threshold => None,
        }
    }

    /// Limits of the parameters: wide, so that a parameter that stands on one says that the data do not hold it.
    pub(in crate::strength) fn limits(&self, sight: &Sight<'_>) -> Vec<Interval> {
        match self.model {
            CurveModel::Linear => linear::limits(),
            CurveModel::Power => power::limits(),
            CurveModel::Exponential => exponential::limits(sight),
            CurveModel::Logistic | CurveModel::Gompertz => logistic::limits(sight),
            CurveModel::Threshold => threshold::limits(sight),
        }
    }
}

impl Model for Formula {
    fn at(&self, row: &[f64], b: &[f64], slope: &mut [f64]) -> f64 {
        match self.model {
            CurveModel::Linear => linear::at(row[0], b, slope),
            CurveModel::Power => power::at(row[1], b, slope),
            CurveModel::Exponential => exponential::at(row[0], b, slope),
            CurveModel::Logistic => logistic::at(row[0], b, slope),
            CurveModel::Gompertz => gompertz::at(row[0], b, slope),
            CurveModel::Threshold => threshold::at(row[0], self.direction.sign(), b, slope),
        }
    }
}
