//! Where a break, a width or a length may lie: every other parameter enters linearly and is solved for.

use super::DepthModel;
use super::increment::{Readings, real};
use super::shape::{TEN_TO_NINETY, beyond, decay, hinge, sigmoid};

/// Places looked at in each interval between ends of increments, and at most in all.
const EACH: usize = 8;
const MOST: usize = 256;

/// Golden section: 1/φ.
const GOLDEN: f64 = 0.618_033_988_749_894_8;

/// Widths looked at for a gradual border, and lengths of a decay.
const WIDTHS: usize = 12;
const LENGTHS: usize = 48;

/// The least squares for one choice of what does not enter linearly.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Level {
    pub(super) rss: f64,
    /// Factors of the columns of the model.
    pub(super) factors: [f64; 3],
}

/// The same depths for many sets of values: what is looked at, made once.
#[derive(Debug, Clone)]
pub(super) struct Search {
    model: DepthModel,
    /// What does not enter linearly: break or length, and the width of a border.
    places: Vec<[f64; 2]>,
    /// Orthonormal columns, weighted, one block a place.
    bases: Vec<f64>,
    n: usize,
    columns: usize,
}

/// Columns of a model for given break, width or length; the first is always 1.
fn columns(model: DepthModel, [at, width]: [f64; 2], [from, to]: [f64; 2]) -> [f64; 3] {
    let middle = f64::midpoint(from, to);
    match model {
        DepthModel::Constant => [1.0, 0.0, 0.0],
        DepthModel::Linear => [1.0, middle, 0.0],
        DepthModel::BrokenStick => [1.0, middle, hinge(from, to, at)],
        DepthModel::Step => [1.0, beyond(from, to, at), 0.0],
        DepthModel::Logistic => [1.0, sigmoid(from, to, at, width / TEN_TO_NINETY).0, 0.0],
        DepthModel::Exponential => [1.0, decay(from, to, at).0, 0.0],
    }
}

fn n_columns(model: DepthModel) -> usize {
    match model {
        DepthModel::Constant => 1,
        DepthModel::Linear | DepthModel::Step | DepthModel::Logistic | DepthModel::Exponential => 2,
        DepthModel::BrokenStick => 3,
    }
}

/// Parameters of a model from what does not enter linearly and the factors of its columns.
pub(super) fn parameters(model: DepthModel, [at, width]: [f64; 2], [a, b, c]: [f64; 3]) -> Vec<f64> {
    match model {
        DepthModel::Constant => vec![a],
        DepthModel::Linear => vec![a, b],
        DepthModel::BrokenStick => vec![a, b, c, at],
        DepthModel::Step => vec![a, a + b, at],
        DepthModel::Logistic => vec![a + b, a, at, width],
        DepthModel::Exponential => vec![a + b, a, at],
    }
}

/// Least and largest that a parameter which does not enter linearly may be.
pub(super) fn limits(model: DepthModel, readings: &Readings) -> [[f64; 2]; 2] {
    let [from, to] = readings.range();
    let range = to - from;
    let thinnest = readings.depths.chunks(2).map(|depth| depth[1] - depth[0]).filter(|thickness| *thickness > 0.0);
    let thinnest = thinnest.fold(range, f64::min);
    match (model, readings.ends().as_slice()) {
        (DepthModel::Exponential, _) => [[thinnest / 4.0, 4.0 * range], [0.0, 0.0]],
        // Within the outermost or the innermost interval a break cannot be told from the value on its far side.
        (DepthModel::Step | DepthModel::BrokenStick, [_, first, .., last, _]) => [[*first, *last], [0.0, 0.0]],
        (DepthModel::Step | DepthModel::BrokenStick, [_, only, _]) => [[*only, *only], [0.0, 0.0]],
        _ => [[from, to], [thinnest / 8.0, 2.0 * range]],
    }
}

impl Search {
    pub(super) fn new(model: DepthModel, readings: &Readings) -> Self {
        let [[low, high], [narrow, wide]] = limits(model, readings);
        let spread = |low: f64, high: f64, count: usize, place: usize| {
            let share = real(place) / real(count - 1);
            low * (high / low).powf(share)
        };
        let places: Vec<[f64; 2]> = match model {
            DepthModel::Constant | DepthModel::Linear => vec![[0.0; 2]],
            DepthModel::Step | DepthModel::BrokenStick => {
                let inside = breaks(readings).into_iter().filter(|at| (low..=high).contains(at));
                thinned(inside.collect(), MOST).into_iter().map(|at| [at, 0.0]).collect()
            }
            DepthModel::Exponential => (0..LENGTHS).map(|place| [spread(low, high, LENGTHS, place), 0.0]).collect(),
            DepthModel::Logistic => {
                let widths = |at: f64| (0..WIDTHS).map(move |place| [at, spread(narrow, wide, WIDTHS, place)]);
                thinned(breaks(readings), 32).into_iter().flat_map(widths).collect()
            }
        };
        let (n, columns) = (readings.n(), n_columns(model));
        let mut search = Self { model, places, bases: Vec::new(), n, columns };
        search.bases.reserve(search.places.len() * n * columns);
        for place in 0..search.places.len() {
            let (basis, _) = basis(model, search.places[place], readings);
            search.bases.extend(basis);
        }
        search
    }

    /// The best of the places looked at.
    pub(super) fn best(&self, readings: &Readings) -> [f64; 2] {
        let weighed: Vec<f64> = readings.y.iter().zip(&readings.weight).map(|(y, w)| y * w.sqrt()).collect();
        let size = self.n * self.columns;
        let explained = |place: usize| -> f64 {
            let block = &self.bases[place * size..(place + 1) * size];
            // The first column is the same for all places.
            block.chunks(self.n).skip(1).map(|column| dot(column, &weighed).powi(2)).sum()
        };
        let mut best = (f64::NEG_INFINITY, [0.0; 2]);
        for (place, theta) in self.places.iter().enumerate() {
            let share = explained(place);
            if share > best.0 {
                best = (share, *theta);
            }
        }
        best.1
    }

    /// The best break or length near the best place looked at, to a share of itself; the width of a border is left alone.
    pub(super) fn refined(&self, readings: &Readings, to: f64) -> [f64; 2] {
        let best = self.best(readings);
        if matches!(self.model, DepthModel::Constant | DepthModel::Linear | DepthModel::Logistic) {
            return best;
        }
        let here = self.places.partition_point(|place| place[0] < best[0]);
        let low = self.places[here.saturating_sub(1)][0];
        let high = self.places[(here + 1).min(self.places.len() - 1)][0];
        let rss = |at: f64| level(self.model, [at, 0.0], readings).rss;
        let at = golden(low, high, to, &rss);
        let is_better = rss(at) <= rss(best[0]);
        [if is_better { at } else { best[0] }, 0.0]
    }
}

/// Where a function is least between two places, by golden sections.
fn golden(mut low: f64, mut high: f64, to: f64, f: &dyn Fn(f64) -> f64) -> f64 {
    let tolerance = to * (high.abs() + low.abs());
    let (mut a, mut b) = (high - GOLDEN * (high - low), low + GOLDEN * (high - low));
    let (mut at_a, mut at_b) = (f(a), f(b));
    while high - low > tolerance {
        if at_a <= at_b {
            (high, b, at_b) = (b, a, at_a);
            a = high - GOLDEN * (high - low);
            at_a = f(a);
        } else {
            (low, a, at_a) = (a, b, at_b);
            b = low + GOLDEN * (high - low);
            at_b = f(b);
        }
    }
    f64::midpoint(low, high)
}

/// Breaks that are looked at: ends of increments, and places between them.
fn breaks(readings: &Readings) -> Vec<f64> {
    let ends = readings.ends();
    let mut breaks = Vec::new();
    for pair in ends.windows(2) {
        breaks.extend((0..EACH).map(|part| pair[0] + (pair[1] - pair[0]) * real(part) / real(EACH)));
    }
    breaks.extend(ends.last());
    breaks
}

/// At most so many of them, evenly.
fn thinned(all: Vec<f64>, most: usize) -> Vec<f64> {
    let n = all.len();
    if n <= most { all } else { (0..most).map(|place| all[place * (n - 1) / (most - 1)]).collect() }
}

/// Orthonormal weighted columns, and the triangle that makes them from the columns, by Gram and Schmidt, each twice.
fn basis(model: DepthModel, theta: [f64; 2], readings: &Readings) -> (Vec<f64>, [[f64; 3]; 3]) {
    let (n, p) = (readings.n(), n_columns(model));
    let mut q = vec![0.0; n * p];
    for row in 0..n {
        let root = readings.weight[row].sqrt();
        for (k, value) in columns(model, theta, readings.depth(row)).into_iter().take(p).enumerate() {
            q[k * n + row] = root * value;
        }
    }
    let mut triangle = [[0.0; 3]; 3];
    for k in 0..p {
        let (before, rest) = q.split_at_mut(k * n);
        let column = &mut rest[..n];
        let length = dot(column, column).sqrt();
        for _ in 0..2 {
            for (row, other) in triangle.iter_mut().zip(before.chunks(n)) {
                let share = dot(other, column);
                row[k] += share;
                column.iter_mut().zip(other).for_each(|(entry, other)| *entry -= share * other);
            }
        }
        let left = dot(column, column).sqrt();
        // A column that others make up adds nothing.
        let is_new = left > 1e-12 * length;
        triangle[k][k] = if is_new { left } else { 0.0 };
        let factor = if is_new { 1.0 / left } else { 0.0 };
        column.iter_mut().for_each(|entry| *entry *= factor);
    }
    (q, triangle)
}

/// The least squares of a model whose break, width or length is given.
pub(super) fn level(model: DepthModel, theta: [f64; 2], readings: &Readings) -> Level {
    let (n, p) = (readings.n(), n_columns(model));
    let (q, triangle) = basis(model, theta, readings);
    let mut rest: Vec<f64> = readings.y.iter().zip(&readings.weight).map(|(y, w)| y * w.sqrt()).collect();
    let mut along = [0.0; 3];
    for (k, column) in q.chunks(n).enumerate() {
        along[k] = dot(column, &rest);
        rest.iter_mut().zip(column).for_each(|(rest, column)| *rest -= along[k] * column);
    }
    let mut factors = [0.0; 3];
    for k in (0..p).rev() {
        let known: f64 = (k + 1..p).map(|j| triangle[k][j] * factors[j]).sum();
        factors[k] = if triangle[k][k] > 0.0 { (along[k] - known) / triangle[k][k] } else { 0.0 };
    }
    Level { rss: dot(&rest, &rest), factors }
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}
