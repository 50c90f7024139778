//! From readings with uncertainties to results with uncertainties.

use crate::error::Result;
use crate::numeric::{Sample, normal_quantile};
use crate::quantity::{Jet, Number, Quantity};

use super::draw::{bent_among, draw};
use super::{ByQuantity, Cause, Derived, Readings, Route, Rules, Value, derive};

/// How uncertainty is propagated.
#[derive(Debug, Clone, PartialEq)]
pub struct Propagation {
    /// Coverage of the intervals, 0 to 1.
    pub coverage: f64,
    /// Seed of random draws.
    pub seed: u64,
    /// Draws of a piece that needs Monte Carlo.
    pub draws: usize,
    /// Second-order term over standard uncertainty above which a piece is drawn: of the quantity that is classed, of water
    /// contents and densities.
    pub second_order_share: f64,
    /// The same for what only compares with sound wood, whose density few know to better than a tenth.
    pub second_order_share_compared: f64,
    /// The quantity that is classed.
    pub ruling: Quantity,
    /// Combined standard uncertainties by which two routes may differ.
    pub disagreement: f64,
    /// Share of the value by which they may differ where the uncertainty is unknown.
    pub disagreement_share: f64,
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
    /// Whether two routes to one quantity disagree beyond their uncertainty.
    pub routes_disagree: bool,
    /// Routes whose density is impossible, with what they give, kg/m3.
    pub impossible: Vec<(Route, f64)>,
    /// Share of the draws that were impossible; 0 where nothing was drawn.
    pub impossible_draws: f64,
}

/// Results of a piece with propagated uncertainty.
///
/// ```text
/// u²(y) = Σ c_i² u_i²,   c_i = ∂y/∂x_i
/// ```
///
/// The causes are independent of each other; what two results of a piece, or two pieces, have in common, they have
/// through common causes. Where the second-order term `½ Σ ∂²y/∂x_i² u_i²` (without cross terms) exceeds the stated share of `u`, the piece is
/// drawn `draws` times for the quantities that bend; their `u` is then the standard deviation of the draws. A formula such
/// as 1/x has none where x may reach 0: where it exceeds twice half the central interval of 68.27 %, that half is `u`.
/// Draws that are physically impossible, or that leave the reported route, are left out. A cause common to many pieces is
/// drawn once for all of them; the streams are keyed by the name of the piece and of the cause, so the order of rows does
/// not matter.
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
    let mut results = linear_of(readings, rules, how)?;
    let bent = bent_among(Quantity::ALL, &results, readings, rules, how);
    if !bent.is_empty() {
        draw(&mut results, &bent, readings, rules, how, name, taxon)?;
    }
    Ok(results)
}

/// Results with first-order uncertainty.
pub(super) fn linear_of(readings: &Readings, rules: &Rules<'_>, how: &Propagation) -> Result<Propagated> {
    const FEW: usize = 16;
    let uncertain = readings.entries().iter().flatten().filter(|reading| reading.u != Some(0.0)).count();
    let factor = how.factor()?;
    Ok(if uncertain <= FEW {
        linear::<FEW>(readings, rules, how, factor)
    } else {
        linear::<{ Cause::COUNT }>(readings, rules, how, factor)
    })
}

impl Propagation {
    /// Half an interval over the standard uncertainty.
    ///
    /// # Errors
    /// A coverage outside 0 to 1.
    pub(super) fn factor(&self) -> Result<f64> {
        normal_quantile(0.5 + self.coverage / 2.0)
    }

    /// Share of `u` that the second-order term of a quantity may reach.
    pub(super) fn share(&self, quantity: Quantity) -> f64 {
        match quantity {
            Quantity::ResidualBasicDensity | Quantity::LossOfWoodSubstance | Quantity::SoundMaxWaterContent
                if quantity != self.ruling =>
            {
                self.second_order_share_compared
            }
            _ => self.second_order_share,
        }
    }

    /// Whether two routes to one quantity differ by more than their uncertainty allows; where it is unknown, by more than
    /// a stated share.
    pub(super) fn disagrees(&self, first: f64, difference: f64, u: Option<f64>) -> bool {
        let limit = match u {
            Some(u) => self.disagreement * u,
            None => self.disagreement_share * first.abs(),
        };
        difference.abs() > limit
    }
}

/// The causes with an uncertainty, each with a place among the derivatives.
struct Slots<const N: usize> {
    /// Place among the causes that other pieces share.
    shared: [Option<usize>; N],
    u: [Option<f64>; N],
    n: usize,
}

fn linear<const N: usize>(readings: &Readings, rules: &Rules<'_>, how: &Propagation, factor: f64) -> Propagated {
    let mut slots = Slots::<N> { shared: [None; N], u: [Some(0.0); N], n: 0 };
    let mut causes = [None; Cause::COUNT];
    for (index, reading) in readings.entries().iter().enumerate() {
        let Some(reading) = reading else { continue };
        causes[index] = Some(if reading.u == Some(0.0) {
            Jet::exact(reading.value)
        } else {
            let jet = Jet::cause(reading.value, slots.n);
            (slots.shared[slots.n], slots.u[slots.n]) = (readings.shared_place(index), reading.u);
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
        impossible: Vec::new(),
        impossible_draws: 0.0,
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
    results.routes_disagree = derived.rivals().any(|[first, other]| {
        let difference = first - other;
        how.disagrees(first.value, difference.value, slots.parts(&difference).map(|parts| parts.u()))
    });
    results.impossible = derived.impossible().collect();
    results
}

impl<const N: usize> Slots<N> {
    /// The uncertainty by origin; `None` if a cause of unknown uncertainty matters.
    fn parts(&self, jet: &Jet<N>) -> Option<Parts> {
        let mut parts = Parts::default();
        for slot in 0..self.n {
            if jet.slope[slot].abs() > 0.0 {
                let part = jet.slope[slot] * self.u[slot]?;
                match self.shared[slot] {
                    Some(shared) => parts.shared[shared] = part,
                    None => parts.own_variance += part * part,
                }
            }
        }
        Some(parts)
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
