//! The results of many pieces, kept as columns.

use std::collections::BTreeMap;

use crate::error::Result;
use crate::numeric::{Lane, Sample};
use crate::quantity::Quantity;
use crate::reference::Scheme;

use super::{ByQuantity, Cause, Parts, Propagated, Route, Value, class_probabilities};

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
    class_shares: Vec<Vec<f64>>,
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
        let parts = PartColumns { own_variance: Vec::new(), shared: [const { None }; Cause::SHARED] };
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
            class_shares: Vec::new(),
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

    /// Whether a quantity of a piece is known.
    #[must_use]
    pub fn is_known(&self, piece: usize, quantity: Quantity) -> bool {
        let column = self.values[quantity as usize].as_ref();
        column.and_then(|column| column.value.get(piece)).is_some_and(|value| value.is_finite())
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

    /// Probability of each class, one column a class in the order of the scheme, not a number where unknown; no column where no
    /// scheme was asked for.
    #[must_use]
    pub fn class_shares(&self) -> &[Vec<f64>] {
        &self.class_shares
    }

    /// Reads the classes of a scheme.
    ///
    /// # Errors
    /// None that these results can raise.
    pub(super) fn class(&mut self, scheme: &Scheme) -> Result<()> {
        self.fill();
        let unknown = || vec![f64::NAN; self.n_pieces];
        let quantity = Quantity::of_name(&scheme.quantity);
        let column = quantity.and_then(|quantity| self.values[quantity as usize].as_ref());
        let Some((quantity, column)) = quantity.zip(column) else {
            self.class_shares = scheme.classes.iter().map(|_| unknown()).collect();
            return Ok(());
        };
        self.class_shares = class_probabilities(scheme, &column.value, &column.u)?;
        for ((piece, _), sample) in self.samples.iter().filter(|((_, drawn), _)| *drawn == quantity as usize) {
            for (shares, class) in self.class_shares.iter_mut().zip(&scheme.classes) {
                shares[*piece] =
                    sample.share_between(class.from.unwrap_or(f64::NEG_INFINITY), class.to.unwrap_or(f64::INFINITY));
            }
        }
        Ok(())
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
        let shared = |place: usize| {
            columns.shared[place].as_ref().and_then(|column| column.get(piece)).copied().unwrap_or_default()
        };
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

    /// Makes the columns whole and forgets the draws themselves.
    pub(super) fn finish(&mut self) {
        self.samples.clear();
        self.fill();
    }

    /// Makes the columns whole: what did not come in is unknown.
    fn fill(&mut self) {
        for column in self.values.iter_mut().chain(&mut self.water_contents).chain(&mut self.densities).flatten() {
            column.value.resize(self.n_pieces, f64::NAN);
            column.u.resize(self.n_pieces, f64::NAN);
            column.route.resize(self.n_pieces, Route::Computed);
        }
    }

    /// Makes a quantity of a piece unknown.
    pub(super) fn clear(&mut self, piece: usize, quantity: Quantity) {
        if let Some(column) = &mut self.values[quantity as usize] {
            column.forget(piece);
        }
        if let Some((_, parts)) = self.parts.iter_mut().find(|(kept, _)| *kept == quantity) {
            parts.own_variance.get_mut(piece).into_iter().for_each(|variance| *variance = f64::NAN);
        }
    }

    /// Makes everything of a piece unknown.
    pub(super) fn forget(&mut self, piece: usize) {
        Quantity::ALL.iter().for_each(|quantity| self.clear(piece, *quantity));
        for column in self.water_contents.iter_mut().chain(&mut self.densities).flatten() {
            column.forget(piece);
        }
        for column in self.parts.iter_mut().flat_map(|(_, parts)| &mut parts.shared).flatten() {
            column.get_mut(piece).into_iter().for_each(|part| *part = 0.0);
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
            scatter(&mut columns.own_variance, f64::NAN, &[piece], Lane::One(parts.own_variance));
            for (column, part) in columns.shared.iter_mut().zip(parts.shared) {
                if part.abs() > 0.0 {
                    scatter(column.get_or_insert_with(Vec::new), 0.0, &[piece], Lane::One(part));
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
            scatter(&mut columns.own_variance, f64::NAN, at, variance);
        }
    }

    /// Puts a part of the uncertainty of a quantity that other pieces share.
    pub(super) fn put_shared(&mut self, quantity: Quantity, cause: usize, at: &[usize], part: Lane<'_>) {
        if let Some((_, columns)) = self.parts.iter_mut().find(|(kept, _)| *kept == quantity) {
            scatter(columns.shared[cause].get_or_insert_with(Vec::new), 0.0, at, part);
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
    fn forget(&mut self, piece: usize) {
        let numbers = self.value.get_mut(piece).into_iter().chain(self.u.get_mut(piece));
        numbers.for_each(|number| *number = f64::NAN);
    }

    fn at(&self, piece: usize, quantity: Quantity, factor: f64) -> Option<Value> {
        let value = self.value.get(piece).copied().filter(|value| value.is_finite())?;
        let u = self.u.get(piece).copied().filter(|u| u.is_finite());
        let interval = u.map(|u| [value - factor * u, value + factor * u]);
        Some(Value { value, u, interval, unit: quantity.spec().unit, route: self.route[piece] })
    }
}

/// Puts numbers into their places. Columns grow as blocks come in; what is skipped stays unknown.
fn put(column: &mut Option<Column>, n: usize, at: &[usize], value: Lane<'_>, u: Lane<'_>, route: Route) {
    let column = column.get_or_insert_with(|| Column {
        value: Vec::with_capacity(n),
        u: Vec::with_capacity(n),
        route: Vec::with_capacity(n),
    });
    scatter(&mut column.value, f64::NAN, at, value);
    scatter(&mut column.u, f64::NAN, at, u);
    let last = at.iter().max().map_or(0, |last| last + 1);
    column.route.resize(column.route.len().max(last), route);
    match run_of(at) {
        Some(range) => column.route[range].fill(route),
        None => at.iter().for_each(|piece| column.route[*piece] = route),
    }
}

fn scatter(column: &mut Vec<f64>, unknown: f64, at: &[usize], lane: Lane<'_>) {
    let Some(range) = run_of(at) else {
        let last = at.iter().max().map_or(0, |last| last + 1);
        column.resize(column.len().max(last), unknown);
        at.iter().enumerate().for_each(|(row, piece)| column[*piece] = lane.at(row));
        return;
    };
    if column.len() < range.start {
        column.resize(range.start, unknown);
    }
    let is_next = column.len() == range.start;
    column.resize(column.len().max(if is_next { range.start } else { range.end }), unknown);
    match (lane, is_next) {
        (Lane::Each(numbers), true) => column.extend_from_slice(&numbers[..at.len()]),
        (Lane::One(number), true) => column.resize(range.end, number),
        (Lane::Each(numbers), false) => column[range].copy_from_slice(&numbers[..at.len()]),
        (Lane::One(number), false) => column[range].fill(number),
    }
}

/// The places as a range, where they follow each other.
fn run_of(at: &[usize]) -> Option<std::ops::Range<usize>> {
    let (first, last) = (*at.first()?, *at.last()?);
    (last - first + 1 == at.len()).then_some(first..last + 1)
}
