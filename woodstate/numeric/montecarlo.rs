//! Propagation of distributions by random draws.

use super::check;
use super::spread::Spread;
use super::stream::Stream;
use super::summary::{self, real, whole};
use super::watch::Watch;
use crate::error::Result;

/// Draws per block of the adaptive run; JCGM 101:2008, 7.9.4 b) \[memory].
const BLOCK: usize = 10_000;

/// A lower and an upper end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    /// The lower end.
    pub low: f64,
    /// The upper end.
    pub high: f64,
}

impl Interval {
    /// Distance of the ends.
    #[must_use]
    pub fn width(&self) -> f64 {
        self.high - self.low
    }
}

/// Values of a result over many random draws, sorted.
#[derive(Debug, Clone, PartialEq)]
pub struct Sample {
    sorted: Vec<f64>,
    mean: f64,
    sd: f64,
}

impl Sample {
    /// A sample of values in any order.
    ///
    /// # Errors
    /// When there are fewer than two values, or one of them is not finite: a draw for which the result does not
    /// exist is never dropped.
    pub fn new(values: Vec<f64>) -> Result<Self> {
        usable(&values)?;
        Ok(Self::of_usable(values))
    }

    fn of_usable(mut values: Vec<f64>) -> Self {
        values.sort_unstable_by(f64::total_cmp);
        // OK because `usable` values are at least two, so both exist.
        let mean = summary::mean(&values).unwrap_or(f64::NAN);
        let sd = summary::sd(&values).unwrap_or(f64::NAN);
        Self { sorted: values, mean, sd }
    }

    /// The values, sorted.
    #[must_use]
    pub fn values(&self) -> &[f64] {
        &self.sorted
    }

    /// Their mean.
    #[must_use]
    pub fn mean(&self) -> f64 {
        self.mean
    }

    /// Their standard deviation: the standard uncertainty of the result.
    #[must_use]
    pub fn sd(&self) -> f64 {
        self.sd
    }

    /// Quantile, type 7.
    ///
    /// # Errors
    /// When `p` lies outside 0 … 1.
    pub fn quantile(&self, p: f64) -> Result<f64> {
        summary::quantile(&self.sorted, p).ok_or_else(|| check::range("probability", p, "a number from 0 to 1"))
    }

    /// The interval with equal shares of the values below and above it.
    ///
    /// # Errors
    /// When `coverage` is not between 0 and 1.
    pub fn symmetric(&self, coverage: f64) -> Result<Interval> {
        check::probability("coverage", coverage)?;
        let tail = (1.0 - coverage) / 2.0;
        Ok(Interval { low: self.quantile(tail)?, high: self.quantile(1.0 - tail)? })
    }

    /// The shortest interval that holds a share `coverage` of the values; the lowest of equals.
    ///
    /// Its ends are weakly determined where the density is flat; its width and coverage are not.
    ///
    /// # Errors
    /// When `coverage` is not between 0 and 1.
    ///
    /// # Source
    /// JCGM 101:2008, 5.3.4 and 7.7.4.
    pub fn shortest(&self, coverage: f64) -> Result<Interval> {
        check::probability("coverage", coverage)?;
        let last = self.sorted.len() - 1;
        let step = whole((coverage * real(self.sorted.len())).round()).clamp(1, last);
        let ends = self.sorted.iter().zip(self.sorted.iter().skip(step));
        let first = Interval { low: self.sorted[0], high: self.sorted[step] };
        Ok(ends
            .map(|(&low, &high)| Interval { low, high })
            .fold(first, |best, next| if next.width() < best.width() { next } else { best }))
    }

    /// Share of the values from `low` up to, but without, `high`; neighbouring classes so add up to 1.
    #[must_use]
    pub fn share_between(&self, low: f64, high: f64) -> f64 {
        let below = |end: f64| self.sorted.partition_point(|&value| value < end);
        real(below(high).saturating_sub(below(low))) / real(self.sorted.len())
    }
}

/// Several results of the same draws, for inputs of any kind: `f` takes what it needs from the stream.
///
/// Allocates once per result, nothing per draw.
///
/// # Errors
/// When there are fewer than two draws, or a result is not finite.
///
/// # Example
/// ```
/// use woodstate::numeric::{Spread, Stream, joint};
/// let wet = Spread::normal(50.0, 0.1).unwrap();
/// let dry = Spread::normal(10.0, 0.1).unwrap();
/// let [water, percent] = joint(10_000, &mut Stream::keyed(1, &["A-1"]), |stream| {
///     let (wet, dry) = (wet.draw(stream), dry.draw(stream));
///     [wet - dry, 100.0 * (wet - dry) / dry]
/// }).unwrap();
/// assert!((water.sd() - 0.1 * 2f64.sqrt()).abs() < 0.004);
/// assert!((percent.mean() - 400.0).abs() < 0.3);
/// ```
pub fn joint<const N: usize>(
    draws: usize,
    stream: &mut Stream,
    mut f: impl FnMut(&mut Stream) -> [f64; N],
) -> Result<[Sample; N]> {
    let mut values = [(); N].map(|()| Vec::with_capacity(draws));
    for _ in 0..draws {
        for (value, column) in f(stream).into_iter().zip(&mut values) {
            column.push(value);
        }
    }
    for column in &values {
        usable(column)?;
    }
    Ok(values.map(Sample::of_usable))
}

/// One result of independent inputs; `f` is called with one value per spread.
///
/// # Errors
/// When there are fewer than two draws, or a result is not finite.
///
/// # Source
/// JCGM 101:2008, clause 7.
pub fn simulate(draws: usize, seed: u64, spreads: &[Spread], mut f: impl FnMut(&[f64]) -> f64) -> Result<Sample> {
    let mut inputs = vec![0.0; spreads.len()];
    let [sample] = joint(draws, &mut Stream::new(seed, 0), |stream| [f(drawn(spreads, stream, &mut inputs))])?;
    Ok(sample)
}

/// What an adaptive run came to.
#[derive(Debug, Clone, PartialEq)]
pub struct Settled {
    /// All draws together.
    pub sample: Sample,
    /// Whether the wanted digits stand still; if not, the allowed number of draws was too small.
    pub stable: bool,
}

/// Draws block after block until `digits` digits of the standard uncertainty stand still.
///
/// Blocks of 10⁴ draws (more for a coverage above 99 %), at least two; stops when twice the standard deviation of the
/// mean over blocks is within the numerical tolerance, for mean, standard uncertainty and both ends of the symmetric
/// interval. Never more than `most` draws (but always two blocks).
///
/// # Errors
/// When `digits` or `coverage` is out of range, a result is not finite, or the watch says stop.
///
/// # Source
/// JCGM 101:2008, 7.9.4 \[memory].
pub fn simulate_to(
    digits: u8,
    coverage: f64,
    most: usize,
    seed: u64,
    spreads: &[Spread],
    mut f: impl FnMut(&[f64]) -> f64,
    watch: &Watch<'_>,
) -> Result<Settled> {
    check::probability("coverage", coverage)?;
    numerical_tolerance(1.0, digits)?;
    let block = BLOCK.max(whole((100.0 / (1.0 - coverage)).ceil()));
    let mut stream = Stream::new(seed, 0);
    let mut inputs = vec![0.0; spreads.len()];
    let mut values = Vec::new();
    let mut blocks: [Vec<f64>; 4] = Default::default();
    loop {
        let [sample] = joint(block, &mut stream, |stream| [f(drawn(spreads, stream, &mut inputs))])?;
        let ends = sample.symmetric(coverage)?;
        for (column, value) in blocks.iter_mut().zip([sample.mean, sample.sd, ends.low, ends.high]) {
            column.push(value);
        }
        values.extend_from_slice(&sample.sorted);
        watch.advance("draws", values.len(), most.max(2 * block))?;
        if blocks[0].len() < 2 {
            continue;
        }
        let tolerance = numerical_tolerance(summary::sd(&values).unwrap_or(0.0), digits)?;
        let stable = blocks.iter().all(|column| {
            let of_mean = summary::sd(column).unwrap_or(f64::INFINITY) / real(column.len()).sqrt();
            2.0 * of_mean <= tolerance
        });
        if stable || values.len().saturating_add(block) > most {
            return Ok(Settled { sample: Sample::of_usable(values), stable });
        }
    }
}

/// Half a unit in the last of `digits` digits of an uncertainty; 0 for an uncertainty of 0.
///
/// ```text
/// u = c · 10^l with c of that many digits;  δ = ½ · 10^l
/// ```
/// # Errors
/// When `u` is negative or not finite, or `digits` is not 1, 2 or 3.
///
/// # Example
/// ```
/// assert_eq!(woodstate::numeric::numerical_tolerance(0.0754, 2).unwrap(), 0.0005);
/// ```
/// # Source
/// JCGM 101:2008, 7.9.2 \[memory].
pub fn numerical_tolerance(u: f64, digits: u8) -> Result<f64> {
    check::uncertainty("standard uncertainty", u)?;
    if !(1..=3).contains(&digits) {
        return Err(check::range("number of digits", f64::from(digits), "1, 2 or 3"));
    }
    // Writing and reading the number rounds it in decimals exactly, which powers of 10 would not.
    let written = format!("{u:.*e}", usize::from(digits - 1));
    let exponent = written.split_once('e').and_then(|(_, exponent)| exponent.parse::<i32>().ok());
    let tolerance = exponent.and_then(|exponent| format!("5e{}", exponent - i32::from(digits)).parse::<f64>().ok());
    match tolerance {
        Some(tolerance) if u > 0.0 => Ok(tolerance),
        _ => Ok(0.0),
    }
}

/// Whether an interval from the law of propagation agrees with one from random draws, to `digits` digits of `u`.
///
/// Both ends must agree within the [`numerical_tolerance`]. The draws must be many enough to show it: with two digits
/// the tolerance is 0.005 u … 0.05 u, while the end of a 95 % interval from M draws scatters by about 2.7 u/√M.
///
/// # Errors
/// When `u` is negative or not finite, or `digits` is not 1, 2 or 3.
///
/// # Source
/// JCGM 101:2008, clause 8 \[memory].
pub fn agrees_with_linear(linear: Interval, drawn: Interval, u: f64, digits: u8) -> Result<bool> {
    let tolerance = numerical_tolerance(u, digits)?;
    Ok((linear.low - drawn.low).abs() <= tolerance && (linear.high - drawn.high).abs() <= tolerance)
}

fn drawn<'a>(spreads: &[Spread], stream: &mut Stream, inputs: &'a mut [f64]) -> &'a [f64] {
    for (input, spread) in inputs.iter_mut().zip(spreads) {
        *input = spread.draw(stream);
    }
    inputs
}

fn usable(values: &[f64]) -> Result<()> {
    if values.len() < 2 {
        return Err(check::range("number of draws", real(values.len()), "2 or more"));
    }
    values.iter().try_for_each(|&value| check::finite("result of a random draw", value))
}
