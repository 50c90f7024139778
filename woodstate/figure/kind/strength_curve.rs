//! `strength-curve`: strength against state, curve and bands, and what the curve leaves over.

use crate::error::Result;
use crate::figure::markup::axis_title;
use crate::figure::{
    At, Bars, Datum, Figure, FigureAxis, FigureChoice, FigureData, Frame, Key, KeyMark, Layer, Paint, Panel, Stamp,
    Woods,
};
use crate::quantity::shown_value;
use crate::study::{Curve, CurvePoint, Curves};

use super::caption::{capital, counted, joined, squares, whole_words};

/// Bands over each other at most: more hide everything.
const MOST_BANDS: usize = 5;

/// Pieces, curve, the band of the mean and that of a new piece; below them the residuals. A colour, shape and dash a group.
///
/// The bands of a new piece are drawn where there is one curve; several would hide each other.
///
/// # Errors
/// None: every outcome of a fit can be drawn.
pub fn strength_curve(curves: &Curves, _choice: &FigureChoice) -> Result<Figure> {
    let points = || curves.fits.iter().filter_map(|fit| fit.diagnostics.as_ref()).flat_map(|found| &found.pieces);
    let lines = || curves.fits.iter().flat_map(|fit| &fit.curve);
    let is_one = curves.fits.len() == 1;
    let drawn = |point: &CurvePoint| if is_one { point.prediction.or(point.confidence) } else { point.confidence };
    let ends = lines().filter_map(drawn).flatten();
    let x = FigureAxis::room(points().map(|piece| piece.x).chain(lines().map(|point| point.x)), false);
    let measured: Vec<f64> = points().map(|piece| piece.y).chain(lines().map(|point| point.fit)).collect();
    let top = measured.iter().copied().fold(0.0, f64::max) * 1.35;
    let y = FigureAxis::room(measured.iter().copied().chain(ends.filter(|end| *end < top)), true);
    let y = [y[0].max(0.0), y[1]];
    let residuals = FigureAxis::room(points().map(|piece| piece.residual).chain([0.0]), false);
    let reach = residuals[0].abs().max(residuals[1].abs());
    let axis = |axis: &crate::study::Axis, range| FigureAxis::of(axis_title(&axis.title, &axis.unit), range);
    let fits = || curves.fits.iter().enumerate();
    let mut layers: Vec<Layer> = Vec::new();
    if is_one {
        layers.extend(fits().filter_map(|(_, fit)| band(fit, Paint::PaleGrey, |point| point.prediction)));
    }
    let has_bands = curves.fits.len() <= MOST_BANDS;
    if has_bands {
        layers.extend(fits().filter_map(|(series, fit)| band(fit, Paint::Pale(series), |point| point.confidence)));
    }
    layers.extend(fits().map(|(series, fit)| Layer::Line {
        stamp: Stamp::Series(series),
        x: fit.curve.iter().map(|point| point.x).collect(),
        y: fit.curve.iter().map(|point| point.fit).collect(),
    }));
    layers.extend(fits().filter_map(|(series, fit)| pieces(fit, series, |piece| piece.y)));
    let upper = Panel {
        title: None,
        x: axis(&curves.against, x),
        y: axis(&curves.value, y),
        layers,
        frame: Frame::Axes,
        height: 1.0,
    };
    let mut below = vec![Layer::Rule { stamp: Stamp::Quiet, at: At::Y(0.0) }];
    below.extend(fits().filter_map(|(series, fit)| pieces(fit, series, |piece| piece.residual)));
    let has_residuals = below.len() > 1;
    let lower = Panel {
        y: FigureAxis::of(axis_title("residual", &curves.value.unit), [-reach, reach]),
        layers: below,
        height: 0.36,
        ..upper.clone()
    };
    let [value, against] = [&curves.value, &curves.against].map(|axis| whole_words(&axis.title));
    let title = format!("{} against {against}", capital(&value));
    let mut legend: Vec<Key> =
        fits().map(|(series, fit)| Key { name: group(fit), mark: KeyMark::Both(Stamp::Series(series)) }).collect();
    if is_one {
        legend = vec![
            Key { name: "piece".to_owned(), mark: KeyMark::Point(Stamp::Series(0)) },
            Key { name: "curve and band of the mean".to_owned(), mark: KeyMark::Line(Stamp::Series(0), true) },
        ];
        if lines().any(|point| point.prediction.is_some()) {
            legend.push(Key { name: "band of a new piece".to_owned(), mark: KeyMark::Field(Paint::PaleGrey) });
        }
    }
    let n: usize = curves.fits.iter().map(|fit| fit.n).sum();
    let told = match curves.fits.len() <= MOST_BANDS {
        true => curves.fits.iter().map(|fit| sentence(fit, is_one)).collect::<Vec<_>>().join(" "),
        false => format!("{}; n = {}.", counted(curves.fits.len(), "curve"), counted(n, "piece")),
    };
    let coverage = crate::figure::spec::percent(curves.settings.coverage);
    let bands = match (is_one, has_bands) {
        (true, _) => format!(
            "Bands have a coverage of {coverage} %: the inner one for the mean, the outer one for a new piece of such wood."
        ),
        (false, true) => format!("Bands have a coverage of {coverage} % for the mean."),
        (false, false) => {
            format!("The bands of more than {MOST_BANDS} curves would hide each other; the numbers have them.")
        }
    };
    let shown = points().count();
    let unseen = if shown < n {
        format!("{} of a curve without a formula are not drawn.", counted(n - shown, "piece"))
    } else {
        String::new()
    };
    let caption = joined([
        format!("{title}.").as_str(),
        &told,
        &bands,
        if has_residuals { "Below: pieces less their curve." } else { "" },
        &Bars::Absent.sentence(),
        &left_out(curves),
        &unseen,
        squares(legend.iter().map(|key| key.name.as_str())),
    ]);
    let low = measured.iter().copied().fold(f64::INFINITY, f64::min);
    let high = measured.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let [low, high, left, right] = [low, high, x[0], x[1]].map(shown_value);
    let alternative = format!(
        "{} and {}: {value} from {low} to {high} {} over {against} from {left} to {right} {}.",
        counted(n, "piece"),
        counted(curves.fits.len(), "curve"),
        curves.value.unit,
        curves.against.unit
    );
    Ok(Figure {
        name: "strength-curve".to_owned(),
        title,
        caption,
        alternative,
        bars: Bars::Absent,
        panels: if has_residuals { vec![upper, lower] } else { vec![upper] },
        columns: 1,
        legend,
        woods: Woods::Legend.only_if(has_wood_names(curves)),
        data: data(curves),
    }
    .recounted())
}

/// Whether curves are those of woods.
pub(super) fn has_wood_names(curves: &Curves) -> bool {
    curves.fits.iter().all(|fit| fit.group.len() == 1 && fit.group[0].column == "taxon")
}

/// What the pieces of a curve have in common.
pub(super) fn group(fit: &Curve) -> String {
    let word = |key: &crate::site::GroupKey| key.value.clone().unwrap_or_else(|| "unknown".to_owned());
    match fit.group.as_slice() {
        [] => "all pieces".to_owned(),
        keys => keys.iter().map(word).collect::<Vec<_>>().join(", "),
    }
}

fn sentence(fit: &Curve, is_one: bool) -> String {
    let timbers = fit.n_timbers.map_or(" of unknown timbers".to_owned(), |n| format!(" from {}", counted(n, "timber")));
    let form = fit.formula.as_ref().map_or(String::new(), |formula| format!(", {formula}"));
    let whose = if is_one { String::new() } else { format!("{}: ", group(fit)) };
    format!("{whose}{}{form}; n = {}{timbers}.", fit.model, counted(fit.n, "piece"))
}

/// Pieces of a fit that are not used, as a sentence.
pub(super) fn left_out(curves: &Curves) -> String {
    let mut counts: std::collections::BTreeMap<&str, usize> = std::collections::BTreeMap::new();
    for piece in &curves.left_out {
        *counts.entry(piece.because.reason()).or_default() += 1;
    }
    let mut parts: Vec<(usize, &str)> = counts.into_iter().map(|(reason, n)| (n, reason)).collect();
    let without: usize = curves.without.iter().map(|group| group.n).sum();
    parts.push((without, "in groups without a curve"));
    super::caption::left_out(&parts)
}

fn band(fit: &Curve, paint: Paint, of: fn(&CurvePoint) -> Option<[f64; 2]>) -> Option<Layer> {
    let known: Vec<(f64, [f64; 2])> = fit.curve.iter().filter_map(|point| Some((point.x, of(point)?))).collect();
    let layer = || Layer::Band {
        paint,
        x: known.iter().map(|(x, _)| *x).collect(),
        low: known.iter().map(|(_, ends)| ends[0]).collect(),
        high: known.iter().map(|(_, ends)| ends[1]).collect(),
    };
    (known.len() > 1).then(layer)
}

fn pieces(fit: &Curve, series: usize, of: fn(&crate::study::PieceBeside) -> f64) -> Option<Layer> {
    let pieces = &fit.diagnostics.as_ref()?.pieces;
    Some(Layer::Points {
        stamp: Stamp::Series(series),
        x: pieces.iter().map(|piece| piece.x).collect(),
        y: pieces.iter().map(of).collect(),
        x_bars: vec![None; pieces.len()],
        y_bars: vec![None; pieces.len()],
    })
}

fn data(curves: &Curves) -> FigureData {
    let (x, y) = (&curves.against, &curves.value);
    let head = |name: &str, unit: &str| format!("{name} [{unit}]");
    let columns = vec![
        "group".to_owned(),
        "what".to_owned(),
        "sample".to_owned(),
        head(&x.name, &x.unit),
        head(&y.name, &y.unit),
        head("residual", &y.unit),
        head("mean from", &y.unit),
        head("mean to", &y.unit),
        head("new piece from", &y.unit),
        head("new piece to", &y.unit),
    ];
    let mut rows = Vec::new();
    for fit in &curves.fits {
        let name = group(fit);
        let mut row = |what: &str, sample: Option<&str>, numbers: [Option<f64>; 7]| {
            let mut cells = vec![Datum::text(Some(&name)), Datum::text(Some(what)), Datum::text(sample)];
            cells.extend(numbers.map(Datum::number));
            rows.push(cells);
        };
        for piece in fit.diagnostics.iter().flat_map(|found| &found.pieces) {
            let numbers = [Some(piece.x), Some(piece.y), Some(piece.residual), None, None, None, None];
            row("piece", piece.sample.as_deref(), numbers);
        }
        for point in &fit.curve {
            let [mean, new] = [point.confidence, point.prediction];
            let end = |ends: Option<[f64; 2]>, which: usize| ends.map(|ends| ends[which]);
            let ends = [end(mean, 0), end(mean, 1), end(new, 0), end(new, 1)];
            row("curve", None, [Some(point.x), Some(point.fit), None, ends[0], ends[1], ends[2], ends[3]]);
        }
    }
    FigureData { columns, rows }
}
