//! `lift-margin`: how much of its strength each way of support takes, timber by timber.

use crate::error::Result;
use crate::figure::markup::axis_title;
use crate::figure::{
    At, Bars, Datum, Figure, FigureAxis, FigureChoice, FigureData, Frame, Key, KeyMark, Layer, Panel, Stamp, Woods,
    real,
};
use crate::study::{LiftNumber, Lifts, SupportLift, TimberLift};

use super::caption::{counted, joined, squares, without_bars};
use super::lift_surfacing::{first, of_batch};

/// Timbers that are named; more have no room.
const NAMED: usize = 30;

/// Stress over strength, the turned margin, in the order of danger: at 1 the timber breaks or is dented.
///
/// Turned, since a margin has no upper end and everything above some tens looks alike.
///
/// # Errors
/// [`ErrorKind::Content`](crate::error::ErrorKind::Content) where no timber has a margin.
pub fn lift_margin(lifts: &Lifts, _choice: &FigureChoice) -> Result<Figure> {
    let has_margin = |lift: &TimberLift| lift.supports.iter().any(is_shown);
    first(lifts, "lift-margin", has_margin)?;
    let shown: Vec<&TimberLift> = lifts.lifts.iter().filter(|lift| has_margin(lift)).take(NAMED).collect();
    let ways: Vec<&SupportLift> = first(lifts, "lift-margin", has_margin)?.supports.iter().collect();
    let ways: Vec<&SupportLift> =
        ways.into_iter().filter(|way| shown.iter().any(|lift| of(lift, way).is_some())).collect();
    let mut layers = vec![Layer::Rule { stamp: Stamp::Quiet, at: At::X(1.0) }];
    let mut bars = Vec::new();
    for (series, way) in ways.iter().enumerate() {
        let (mut x, mut y, mut x_bars) = (Vec::new(), Vec::new(), Vec::new());
        for (row, lift) in shown.iter().enumerate() {
            let Some(margin) = of(lift, way) else { continue };
            x.push(1.0 / margin.value);
            // Ways stand a little above each other, so that none hides another one.
            y.push(real(row) + 0.5 * ((real(series) + 0.5) / real(ways.len()) - 0.5));
            x_bars.push(margin.interval.filter(|[low, _]| *low > 0.0).map(|[low, high]| [1.0 / high, 1.0 / low]));
        }
        bars.extend(x_bars.iter().copied());
        let y_bars = vec![None; x.len()];
        layers.push(Layer::Points { stamp: Stamp::Series(series), x, y, x_bars, y_bars });
    }
    let meaning = if bars.iter().any(Option::is_some) { Bars::Interval(lifts.settings.coverage) } else { Bars::Absent };
    let names = shown.iter().map(|lift| lift.timber.clone()).collect();
    let mut panel = Panel {
        title: None,
        x: FigureAxis::of(axis_title("stress over strength", "1"), [0.0, 1.2]),
        y: FigureAxis::of_names(names, Vec::new(), ""),
        layers,
        frame: Frame::Axes,
        height: 1.0 + real(shown.len()) / 30.0,
    };
    if let Some(required) = lifts.handling.required_margin.filter(|required| *required > 1.0) {
        panel.layers.insert(0, Layer::Rule { stamp: Stamp::Quiet, at: At::X(1.0 / required) });
    }
    let required = lifts.handling.required_margin.map_or_else(
        || "No required margin is stated.".to_owned(),
        |required| format!("Upright lines: at the required margin of {required}, and where strength ends."),
    );
    let unknown = lifts.lifts.len() - lifts.lifts.iter().filter(|lift| has_margin(lift)).count();
    let unknown = if unknown > 0 {
        format!("{} without any margin not shown.", counted(unknown, "timber"))
    } else {
        String::new()
    };
    let key = |(series, way): (usize, &&SupportLift)| Key {
        name: way.title.clone(),
        mark: KeyMark::Point(Stamp::Series(series)),
    };
    let title = "Stress over strength by way of support".to_owned();
    let caption = joined([
        "Stress over strength by way of support, the turned margin, in the order of danger; checks whose strength is unknown are \
         not in it.",
        &required,
        &meaning.sentence(),
        &without_bars(&bars),
        &of_batch(lifts, shown.len(), "the most dangerous"),
        &unknown,
        "No factor of safety has been published for waterlogged timber. A screening estimate, no lifting plan.",
        squares(shown.iter().map(|lift| lift.timber.as_str())),
    ]);
    Ok(Figure {
        name: "lift-margin".to_owned(),
        alternative: format!(
            "Points of {} in {}; 1 is where strength ends.",
            counted(shown.len(), "timber"),
            if ways.len() == 1 { "one way of support".to_owned() } else { format!("{} ways of support", ways.len()) }
        ),
        title,
        caption,
        bars: meaning,
        panels: vec![panel],
        columns: 1,
        legend: ways.iter().enumerate().map(key).collect(),
        woods: Woods::Nowhere,
        data: data(lifts),
    }
    .recounted())
}

/// Ways with slings that have a margin.
fn is_shown(support: &SupportLift) -> bool {
    support.verdict != "full_length" && support.margin.as_ref().is_some_and(|margin| margin.value > 0.0)
}

fn of<'a>(lift: &'a TimberLift, way: &SupportLift) -> Option<&'a LiftNumber> {
    let same = lift.supports.iter().find(|support| support.support == way.support && is_shown(support));
    same.and_then(|support| support.margin.as_ref())
}

fn data(lifts: &Lifts) -> FigureData {
    let columns = ["timber", "support", "margin", "u(margin)", "margin from", "margin to", "verdict"];
    let row = |lift: &TimberLift, support: &SupportLift| {
        let margin = support.margin.as_ref();
        let ends = margin.and_then(|margin| margin.interval);
        vec![
            Datum::text(Some(&lift.timber)),
            Datum::text(Some(&support.support)),
            Datum::number(margin.map(|margin| margin.value)),
            Datum::number(margin.and_then(|margin| margin.u)),
            Datum::number(ends.map(|ends| ends[0])),
            Datum::number(ends.map(|ends| ends[1])),
            Datum::text(Some(support.verdict)),
        ]
    };
    let rows = lifts.lifts.iter().flat_map(|lift| lift.supports.iter().map(|support| row(lift, support))).collect();
    FigureData { columns: columns.map(str::to_owned).to_vec(), rows }
}
