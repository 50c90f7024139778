//! `shrinkage`: shrinkage of each piece by direction.

use crate::error::Result;
use crate::figure::{
    Bars, Datum, Figure, FigureAxis, FigureChoice, FigureData, Frame, Key, KeyMark, Layer, Panel, Stamp, Woods, real,
};
use crate::study::{Assessment, PieceRows, RowValue};

use super::caption::{capital, counted, joined, left_out, squares, without_bars};
use super::gather::{Gathered, Wanted, missing};

/// The quantities in the order of their rows.
const DIRECTIONS: [&str; 6] = [
    "shrinkage_longitudinal",
    "shrinkage_radial",
    "shrinkage_tangential",
    "shrinkage_cross_section",
    "shrinkage_volumetric",
    "collapse",
];

/// Shrinkage of each piece, a row a direction, groups one above the other and told by shape and colour.
///
/// Groups are those of `by`, without it those of the taxon.
///
/// # Errors
/// [`ErrorKind::Content`](crate::error::ErrorKind::Content) where no shrinkage is known, and what
/// [`piece_rows`](crate::study::piece_rows) refuses.
pub fn shrinkage(assessment: &Assessment, choice: &FigureChoice) -> Result<Figure> {
    let values = match choice.value.is_empty() {
        true => DIRECTIONS.to_vec(),
        false => choice.value.iter().map(String::as_str).collect(),
    };
    let wanted = Wanted { kind: "shrinkage", values, by: &["taxon"] };
    let gathered = Gathered::of(assessment, choice, &wanted)?;
    let all: Vec<usize> = (0..gathered.rows.rows.len()).collect();
    let has = |place: &usize| gathered.row(*place).values.iter().any(Option::is_some);
    let shown: Vec<usize> = all.iter().copied().filter(has).collect();
    if shown.is_empty() {
        let what = "sizes before and after drying (radial_saturated and radial_oven_dry, tangential_..., longitudinal_...) or \
                    volume_saturated and volume_oven_dry";
        return Err(missing(assessment, &wanted, what));
    }
    let used: Vec<usize> = (0..gathered.rows.columns.len())
        .filter(|column| shown.iter().any(|place| gathered.row(*place).values[*column].is_some()))
        .collect();
    let stamps = gathered.stamps(&shown);
    let known: Vec<RowValue> =
        shown.iter().flat_map(|place| gathered.row(*place).values.iter().flatten().copied()).collect();
    let numbers: Vec<f64> = known.iter().map(|value| value.value).collect();
    let bars: Vec<Option<[f64; 2]>> = known.iter().map(bar).collect();
    let x = FigureAxis::room_for_bars(&numbers, &bars, true);
    let all_stamps = stamps.all();
    let panel = |(title, places): &(Option<String>, Vec<usize>)| {
        let layer = |(level, stamp): (usize, &Stamp)| {
            let (mut x, mut y, mut x_bars) = (Vec::new(), Vec::new(), Vec::new());
            for (row, column) in used.iter().enumerate() {
                let of_group = places.iter().filter(|place| stamps.of(gathered.group(**place)) == *stamp);
                let of_group: Vec<RowValue> =
                    of_group.filter_map(|place| gathered.row(*place).values[*column]).collect();
                let n = of_group.len();
                for (place, value) in of_group.iter().enumerate() {
                    x.push(value.value);
                    y.push(real(row) + shift(level, all_stamps.len(), place, n));
                    x_bars.push(bar(value));
                }
            }
            let y_bars = vec![None; x.len()];
            (!x.is_empty()).then_some(Layer::Points { stamp: *stamp, x, y, x_bars, y_bars })
        };
        let names = used.iter().map(|column| capital(&gathered.rows.columns[*column].title)).collect();
        let beside = used.iter().map(|column| {
            let with: Vec<usize> =
                places.iter().copied().filter(|place| gathered.row(*place).values[*column].is_some()).collect();
            format!("{} ({})", with.len(), PieceRows::n_timbers(with.iter().map(|place| gathered.row(*place))))
        });
        Panel {
            title: title.clone(),
            x: FigureAxis::of("Loss of size on drying (%)", x),
            y: FigureAxis::of_names(names, beside.collect(), "n (timbers)"),
            layers: all_stamps.iter().enumerate().filter_map(layer).collect(),
            frame: Frame::Axes,
            height: if all_stamps.len() > 2 { 1.6 } else { 1.3 },
        }
    };
    let legend: Vec<Key> = if all_stamps.len() > 1 { stamps.keys(KeyMark::Point) } else { Vec::new() };
    let unknown = without_bars(&bars);
    let bars = if bars.iter().any(Option::is_some) { Bars::StandardUncertainty } else { Bars::Absent };
    let conditioned = known.iter().filter(|value| value.route == Some("conditioned_size")).count();
    let caption = joined([
        "Shrinkage of each piece from the saturated state to oven-dry, by direction.",
        &bars.sentence(),
        &unknown,
        &if conditioned > 0 {
            format!("{} to the conditioned state only, which is less.", counted(conditioned, "value"))
        } else {
            String::new()
        },
        &gathered.counts(&shown),
        &stamps.sentence(),
        &left_out(&[(all.len() - shown.len(), "without sizes before and after drying")]),
        squares(legend.iter().map(|key| key.name.as_str())),
    ]);
    let ends = numbers.iter().fold([f64::INFINITY, f64::NEG_INFINITY], |[a, b], v| [a.min(*v), b.max(*v)]);
    Ok(Figure {
        name: wanted.kind.to_owned(),
        title: "Shrinkage by direction".to_owned(),
        caption,
        alternative: format!(
            "Points of {} in {}: shrinkage from {:.1} to {:.1} %.",
            counted(shown.len(), "piece"),
            counted(used.len(), "direction"),
            ends[0],
            ends[1]
        ),
        bars,
        panels: gathered.panels.iter().map(panel).collect(),
        columns: 2,
        legend,
        woods: Woods::Legend.only_if(gathered.has_wood_names(choice)),
        data: data(&gathered, &shown),
    }
    .recounted())
}

fn bar(value: &RowValue) -> Option<[f64; 2]> {
    value.u.map(|u| [value.value - u, value.value + u])
}

/// Where in its row a point lies: groups one below the other, points of a group apart.
fn shift(level: usize, levels: usize, place: usize, n: usize) -> f64 {
    const REACH: f64 = 0.72;
    let step = REACH / real(levels.max(1));
    let middle = -REACH / 2.0 + step * (real(level) + 0.5);
    let within = if n > 1 { real(place) / real(n - 1) - 0.5 } else { 0.0 };
    middle + step * 0.7 * within
}

fn data(gathered: &Gathered, shown: &[usize]) -> FigureData {
    let mut columns = vec!["sample".to_owned(), "timber".to_owned(), "group".to_owned()];
    for column in &gathered.rows.columns {
        columns.extend([format!("{} [{}]", column.name, column.unit), format!("u({}) [{}]", column.name, column.unit)]);
    }
    let row = |place: &usize| {
        let row = gathered.row(*place);
        let mut cells = vec![
            Datum::text(row.sample.as_deref()),
            Datum::text(row.timber.as_deref()),
            Datum::text(Some(gathered.group(*place))),
        ];
        for value in &row.values {
            cells.extend([
                Datum::number(value.map(|value| value.value)),
                Datum::number(value.and_then(|value| value.u)),
            ]);
        }
        cells
    };
    FigureData { columns, rows: shown.iter().map(row).collect() }
}
