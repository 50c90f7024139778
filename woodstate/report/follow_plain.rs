//! The tables of `follow` for a pipe, and as one file.

use std::path::Path;

use crate::error::Result;
use crate::study::{CourseDay, CourseNumber, Following, MeanShrinkage};
use crate::table::TextStyle;

use super::json::json;
use super::strength_file::{delimited, ending};
use super::{Align, Block, Grid, View};

/// The tables of `follow` for a pipe: timbers, weighings, forecasts, baths, readings of washing, treated wood, cautions.
#[must_use]
pub fn following_plain(following: &Following) -> View {
    let tables = [
        timbers(following),
        weighings(following),
        forecasts(following),
        strengths(following),
        baths(following),
        readings(following),
        treated(following),
        cautions(following),
    ];
    View { blocks: tables.into_iter().filter(|table| !table.rows.is_empty()).map(Block::Table).collect() }
}

/// The ending of a path that names a file of a followed treatment.
///
/// # Errors
/// [`ErrorKind::Name`](crate::error::ErrorKind::Name) with the endings there are.
pub fn following_ending(path: &Path) -> Result<&'static str> {
    ending(path, "ending of a file of a followed treatment")
}

/// A followed treatment as one file: the whole outcome as `json`, one row a timber as `csv` or `tsv`.
///
/// # Errors
/// An ending that is none of these.
pub fn following_file(following: &Following, ending: &str, style: TextStyle) -> Result<Vec<u8>> {
    match ending {
        "json" => Ok(json(following)?.into_bytes()),
        _ => delimited("following", timbers(following), ending, style),
    }
}

fn heads(heads: &[&str]) -> Grid {
    Grid::new(&heads.iter().map(|head| (*head, Align::Left)).collect::<Vec<_>>())
}

fn number(number: Option<f64>) -> String {
    // Diffusivities have a dozen zeros behind the point.
    let shown = |number: f64| if number.abs() < 1e-6 { format!("{number:e}") } else { number.to_string() };
    number.map(shown).unwrap_or_default()
}

fn three(found: Option<&CourseNumber>) -> [String; 3] {
    let [low, high] = found.map_or([None; 2], |found| found.interval);
    [found.map(|found| found.value), low, high].map(number)
}

fn days(found: Option<&CourseDay>) -> [String; 3] {
    let Some(CourseDay { day, interval: [early, late], .. }) = found else { return Default::default() };
    [day, early, late].map(|day| day.clone().unwrap_or_default())
}

fn timbers(following: &Following) -> Grid {
    let mut grid = heads(&[
        "timber",
        "tanks",
        "shape",
        "first",
        "last",
        "weighings",
        "gained [kg]",
        "low(gained) [kg]",
        "high(gained) [kg]",
        "gained_share [%]",
        "low(gained_share) [%]",
        "high(gained_share) [%]",
        "diffusivity [m2/s]",
        "low(diffusivity) [m2/s]",
        "high(diffusivity) [m2/s]",
        "diffusivity_from",
        "scatter [kg]",
        "average_now [%]",
        "low(average_now) [%]",
        "high(average_now) [%]",
        "centre_now [%]",
        "low(centre_now) [%]",
        "high(centre_now) [%]",
        "average_target",
        "earliest(average_target)",
        "latest(average_target)",
        "centre_target",
        "earliest(centre_target)",
        "latest(centre_target)",
        "no_fit",
    ]);
    for timber in &following.timbers {
        let [first, last] = timber.days.clone();
        let mut row = vec![
            timber.timber.clone(),
            timber.tanks.join(" "),
            timber.shape.clone().unwrap_or_default(),
            first,
            last,
            timber.weighings.len().to_string(),
        ];
        row.extend(three(timber.gained.as_ref()));
        row.extend(three(timber.gained_share.as_ref()));
        row.extend(three(timber.diffusivity.as_ref()));
        row.push(timber.diffusivity_from.unwrap_or_default().to_owned());
        row.push(number(timber.scatter));
        row.extend(three(timber.average_now.as_ref()));
        row.extend(three(timber.centre_now.as_ref()));
        row.extend(days(timber.average_target.as_ref()));
        row.extend(days(timber.centre_target.as_ref()));
        row.push(timber.no_fit.clone().unwrap_or_default());
        grid.rows.push(row);
    }
    grid
}

fn weighings(following: &Following) -> Grid {
    let mut grid = heads(&["timber", "date", "mass_drained [kg]", "u(mass_drained) [kg]", "fitted [kg]"]);
    for timber in &following.timbers {
        for weighing in &timber.weighings {
            let mut row = vec![timber.timber.clone(), weighing.date.clone()];
            row.extend([Some(weighing.mass), weighing.u, weighing.fitted].map(number));
            grid.rows.push(row);
        }
    }
    grid
}

fn forecasts(following: &Following) -> Grid {
    let mut grid = heads(&[
        "timber",
        "weighings",
        "until",
        "diffusivity [m2/s]",
        "low(diffusivity) [m2/s]",
        "high(diffusivity) [m2/s]",
        "average_target",
        "earliest(average_target)",
        "latest(average_target)",
        "centre_target",
        "earliest(centre_target)",
        "latest(centre_target)",
    ]);
    for timber in &following.timbers {
        for then in &timber.history {
            let mut row = vec![timber.timber.clone(), then.weighings.to_string(), then.date.clone()];
            row.extend(three(Some(&then.diffusivity)));
            row.extend(days(then.average_target.as_ref()));
            row.extend(days(then.centre_target.as_ref()));
            grid.rows.push(row);
        }
    }
    grid
}

fn strengths(following: &Following) -> Grid {
    let mut grid = heads(&["tank", "date", "concentration", "unit", "concentration_mass_per_volume [g/L]"]);
    for tank in &following.tanks {
        for strength in &tank.strengths {
            let name = tank.tank.clone().unwrap_or_default();
            let [value, volume] = [Some(strength.value), strength.mass_per_volume].map(number);
            grid.rows.push(vec![name, strength.date.clone(), value, strength.unit.to_owned(), volume]);
        }
    }
    grid
}

fn baths(following: &Following) -> Grid {
    let mut grid = heads(&["tank", "bath", "begun", "days", "bath_volume [L]", "last", "rise_a_week", "unit"]);
    for tank in &following.tanks {
        for (washing, bath) in tank.washing.iter().flat_map(|washing| washing.baths.iter().map(move |b| (washing, b))) {
            let mut row = vec![tank.tank.clone().unwrap_or_default(), bath.bath.to_string(), bath.begin.clone()];
            row.extend([Some(bath.length), bath.volume, bath.last, bath.rise_a_week].map(number));
            row.push(washing.unit.to_owned());
            grid.rows.push(row);
        }
    }
    grid
}

fn readings(following: &Following) -> Grid {
    let mut grid = heads(&["tank", "bath", "date", "column", "value", "fitted", "unit"]);
    for tank in &following.tanks {
        for (washing, read) in
            tank.washing.iter().flat_map(|washing| washing.readings.iter().map(move |r| (washing, r)))
        {
            let name = tank.tank.clone().unwrap_or_default();
            let [value, fitted] = [Some(read.value), read.fitted].map(number);
            let words = [washing.column, washing.unit].map(str::to_owned);
            let [column, unit] = words;
            grid.rows.push(vec![name, read.bath.to_string(), read.date.clone(), column, value, fitted, unit]);
        }
    }
    grid
}

fn treated(following: &Following) -> Grid {
    let mut grid = heads(&[
        "timber",
        "treatment",
        "control",
        "conditioning_rh [%]",
        "direction",
        "treated [%]",
        "u(treated) [%]",
        "n(treated)",
        "control [%]",
        "u(control) [%]",
        "n(control)",
        "anti_shrink_efficiency [%]",
        "u(anti_shrink_efficiency) [%]",
        "low(anti_shrink_efficiency) [%]",
        "high(anti_shrink_efficiency) [%]",
        "no_efficiency",
    ]);
    for one in &following.treated {
        let text = |text: &Option<String>| text.clone().unwrap_or_default();
        for direction in &one.directions {
            let mut row = vec![one.timber.clone(), text(&one.treatment), text(&one.control), number(one.climate)];
            row.push(direction.direction.to_owned());
            let mean = |of: Option<MeanShrinkage>| {
                [
                    number(of.map(|of| of.value)),
                    number(of.and_then(|of| of.u)),
                    of.map_or(String::new(), |of| of.n.to_string()),
                ]
            };
            row.extend(mean(direction.treated));
            row.extend(mean(direction.control));
            let [low, high] = direction.interval.map_or([None; 2], |ends| ends.map(Some));
            row.extend([direction.efficiency, direction.u, low, high].map(number));
            row.push(text(&one.no_efficiency));
            grid.rows.push(row);
        }
    }
    grid
}

fn cautions(following: &Following) -> Grid {
    let mut grid = heads(&["caution", "timber", "tank", "since", "found"]);
    let text = |text: &Option<String>| text.clone().unwrap_or_default();
    let row = |caution: &crate::study::CourseCaution| {
        let mut row = vec![caution.code.to_owned()];
        row.extend([&caution.timber, &caution.tank, &caution.date, &caution.detail].map(text));
        row
    };
    grid.rows = following.cautions.iter().map(row).collect();
    grid
}
