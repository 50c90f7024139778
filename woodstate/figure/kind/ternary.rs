//! `ternary`: cellulose, hemicellulose and lignin as shares of their sum.

use crate::error::{Error, ErrorKind, Result};
use crate::figure::{
    Bars, Datum, Figure, FigureAxis, FigureChoice, FigureData, Frame, Key, KeyMark, Layer, Panel, Stamp, Ticks, Woods,
};
use crate::study::{Assessment, PieceRow};

use super::caption::{capital, joined, left_out, squares};
use super::gather::{Gathered, Stamps, Wanted, missing};

/// The corners: left, right, top.
const CORNERS: [&str; 3] = ["cellulose", "hemicellulose", "lignin"];

/// Three parts of the wood as shares of their sum, in a triangle; groups are told by shape and colour.
///
/// Without three values they are cellulose, hemicellulose and lignin; groups are those of `by`, without it those of the taxon.
///
/// # Errors
/// [`ErrorKind::Content`](crate::error::ErrorKind::Content) where no piece has all three, and what
/// [`piece_rows`](crate::study::piece_rows) refuses.
pub fn ternary(assessment: &Assessment, choice: &FigureChoice) -> Result<Figure> {
    let values: Vec<&str> = match choice.value.as_slice() {
        [] => CORNERS.to_vec(),
        [a, b, c] => vec![a, b, c],
        others => {
            let (name, value) = ("number of values of ternary".to_owned(), crate::figure::real(others.len()));
            return Err(Error::new(ErrorKind::Range { name, value, allowed: "three, or none".to_owned() }));
        }
    };
    let wanted = Wanted { kind: "ternary", values, by: &["taxon"] };
    let gathered = Gathered::of(assessment, choice, &wanted)?;
    let all: Vec<usize> = (0..gathered.rows.rows.len()).collect();
    let shown: Vec<usize> = all.iter().copied().filter(|place| shares(gathered.row(*place)).is_some()).collect();
    if shown.is_empty() {
        return Err(missing(assessment, &wanted, &wanted.values.join(", ")));
    }
    let stamps = gathered.stamps(&shown);
    let corners = || gathered.rows.columns.iter().map(|column| format!("{} (%)", capital(&column.title)));
    let names: Vec<String> = corners().collect();
    let names: [String; 3] = std::array::from_fn(|k| names.get(k).cloned().unwrap_or_default());
    let panel = |(title, places): &(Option<String>, Vec<usize>)| {
        let axis = |high: f64| FigureAxis { ticks: Ticks::Nothing, ..FigureAxis::of("", [0.0, high]) };
        Panel {
            title: title.clone(),
            x: axis(1.0),
            y: axis(0.75_f64.sqrt()),
            layers: stamps.all().into_iter().filter_map(|stamp| layer(&gathered, places, &stamps, stamp)).collect(),
            frame: Frame::Triangle(names.clone()),
            height: 1.0,
        }
    };
    let legend: Vec<Key> = stamps.keys(KeyMark::Point);
    let [left, right, top] = [0, 1, 2].map(|k| gathered.rows.columns[k].title.clone());
    let caption = joined([
        &format!("{}, {right} and {top} as shares of their sum.", capital(&left)),
        &format!(
            "The share of {left} is read along the base, growing to the left, that of {right} along the right side, growing \
         downwards, that of {top} along the left side, growing upwards."
        ),
        &gathered.counts(&shown),
        &stamps.sentence(),
        &Bars::Absent.sentence(),
        &left_out(&[(all.len() - shown.len(), "of which one of the three is unknown")]),
        squares(legend.iter().map(|key| key.name.as_str())),
    ]);
    Ok(Figure {
        name: wanted.kind.to_owned(),
        title: format!("{}, {right} and {top}", capital(&left)),
        caption,
        alternative: format!("Triangle of three shares with {}.", super::caption::counted(shown.len(), "point")),
        bars: Bars::Absent,
        panels: gathered.panels.iter().map(panel).collect(),
        columns: 2,
        legend,
        woods: Woods::Legend.only_if(gathered.has_wood_names(choice)),
        data: data(&gathered, &shown),
    }
    .recounted())
}

/// Three shares of their sum.
fn shares(row: &PieceRow) -> Option<[f64; 3]> {
    let parts = [row.values[0]?.value, row.values[1]?.value, row.values[2]?.value];
    let whole: f64 = parts.iter().sum();
    (whole > 0.0 && parts.iter().all(|part| *part >= 0.0)).then(|| parts.map(|part| part / whole))
}

fn layer(gathered: &Gathered, places: &[usize], stamps: &Stamps, stamp: Stamp) -> Option<Layer> {
    let of_stamp = places.iter().filter(|place| stamps.of(gathered.group(**place)) == stamp);
    let spots: Vec<[f64; 3]> = of_stamp.filter_map(|place| shares(gathered.row(*place))).collect();
    let layer = || Layer::Points {
        stamp,
        x: spots.iter().map(|[_, right, top]| right + top / 2.0).collect(),
        y: spots.iter().map(|[_, _, top]| top * 0.75_f64.sqrt()).collect(),
        x_bars: vec![None; spots.len()],
        y_bars: vec![None; spots.len()],
    };
    (!spots.is_empty()).then(layer)
}

fn data(gathered: &Gathered, shown: &[usize]) -> FigureData {
    let mut columns = vec!["sample".to_owned(), "timber".to_owned(), "group".to_owned()];
    columns.extend(gathered.rows.columns.iter().map(|column| format!("{} [{}]", column.name, column.unit)));
    columns.extend(gathered.rows.columns.iter().map(|column| format!("share of {} [1]", column.name)));
    let row = |place: &usize| {
        let row = gathered.row(*place);
        let mut cells = vec![
            Datum::text(row.sample.as_deref()),
            Datum::text(row.timber.as_deref()),
            Datum::text(Some(gathered.group(*place))),
        ];
        cells.extend(row.values.iter().map(|value| Datum::number(value.map(|value| value.value))));
        cells.extend(shares(row).into_iter().flatten().map(Datum::number));
        cells
    };
    FigureData { columns, rows: shown.iter().map(row).collect() }
}
