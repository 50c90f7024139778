//! How many ticks an axis has room for.

use super::measure::Measure;
use super::scale::spread;
use super::tick::{Tick, days, numbers};
use super::{FigureAxis, Ticks, real, whole};

/// Ticks of a vertical axis: two lines of text from one to the next at least.
pub(super) fn y_ticks(axis: &FigureAxis, height: f64, measure: &Measure) -> Vec<Tick> {
    match axis.ticks {
        Ticks::Numbers => numbers(spread(axis.range), whole(height / (2.3 * measure.text)).clamp(1, 8)),
        Ticks::Days => days(spread(axis.range), whole(height / (2.3 * measure.text)).clamp(1, 8)),
        Ticks::Names { .. } | Ticks::Nothing => Vec::new(),
    }
}

/// Ticks of a horizontal axis: as many as have an em between their labels.
pub(super) fn x_ticks(axis: &FigureAxis, width: f64, measure: &Measure) -> Vec<Tick> {
    let range = spread(axis.range);
    let of = |most: usize| match &axis.ticks {
        Ticks::Numbers => numbers(range, most),
        Ticks::Days => days(range, most),
        Ticks::Names { names, .. } => {
            let room = width / real(names.len().max(1)) - 0.3 * measure.text;
            let one = |(place, name): (usize, &String)| Tick { at: real(place), label: measure.fitted(name, room) };
            names.iter().enumerate().map(one).collect()
        }
        Ticks::Nothing => Vec::new(),
    };
    if let Ticks::Names { .. } | Ticks::Nothing = axis.ticks {
        return of(0);
    }
    let fits = |ticks: &Vec<Tick>| {
        let per_unit = width / (range[1] - range[0]);
        let is_apart = |pair: &[Tick]| {
            let needed = (measure.width(&pair[0].label) + measure.width(&pair[1].label)) / 2.0 + 0.9 * measure.text;
            (pair[1].at - pair[0].at) * per_unit >= needed
        };
        ticks.windows(2).all(is_apart)
    };
    (1..=8).rev().map(of).find(fits).unwrap_or_else(|| of(1))
}
