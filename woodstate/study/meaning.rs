//! What a curve means for the wood, in a sentence.

use crate::error::{CurveCautionCode, Result};
use crate::numeric::Interval;
use crate::quantity::shown_value;
use crate::strength::{CurveCaution, CurveFit, Direction, Grouped, Monotone, NestedTest, Prediction};

use super::Axis;

/// Probability below which a test decides.
const UNLIKELY: f64 = 0.05;

/// Of a curve with a formula.
pub(super) fn of_curve(
    curve: &CurveFit,
    cautions: &[CurveCaution],
    [value, against]: [&Axis; 2],
    coverage: f64,
) -> Result<String> {
    if cautions.iter().any(|caution| caution.of == CurveCautionCode::NoTrend) {
        return Ok(format!(
            "These {} pieces do not show that {} changes with {}: a level line describes them as well.",
            curve.n(),
            value.title,
            against.title
        ));
    }
    let Interval { low, high } = curve.range();
    let (sound, weak) = ends(curve.formula.direction, [low, high]);
    let (before, after) = (curve.predict(sound)?, curve.predict(weak)?);
    let middle = curve.predict(f64::midpoint(low, high))?;
    let next = middle.prediction.map_or_else(String::new, |ends| {
        format!(
            "; the next piece at {} would lie between {} and {} in {} of 100 cases",
            with_unit(middle.x, &against.unit),
            shown_value(ends.low),
            with_unit(ends.high, &value.unit),
            shown_value(100.0 * coverage)
        )
    });
    Ok(format!("{}{next}.", fall([value, against], [sound, weak], [before.value, after.value], Some([before, after]))))
}

/// Of a curve without a formula.
pub(super) fn of_monotone(curve: &Monotone, [value, against]: [&Axis; 2]) -> String {
    let Interval { low, high } = curve.range();
    let (sound, weak) = ends(curve.direction, [low, high]);
    let at = |x: f64| curve.at(x).unwrap_or_default();
    format!("{}.", fall([value, against], [sound, weak], [at(sound), at(weak)], None))
}

fn ends(direction: Direction, [low, high]: [f64; 2]) -> (f64, f64) {
    match direction {
        Direction::Rising => (high, low),
        Direction::Falling => (low, high),
    }
}

fn fall(
    [value, against]: [&Axis; 2],
    [sound, weak]: [f64; 2],
    [before, after]: [f64; 2],
    bands: Option<[Prediction; 2]>,
) -> String {
    let of_state = if weak < sound { "falls" } else { "rises" };
    let band = |place: usize| {
        let ends = bands.and_then(|bands| bands[place].confidence);
        ends.map_or_else(String::new, |ends| format!(" ({} to {})", shown_value(ends.low), shown_value(ends.high)))
    };
    let left = if before > 0.0 && after >= 0.0 {
        format!(": {} % of it is left", shown_value((100.0 * after / before).round()))
    } else {
        String::new()
    };
    format!(
        "Where {} {of_state} from {} to {}, {} falls from {}{} to {}{}{left}",
        against.title,
        with_unit(sound, &against.unit),
        with_unit(weak, &against.unit),
        value.title,
        with_unit(before, &value.unit),
        band(0),
        with_unit(after, &value.unit),
        band(1),
    )
}

fn with_unit(value: f64, unit: &str) -> String {
    if unit == "1" { shown_value(value) } else { format!("{} {unit}", shown_value(value)) }
}

/// Of one curve or several.
pub(super) fn of_groups(grouped: &Grouped) -> String {
    let is_refused = |test: Option<NestedTest>| test.is_some_and(|test| test.probability < UNLIKELY);
    let text = match (grouped.one_or_scaled, grouped.one_or_separate) {
        (None, None) => "There are too few pieces to tell whether the groups follow one curve.",
        (scaled, _) if is_refused(scaled) && !is_refused(grouped.scaled_or_separate) => {
            "The groups share the shape of the curve and differ in strength: each needs a scale of its own."
        }
        (_, separate) if is_refused(separate) => "The groups follow curves of their own.",
        _ => "One curve describes all groups as well as curves of their own do.",
    };
    text.to_owned()
}
