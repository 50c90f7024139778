//! `lift-surfacing`: the weight of timbers while they break the surface.

use crate::error::{Error, Place, Result};
use crate::figure::markup::axis_title;
use crate::figure::{
    Bars, Datum, Figure, FigureAxis, FigureChoice, FigureData, Frame, Key, KeyMark, Layer, Panel, Stamp, Woods,
};
use crate::study::{Lifts, TimberLift};

use super::caption::{counted, joined, squares};

/// Timbers that have a line of their own: more hide each other, and their dashes look alike in a short key.
const LINES: usize = 4;

/// Weight against the share that is out of the water, a line a timber: the heaviest ones of a batch.
///
/// # Errors
/// [`ErrorKind::Content`](crate::error::ErrorKind::Content) where no timber has sizes and a density.
pub fn lift_surfacing(lifts: &Lifts, _choice: &FigureChoice) -> Result<Figure> {
    first(lifts, "lift-surfacing", |lift| !lift.surfacing.is_empty())?;
    let mut heavy: Vec<&TimberLift> = lifts.lifts.iter().collect();
    heavy.sort_by(|a, b| b.mass_in_air.value.total_cmp(&a.mass_in_air.value).then_with(|| a.timber.cmp(&b.timber)));
    heavy.truncate(LINES);
    let masses = heavy.iter().flat_map(|lift| lift.surfacing.iter().map(|step| step.mass));
    let y = FigureAxis::room(masses, true);
    let line = |(series, lift): (usize, &&TimberLift)| Layer::Line {
        stamp: Stamp::Series(series),
        x: lift.surfacing.iter().map(|step| 100.0 * step.share_out).collect(),
        y: lift.surfacing.iter().map(|step| step.mass).collect(),
    };
    let panel = Panel {
        title: None,
        x: FigureAxis::of(axis_title("share of the timber out of the water", "%"), [0.0, 100.0]),
        y: FigureAxis::of(axis_title("weight that hangs", "kg"), y),
        layers: heavy.iter().enumerate().map(line).collect(),
        frame: Frame::Axes,
        height: 1.0,
    };
    let key = |(series, lift): (usize, &&TimberLift)| Key {
        name: match &lift.growth {
            Some(growth) => format!("{}, {:.1} times", lift.timber, growth.value),
            None => format!("{}, floats", lift.timber),
        },
        mark: KeyMark::Line(Stamp::Series(series), false),
    };
    let title = "Weight while a timber breaks the surface".to_owned();
    let caption = joined([
        "Weight while a timber breaks the surface: the moment of danger. Beside each name, how many times heavier it is in the air \
         than under water.",
        &of_batch(lifts, heavy.len(), "the heaviest"),
        &Bars::Absent.sentence(),
        "Without jerks. A screening estimate, no lifting plan.",
        squares(heavy.iter().map(|lift| lift.timber.as_str())),
    ]);
    let alternative = heavy.first().map_or_else(String::new, |lift| {
        format!(
            "{} rising lines; {} goes from {:.0} kg under water to {:.0} kg in the air.",
            heavy.len(),
            lift.timber,
            lift.mass_submerged.value,
            lift.mass_in_air.value
        )
    });
    Ok(Figure {
        name: "lift-surfacing".to_owned(),
        title,
        caption,
        alternative,
        bars: Bars::Absent,
        panels: vec![panel],
        columns: 1,
        legend: heavy.iter().enumerate().map(key).collect(),
        woods: Woods::Nowhere,
        data: data(lifts),
    }
    .recounted())
}

fn data(lifts: &Lifts) -> FigureData {
    let columns = ["timber", "share_out", "mass [kg]", "weight [N]"].map(str::to_owned).to_vec();
    let row = |lift: &TimberLift, step: &crate::study::SurfacingStep| {
        let mut row = vec![Datum::text(Some(&lift.timber))];
        row.extend([step.share_out, step.mass, step.weight].map(|number| Datum::number(Some(number))));
        row
    };
    let rows = lifts.lifts.iter().flat_map(|lift| lift.surfacing.iter().map(|step| row(lift, step))).collect();
    FigureData { columns, rows }
}

/// The first timber that can be shown, or an error that says what is missing.
pub(super) fn first<'a>(lifts: &'a Lifts, kind: &str, can: impl Fn(&TimberLift) -> bool) -> Result<&'a TimberLift> {
    if let Some(lift) = lifts.lifts.iter().find(|lift| can(lift)) {
        return Ok(lift);
    }
    let why = match lifts.without.first() {
        Some(left) => format!("; {}: {}", left.timber, left.reason),
        None => String::new(),
    };
    let file = lifts.source.first().map(|source| source.file.clone()).unwrap_or_default();
    let text = format!("{kind} needs a timber with sizes and a basic density{why}");
    Err(Error::content(Place { file, ..Place::default() }, text)
        .with_hint("which columns lead to it: woodstate figure --list"))
}

/// How many timbers are shown, of how many, as sentences.
pub(super) fn of_batch(lifts: &Lifts, shown: usize, which: &str) -> String {
    let n = lifts.lifts.len();
    let without = match lifts.without.len() {
        0 => String::new(),
        n => format!(" {} not assessed.", counted(n, "timber")),
    };
    let rest = if shown < n { format!(", {which} of {n}; choose others with --where") } else { String::new() };
    format!("n = {}{rest}.{without}", counted(shown, "timber"))
}
