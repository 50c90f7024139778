//! `washing-curve`: what the water of washing tanks shows, bath after bath.

use crate::error::Result;
use crate::figure::markup::axis_title;
use crate::figure::{
    At, Bars, Datum, Figure, FigureAxis, FigureChoice, FigureData, Frame, Key, KeyMark, Layer, Panel, Stamp, Ticks,
    Woods,
};
use crate::study::{Following, Washing};
use crate::table::{day_of, written_day};

use super::caption::{counted, joined, squares};
use super::uptake_course::nothing;

/// Tanks that are drawn: the first ones of the log.
const MOST: usize = 6;

/// Readings of the water against time, a panel a tank; upright lines mark changes of water, and a curve of one diffusivity runs
/// through all baths where it could be fitted.
///
/// # Errors
/// [`ErrorKind::Content`](crate::error::ErrorKind::Content) where no tank was washed in.
pub fn washing_curve(following: &Following, _choice: &FigureChoice) -> Result<Figure> {
    let all: Vec<(&str, &Washing)> = following
        .tanks
        .iter()
        .filter_map(|tank| Some((tank.tank.as_deref().unwrap_or("tank"), tank.washing.as_ref()?)))
        .collect();
    if all.is_empty() {
        let needs =
            "a log with date, tank, and chloride_in_water or conductivity, without a concentration of impregnant";
        return Err(nothing(following, "washing-curve", needs));
    }
    let shown = all.get(..MOST).unwrap_or(&all);
    let days = shown.iter().flat_map(|(_, washing)| {
        washing.readings.iter().map(|reading| reading.day).chain(washing.curve.iter().map(|moment| moment.day))
    });
    let x = FigureAxis { ticks: Ticks::Days, ..FigureAxis::of("Date", FigureAxis::room(days, false)) };
    let is_several = shown.len() > 1;
    let panels: Vec<Panel> =
        shown.iter().map(|(name, washing)| panel(is_several.then_some(*name), washing, &x)).collect();
    let is_fitted = shown.iter().any(|(_, washing)| !washing.curve.is_empty());
    let is_changed = shown.iter().any(|(_, washing)| washing.baths.len() > 1);
    let mut legend = vec![Key { name: "reading".to_owned(), mark: KeyMark::Point(Stamp::Series(0)) }];
    if is_fitted {
        legend.push(Key { name: "one diffusivity".to_owned(), mark: KeyMark::Line(Stamp::Series(0), false) });
    }
    if is_changed {
        legend.push(Key { name: "change of water".to_owned(), mark: KeyMark::Line(Stamp::Quiet, false) });
    }
    let n: usize = shown.iter().map(|(_, washing)| washing.readings.len()).sum();
    let names: Vec<&str> = shown.iter().map(|(name, _)| *name).collect();
    let title = "Washing of wood, bath after bath".to_owned();
    let left = if all.len() > shown.len() {
        format!("Not shown: {}.", counted(all.len() - shown.len(), "tank"))
    } else {
        String::new()
    };
    let caption = joined([
        format!("{title}.").as_str(),
        &format!("n = {} of {} ({}).", counted(n, "reading"), counted(shown.len(), "tank"), names.join(", ")),
        if is_fitted {
            "Curve: one diffusivity through all baths of a tank; what is left inside the wood at a change is carried on."
        } else {
            "No curve could be fitted."
        },
        &left,
        &Bars::Absent.sentence(),
        squares(names.iter().copied()),
    ]);
    Ok(Figure {
        name: "washing-curve".to_owned(),
        alternative: format!("{} over time: {}.", counted(shown.len(), "tank"), counted(n, "reading")),
        title,
        caption,
        bars: Bars::Absent,
        panels,
        columns: 1,
        legend,
        woods: Woods::Nowhere,
        data: data(shown),
    }
    .recounted())
}

fn panel(title: Option<&str>, washing: &Washing, x: &FigureAxis) -> Panel {
    let mut layers: Vec<Layer> = Vec::new();
    for bath in washing.baths.iter().skip(1) {
        layers.extend(day_of(&bath.begin).map(|day| Layer::Rule { stamp: Stamp::Quiet, at: At::X(day) }));
    }
    for bath in &washing.baths {
        let own: Vec<(f64, f64)> = washing
            .curve
            .iter()
            .filter(|moment| moment.bath == bath.bath)
            .map(|moment| (moment.day, moment.value))
            .collect();
        if !own.is_empty() {
            let (x, y) = own.into_iter().unzip();
            layers.push(Layer::Line { stamp: Stamp::Series(0), x, y });
        }
    }
    let n = washing.readings.len();
    layers.push(Layer::Points {
        stamp: Stamp::Series(0),
        x: washing.readings.iter().map(|reading| reading.day).collect(),
        y: washing.readings.iter().map(|reading| reading.value).collect(),
        x_bars: vec![None; n],
        y_bars: vec![None; n],
    });
    let values =
        washing.readings.iter().map(|reading| reading.value).chain(washing.curve.iter().map(|moment| moment.value));
    let name = washing.column.replace('_', " ");
    let y = FigureAxis::of(axis_title(&name, washing.unit), FigureAxis::room(values, true));
    Panel { title: title.map(str::to_owned), x: x.clone(), y, layers, frame: Frame::Axes, height: 0.62 }
}

fn data(shown: &[(&str, &Washing)]) -> FigureData {
    let heads = ["tank", "what", "bath", "date", "quantity", "unit", "value"];
    let mut rows = Vec::new();
    for (tank, washing) in shown {
        let mut row = |what: &str, bath: usize, date: &str, value: f64| {
            let words = [Some(*tank), Some(what)].map(Datum::text);
            let mut cells = words.to_vec();
            cells.push(Datum::number(crate::figure::real(bath)));
            cells.extend([Some(date), Some(washing.column), Some(washing.unit)].map(Datum::text));
            cells.push(Datum::number(value));
            rows.push(cells);
        };
        for reading in &washing.readings {
            row("reading", reading.bath, &reading.date, reading.value);
        }
        for moment in &washing.curve {
            row("curve", moment.bath, &written_day(moment.day), moment.value);
        }
    }
    FigureData { columns: heads.map(str::to_owned).to_vec(), rows }
}
