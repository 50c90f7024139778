//! Where runs start.

use crate::error::Result;
use crate::numeric::check;
use crate::numeric::montecarlo::Interval;
use crate::numeric::summary::real;

/// How far a scattered start lies from the first one, as a factor, where nothing bounds a parameter.
const FACTOR: f64 = 100.0;

/// The starts of a fit: given ones, and points scattered evenly over a box.
///
/// # Example
/// ```
/// use woodstate::numeric::Starts;
/// let starts = Starts::at(&[1.0, 0.5]).scattered(30);
/// assert_eq!(starts.count(), 31);
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Starts {
    given: Vec<Vec<f64>>,
    scattered: usize,
    within: Vec<Interval>,
}

impl Starts {
    /// One start.
    #[must_use]
    pub fn at(start: &[f64]) -> Self {
        Self { given: vec![start.to_vec()], scattered: 0, within: Vec::new() }
    }

    /// One more start, such as one read off the data.
    #[must_use]
    pub fn and(mut self, start: &[f64]) -> Self {
        self.given.push(start.to_vec());
        self
    }

    /// So many more starts, the same every time.
    ///
    /// They fill the box of [`within`](Self::within), or the limits of the fit, or else 1/100 to 100 times the first
    /// start; −1 … 1 where that is 0.
    #[must_use]
    pub fn scattered(self, count: usize) -> Self {
        Self { scattered: count, ..self }
    }

    /// The box that scattered starts fill, one interval a parameter.
    #[must_use]
    pub fn within(self, within: &[Interval]) -> Self {
        Self { within: within.to_vec(), ..self }
    }

    /// How many there are.
    #[must_use]
    pub fn count(&self) -> usize {
        self.given.len() + self.scattered
    }

    /// How many were given.
    pub(super) fn given(&self) -> usize {
        self.given.len()
    }

    /// Number of parameters.
    pub(super) fn parameters(&self) -> usize {
        self.given.first().map_or(0, Vec::len)
    }

    /// The first start.
    pub(super) fn first(&self) -> &[f64] {
        self.given.first().map_or(&[], Vec::as_slice)
    }

    pub(super) fn check(&self) -> Result<()> {
        check::at_least("number of parameters", self.parameters(), 1)?;
        for start in &self.given {
            check::length("start", start.len(), self.parameters())?;
            start.iter().enumerate().try_for_each(|(k, &b)| check::finite_of("start of parameter", k, b))?;
        }
        if self.within.is_empty() {
            return Ok(());
        }
        check::length("box of starts", self.within.len(), self.parameters())?;
        for (k, side) in self.within.iter().enumerate() {
            check::finite_of("lower end of the box of starts, parameter", k, side.low)?;
            check::finite_of("upper end of the box of starts, parameter", k, side.high)?;
            check::finite_of("width of the box of starts, parameter", k, side.width())?;
        }
        Ok(())
    }

    /// All starts; `low` and `high` are the limits of the fit.
    pub(super) fn all(&self, low: &[f64], high: &[f64]) -> Vec<Vec<f64>> {
        let scattered = (1..=self.scattered).map(|index| {
            let place = |k: usize| self.place(k, low[k], high[k], radical_inverse(index, prime(k)));
            (0..self.parameters()).map(place).collect()
        });
        self.given.iter().cloned().chain(scattered).collect()
    }

    /// The value of parameter `k` at a share of its way through the box.
    fn place(&self, k: usize, low: f64, high: f64, share: f64) -> f64 {
        let first = self.first()[k];
        match self.within.get(k) {
            Some(side) => side.low + share * side.width(),
            None if (high - low).is_finite() => low + share * (high - low),
            None if first.abs() > 0.0 => first * FACTOR.powf(2.0 * share - 1.0),
            None => 2.0 * share - 1.0,
        }
    }
}

/// The digits of `index` in a base, mirrored at the point: a Halton sequence.
///
/// # Source
/// J. H. Halton 1960, On the efficiency of certain quasi-random sequences of points in evaluating multi-dimensional
/// integrals, Numerische Mathematik 2, 84-90, doi:10.1007/BF01386213 \[memory].
fn radical_inverse(mut index: usize, base: usize) -> f64 {
    let (mut value, mut unit) = (0.0, 1.0 / real(base));
    while index > 0 {
        value += real(index % base) * unit;
        index /= base;
        unit /= real(base);
    }
    value
}

/// The prime number with this place, from 0.
fn prime(place: usize) -> usize {
    (2..).filter(|n| (2..*n).take_while(|d| d * d <= *n).all(|d| n % d != 0)).nth(place).unwrap_or(2)
}
