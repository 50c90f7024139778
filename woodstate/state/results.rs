//! The results of many pieces, kept as columns.

use std::collections::BTreeMap;

use crate::numeric::{Lane, Sample};
use crate::quantity::Quantity;

use super::{ByQuantity, Cause, Parts, Propagated, Route, Value};

/// Results of many pieces: a column of values and one of standard uncertainties for every quantity that is known of any.
///
/// A piece takes its place in each column; [`value`](Self::value) gives one number with all that belongs to it.
#[derive(Debug, Clone)]
pub struct Results {
    factor: f64,
    n_pieces: usize,
    values: Vec<Option<Column>>,
    water_contents: Vec<Option<Column>>,
    densities: Vec<Option<Column>>,
    parts: Vec<(Quantity, PartColumns)>,
    /// Intervals of what was drawn: they are not symmetric about the value.
    intervals: BTreeMap<(usize, usize), [f64; 2]>,
    routes_disagree: Vec<bool>,
    is_drawn: Vec<bool>,
    impossible_draws: BTreeMap<usize, f64>,
    impossible: BTreeMap<usize, Vec<(Route, f64)>>,
    samples: BTreeMap<(usize, usize), Sample>,
}

/// Values, uncertainties and routes; not a number where unknown.
#[derive(Debug, Clone)]
struct Column {
    value: Vec<f64>,
    u: Vec<f64>,
    route: Vec<Route>,
}

/// Where the uncertainty of a quantity comes from: not a number where it is unknown.
#[derive(Debug, Clone)]
struct PartColumns {
    own_variance: Vec<f64>,
    shared: [Option<Vec<f64>>; Cause::SHARED],
}

impl Results {
    /// Room for the results of `n_pieces`, all unknown. `factor`: half an interval over the standard uncertainty;
    /// `parts_of`: quantities whose uncertainty is kept by origin.
    pub(super) fn unknown(n_pieces: usize, factor: f64, parts_of: &[Quantity]) -> Self {
        let parts = PartColumns { own_variance: vec![f64::NAN; n_pieces], shared: [const { None }; Cause::SHARED] };
        Self {
            factor,
            n_pieces,
            values: vec![None; Quantity::COUNT],
            water_contents: vec![None; Route::TO_MAX_WATER_CONTENT.len()],
            densities: vec![None; Route::TO_BASIC_DENSITY.len()],
            parts: parts_of.iter().map(|quantity| (*quantity, parts.clone())).collect(),
            intervals: BTreeMap::new(),
            routes_disagree: vec![false; n_pieces],
            is_drawn: vec![false; n_pieces],
            impossible_draws: BTreeMap::new(),
            impossible: BTreeMap::new(),
            samples: BTreeMap::new(),
        }
    }

    /// How many pieces there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.n_pieces
    }

    /// Whether there are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.n_pieces == 0
    }

    /// The reported value of a quantity; `None` where unknown.
    #[must_use]
    pub fn value(&self, piece: usize, quantity: Quantity) -> Option<Value> {
        let column = self.values[quantity as usize].as_ref()?;
        let value = column.at(piece, quantity, self.factor)?;
        let drawn = self.is_drawn[piece].then(|| self.intervals.get(&(piece, quantity as usize))).flatten();
        Some(Value { interval: drawn.copied().or(value.interval), ..value })
    }

    /// The plain values of a quantity, one a piece, not a number where unknown; `None` where unknown of all.
    #[must_use]
    pub fn values(&self, quantity: Quantity) -> Option<&[f64]> {
        self.values[quantity as usize].as_ref().map(|column| column.value.as_slice())
    }

    /// The standard uncertainties of a quantity, one a piece, not a number where unknown; `None` where unknown of all.
    #[must_use]
    pub fn uncertainties(&self, quantity: Quantity) -> Option<&[f64]> {
        self.values[quantity as usize].as_ref().map(|column| column.u.as_slice())
    }

    /// Every route to the maximum water content, in the order of reporting.
    pub fn water_contents(&self, piece: usize) -> impl Iterator<Item = Value> + '_ {
        self.routes(piece, Quantity::MaxWaterContent, &self.water_contents)
    }

    /// Every route to the basic density, in the order of reporting.
    pub fn densities(&self, piece: usize) -> impl Iterator<Item = Value> + '_ {
        self.routes(piece, Quantity::BasicDensity, &self.densities)
    }

    fn routes<'a>(
        &'a self,
        piece: usize,
        quantity: Quantity,
        columns: &'a [Option<Column>],
    ) -> impl Iterator<Item = Value> + 'a {
        let reported = self.value(piece, quantity);
        let of_route = move |column: &Column| {
            let value = column.at(piece, quantity, self.factor)?;
            Some(reported.filter(|reported| reported.route == value.route).unwrap_or(value))
        };
        columns.iter().flatten().filter_map(of_route)
    }

    /// Where the uncertainty of a quantity comes from; `None` where it is unknown or was not kept.
    #[must_use]
    pub fn parts(&self, piece: usize, quantity: Quantity) -> Option<Parts> {
        let (_, columns) = self.parts.iter().find(|(kept, _)| *kept == quantity)?;
        let own_variance = columns.own_variance.get(piece).copied().filter(|variance| variance.is_finite())?;
        let shared = |place: usize| columns.shared[place].as_ref().map_or(0.0, |column| column[piece]);
        Some(Parts { own_variance, shared: std::array::from_fn(shared) })
    }

    /// Whether two routes to one quantity disagree beyond their uncertainty.
    #[must_use]
    pub fn routes_disagree(&self, piece: usize) -> bool {
        self.routes_disagree.get(piece).copied().unwrap_or_default()
    }

    /// Whether some uncertainty was drawn.
    #[must_use]
    pub fn is_drawn(&self, piece: usize) -> bool {
        self.is_drawn.get(piece).copied().unwrap_or_default()
    }

    /// Share of the draws that were impossible; 0 where nothing was drawn.
    #[must_use]
    pub fn impossible_draws(&self, piece: usize) -> f64 {
        self.impossible_draws.get(&piece).copied().unwrap_or_default()
    }

    /// Routes whose density is impossible, with what they give, kg/m3.
    #[must_use]
    pub fn impossible(&self, piece: usize) -> &[(Route, f64)] {
        self.impossible.get(&piece).map_or(&[], Vec::as_slice)
    }

    /// The draws of a quantity, where it was drawn for this piece.
    #[cfg_attr(not(feature = "table"), allow(dead_code, reason = "OK because only the assessment of a table asks"))]
    pub(super) fn sample(&self, piece: usize, quantity: Quantity) -> Option<&Sample> {
        self.samples.get(&(piece, quantity as usize))
    }

    /// Forgets the draws themselves.
    pub(super) fn forget_samples(&mut self) {
        self.samples.clear();
    }

    /// Makes a quantity of a piece unknown.
    pub(super) fn clear(&mut self, piece: usize, quantity: Quantity) {
        if let Some(column) = &mut self.values[quantity as usize] {
            (column.value[piece], column.u[piece]) = (f64::NAN, f64::NAN);
        }
        if let Some((_, parts)) = self.parts.iter_mut().find(|(kept, _)| *kept == quantity) {
            parts.own_variance[piece] = f64::NAN;
        }
    }

    /// Makes everything of a piece unknown.
    pub(super) fn forget(&mut self, piece: usize) {
        Quantity::ALL.iter().for_each(|quantity| self.clear(piece, *quantity));
        for column in self.water_contents.iter_mut().chain(&mut self.densities).flatten() {
            (column.value[piece], column.u[piece]) = (f64::NAN, f64::NAN);
        }
        for column in self.parts.iter_mut().flat_map(|(_, parts)| &mut parts.shared).flatten() {
            column[piece] = 0.0;
        }
        for quantity in Quantity::ALL {
            self.intervals.remove(&(piece, *quantity as usize));
        }
        (self.routes_disagree[piece], self.is_drawn[piece]) = (false, false);
        self.impossible_draws.remove(&piece);
    }

    /// Puts the results of one piece into its place.
    pub(super) fn put(&mut self, piece: usize, results: Propagated) {
        let at = &[piece];
        let plain = |value: &Value| (Lane::One(value.value), Lane::One(value.u.unwrap_or(f64::NAN)), value.route);
        for &quantity in Quantity::ALL {
            let Some(value) = results.values.of(quantity) else { continue };
            let (number, u, route) = plain(&value);
            self.put_value(quantity, at, number, u, route);
            let usual = value.u.map(|u| [value.value - self.factor * u, value.value + self.factor * u]);
            if let Some(interval) = value.interval.filter(|interval| Some(*interval) != usual) {
                self.intervals.insert((piece, quantity as usize), interval);
            }
        }
        for value in &results.water_contents {
            let (number, u, route) = plain(value);
            self.put_water_content(at, number, u, route);
        }
        for value in &results.densities {
            let (number, u, route) = plain(value);
            self.put_density(at, number, u, route);
        }
        self.put_parts(piece, &results.parts);
        self.routes_disagree[piece] = results.routes_disagree;
        self.is_drawn[piece] = results.drawn.is_some();
        if results.impossible_draws > 0.0 {
            self.impossible_draws.insert(piece, results.impossible_draws);
        }
        if !results.impossible.is_empty() {
            self.impossible.insert(piece, results.impossible);
        }
        for (quantity, sample) in results.drawn.into_iter().flatten().enumerate() {
            self.samples.extend(sample.map(|sample| ((piece, quantity), sample)));
        }
    }

    fn put_parts(&mut self, piece: usize, parts: &ByQuantity<Parts>) {
        for (quantity, columns) in &mut self.parts {
            let Some(parts) = parts.of(*quantity) else { continue };
            columns.own_variance[piece] = parts.own_variance;
            for (column, part) in columns.shared.iter_mut().zip(parts.shared) {
                if part.abs() > 0.0 {
                    column.get_or_insert_with(|| vec![0.0; self.n_pieces])[piece] = part;
                }
            }
        }
    }

    pub(super) fn put_value(&mut self, quantity: Quantity, at: &[usize], value: Lane<'_>, u: Lane<'_>, route: Route) {
        put(&mut self.values[quantity as usize], self.n_pieces, at, value, u, route);
    }

    pub(super) fn put_water_content(&mut self, at: &[usize], value: Lane<'_>, u: Lane<'_>, route: Route) {
        let place = Route::TO_MAX_WATER_CONTENT.iter().position(|other| *other == route);
        if let Some(column) = place.and_then(|place| self.water_contents.get_mut(place)) {
            put(column, self.n_pieces, at, value, u, route);
        }
    }

    pub(super) fn put_density(&mut self, at: &[usize], value: Lane<'_>, u: Lane<'_>, route: Route) {
        let place = Route::TO_BASIC_DENSITY.iter().position(|other| *other == route);
        if let Some(column) = place.and_then(|place| self.densities.get_mut(place)) {
            put(column, self.n_pieces, at, value, u, route);
        }
    }

    /// Puts the variance of a quantity that no other piece shares.
    pub(super) fn put_own(&mut self, quantity: Quantity, at: &[usize], variance: Lane<'_>) {
        if let Some((_, columns)) = self.parts.iter_mut().find(|(kept, _)| *kept == quantity) {
            scatter(&mut columns.own_variance, at, variance);
        }
    }

    /// Puts a part of the uncertainty of a quantity that other pieces share.
    pub(super) fn put_shared(&mut self, quantity: Quantity, cause: usize, at: &[usize], part: Lane<'_>) {
        if let Some((_, columns)) = self.parts.iter_mut().find(|(kept, _)| *kept == quantity) {
            scatter(columns.shared[cause].get_or_insert_with(|| vec![0.0; self.n_pieces]), at, part);
        }
    }

    /// Puts what was drawn once for many pieces.
    pub(super) fn put_drawn(&mut self, quantity: Quantity, at: &[usize], interval: Option<[f64; 2]>, impossible: f64) {
        for piece in at {
            self.is_drawn[*piece] = true;
            self.intervals.extend(interval.map(|interval| ((*piece, quantity as usize), interval)));
            if impossible > 0.0 {
                self.impossible_draws.insert(*piece, impossible);
            }
        }
    }

    /// Notes that two routes of a piece disagree.
    pub(super) fn note_disagreement(&mut self, piece: usize) {
        self.routes_disagree[piece] = true;
    }
}

impl Column {
    fn at(&self, piece: usize, quantity: Quantity, factor: f64) -> Option<Value> {
        let value = self.value.get(piece).copied().filter(|value| value.is_finite())?;
        let u = Some(self.u[piece]).filter(|u| u.is_finite());
        let interval = u.map(|u| [value - factor * u, value + factor * u]);
        Some(Value { value, u, interval, unit: quantity.spec().unit, route: self.route[piece] })
    }
}

fn put(column: &mut Option<Column>, n: usize, at: &[usize], value: Lane<'_>, u: Lane<'_>, route: Route) {
    let unknown = || Column { value: vec![f64::NAN; n], u: vec![f64::NAN; n], route: vec![Route::Computed; n] };
    let column = column.get_or_insert_with(unknown);
    scatter(&mut column.value, at, value);
    scatter(&mut column.u, at, u);
    match run_of(at) {
        Some(range) => column.route[range].fill(route),
        None => at.iter().for_each(|piece| column.route[*piece] = route),
    }
}

fn scatter(column: &mut [f64], at: &[usize], lane: Lane<'_>) {
    match (lane, run_of(at)) {
        (Lane::Each(numbers), Some(range)) => column[range].copy_from_slice(&numbers[..at.len()]),
        (Lane::One(number), Some(range)) => column[range].fill(number),
        (lane, None) => at.iter().enumerate().for_each(|(row, piece)| column[*piece] = lane.at(row)),
    }
}

/// The places as a range, where they follow each other.
fn run_of(at: &[usize]) -> Option<std::ops::Range<usize>> {
    let (first, last) = (*at.first()?, *at.last()?);
    (last - first + 1 == at.len()).then_some(first..last + 1)
}
