//! `class-probability`: the probability of each class, piece by piece.

use crate::error::Result;
use crate::figure::{
    Bars, Datum, Figure, FigureAxis, FigureChoice, FigureData, Frame, Key, KeyMark, Layer, Panel, Ticks, Woods, real,
};
use crate::site::ClassStanding;
use crate::study::{Assessment, PieceRow};

use super::caption::{joined, left_out, squares};
use super::class_shares::paint;
use super::gather::{Gathered, Wanted, missing};

/// Pieces that are named; more are drawn without names.
const NAMED: usize = 45;

/// The probability of each class of every piece inside the scope of the scheme, the most degraded piece first.
///
/// # Errors
/// [`ErrorKind::Content`](crate::error::ErrorKind::Content) where no piece has probabilities, and what
/// [`piece_rows`](crate::study::piece_rows) refuses.
pub fn class_probability(assessment: &Assessment, choice: &FigureChoice) -> Result<Figure> {
    let wanted = Wanted { kind: "class-probability", values: vec!["max_water_content"], by: &[] };
    let choice = FigureChoice { by: Vec::new(), panels: None, ..choice.clone() };
    let gathered = Gathered::of(assessment, &choice, &wanted)?;
    let is_read = |row: &PieceRow| matches!(row.class, ClassStanding::Decided(_) | ClassStanding::NotDecided);
    let shares = |place: &usize| gathered.row(*place).class_shares.as_ref().filter(|_| is_read(gathered.row(*place)));
    let all: Vec<usize> = (0..gathered.rows.rows.len()).collect();
    let mut shown: Vec<usize> = all.iter().copied().filter(|place| shares(place).is_some()).collect();
    if shown.is_empty() {
        let what = "a taxon inside the scope of the scheme, and a water content with its uncertainty";
        return Err(missing(assessment, &wanted, what));
    }
    let worst = |place: &usize| -> f64 {
        let each = shares(place).into_iter().flatten().enumerate();
        each.map(|(class, share)| share * real(class)).sum()
    };
    shown.sort_by(|a, b| worst(a).total_cmp(&worst(b)).then(a.cmp(b)));
    let names: Vec<String> =
        shown.iter().map(|place| gathered.row(*place).sample.clone().unwrap_or_else(|| "unnamed".to_owned())).collect();
    let n_classes = gathered.rows.classes.len();
    let mut y = FigureAxis::of_names(names.clone(), Vec::new(), "");
    let is_named = shown.len() <= NAMED;
    if !is_named {
        y.ticks = Ticks::Nothing;
        y.title = "Pieces, the most degraded at the top".to_owned();
    }
    let layers = if is_named { fields(&shown, n_classes, &shares) } else { bands(&shown, n_classes, &shares) };
    let class = |(place, label): (usize, &String)| Key {
        name: format!("class {label}"),
        mark: KeyMark::Field(paint(place, n_classes)),
    };
    let undecided = shown.iter().filter(|place| gathered.row(**place).class == ClassStanding::NotDecided).count();
    let settings = &assessment.settings;
    let caption = joined([
        &format!(
            "Probability of each degradation class, piece by piece, from the most to the least degraded; scheme {}: {}.",
            settings.scheme_title, settings.scheme_limits
        ),
        &gathered.counts(&shown),
        &format!(
            "{undecided} of them are not decided at a probability of {} %.",
            crate::figure::spec::percent(settings.decided_at)
        ),
        &Bars::Absent.sentence(),
        &left_out(&[(all.len() - shown.len(), "outside the scope of the scheme or without a class reading")]),
        squares(names.iter().filter(|_| is_named).map(String::as_str)),
    ]);
    Ok(Figure {
        name: wanted.kind.to_owned(),
        title: "Probability of each degradation class".to_owned(),
        caption,
        alternative: format!(
            "Stacked probabilities of {n_classes} classes for {}, of which {undecided} are not decided.",
            super::caption::counted(shown.len(), "piece")
        ),
        bars: Bars::Absent,
        panels: vec![Panel {
            title: None,
            x: FigureAxis::of("Probability of the class (%)", [0.0, 100.0]),
            y,
            layers,
            frame: Frame::Axes,
            height: if is_named { 1.0 } else { 1.2 },
        }],
        columns: 1,
        legend: gathered.rows.classes.iter().enumerate().map(class).collect(),
        woods: Woods::Nowhere,
        data: data(&gathered, &shown, &shares),
    })
}

/// Shares of a piece, summed up from the worst class.
fn ends(shares: &[f64], class: usize) -> [f64; 2] {
    let up_to = |n: usize| 100.0 * shares[..n].iter().sum::<f64>();
    [up_to(class), up_to(class + 1)]
}

fn fields<'a>(shown: &[usize], n: usize, shares: &dyn Fn(&usize) -> Option<&'a Vec<f64>>) -> Vec<Layer> {
    let mut layers = Vec::new();
    for (row, place) in shown.iter().enumerate() {
        let Some(shares) = shares(place) else { continue };
        for class in 0..n {
            let span = ends(shares, class);
            // A share that would not be seen is not drawn.
            if span[1] - span[0] > 0.05 {
                let label = Some(format!("{:.0}", span[1] - span[0])).filter(|_| span[1] - span[0] < 99.5);
                layers.push(Layer::Field { paint: paint(class, n), at: real(row), span, label });
            }
        }
    }
    layers
}

fn bands<'a>(shown: &[usize], n: usize, shares: &dyn Fn(&usize) -> Option<&'a Vec<f64>>) -> Vec<Layer> {
    let band = |class: usize| {
        let (mut y, mut low, mut high) = (Vec::new(), Vec::new(), Vec::new());
        for (row, place) in shown.iter().enumerate() {
            let [from, to] = shares(place).map_or([0.0, 0.0], |shares| ends(shares, class));
            y.extend([real(row) - 0.5, real(row) + 0.5]);
            low.extend([from, from]);
            high.extend([to, to]);
        }
        Layer::SideBand { paint: paint(class, n), y, low, high }
    };
    (0..n).map(band).collect()
}

fn data<'a>(gathered: &Gathered, shown: &[usize], shares: &dyn Fn(&usize) -> Option<&'a Vec<f64>>) -> FigureData {
    let mut columns = vec!["sample".to_owned(), "timber".to_owned(), "decided".to_owned()];
    columns.extend(gathered.rows.classes.iter().map(|label| format!("probability of class {label} [1]")));
    let row = |place: &usize| {
        let row = gathered.row(*place);
        let decided = if row.class == ClassStanding::NotDecided { "no" } else { "yes" };
        let mut cells =
            vec![Datum::text(row.sample.as_deref()), Datum::text(row.timber.as_deref()), Datum::text(Some(decided))];
        cells.extend(shares(place).into_iter().flatten().map(|share| Datum::number(*share)));
        cells
    };
    FigureData { columns, rows: shown.iter().map(row).collect() }
}
