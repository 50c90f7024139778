//! `lift-moment`: the bending moment along a timber, by way of support.

use crate::error::Result;
use crate::figure::markup::axis_title;
use crate::figure::{
    At, Bars, Datum, Figure, FigureAxis, FigureChoice, FigureData, Frame, Key, KeyMark, Layer, Panel, Stamp, Woods,
};
use crate::study::{Lifts, SupportLift, TimberLift};

use super::caption::{joined, squares};
use super::lift_surfacing::{first, of_batch};

/// The bending moment along the timber that stands first in the order of danger, a line a way of support.
///
/// # Errors
/// [`ErrorKind::Content`](crate::error::ErrorKind::Content) where no timber has sizes and a density, or none of its ways bends it.
pub fn lift_moment(lifts: &Lifts, _choice: &FigureChoice) -> Result<Figure> {
    let bends = |support: &&SupportLift| support.course.len() > 1;
    let lift = first(lifts, "lift-moment", |lift| lift.supports.iter().any(|support| bends(&support)))?;
    let ways: Vec<&SupportLift> = lift.supports.iter().filter(bends).collect();
    let moments = || ways.iter().flat_map(|way| way.course.iter().map(|step| step.moment));
    let lines = ways.iter().enumerate().map(|(series, way)| Layer::Line {
        stamp: Stamp::Series(series),
        x: way.course.iter().map(|step| step.place).collect(),
        y: way.course.iter().map(|step| step.moment).collect(),
    });
    let mut layers = vec![Layer::Rule { stamp: Stamp::Quiet, at: At::Y(0.0) }];
    layers.extend(lines);
    let panel = Panel {
        title: None,
        x: FigureAxis::of(axis_title("distance from the start", "m"), FigureAxis::room([0.0, lift.length.value], true)),
        y: FigureAxis::of(axis_title("bending moment, sagging up", "N.m"), FigureAxis::room(moments(), false)),
        layers,
        frame: Frame::Axes,
        height: 1.0,
    };
    let key = |(series, way): (usize, &&SupportLift)| Key {
        name: way.title.clone(),
        mark: KeyMark::Line(Stamp::Series(series), false),
    };
    let title = format!("Bending moment along {} in the air, by way of support", lift.timber);
    let caption = joined([
        format!("{title}.").as_str(),
        "Without jerks beyond the stated factor and without uncertainty; in a tray along the full length nothing bends.",
        &of_batch(lifts, 1, "the most dangerous one"),
        &Bars::Absent.sentence(),
        "A screening estimate, no lifting plan.",
        squares([lift.timber.as_str()]),
    ]);
    let worst = ways.iter().max_by(|a, b| largest(a).total_cmp(&largest(b)));
    let alternative = worst.map_or_else(String::new, |worst| {
        format!("{} lines; the largest moment is {:.0} N.m: {}.", ways.len(), largest(worst), worst.title)
    });
    Ok(Figure {
        name: "lift-moment".to_owned(),
        title,
        caption,
        alternative,
        bars: Bars::Absent,
        panels: vec![panel],
        columns: 1,
        legend: ways.iter().enumerate().map(key).collect(),
        woods: Woods::Nowhere,
        data: data(lift, &ways),
    }
    .recounted())
}

fn largest(way: &SupportLift) -> f64 {
    way.course.iter().map(|step| step.moment.abs()).fold(0.0, f64::max)
}

fn data(lift: &TimberLift, ways: &[&SupportLift]) -> FigureData {
    let columns = ["timber", "support", "place [m]", "moment [N.m]", "force [N]"].map(str::to_owned).to_vec();
    let row = |way: &SupportLift, step: &crate::study::MomentStep| {
        let mut row = vec![Datum::text(Some(&lift.timber)), Datum::text(Some(&way.support))];
        row.extend([step.place, step.moment, step.force].map(|number| Datum::number(Some(number))));
        row
    };
    let rows = ways.iter().flat_map(|way| way.course.iter().map(|step| row(way, step))).collect();
    FigureData { columns, rows }
}
