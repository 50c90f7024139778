//! From readings with uncertainties to results with uncertainties.

use crate::error::Result;
use crate::numeric::{Sample, Spread, Stream, normal_quantile};
use crate::quantity::{Jet, Number, Quantity};

use super::{ByQuantity, Cause, Derived, Readings, Route, Rules, Shape, Value, derive};

/// How uncertainty is propagated.
#[derive(Debug, Clone, PartialEq)]
pub struct Propagation {
    /// Coverage of the intervals, 0 to 1.
    pub coverage: f64,
    /// Seed of random draws.
    pub seed: u64,
    /// Draws of a piece that needs Monte Carlo.
    pub draws: usize,
    /// Second-order term over standard uncertainty above which a piece is drawn.
    pub second_order_share: f64,
    /// Combined standard uncertainties by which two routes may differ.
    pub disagreement: f64,
}

/// The part of a result's uncertainty that other pieces do not share, and the parts that they do.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Parts {
    /// Variance from the readings of the piece alone.
    pub own_variance: f64,
    /// For each shared cause, sensitivity times standard uncertainty, with its sign.
    pub shared: [f64; Cause::SHARED],
}

/// All results of a piece with their uncertainty.
#[derive(Debug, Clone)]
pub struct Propagated {
    /// The reported values.
    pub values: ByQuantity<Value>,
    /// Where the uncertainty of each comes from; `None` where it is unknown.
    pub parts: ByQuantity<Parts>,
    /// Every route to the maximum water content.
    pub water_contents: Vec<Value>,
    /// Every route to the basic density.
    pub densities: Vec<Value>,
    /// Draws by quantity, where the piece was drawn.
    pub drawn: Option<Vec<Option<Sample>>>,
    /// Whether two measured routes to the density disagree beyond their uncertainty.
    pub routes_disagree: bool,
}

/// Results of a piece with propagated uncertainty.
///
/// ```text
/// u²(y) = Σ c_i² u_i²,   c_i = ∂y/∂x_i
/// ```
///
/// The causes are independent of each other; what two results of a piece, or two pieces, have in common, they have
/// through common causes. Where the second-order term `½ Σ ∂²y/∂x_i² u_i²` exceeds the stated share of `u`, the piece is
/// drawn `draws` times instead; `u` is then half the central interval of 68.27 %, because a formula such as 1/x has no
/// standard deviation where x may reach 0. Draws that are physically impossible are left out. A cause common to many pieces is drawn
/// once for all of them; the streams are keyed by the name of the piece and of the cause, so the order of rows does not
/// matter.
///
/// * `name`: name of the piece, `taxon`: of its wood; they key the random streams
///
/// # Errors
/// A coverage outside 0 to 1.
///
/// # Example
/// ```
/// use woodstate::quantity::Quantity;
/// use woodstate::reference::Reference;
/// use woodstate::state::{Cause, Propagation, Reading, Readings, Rules, propagate};
/// let mut piece = Readings::default();
/// piece.set(Cause::MassSaturated, Reading::normal(5.00, Some(0.01)));
/// piece.set(Cause::MassOvenDry, Reading::normal(1.00, Some(0.01)));
/// let rules = Rules::plain(Reference::shipped().unwrap());
/// let results = propagate(&piece, &rules, &Propagation::usual(), "K1", "").unwrap();
/// let content = results.values.of(Quantity::MaxWaterContent).unwrap();
/// assert!((content.value - 400.0).abs() < 1e-9);
/// assert!((content.u.unwrap() - 5.099).abs() < 5e-4);
/// ```
///
/// # Source
/// JCGM 100:2008 (GUM), 5.1.2 and its note; JCGM 101:2008 for draws (clause details from memory).
pub fn propagate(
    readings: &Readings,
    rules: &Rules<'_>,
    how: &Propagation,
    name: &str,
    taxon: &str,
) -> Result<Propagated> {
    const FEW: usize = 16;
    let uncertain = readings.entries().iter().flatten().filter(|reading| reading.u != Some(0.0)).count();
    let factor = normal_quantile(0.5 + how.coverage / 2.0)?;
    let mut results = if uncertain <= FEW {
        linear::<FEW>(readings, rules, how, factor)
    } else {
        linear::<{ Cause::COUNT }>(readings, rules, how, factor)
    };
    if bends(&results, readings, rules, how) {
        draw(&mut results, readings, rules, how, name, taxon)?;
    }
    Ok(results)
}

/// The causes with an uncertainty, each with a place among the derivatives.
struct Slots<const N: usize> {
    cause: [usize; N],
    u: [Option<f64>; N],
    n: usize,
}

fn linear<const N: usize>(readings: &Readings, rules: &Rules<'_>, how: &Propagation, factor: f64) -> Propagated {
    let mut slots = Slots::<N> { cause: [0; N], u: [Some(0.0); N], n: 0 };
    let mut causes = [None; Cause::COUNT];
    for (index, reading) in readings.entries().iter().enumerate() {
        let Some(reading) = reading else { continue };
        causes[index] = Some(if reading.u == Some(0.0) {
            Jet::exact(reading.value)
        } else {
            let jet = Jet::cause(reading.value, slots.n);
            (slots.cause[slots.n], slots.u[slots.n]) = (index, reading.u);
            slots.n += 1;
            jet
        });
    }
    let derived: Derived<Jet<N>> = derive(&causes, rules);
    let mut results = Propagated {
        values: ByQuantity::default(),
        parts: ByQuantity::default(),
        water_contents: Vec::new(),
        densities: Vec::new(),
        drawn: None,
        routes_disagree: false,
    };
    for &quantity in Quantity::ALL {
        if let Some((jet, route)) = derived.value(quantity) {
            let parts = slots.parts(&jet);
            results.parts.set(quantity, parts);
            results.values.set(quantity, Some(value(quantity, route, jet.value, parts.map(|parts| parts.u()), factor)));
        }
    }
    let reported = |quantity, (route, jet): (Route, Jet<N>)| {
        value(quantity, route, jet.value, slots.parts(&jet).map(|parts| parts.u()), factor)
    };
    results.water_contents = derived.water_contents().map(|route| reported(Quantity::MaxWaterContent, route)).collect();
    results.densities = derived.densities().map(|route| reported(Quantity::BasicDensity, route)).collect();
    results.routes_disagree = slots.disagree(&derived, how.disagreement);
    results
}

impl<const N: usize> Slots<N> {
    /// The uncertainty by origin; `None` if a cause of unknown uncertainty matters.
    fn parts(&self, jet: &Jet<N>) -> Option<Parts> {
        let mut parts = Parts::default();
        for slot in 0..self.n {
            if jet.slope[slot].abs() > 0.0 {
                let part = jet.slope[slot] * self.u[slot]?;
                match Cause::shared_index(self.cause[slot]) {
                    Some(shared) => parts.shared[shared] = part,
                    None => parts.own_variance += part * part,
                }
            }
        }
        Some(parts)
    }

    /// Whether the first measured route to the density differs from another by more than the uncertainty allows.
    fn disagree(&self, derived: &Derived<Jet<N>>, limit: f64) -> bool {
        let mut measured = derived.densities().filter(|(route, _)| {
            matches!(
                route,
                Route::Displaced | Route::Immersed | Route::Geometric | Route::Stated | Route::SaturatedUndried
            )
        });
        let Some((_, first)) = measured.next() else { return false };
        measured.any(|(_, other)| {
            let difference = first - other;
            self.parts(&difference).is_some_and(|parts| difference.value.abs() > limit * parts.u())
        })
    }
}

impl Parts {
    /// One standard uncertainty.
    #[must_use]
    pub fn u(&self) -> f64 {
        (self.own_variance + self.shared.iter().map(|part| part * part).sum::<f64>()).sqrt()
    }
}

fn value(quantity: Quantity, route: Route, value: f64, u: Option<f64>, factor: f64) -> Value {
    let u = u.filter(|u| u.is_finite());
    let interval = u.map(|u| [value - factor * u, value + factor * u]);
    Value { value, u, interval, unit: quantity.spec().unit, route }
}

/// The quantities whose bending decides, since all others follow from them.
const DECISIVE: [Quantity; 2] = [Quantity::MaxWaterContent, Quantity::BasicDensity];

/// Whether the second-order term is too large for a straight line.
fn bends(results: &Propagated, readings: &Readings, rules: &Rules<'_>, how: &Propagation) -> bool {
    // Of a formula such as 1/x the term over u is u/x, so small relative uncertainties need no look.
    let is_wide = |quantity: &Quantity| {
        results
            .values
            .of(*quantity)
            .is_some_and(|value| value.u.is_some_and(|u| u > 0.5 * how.second_order_share * value.value.abs()))
    };
    if !DECISIVE.iter().any(is_wide) {
        return false;
    }
    let at = readings.values();
    let mut shift = [0.0; DECISIVE.len()];
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
        for (shift, quantity) in shift.iter_mut().zip(DECISIVE) {
            let Some(value) = results.values.of(quantity) else { continue };
            match (above.value(quantity), below.value(quantity)) {
                (Some((above, _)), Some((below, _))) => *shift += 0.5 * (above + below - 2.0 * value.value),
                // One standard uncertainty leads to the impossible.
                _ => return true,
            }
        }
    }
    DECISIVE.iter().zip(shift).any(|(quantity, shift)| {
        let u = results.values.of(*quantity).and_then(|value| value.u);
        u.is_some_and(|u| shift.abs() > how.second_order_share * u)
    })
}

/// Share of a normal distribution that lies more than one standard deviation below its mean.
const ONE_SIGMA_TAIL: f64 = 0.158_655_253_931_457_05;

/// Draws a piece and replaces its uncertainties, where the straight line knows them.
fn draw(
    results: &mut Propagated,
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
            let of_taxon = if index == Cause::SoundBasicDensity.index() { taxon } else { "" };
            let stream = match Cause::shared_index(index) {
                Some(_) => Stream::keyed(how.seed, &["shared", &cause, of_taxon]),
                None => Stream::keyed(how.seed, &["piece", name, &cause]),
            };
            sources.push((index, spread, stream));
        }
    }
    let mut drawn: Vec<Vec<f64>> = vec![Vec::with_capacity(how.draws); Quantity::COUNT];
    for _ in 0..how.draws {
        for (index, spread, stream) in &mut sources {
            causes[*index] = Some(spread.draw(stream));
        }
        let derived = derive(&causes, rules);
        let is_possible = DECISIVE
            .iter()
            .all(|quantity| results.values.of(*quantity).is_none() || derived.value(*quantity).is_some());
        for (quantity, drawn) in Quantity::ALL.iter().zip(&mut drawn).filter(|_| is_possible) {
            drawn.extend(derived.value(*quantity).map(|(value, _)| value));
        }
    }
    let tail = (1.0 - how.coverage) / 2.0;
    let mut samples = Vec::with_capacity(Quantity::COUNT);
    for (&quantity, drawn) in Quantity::ALL.iter().zip(drawn) {
        let known = results.values.of(quantity).filter(|value| value.u.is_some());
        let Some(value) = known.filter(|_| drawn.len() > 1) else {
            samples.push(None);
            continue;
        };
        let sample = Sample::new(drawn)?;
        let interval = Some([sample.quantile(tail)?, sample.quantile(1.0 - tail)?]);
        let u = 0.5 * (sample.quantile(1.0 - ONE_SIGMA_TAIL)? - sample.quantile(ONE_SIGMA_TAIL)?);
        results.values.set(quantity, Some(Value { u: Some(u).filter(|u| u.is_finite()), interval, ..value }));
        samples.push(Some(sample));
    }
    results.drawn = Some(samples);
    Ok(())
}
