//! `box-points`: every value, by group, with boxes where there are enough of them.

use crate::error::Result;
use crate::figure::markup::axis_title;
use crate::figure::{
    Bars, Datum, Figure, FigureAxis, FigureChoice, FigureData, Frame, Layer, Panel, Stamp, Woods, real,
};
use crate::numeric::quantile;
use crate::study::{Assessment, PieceRows};

use super::caption::{capital, joined, left_out, squares};
use super::gather::{Gathered, Wanted, missing};

/// Values that make a box: with fewer, quartiles say more than is known.
const BOX_FROM: usize = 5;

/// Every value of a quantity by group, with a box of type-7 quartiles where a group has at least five; whiskers end at values.
///
/// Without a value it is the maximum water content; groups are those of
/// `by`, without it those of the taxon.
///
/// # Errors
/// [`ErrorKind::Content`](crate::error::ErrorKind::Content) where the value is unknown of all pieces, and what
/// [`piece_rows`](crate::study::piece_rows) refuses.
pub fn box_points(assessment: &Assessment, choice: &FigureChoice) -> Result<Figure> {
    let value = choice.value.first().map_or("max_water_content", String::as_str);
    let wanted = Wanted { kind: "box-points", values: vec![value], by: &["taxon"] };
    let gathered = Gathered::of(assessment, choice, &wanted)?;
    let value_of = |place: &usize| gathered.row(*place).values[0].map(|value| value.value);
    let all: Vec<usize> = (0..gathered.rows.rows.len()).collect();
    let shown: Vec<usize> = all.iter().copied().filter(|place| value_of(place).is_some()).collect();
    if shown.is_empty() {
        return Err(missing(assessment, &wanted, value));
    }
    let x = FigureAxis::room(shown.iter().filter_map(value_of), true);
    let column = &gathered.rows.columns[0];
    let panel = |(title, places): &(Option<String>, Vec<usize>)| {
        let known: Vec<usize> = places.iter().copied().filter(|place| value_of(place).is_some()).collect();
        let groups = gathered.groups(&known);
        let beside = groups.iter().map(|(_, places)| {
            format!("{} ({})", places.len(), PieceRows::n_timbers(places.iter().map(|place| gathered.row(*place))))
        });
        let beside = beside.collect();
        let names = groups.iter().map(|(name, _)| name.clone()).collect();
        let mut layers = Vec::new();
        for (row, (_, places)) in groups.iter().enumerate() {
            let values: Vec<f64> = places.iter().filter_map(value_of).collect();
            let five = five(&values).filter(|_| values.len() >= BOX_FROM);
            layers.extend(five.map(|five| Layer::Box { stamp: Stamp::Series(0), at: real(row), five }));
            layers.push(points(values, real(row)));
        }
        Panel {
            title: title.clone(),
            x: FigureAxis::of(axis_title(&column.title, &column.unit), x),
            y: FigureAxis::of_names(names, beside, "n (timbers)"),
            layers,
            frame: Frame::Axes,
            height: 1.0,
        }
    };
    let panels: Vec<Panel> = gathered.panels.iter().map(panel).collect();
    let groups = gathered.groups(&shown);
    let small = groups.iter().filter(|(_, places)| places.len() < BOX_FROM).count();
    let boxes = match small {
        0 => String::new(),
        _ => format!("Groups with fewer than {BOX_FROM} values have no box."),
    };
    let title = format!("{} by {}", capital(&column.title), gathered.by_words(choice));
    let caption = joined([
        &format!("{title}."),
        &Bars::Quartiles.sentence(),
        &boxes,
        "Points are shifted up and down so that none hides another.",
        &gathered.counts(&shown),
        "Pieces of one timber are not independent.",
        &left_out(&[(all.len() - shown.len(), "of which the value is unknown")]),
        squares(groups.iter().map(|(name, _)| name.as_str())),
    ]);
    let told = groups.iter().take(12).map(|(name, places)| {
        let mut values: Vec<f64> = places.iter().filter_map(value_of).collect();
        values.sort_unstable_by(f64::total_cmp);
        format!("{name}: median {:.0} of {}", quantile(&values, 0.5).unwrap_or_default(), values.len())
    });
    let alternative =
        format!("Points and boxes of {} in {}. {}.", column.title, column.unit, told.collect::<Vec<_>>().join("; "));
    Ok(Figure {
        name: wanted.kind.to_owned(),
        title,
        caption,
        alternative,
        bars: Bars::Quartiles,
        panels,
        columns: 2,
        legend: Vec::new(),
        woods: Woods::Rows.only_if(gathered.has_wood_names(choice)),
        data: data(&gathered, &all),
    }
    .recounted())
}

/// Whisker, quartile, median, quartile, whisker.
///
/// Source of the quartiles: [`quantile`]; of the whiskers: J. W. Tukey 1977, Exploratory Data Analysis, chapter 2 \[memory].
fn five(values: &[f64]) -> Option<[f64; 5]> {
    let mut sorted = values.to_vec();
    sorted.sort_unstable_by(f64::total_cmp);
    let [lower, median, upper] = [0.25, 0.5, 0.75].map(|share| quantile(&sorted, share));
    let (lower, median, upper) = (lower?, median?, upper?);
    let reach = 1.5 * (upper - lower);
    let low = sorted.iter().copied().find(|value| *value >= lower - reach)?;
    let high = sorted.iter().rev().copied().find(|value| *value <= upper + reach)?;
    Some([low.min(lower), lower, median, upper, high.max(upper)])
}

/// The points of a row, shifted by what has no pattern and never changes: the golden ratio's multiples.
fn points(values: Vec<f64>, row: f64) -> Layer {
    const GOLDEN: f64 = 0.618_033_988_749_894_8;
    const REACH: f64 = 0.24;
    let n = values.len();
    let shift = |place: usize| if n == 1 { 0.0 } else { ((real(place) + 1.0) * GOLDEN).fract() * 2.0 - 1.0 };
    let y = (0..n).map(|place| row + REACH * shift(place)).collect();
    Layer::Points { stamp: Stamp::Series(0), y, x_bars: vec![None; n], y_bars: vec![None; n], x: values }
}

fn data(gathered: &Gathered, all: &[usize]) -> FigureData {
    let column = &gathered.rows.columns[0];
    let mut columns = vec!["sample".to_owned(), "timber".to_owned(), "group".to_owned()];
    columns.extend([format!("{} [{}]", column.name, column.unit), format!("u({}) [{}]", column.name, column.unit)]);
    let row = |place: &usize| {
        let row = gathered.row(*place);
        let value = row.values[0];
        vec![
            Datum::text(row.sample.as_deref()),
            Datum::text(row.timber.as_deref()),
            Datum::text(Some(gathered.group(*place))),
            Datum::number(value.map(|value| value.value)),
            Datum::number(value.and_then(|value| value.u)),
        ]
    };
    FigureData { columns, rows: all.iter().map(row).collect() }
}
