//! `series`: a number against time, from the log or from the dates of samples.

use std::collections::BTreeMap;

use crate::error::{Error, ErrorKind, Place, Result, near};
use crate::figure::markup::axis_title;
use crate::figure::{
    Bars, Datum, Figure, FigureAxis, FigureChoice, FigureData, Frame, Key, KeyMark, Layer, Panel, Stamp, Ticks, Woods,
};
use crate::study::Assessment;
use crate::table::{NameKind, Names, Table, TableKind, day_of};

use super::caption::{capital, counted, joined, squares};

/// Lines that are told apart; more are drawn alike.
const MOST_SERIES: usize = 8;

/// A reading: its line, its day, its number.
struct Reading {
    of: String,
    day: f64,
    date: String,
    value: f64,
}

/// Numbers of the log against time, a line for each tank or timber and a panel for each number.
///
/// Without values they are the first three columns of the log that hold numbers; `by` names the column that makes lines,
/// without it the tank, or the timber where no tank is named. Where there is no log, columns of the samples that are named, against `date_sampled`, a line a timber.
///
/// # Errors
/// [`ErrorKind::Content`] where nothing has a date and a number, and
/// [`ErrorKind::Name`] for a column that does not exist.
pub fn series(assessment: &Assessment, choice: &FigureChoice) -> Result<Figure> {
    let batch = &assessment.batch;
    let (table, date) = match &batch.log {
        Some(log) => (log, "date"),
        None => (&batch.samples, "date_sampled"),
    };
    let values = values(table, choice)?;
    let readings: Vec<(String, Vec<Reading>, usize)> =
        values.iter().map(|name| of_column(table, name, date, choice)).collect::<Result<_>>()?;
    let days = || readings.iter().flat_map(|(_, readings, _)| readings.iter().map(|reading| reading.day));
    if days().next().is_none() {
        let found: Vec<&str> =
            table.columns().iter().map(|column| column.name.as_str()).filter(|name| !name.is_empty()).collect();
        let text = format!(
            "series needs a log with date and numbers, or {date} in the samples and --value with a column of numbers; found: {}",
            found.join(", ")
        );
        let place =
            Place { file: table.origin().file.clone(), sheet: table.origin().sheet.clone(), ..Place::default() };
        return Err(Error::content(place, text));
    }
    let x = FigureAxis::room(days(), false);
    let mut lines: Vec<&str> =
        readings.iter().flat_map(|(_, readings, _)| readings.iter().map(|reading| reading.of.as_str())).collect();
    lines.sort_unstable();
    lines.dedup();
    let stamp = |of: &str| match lines.iter().position(|line| *line == of) {
        Some(place) if lines.len() <= MOST_SERIES || place + 1 < MOST_SERIES => Stamp::Series(place),
        _ => Stamp::Others,
    };
    let panel = |(name, readings, _): &(String, Vec<Reading>, usize)| {
        let mut by_line: BTreeMap<&str, Vec<&Reading>> = BTreeMap::new();
        readings.iter().for_each(|reading| by_line.entry(&reading.of).or_default().push(reading));
        let mut layers = Vec::new();
        for (line, mut readings) in by_line {
            readings.sort_by(|a, b| a.day.total_cmp(&b.day));
            let (x, y): (Vec<f64>, Vec<f64>) = readings.iter().map(|reading| (reading.day, reading.value)).unzip();
            layers.push(Layer::Line { stamp: stamp(line), x: x.clone(), y: y.clone() });
            layers.push(Layer::Points {
                stamp: stamp(line),
                x_bars: vec![None; x.len()],
                y_bars: vec![None; x.len()],
                x,
                y,
            });
        }
        let numbers = readings.iter().map(|reading| reading.value);
        let (title, unit) = told(table, name);
        Panel {
            title: None,
            x: FigureAxis { ticks: Ticks::Days, ..FigureAxis::of("Date", x) },
            y: FigureAxis::of(axis_title(&title, &unit), FigureAxis::room(numbers, false)),
            layers,
            frame: Frame::Axes,
            height: if values.len() > 1 { 0.62 } else { 1.0 },
        }
    };
    let shown = lines.len().min(if lines.len() > MOST_SERIES { MOST_SERIES - 1 } else { MOST_SERIES });
    let mut legend: Vec<Key> =
        lines[..shown].iter().map(|line| Key { name: (*line).to_owned(), mark: KeyMark::Both(stamp(line)) }).collect();
    if lines.len() > shown {
        legend.push(Key { name: format!("{} others", lines.len() - shown), mark: KeyMark::Both(Stamp::Others) });
    }
    if lines.len() == 1 {
        legend.clear();
    }
    let titles: Vec<String> = values.iter().map(|name| told(table, name).0).collect();
    let n: usize = readings.iter().map(|(_, readings, _)| readings.len()).sum();
    let without: usize = readings.iter().map(|(.., without)| without).sum();
    let title = format!("{} against time", capital(&titles.join(", ")));
    let caption = joined([
        &format!("{title}."),
        &format!("n = {} of {}.", counted(n, "reading"), counted(lines.len(), "line")),
        "Lines join readings; nothing was measured between them.",
        &Bars::Absent.sentence(),
        &if without > 0 {
            format!("Not shown: {} without a date.", counted(without, "reading"))
        } else {
            String::new()
        },
        squares(lines.iter().copied()),
    ]);
    let data = data(&readings, table);
    Ok(Figure {
        name: "series".to_owned(),
        alternative: format!(
            "{} over time: {}, {}.",
            capital(&titles.join(", ")),
            counted(lines.len(), "line"),
            counted(n, "reading")
        ),
        title,
        caption,
        bars: Bars::Absent,
        panels: readings.iter().map(panel).collect(),
        columns: 1,
        legend,
        woods: Woods::Nowhere,
        data,
    }
    .recounted())
}

fn values(table: &Table, choice: &FigureChoice) -> Result<Vec<String>> {
    const USUAL: usize = 3;
    let has =
        |name: &str| table.numbers(name).is_some_and(|numbers| numbers.values().iter().any(|value| value.is_finite()));
    let named: Vec<&str> = table.columns().iter().map(|column| column.name.as_str()).filter(|name| has(name)).collect();
    if choice.value.is_empty() && table.kind() == TableKind::Log {
        return Ok(named.into_iter().take(USUAL).map(str::to_owned).collect());
    }
    let one = |asked: &String| match named.iter().find(|name| *name == asked) {
        Some(name) => Ok((*name).to_owned()),
        None => {
            let nearest = near(asked, named.iter().copied());
            let allowed = if nearest.is_empty() { named.clone() } else { nearest };
            let allowed = allowed.into_iter().map(str::to_owned).collect();
            Err(Error::new(ErrorKind::Name { what: "column of numbers with a date", found: asked.clone(), allowed }))
        }
    };
    choice.value.iter().map(one).collect()
}

/// The readings of a column, and how many have no date.
fn of_column(table: &Table, name: &str, date: &str, choice: &FigureChoice) -> Result<(String, Vec<Reading>, usize)> {
    let by: Vec<&str> = match (choice.by.is_empty(), table.kind()) {
        (false, _) => choice.by.iter().map(String::as_str).collect(),
        (true, TableKind::Log) => vec!["tank", "timber"],
        (true, _) => vec!["timber"],
    };
    for asked in &choice.by {
        if table.texts(asked).is_none() {
            let allowed =
                table.columns().iter().map(|column| column.name.clone()).filter(|name| table.texts(name).is_some());
            return Err(Error::new(ErrorKind::Name {
                what: "column",
                found: asked.clone(),
                allowed: allowed.collect(),
            }));
        }
    }
    let (mut readings, mut without) = (Vec::new(), 0);
    for row in 0..table.n_rows() {
        let Some(value) = table.number(name, row) else { continue };
        let Some((date, day)) = table.text(date, row).and_then(|date| Some((date.to_owned(), day_of(date)?))) else {
            without += 1;
            continue;
        };
        let words: Vec<&str> = by.iter().filter_map(|column| table.text(column, row)).collect();
        let of = if words.is_empty() { "unknown".to_owned() } else { words.join(", ") };
        readings.push(Reading { of, day, date, value });
    }
    Ok((name.to_owned(), readings, without))
}

/// What a column is called, and its unit.
fn told(table: &Table, name: &str) -> (String, String) {
    let unit = match Names::of_table(table).kind(name) {
        Ok((_, NameKind::Number { unit })) => unit,
        _ => "",
    };
    (name.replace('_', " "), unit.to_owned())
}

fn data(readings: &[(String, Vec<Reading>, usize)], table: &Table) -> FigureData {
    let columns = ["date", "line", "quantity", "unit", "value"].map(str::to_owned).to_vec();
    let mut rows = Vec::new();
    for (name, readings, _) in readings {
        let unit = told(table, name).1;
        for reading in readings {
            rows.push(vec![
                Datum::text(Some(&reading.date)),
                Datum::text(Some(&reading.of)),
                Datum::text(Some(name)),
                Datum::text(Some(&unit)),
                Datum::number(reading.value),
            ]);
        }
    }
    FigureData { columns, rows }
}
