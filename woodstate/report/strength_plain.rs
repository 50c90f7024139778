//! The tables of `fit` for a pipe.

use crate::site::GroupKey;
use crate::study::{Curve, Curves};

use super::{Align, Block, Grid, View};

/// The tables of `fit` for a pipe: parameters, the curve, the models, the pieces beside the curve, the pieces left out.
#[must_use]
pub fn curves_plain(curves: &Curves) -> View {
    let mut view = View::default();
    view.push(Block::Table(parameters(curves)));
    view.push(Block::Table(curve_table(curves)));
    for table in [models(curves), pieces(curves), left_out(curves)] {
        if !table.rows.is_empty() {
            view.push(Block::Table(table));
        }
    }
    view
}

/// The curve at its states, one row a state and group.
pub(super) fn curve_table(curves: &Curves) -> Grid {
    let (y, x) = (&curves.value, &curves.against);
    let heads =
        [format!("{} [{}]", x.name, x.unit), format!("{} [{}]", y.name, y.unit), format!("u({}) [{}]", y.name, y.unit)];
    let others = [
        "confidence_low",
        "confidence_high",
        "simultaneous_low",
        "simultaneous_high",
        "prediction_low",
        "prediction_high",
        "average_of_models",
    ];
    let mut grid = grid(curves, &[&["model"]], &heads, &others);
    for fit in &curves.fits {
        for point in &fit.curve {
            let mut row = keys(fit);
            row.push(fit.model.to_owned());
            row.extend([Some(point.x), Some(point.fit), point.u].map(number));
            for ends in [point.confidence, point.simultaneous, point.prediction] {
                row.extend([0, 1].map(|end| number(ends.map(|ends| ends[end]))));
            }
            row.push(number(point.average));
            grid.rows.push(row);
        }
    }
    grid
}

fn grid(curves: &Curves, first: &[&[&str]], middle: &[String], last: &[&str]) -> Grid {
    let by: &[GroupKey] = curves.fits.first().map_or(&[], |fit| fit.group.as_slice());
    let mut heads: Vec<&str> = by.iter().map(|key| key.column.as_str()).collect();
    heads.extend(first.iter().flat_map(|heads| heads.iter().copied()));
    heads.extend(middle.iter().map(String::as_str));
    heads.extend(last);
    Grid::new(&heads.iter().map(|head| (*head, Align::Left)).collect::<Vec<_>>())
}

fn keys(fit: &Curve) -> Vec<String> {
    fit.group.iter().map(|key| key.value.clone().unwrap_or_else(|| "unknown".to_owned())).collect()
}

fn number(number: Option<f64>) -> String {
    number.map(|number| number.to_string()).unwrap_or_default()
}

fn parameters(curves: &Curves) -> Grid {
    let last = [
        "model",
        "parameter",
        "value",
        "u",
        "low",
        "high",
        "unit",
        "pieces",
        "timbers",
        "residual_sd",
        "r_squared",
        "aicc",
        "bic",
        "loo_rmse",
        "cautions",
    ];
    let mut grid = grid(curves, &[], &[], &last);
    for fit in &curves.fits {
        for parameter in &fit.parameters {
            let [low, high] = parameter.interval.unwrap_or([None, None]);
            let mut row = keys(fit);
            row.extend([fit.model.to_owned(), parameter.name.to_owned()]);
            row.extend([Some(parameter.value), parameter.u, low, high].map(number));
            row.extend([parameter.unit.clone(), fit.n.to_string()]);
            row.push(fit.n_timbers.map(|timbers| timbers.to_string()).unwrap_or_default());
            row.extend([fit.residual_sd, fit.r_squared, fit.aicc, fit.bic, fit.loo_rmse].map(number));
            row.push(fit.cautions.iter().map(|caution| caution.code).collect::<Vec<_>>().join(" "));
            grid.rows.push(row);
        }
    }
    grid
}

fn models(curves: &Curves) -> Grid {
    let mut grid = grid(curves, &[], &[], &["model", "aicc", "weight", "reason"]);
    for (fit, entry) in curves.fits.iter().flat_map(|fit| fit.compared.iter().map(move |entry| (fit, entry))) {
        let mut row = keys(fit);
        row.extend([entry.model.to_owned(), number(entry.aicc), number(entry.weight)]);
        row.push(entry.reason.unwrap_or_default().to_owned());
        grid.rows.push(row);
    }
    grid
}

fn pieces(curves: &Curves) -> Grid {
    let last = ["sample", "x", "y", "residual", "studentised", "leverage", "cook"];
    let mut grid = grid(curves, &[], &[], &last);
    for fit in &curves.fits {
        for piece in fit.diagnostics.iter().flat_map(|found| &found.pieces) {
            let mut row = keys(fit);
            row.push(piece.sample.clone().unwrap_or_default());
            row.extend([Some(piece.x), Some(piece.y), Some(piece.residual), piece.studentised].map(number));
            row.extend([Some(piece.leverage), piece.cook].map(number));
            grid.rows.push(row);
        }
    }
    grid
}

fn left_out(curves: &Curves) -> Grid {
    let mut grid = Grid::new(&["sample", "timber", "left_out_because"].map(|head| (head, Align::Left)));
    let row = |piece: &crate::study::LeftOut| {
        let text = |text: &Option<String>| text.clone().unwrap_or_default();
        vec![text(&piece.sample), text(&piece.timber), piece.because.reason().to_owned()]
    };
    grid.rows = curves.left_out.iter().map(row).collect();
    grid
}
