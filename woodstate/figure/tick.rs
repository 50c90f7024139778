//! Round numbers along an axis, and how they are written.

use crate::table::{civil, day_number};

/// A tick: its place on the axis and what stands at it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Tick {
    pub(super) at: f64,
    pub(super) label: String,
}

/// Ticks at multiples of 1, 2 or 5 times a power of ten, at most so many, all within the range.
pub(super) fn numbers([low, high]: [f64; 2], most: usize) -> Vec<Tick> {
    let span = high - low;
    if !(span > 0.0 && span.is_finite()) {
        return vec![Tick { at: low, label: written(low, 0) }];
    }
    let least = span / super::real(most.max(1));
    let mut exponent = least.log10().floor();
    let mut factor = 1.0;
    // From a little below, so that rounding of the logarithm loses no step.
    exponent -= 1.0;
    while factor * 10_f64.powf(exponent) < least * (1.0 - 1e-9) {
        (factor, exponent) = match factor {
            1.0 => (2.0, exponent),
            2.0 => (5.0, exponent),
            _ => (1.0, exponent + 1.0),
        };
    }
    let ticks = |factor: f64, exponent: f64| -> Vec<Tick> {
        let step = factor * 10_f64.powf(exponent);
        let slack = step * 1e-9;
        let decimals = super::whole((-exponent).max(0.0));
        let first = ((low - slack) / step).ceil();
        let last = ((high + slack) / step).floor();
        let n = super::whole((last - first + 1.0).max(0.0));
        let one = |k: usize| {
            let at = (first + super::real(k)) * step;
            Tick { at, label: written(at, decimals) }
        };
        (0..n).map(one).collect()
    };
    ticks(factor, exponent)
}

/// A number with so many decimals and the minus sign of print.
pub(super) fn written(number: f64, decimals: usize) -> String {
    let text = format!("{number:.decimals$}");
    let is_zero = text.chars().all(|c| matches!(c, '-' | '0' | '.'));
    match text.strip_prefix('-') {
        Some(rest) if is_zero => rest.to_owned(),
        Some(rest) => format!("\u{2212}{rest}"),
        None => text,
    }
}

/// Ticks at first days of months or years, at most so many; the axis counts days from 1970-01-01.
pub(super) fn days([low, high]: [f64; 2], most: usize) -> Vec<Tick> {
    const MONTHS: [i64; 8] = [1, 2, 3, 6, 12, 24, 60, 120];
    let [(first_year, _, _), (last_year, _, _)] = [civil(low), civil(high)];
    let ticks = |months: &i64| -> Vec<Tick> {
        let from = (first_year * 12).div_euclid(*months) * months;
        let step = usize::try_from(*months).unwrap_or(1);
        let one = |month: i64| {
            let (year, month) = (month.div_euclid(12), month.rem_euclid(12) + 1);
            let label = if *months >= 12 { format!("{year}") } else { format!("{year}-{month:02}") };
            Tick { at: day_number(year, month, 1), label }
        };
        (from..=last_year * 12 + 11).step_by(step).map(one).filter(|tick| tick.at >= low && tick.at <= high).collect()
    };
    let found = MONTHS.iter().map(ticks).find(|ticks| ticks.len() <= most.max(1)).unwrap_or_default();
    if found.len() > 1 {
        return found;
    }
    // Less than two months: days themselves.
    let day = |tick: Tick| {
        let (year, month, day) = civil(tick.at);
        Tick { at: tick.at, label: format!("{year}-{month:02}-{day:02}") }
    };
    numbers([low, high], most.min(4)).into_iter().filter(|tick| tick.at.fract().abs() < 1e-9).map(day).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn labels(range: [f64; 2], most: usize) -> Vec<String> {
        numbers(range, most).into_iter().map(|tick| tick.label).collect()
    }

    #[test]
    fn steps_are_one_two_or_five() {
        assert_eq!(labels([0.0, 1000.0], 6), ["0", "200", "400", "600", "800", "1000"]);
        assert_eq!(labels([-0.31, 0.3], 6), ["\u{2212}0.2", "0.0", "0.2"]);
        assert_eq!(labels([0.0, 0.007], 4), ["0.000", "0.002", "0.004", "0.006"]);
        assert_eq!(labels([3.0, 3.0], 6), ["3"]);
    }

    /// Source: Python 3.12, `(date(2024, 2, 29) - date(1970, 1, 1)).days`.
    #[test]
    fn days_are_those_of_the_calendar() {
        assert!((day_number(2024, 2, 29) - 19_782.0).abs() < 0.5);
        assert_eq!(civil(19_782.0), (2024, 2, 29));
        assert_eq!(civil(-1.0), (1969, 12, 31));
        let ticks: Vec<String> =
            days([day_number(2023, 6, 5), day_number(2024, 5, 2)], 4).into_iter().map(|tick| tick.label).collect();
        assert_eq!(ticks, ["2023-07", "2023-10", "2024-01", "2024-04"]);
    }
}
