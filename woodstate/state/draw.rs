//! Pieces whose uncertainty is too wide for a straight line: which they are, and their random draws.

use crate::error::Result;
use crate::numeric::{Sample, Spread, Stream};
use crate::quantity::Quantity;

use super::{Cause, Propagated, Propagation, Readings, Route, Rules, Shape, Value, derive};

/// Of a formula such as 1/x the second-order term over u is u/x, so small relative uncertainties need no look.
pub(super) fn is_wide(value: f64, u: f64, share: f64) -> bool {
    u > 0.5 * share * value.abs()
}

/// Those of some quantities that bend within their uncertainty.
///
/// The second-order term is compared with `u`; a quantity that becomes impossible one standard uncertainty away bends too.
pub(super) fn bent_among(
    quantities: &[Quantity],
    results: &Propagated,
    readings: &Readings,
    rules: &Rules<'_>,
    how: &Propagation,
) -> Vec<Quantity> {
    let share = |quantity| how.share(quantity);
    let is_wide = |quantity: &Quantity| {
        let value = results.values.of(*quantity);
        value.is_some_and(|value| value.u.is_some_and(|u| is_wide(value.value, u, share(*quantity))))
    };
    let wide: Vec<Quantity> = quantities.iter().copied().filter(is_wide).collect();
    if wide.is_empty() {
        return wide;
    }
    let at = readings.values();
    let mut shifts = vec![Some(0.0); wide.len()];
    for (index, reading) in readings.entries().iter().enumerate() {
        let Some((reading, u)) = reading.and_then(|reading| Some((reading, reading.u.filter(|u| *u > 0.0)?))) else {
            continue;
        };
        let moved = |by: f64| {
            let mut moved = at;
            moved[index] = Some(reading.value + by);
            derive(&moved, rules)
        };
        let (above, below) = (moved(u), moved(-u));
        for (shift, quantity) in shifts.iter_mut().zip(&wide) {
            let ends = above.value(*quantity).zip(below.value(*quantity)).zip(results.values.of(*quantity));
            let term = ends.map(|(((above, _), (below, _)), value)| 0.5 * (above + below - 2.0 * value.value));
            *shift = shift.zip(term).map(|(shift, term)| shift + term);
        }
    }
    let bends = |(quantity, shift): &(Quantity, Option<f64>)| {
        let u = results.values.of(*quantity).and_then(|value| value.u).unwrap_or(f64::INFINITY);
        shift.is_none_or(|shift| shift.abs() > share(*quantity) * u)
    };
    wide.into_iter().zip(shifts).filter(bends).map(|(quantity, _)| quantity).collect()
}

/// Share of a normal distribution that lies more than one standard deviation below its mean.
const ONE_SIGMA_TAIL: f64 = 0.158_655_253_931_457_05;

/// Draws a piece and replaces the uncertainties of the quantities that bend.
pub(super) fn draw(
    results: &mut Propagated,
    bent: &[Quantity],
    readings: &Readings,
    rules: &Rules<'_>,
    how: &Propagation,
    name: &str,
    taxon: &str,
) -> Result<()> {
    let mut causes = readings.values();
    let mut sources = Vec::new();
    for (index, reading) in readings.entries().iter().enumerate() {
        if let Some((reading, u)) = reading.and_then(|reading| Some((reading, reading.u.filter(|u| *u > 0.0)?))) {
            let spread = match reading.shape {
                Shape::Normal => Spread::normal(reading.value, u)?,
                Shape::Rectangular => {
                    let half = u * 3.0_f64.sqrt();
                    Spread::rectangular(reading.value - half, reading.value + half)?
                }
            };
            let cause = index.to_string();
            let of_taxon = if Cause::is_of_taxon(index) { taxon } else { "" };
            let stream = match readings.shared_place(index) {
                Some(_) => Stream::keyed(how.seed, &["shared", &cause, of_taxon]),
                None => Stream::keyed(how.seed, &["piece", name, &cause]),
            };
            sources.push((index, spread, stream));
        }
    }
    let mut drawn: Vec<Vec<f64>> = vec![Vec::new(); Quantity::COUNT];
    let mut possible = 0;
    for _ in 0..how.draws {
        for (index, spread, stream) in &mut sources {
            causes[*index] = Some(spread.draw(stream));
        }
        let derived = derive(&causes, rules);
        let route = |value: Option<(f64, Route)>| value.map(|(_, route)| route);
        // A draw that leaves the reported route is impossible: another route would be another measurement.
        let is_possible = bent
            .iter()
            .all(|quantity| route(derived.value(*quantity)) == results.values.of(*quantity).map(|value| value.route));
        possible += usize::from(is_possible);
        for (quantity, drawn) in Quantity::ALL.iter().zip(&mut drawn).filter(|_| is_possible) {
            drawn.extend(derived.value(*quantity).map(|(value, _)| value));
        }
    }
    let tail = (1.0 - how.coverage) / 2.0;
    let mut samples = Vec::with_capacity(Quantity::COUNT);
    for (&quantity, drawn) in Quantity::ALL.iter().zip(drawn) {
        let known = results.values.of(quantity).filter(|value| value.u.is_some() && bent.contains(&quantity));
        let Some(value) = known.filter(|_| drawn.len() > 1) else {
            samples.push(None);
            continue;
        };
        let sample = Sample::new(drawn)?;
        let interval = Some([sample.quantile(tail)?, sample.quantile(1.0 - tail)?]);
        let half = 0.5 * (sample.quantile(1.0 - ONE_SIGMA_TAIL)? - sample.quantile(ONE_SIGMA_TAIL)?);
        let u = if sample.sd() <= 2.0 * half { sample.sd() } else { half };
        results.values.set(quantity, Some(Value { u: Some(u).filter(|u| u.is_finite()), interval, ..value }));
        samples.push(Some(sample));
    }
    for routes in [&mut results.water_contents, &mut results.densities] {
        for value in routes.iter_mut() {
            let reported = bent.iter().filter_map(|quantity| results.values.of(*quantity));
            let same = reported.into_iter().find(|other| (other.unit, other.route) == (value.unit, value.route));
            *value = same.unwrap_or(*value);
        }
    }
    results.impossible_draws = 1.0 - ratio(possible, how.draws);
    results.drawn = Some(samples);
    Ok(())
}

#[allow(clippy::cast_precision_loss, reason = "OK because draws are far fewer than 2^53")]
fn ratio(part: usize, whole: usize) -> f64 {
    part as f64 / whole.max(1) as f64
}
