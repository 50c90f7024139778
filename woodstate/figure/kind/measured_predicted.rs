//! `measured-predicted`: what was measured against what the curve says.

use crate::error::Result;
use crate::figure::markup::axis_title;
use crate::figure::{
    Bars, Datum, Figure, FigureAxis, FigureChoice, FigureData, Frame, Key, KeyMark, Layer, Panel, Stamp, Woods,
};
use crate::quantity::shown_value;
use crate::study::{Curve, Curves, PieceBeside};

use super::caption::{capital, counted, joined, squares, whole_words};
use super::strength_curve::{group, has_wood_names, left_out};

/// What was measured against what the curve of each piece says, on equal axes with the line on which both are the same.
///
/// # Errors
/// None: every outcome of a fit can be drawn.
pub fn measured_predicted(curves: &Curves, _choice: &FigureChoice) -> Result<Figure> {
    let pieces = || curves.fits.iter().filter_map(|fit| fit.diagnostics.as_ref()).flat_map(|found| &found.pieces);
    let predicted = |piece: &PieceBeside| piece.y - piece.residual;
    let range = FigureAxis::room(pieces().flat_map(|piece| [piece.y, predicted(piece)]), true);
    let of_fit = |(series, fit): (usize, &Curve)| {
        let pieces = &fit.diagnostics.as_ref()?.pieces;
        Some(Layer::Points {
            stamp: Stamp::Series(series),
            x: pieces.iter().map(predicted).collect(),
            y: pieces.iter().map(|piece| piece.y).collect(),
            x_bars: vec![None; pieces.len()],
            y_bars: vec![None; pieces.len()],
        })
    };
    let mut layers = vec![Layer::Line { stamp: Stamp::Quiet, x: range.to_vec(), y: range.to_vec() }];
    layers.extend(curves.fits.iter().enumerate().filter_map(of_fit));
    let axis =
        |what: &str| FigureAxis::of(axis_title(&format!("{what} {}", curves.value.title), &curves.value.unit), range);
    let mut legend: Vec<Key> = match curves.fits.len() {
        1 => Vec::new(),
        _ => (curves.fits.iter().enumerate())
            .map(|(series, fit)| Key { name: group(fit), mark: KeyMark::Point(Stamp::Series(series)) })
            .collect(),
    };
    legend.push(Key { name: "measured = predicted".to_owned(), mark: KeyMark::Line(Stamp::Quiet, false) });
    let n: usize = curves.fits.iter().map(|fit| fit.n).sum();
    let shown = pieces().count();
    let told = |fit: &Curve| {
        let timbers =
            fit.n_timbers.map_or(" of unknown timbers".to_owned(), |n| format!(" from {}", counted(n, "timber")));
        let error = fit.loo_rmse.map_or(String::new(), |error| {
            format!(
                "; root mean square error of pieces or timbers left out in turn {} {}",
                shown_value(error),
                curves.value.unit
            )
        });
        format!("{}: {}, n = {}{timbers}{error}.", capital(&group(fit)), fit.model, counted(fit.n, "piece"))
    };
    let caption = joined([
        format!(
            "Measured against predicted {}; predicted from {}.",
            whole_words(&curves.value.title),
            whole_words(&curves.against.title)
        )
        .as_str(),
        &curves.fits.iter().map(told).collect::<Vec<_>>().join(" "),
        &Bars::Absent.sentence(),
        &left_out(curves),
        &if shown < n {
            format!("{} of a curve without a formula are not drawn.", counted(n - shown, "piece"))
        } else {
            String::new()
        },
        squares(legend.iter().map(|key| key.name.as_str())),
    ]);
    let rows = curves.fits.iter().flat_map(|fit| {
        fit.diagnostics.iter().flat_map(|found| &found.pieces).map(move |piece| {
            vec![
                Datum::text(Some(&group(fit))),
                Datum::text(piece.sample.as_deref()),
                Datum::number(predicted(piece)),
                Datum::number(piece.y),
            ]
        })
    });
    let unit = &curves.value.unit;
    let data = FigureData {
        columns: vec![
            "group".to_owned(),
            "sample".to_owned(),
            format!("predicted [{unit}]"),
            format!("measured [{unit}]"),
        ],
        rows: rows.collect(),
    };
    Ok(Figure {
        name: "measured-predicted".to_owned(),
        title: format!("Measured against predicted {}", curves.value.title),
        caption,
        alternative: format!(
            "{} about the line on which measured and predicted {} are the same.",
            capital(&counted(shown, "piece")),
            curves.value.title
        ),
        bars: Bars::Absent,
        panels: vec![Panel {
            title: None,
            x: axis("predicted"),
            y: axis("measured"),
            layers,
            frame: Frame::Square,
            height: 1.0,
        }],
        columns: 1,
        legend,
        woods: Woods::Legend.only_if(has_wood_names(curves)),
        data,
    }
    .recounted())
}
