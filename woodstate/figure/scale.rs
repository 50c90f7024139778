//! Where a value lies on the sheet.

use plotters::coord::ranged1d::Ranged;
use plotters::coord::types::RangedCoordf64;

use super::FigureAxis;

/// Where values of an axis lie, in hundredths of a millimetre, to the whole unit.
pub(super) struct Scale {
    coord: RangedCoordf64,
    ends: (i32, i32),
    /// Smallest and largest value.
    pub(super) range: [f64; 2],
}

impl Scale {
    /// From the place of the smallest value to that of the largest one.
    pub(super) fn of(range: [f64; 2], from: f64, to: f64) -> Self {
        let range = spread(range);
        Self { coord: (range[0]..range[1]).into(), ends: (whole(from), whole(to)), range }
    }

    /// The place of a value; callers clip, so it lies between the ends.
    pub(super) fn at(&self, value: f64) -> f64 {
        f64::from(self.coord.map(&value.clamp(self.range[0], self.range[1]), self.ends))
    }

    pub(super) fn holds(&self, value: f64) -> bool {
        value >= self.range[0] && value <= self.range[1]
    }
}

/// A range that has a length, whatever was asked for.
pub(super) fn spread([low, high]: [f64; 2]) -> [f64; 2] {
    let (low, high) = if low <= high { (low, high) } else { (high, low) };
    match (low.is_finite() && high.is_finite(), high > low) {
        (true, true) => [low, high],
        (true, false) => [low - low.abs().max(1.0) * 0.05, high + high.abs().max(1.0) * 0.05],
        _ => [0.0, 1.0],
    }
}

#[allow(clippy::cast_possible_truncation, reason = "OK because places lie on a sheet; `as` saturates")]
fn whole(place: f64) -> i32 {
    place.round() as i32
}

impl FigureAxis {
    /// Ends that hold these values, with a little room at both; from 0 where the axis begins there.
    #[must_use]
    pub fn room(values: impl IntoIterator<Item = f64>, from_zero: bool) -> [f64; 2] {
        const ROOM: f64 = 0.05;
        let known = values.into_iter().filter(|value| value.is_finite());
        let (low, high) =
            known.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| (low.min(value), high.max(value)));
        // One value alone stands in the middle and not at the edge.
        let high = if from_zero && low > 0.0 && (high - low) < 0.02 * high { high * 1.5 } else { high };
        let low = if from_zero { low.min(0.0) } else { low };
        let [low, high] = spread([low, high]);
        let room = (high - low) * ROOM;
        [if from_zero && low >= 0.0 { 0.0 } else { low - room }, high + room]
    }

    /// Ends that hold values and their bars, where bars do not more than double the length.
    #[must_use]
    pub fn room_for_bars(values: &[f64], bars: &[Option<[f64; 2]>], from_zero: bool) -> [f64; 2] {
        let [low, high] = Self::room(values.iter().copied(), from_zero);
        let reach = (high - low) / 2.0;
        let ends = bars.iter().flatten().flatten().map(|end| end.clamp(low - reach, high + reach));
        let all = Self::room(ends.chain(values.iter().copied()), from_zero);
        if from_zero { [all[0].max(0.0_f64.min(low)), all[1]] } else { all }
    }
}
