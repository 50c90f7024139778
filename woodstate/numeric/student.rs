//! Student's quantile of one probability for many degrees of freedom.

use std::f64::consts::PI;

use super::check;
use super::distribution::{normal_quantile, student_quantile};
use crate::error::Result;

/// Terms of the polynomial: enough for 1e-12 between these probabilities.
const TERMS: usize = 32;
const KEPT: [f64; 2] = [0.5001, 0.9999];

/// The value below which Student's t lies with one probability, for as many degrees of freedom as are asked for.
///
/// ln t(ν) is smooth along 1/ν, from 0 (normal) to 1, and is kept as a polynomial in Chebyshev's form. Relative error below
/// 5e-12. Below 1 degree of freedom, and for probabilities outside 0.5001 to 0.9999, it is [`student_quantile`].
///
/// # Example
/// ```
/// use woodstate::numeric::{StudentQuantiles, student_quantile};
/// let quantiles = StudentQuantiles::of(0.975)?;
/// assert!((quantiles.at(9.0)? / student_quantile(0.975, 9.0)? - 1.0).abs() < 1e-12);
/// assert!((quantiles.at(f64::INFINITY)? - 1.959_963_984_540_054).abs() < 1e-14);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
/// # Source
/// J. C. Mason, D. C. Handscomb 2003, Chebyshev Polynomials, sections 2.4.1 and 6.3 \[memory].
#[derive(Debug, Clone, PartialEq)]
pub struct StudentQuantiles {
    probability: f64,
    coefficients: [f64; TERMS],
}

impl StudentQuantiles {
    /// For one probability.
    ///
    /// # Errors
    /// When the probability is not between 0.5 and 1.
    pub fn of(probability: f64) -> Result<Self> {
        check::probability("probability", probability)?;
        if probability <= 0.5 {
            return Err(check::range("probability", probability, "above 0.5"));
        }
        let angle = |k: usize| PI * (real(k) + 0.5) / real(TERMS);
        let mut logarithms = [0.0; TERMS];
        for (k, logarithm) in logarithms.iter_mut().enumerate() {
            let s = f64::midpoint(angle(k).cos(), 1.0);
            *logarithm = student_quantile(probability, 1.0 / s)?.ln();
        }
        let coefficient = |j: usize| {
            let sum: f64 = logarithms.iter().enumerate().map(|(k, f)| f * (real(j) * angle(k)).cos()).sum();
            sum * if j == 0 { 1.0 } else { 2.0 } / real(TERMS)
        };
        Ok(Self { probability, coefficients: std::array::from_fn(coefficient) })
    }

    /// The quantile for `nu` degrees of freedom, which may be infinite.
    ///
    /// # Errors
    /// When `nu` is not above 0.
    pub fn at(&self, nu: f64) -> Result<f64> {
        check::freedom("degrees of freedom", nu)?;
        if nu.is_infinite() {
            return normal_quantile(self.probability);
        }
        if nu < 1.0 || !(KEPT[0]..=KEPT[1]).contains(&self.probability) {
            return student_quantile(self.probability, nu);
        }
        let x = 2.0 / nu - 1.0;
        // Clenshaw's recurrence, from the last term to the first.
        let (mut one, mut two) = (0.0, 0.0);
        for coefficient in self.coefficients[1..].iter().rev() {
            (one, two) = (coefficient + 2.0 * x * one - two, one);
        }
        Ok((self.coefficients[0] + x * one - two).exp())
    }
}

#[allow(clippy::cast_precision_loss, reason = "OK because there are 32 terms")]
fn real(count: usize) -> f64 {
    count as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: `SciPy` 1.17.1, `scipy.stats.t.ppf(p, nu)`.
    #[test]
    fn quantiles_agree_with_scipy() {
        for (p, nu, t) in [
            (0.5001, 1.01, 0.0003135580853878657),
            (0.5001, 33.3, 0.00025255148034425374),
            (0.5001, 1e9, 0.0002506628301507623),
            (0.6, 1.5, 0.30074539256979543),
            (0.6, 1e5, 0.25334777715718015),
            (0.975, 1.01, 12.412738499102536),
            (0.975, 2.7, 3.3921483831737507),
            (0.975, 9.0, 2.262157162798205),
            (0.975, 1e3, 1.9623390808264083),
            (0.975, 1e9, 1.959963986912325),
            (0.9999, 1.01, 2944.5129274969986),
            (0.9999, 1.5, 242.26409884652412),
            (0.9999, 1e5, 3.7191543826413724),
        ] {
            let found = StudentQuantiles::of(p).unwrap().at(nu).unwrap();
            assert!((found / t - 1.0).abs() < 5e-12, "{p} {nu}: {found} and {t}");
        }
    }

    #[test]
    fn every_degree_of_freedom_agrees_with_the_search() {
        for probability in [0.500_01, 0.6, 0.8413, 0.975, 0.995, 0.9999, 0.999_999_9] {
            let quantiles = StudentQuantiles::of(probability).unwrap();
            for nu in [0.7, 1.0, 1.01, 1.5, 2.0, 2.7, 4.0, 9.0, 33.3, 1e3, f64::INFINITY] {
                let (found, known) = (quantiles.at(nu).unwrap(), student_quantile(probability, nu).unwrap());
                assert!((found / known - 1.0).abs() < 1e-12, "{probability} {nu}: {found} and {known}");
            }
        }
        assert!(StudentQuantiles::of(0.5).is_err() && StudentQuantiles::of(1.0).is_err());
        assert!(StudentQuantiles::of(0.9).unwrap().at(0.0).is_err());
    }
}
