//! `estimates`: a value with its interval, piece by piece, or zone by zone of each timber.

use crate::error::Result;
use crate::figure::markup::axis_title;
use crate::figure::{
    Bars, Datum, Figure, FigureAxis, FigureChoice, FigureData, Frame, Key, KeyMark, Layer, Panel, Stamp, Ticks, Woods,
    real,
};
use crate::study::{Assessment, RowValue};

use super::caption::{capital, joined, left_out, squares, without_bars};
use super::gather::{Gathered, Stamps, Wanted, missing};

/// Pieces that are named; more are drawn without names, in the order of their values.
const NAMED: usize = 50;

/// A value with its interval, a row a piece; where there are more than fifty, in the order of the values and without names.
///
/// Without a value it is the maximum water content; groups of `by` are told by shape and colour.
///
/// # Errors
/// [`ErrorKind::Content`](crate::error::ErrorKind::Content) where the value is unknown of all pieces, and what
/// [`piece_rows`](crate::study::piece_rows) refuses.
pub fn estimates(assessment: &Assessment, choice: &FigureChoice) -> Result<Figure> {
    let value = choice.value.first().map_or("max_water_content", String::as_str);
    let wanted = Wanted { kind: "estimates", values: vec![value], by: &[] };
    let gathered = Gathered::of(assessment, choice, &wanted)?;
    let value_of = |place: &usize| gathered.row(*place).values[0];
    let all: Vec<usize> = (0..gathered.rows.rows.len()).collect();
    let shown: Vec<usize> = all.iter().copied().filter(|place| value_of(place).is_some()).collect();
    if shown.is_empty() {
        return Err(missing(assessment, &wanted, value));
    }
    let values: Vec<RowValue> = shown.iter().filter_map(value_of).collect();
    let numbers: Vec<f64> = values.iter().map(|value| value.value).collect();
    let intervals: Vec<Option<[f64; 2]>> = values.iter().map(interval).collect();
    let x = FigureAxis::room_for_bars(&numbers, &intervals, false);
    let column = &gathered.rows.columns[0];
    let stamps = gathered.stamps(&shown);
    let is_named = gathered.panels.iter().all(|(_, places)| places.len() <= NAMED);
    let panel = |(title, places): &(Option<String>, Vec<usize>)| {
        let mut known: Vec<usize> = places.iter().copied().filter(|place| value_of(place).is_some()).collect();
        let number = |place: &usize| value_of(place).map_or(0.0, |value| value.value);
        if !is_named {
            known.sort_by(|a, b| number(b).total_cmp(&number(a)).then(a.cmp(b)));
        }
        let name = |place: &usize| gathered.row(*place).sample.clone().unwrap_or_else(|| "unnamed".to_owned());
        let mut y = FigureAxis::of_names(known.iter().map(name).collect(), Vec::new(), "");
        if !is_named {
            (y.ticks, y.title) = (Ticks::Nothing, "Pieces, in the order of their values".to_owned());
        }
        let layers = stamps.all().into_iter().filter_map(|stamp| layer(&gathered, &known, &stamps, stamp)).collect();
        Panel {
            title: title.clone(),
            x: FigureAxis::of(axis_title(&column.title, &column.unit), x),
            y,
            layers,
            frame: Frame::Axes,
            height: if is_named { 1.0 } else { 1.5 },
        }
    };
    let bars = match intervals.iter().any(Option::is_some) {
        true if values.iter().all(|value| value.route.is_some()) => Bars::Interval(gathered.rows.coverage),
        true => Bars::StandardUncertainty,
        false => Bars::Absent,
    };
    let without = without_bars(&intervals);
    let title = format!("{} of each piece", capital(&column.title));
    let panels: Vec<Panel> = gathered.panels.iter().map(panel).collect();
    let names = shown.iter().filter_map(|place| gathered.row(*place).sample.as_deref());
    let caption = joined([
        &format!("{title}."),
        &bars.sentence(),
        &without,
        &gathered.counts(&shown),
        &stamps.sentence(),
        &left_out(&[(all.len() - shown.len(), "of which the value is unknown")]),
        squares(names.filter(|_| is_named)),
    ]);
    let ends = numbers.iter().fold([f64::INFINITY, f64::NEG_INFINITY], |[a, b], v| [a.min(*v), b.max(*v)]);
    let legend: Vec<Key> = stamps.keys(KeyMark::Point);
    Ok(Figure {
        name: wanted.kind.to_owned(),
        alternative: format!(
            "Values with intervals of {}: {} from {:.0} to {:.0} {}.",
            super::caption::counted(shown.len(), "piece"),
            column.title,
            ends[0],
            ends[1],
            column.unit
        ),
        title,
        caption,
        bars,
        panels,
        columns: 2,
        legend,
        woods: Woods::Legend.only_if(gathered.has_wood_names(choice)),
        data: data(&gathered, &all),
    }
    .recounted())
}

/// The interval of a result; one standard uncertainty to either side of a reading.
fn interval(value: &RowValue) -> Option<[f64; 2]> {
    value.interval.or(value.u.map(|u| [value.value - u, value.value + u]))
}

fn layer(gathered: &Gathered, known: &[usize], stamps: &Stamps, stamp: Stamp) -> Option<Layer> {
    let rows = known.iter().enumerate().filter(|(_, place)| stamps.of(gathered.group(**place)) == stamp);
    let (mut x, mut y, mut x_bars) = (Vec::new(), Vec::new(), Vec::new());
    for (row, place) in rows {
        let Some(value) = gathered.row(*place).values[0] else { continue };
        x.push(value.value);
        y.push(real(row));
        x_bars.push(interval(&value));
    }
    let y_bars = vec![None; x.len()];
    (!x.is_empty()).then_some(Layer::Points { stamp, x, y, x_bars, y_bars })
}

fn data(gathered: &Gathered, all: &[usize]) -> FigureData {
    let column = &gathered.rows.columns[0];
    let head = |what: &str| format!("{what} [{}]", column.unit);
    let mut columns = vec!["sample".to_owned(), "timber".to_owned(), "group".to_owned()];
    let name = &column.name;
    columns.extend([
        head(name),
        head(&format!("u({name})")),
        head(&format!("{name} from")),
        head(&format!("{name} to")),
    ]);
    let row = |place: &usize| {
        let row = gathered.row(*place);
        let value = row.values[0];
        let ends = value.and_then(|value| interval(&value));
        vec![
            Datum::text(row.sample.as_deref()),
            Datum::text(row.timber.as_deref()),
            Datum::text(Some(gathered.group(*place))),
            Datum::number(value.map(|value| value.value)),
            Datum::number(value.and_then(|value| value.u)),
            Datum::number(ends.map(|ends| ends[0])),
            Datum::number(ends.map(|ends| ends[1])),
        ]
    };
    FigureData { columns, rows: all.iter().map(row).collect() }
}
