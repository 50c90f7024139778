//! `uptake-course`: what timbers gained in a bath, with the fitted course, and how near they are to it.

use crate::error::{Error, Place, Result};
use crate::figure::markup::axis_title;
use crate::figure::{
    At, Bars, Datum, Figure, FigureAxis, FigureChoice, FigureData, Frame, Key, KeyMark, Layer, Paint, Panel, Stamp,
    Ticks, Woods,
};
use crate::study::{CourseDay, CourseMoment, Following, TimberCourse};
use crate::table::day_of;

use super::caption::{counted, joined, squares};

/// Timbers that are drawn: those with the most weighings.
const MOST: usize = 5;
/// Bands over each other at most.
const MOST_BANDS: usize = 2;

/// What timbers gained as a share of their first mass, the fitted course with its band, and below it the average and the centre
/// as shares of the last bath, with the target and the day of the forecast.
///
/// # Errors
/// [`ErrorKind::Content`](crate::error::ErrorKind::Content) where no timber was weighed.
pub fn uptake_course(following: &Following, _choice: &FigureChoice) -> Result<Figure> {
    let mut order: Vec<&TimberCourse> = following.timbers.iter().filter(|timber| timber.weighings.len() > 1).collect();
    // Timbers with a course come first; a stable sort keeps the order of the log.
    order.sort_by_key(|timber| (timber.curve.is_empty(), std::cmp::Reverse(timber.weighings.len())));
    let n_all = order.len();
    let mut shown: Vec<&TimberCourse> = order.into_iter().take(MOST).collect();
    shown.sort_by_key(|timber| following.timbers.iter().position(|other| other.timber == timber.timber));
    if shown.is_empty() {
        return Err(nothing(
            following,
            "uptake-course",
            "a log with date, timber and mass_drained, two weighings a timber",
        ));
    }
    let days = || {
        let weighed = shown.iter().flat_map(|timber| timber.weighings.iter().map(|weighing| weighing.day));
        weighed.chain(shown.iter().flat_map(|timber| timber.curve.iter().map(|moment| moment.day)))
    };
    let x = FigureAxis { ticks: Ticks::Days, ..FigureAxis::of("Date", FigureAxis::room(days(), false)) };
    let has_courses = shown.iter().any(|timber| !timber.curve.is_empty());
    let mut panels = vec![masses(&shown, &x)];
    if has_courses {
        let target = following.asked.target;
        panels.push(shares("average", &shown, &x, target, |moment| moment.average, |timber| &timber.average_target));
        panels.push(shares("centre", &shown, &x, target, |moment| moment.centre, |timber| &timber.centre_target));
    }
    let mut legend: Vec<Key> = shown
        .iter()
        .enumerate()
        .map(|(place, timber)| Key { name: timber.timber.clone(), mark: KeyMark::Both(Stamp::Series(place)) })
        .collect();
    if shown.len() == 1 {
        legend.clear();
    }
    let weighed: usize = shown.iter().map(|timber| timber.weighings.len()).sum();
    let title = "Uptake of timbers in their bath".to_owned();
    let names: Vec<&str> = shown.iter().map(|timber| timber.timber.as_str()).collect();
    let left = if n_all > shown.len() {
        format!("Not shown: {} with fewer weighings.", counted(n_all - shown.len(), "timber"))
    } else {
        String::new()
    };
    let is_later = |found: &Option<CourseDay>| {
        found.as_ref().and_then(|found| found.day.as_deref()).and_then(day_of).is_some_and(|day| !x.holds(day))
    };
    let n_later = shown.iter().flat_map(|timber| [&timber.average_target, &timber.centre_target]);
    let n_later = n_later.filter(|found| is_later(found)).count();
    let later = match n_later {
        0 => String::new(),
        n => format!("{} behind the end of the axis: the numbers have them.", counted(n, "day")),
    };
    // Without a course there is no forecast that has an interval.
    let bars = if has_courses { Bars::Interval(following.settings.coverage) } else { Bars::Absent };
    let has_bands = has_courses && shown.len() <= MOST_BANDS;
    let caption = joined([
        format!("{title}.").as_str(),
        &format!("n = {} of {} ({}).", counted(weighed, "weighing"), counted(shown.len(), "timber"), names.join(", ")),
        if has_courses {
            "Lines: the course with one diffusivity a timber, by all weighings or as stated."
        } else {
            ""
        },
        if has_bands { "Bands: courses by the ends of the interval of the diffusivity." } else { "" },
        if has_courses {
            "Below: mean concentration in the wood, and that in its centre, as shares of that of the last bath; marks on the \
             level line: when the target is foretold. Diffusion knows no collapse."
        } else {
            "No course could be fitted."
        },
        &later,
        &left,
        &bars.sentence(),
        squares(names.iter().copied()),
    ]);
    Ok(Figure {
        name: "uptake-course".to_owned(),
        alternative: format!("{} over time: {}.", counted(shown.len(), "timber"), counted(weighed, "weighing")),
        title,
        caption,
        bars,
        panels,
        columns: 1,
        legend,
        woods: Woods::Nowhere,
        data: data(&shown),
    }
    .recounted())
}

/// The error where a log has nothing for a kind.
pub(super) fn nothing(following: &Following, kind: &str, needs: &str) -> Error {
    let file = following.source.iter().find(|table| table.table == "log").map(|table| table.file.clone());
    let place = Place { file: file.unwrap_or_default(), ..Place::default() };
    Error::content(place, format!("{kind} needs {needs}; found: nothing of that"))
        .with_hint("which columns lead to it: woodstate figure --list")
}

/// What a mass is more than the first one, %.
fn more(timber: &TimberCourse, mass: f64) -> f64 {
    let first = timber.weighings.first().map_or(mass, |weighing| weighing.mass);
    100.0 * (mass - first) / first
}

fn masses(shown: &[&TimberCourse], x: &FigureAxis) -> Panel {
    let mut layers = Vec::new();
    if shown.len() <= MOST_BANDS {
        for (place, timber) in shown.iter().enumerate() {
            let known: Vec<(f64, [f64; 2])> =
                timber.curve.iter().filter_map(|moment| Some((moment.day, moment.band?))).collect();
            if known.len() > 1 {
                layers.push(Layer::Band {
                    paint: Paint::Pale(place),
                    x: known.iter().map(|(day, _)| *day).collect(),
                    low: known.iter().map(|(_, ends)| more(timber, ends[0])).collect(),
                    high: known.iter().map(|(_, ends)| more(timber, ends[1])).collect(),
                });
            }
        }
    }
    for (place, timber) in shown.iter().enumerate() {
        let stamp = Stamp::Series(place);
        let line: Vec<(f64, f64)> =
            timber.curve.iter().filter_map(|moment| Some((moment.day, more(timber, moment.mass?)))).collect();
        if !line.is_empty() {
            let (x, y) = line.into_iter().unzip();
            layers.push(Layer::Line { stamp, x, y });
        }
        let n = timber.weighings.len();
        layers.push(Layer::Points {
            stamp,
            x: timber.weighings.iter().map(|weighing| weighing.day).collect(),
            y: timber.weighings.iter().map(|weighing| more(timber, weighing.mass)).collect(),
            x_bars: vec![None; n],
            y_bars: vec![None; n],
        });
    }
    let values = layers.iter().flat_map(|layer| match layer {
        Layer::Line { y, .. } | Layer::Points { y, .. } => y.clone(),
        _ => Vec::new(),
    });
    let y = FigureAxis::of(axis_title("mass gained", "%"), FigureAxis::room(values, false));
    Panel { title: None, x: x.clone(), y, layers, frame: Frame::Axes, height: 0.8 }
}

fn shares(
    name: &str,
    shown: &[&TimberCourse],
    x: &FigureAxis,
    target: Option<f64>,
    of: fn(&CourseMoment) -> f64,
    when: fn(&TimberCourse) -> &Option<CourseDay>,
) -> Panel {
    let mut layers = Vec::new();
    let level = target.map(|target| 100.0 * target);
    layers.extend(level.map(|level| Layer::Rule { stamp: Stamp::Quiet, at: At::Y(level) }));
    for (place, timber) in shown.iter().enumerate().filter(|(_, timber)| !timber.curve.is_empty()) {
        layers.push(Layer::Line {
            stamp: Stamp::Series(place),
            x: timber.curve.iter().map(|moment| moment.day).collect(),
            y: timber.curve.iter().map(of).collect(),
        });
        let found = when(timber).as_ref();
        let on = |day: &Option<String>| day.as_deref().and_then(day_of);
        if let (Some(day), Some(level)) = (found.and_then(|found| on(&found.day)), level) {
            let ends = found.and_then(|found| Some([on(&found.interval[0])?, on(&found.interval[1])?]));
            // A day behind the end of the axis is told in the tables.
            if x.holds(day) {
                layers.push(Layer::Points {
                    stamp: Stamp::Series(place),
                    x: vec![day],
                    y: vec![level],
                    x_bars: vec![ends],
                    y_bars: vec![None],
                });
            }
        }
    }
    let most = shown.iter().flat_map(|timber| timber.curve.iter().map(of)).fold(100.0, f64::max);
    let y = FigureAxis::of(axis_title(&format!("{name}, share of bath"), "%"), [-0.06 * most, 1.06 * most]);
    Panel { title: None, x: x.clone(), y, layers, frame: Frame::Axes, height: 0.55 }
}

fn data(shown: &[&TimberCourse]) -> FigureData {
    let heads = ["timber", "what", "date", "mass [kg]", "low [kg]", "high [kg]", "average [%]", "centre [%]"];
    let mut rows = Vec::new();
    for timber in shown {
        let mut row = |what: &str, date: &str, numbers: [Option<f64>; 5]| {
            let mut cells = vec![Datum::text(Some(&timber.timber)), Datum::text(Some(what)), Datum::text(Some(date))];
            cells.extend(numbers.map(Datum::number));
            rows.push(cells);
        };
        for weighing in &timber.weighings {
            row("weighing", &weighing.date, [Some(weighing.mass), None, None, None, None]);
        }
        for moment in &timber.curve {
            let [low, high] = moment.band.map_or([None; 2], |ends| ends.map(Some));
            let numbers = [moment.mass, low, high, Some(moment.average), Some(moment.centre)];
            row("course", &crate::table::written_day(moment.day), numbers);
        }
        for (what, day) in [("target, average", &timber.average_target), ("target, centre", &timber.centre_target)] {
            if let Some(day) = day.as_ref().and_then(|found| found.day.as_deref()) {
                row(what, day, [None; 5]);
            }
        }
    }
    FigureData { columns: heads.map(str::to_owned).to_vec(), rows }
}
