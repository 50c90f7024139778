//! The view of `fit`: a sentence on the wood, then the numbers behind it.

use crate::error::CurveCautionCode;
use crate::quantity::{counted, shown, shown_value};
use crate::strength::CurveCaution;
use crate::study::{Axis, Curve, CurveParameter, CurvePoint, Curves, LeftOut, OneOrSeveral};

use super::{Align, Block, Grid, View, choice_sentence};

/// Every so many of the states of a curve is shown.
const EVERY: usize = 5;

/// Pieces named for one reason at most.
const NAMED: usize = 12;

/// The view of `fit`.
#[must_use]
pub fn curves_view(curves: &Curves) -> View {
    let mut view = View::default();
    for choice in &curves.choices {
        view.push(Block::Paragraph(choice_sentence(choice)));
    }
    view.blocks.extend(curve_blocks(curves));
    view.push(Block::Paragraph(closing(curves)));
    view
}

/// The curves, what is left out, notes.
pub(super) fn curve_blocks(curves: &Curves) -> Vec<Block> {
    let mut view = View::default();
    for fit in &curves.fits {
        one(&mut view, curves, fit);
    }
    for group in &curves.without {
        let name = group_name(&group.group);
        view.push(Block::Paragraph(format!("{name}: no curve ({}). {}.", counted(group.n, "piece"), group.reason)));
    }
    if let Some(several) = &curves.one_or_several {
        groups(&mut view, several);
    }
    if !curves.left_out.is_empty() {
        view.push(Block::Listing("Pieces with a strength that are not used:".to_owned(), left_out(&curves.left_out)));
    }
    for note in &curves.notes {
        view.push(Block::Paragraph(note.clone()));
    }
    if curves.relative {
        let sound = curves.sources.iter().filter(|source| source.used_for.contains(&curves.value.name));
        let entries = sound.map(|source| (format!("[{}]", source.evidence), source.to_string())).collect();
        view.push(Block::Listing("Sound wood:".to_owned(), entries));
    }
    view.blocks
}

/// What a group has in common.
fn group_name(group: &[crate::site::GroupKey]) -> String {
    let key = |key: &crate::site::GroupKey| {
        format!("{} {}", key.column, key.value.clone().unwrap_or_else(|| "unknown".to_owned()))
    };
    group.iter().map(key).collect::<Vec<_>>().join(", ")
}

fn unit(axis: &Axis) -> String {
    if axis.unit == "1" { String::new() } else { format!(" in {}", axis.unit) }
}

fn one(view: &mut View, curves: &Curves, fit: &Curve) {
    let (y, x) = (&curves.value, &curves.against);
    let heading = match fit.group.is_empty() {
        true => format!("{} against {}", y.title, x.title),
        false => group_name(&fit.group),
    };
    view.push(Block::Heading(heading));
    view.push(Block::Paragraph(fit.meaning.clone()));
    let of_timbers = fit.n_timbers.map_or_else(
        || "; the timber of some is unknown".to_owned(),
        |timbers| format!(" of {}", counted(timbers, "timber")),
    );
    let formula = fit.formula.as_ref().map_or_else(
        || "a curve without a formula that never turns".to_owned(),
        |formula| format!("y = {formula}, y: {}{}, x: {}{}", y.title, unit(y), x.title, unit(x)),
    );
    let [low, high] = fit.range.map(shown_value);
    view.push(Block::Paragraph(format!(
        "Model {}: {formula}. {}{of_timbers}, tested from {low} to {high}{}.",
        fit.model,
        counted(fit.n, "piece"),
        if x.unit == "1" { String::new() } else { format!(" {}", x.unit) },
    )));
    let coverage = shown_value(curves.settings.coverage * 100.0);
    if !fit.parameters.is_empty() {
        view.push(Block::Table(parameters(fit, &coverage)));
        view.push(Block::Paragraph(quality(fit, y)));
    }
    view.push(Block::Table(states(fit, y, x, &coverage)));
    if !fit.compared.is_empty() {
        view.push(Block::Table(models(fit)));
    }
    if !fit.cautions.is_empty() {
        view.push(Block::Listing("Cautions:".to_owned(), fit.cautions.iter().map(caution).collect()));
    }
}

fn caution(caution: &CurveCaution) -> (String, String) {
    let detail = caution.detail.as_ref().map_or_else(String::new, |detail| format!(" ({detail})"));
    let consequence = CurveCautionCode::story(caution.of).consequence;
    (caution.code.to_owned(), format!("{}{detail}. {consequence}", caution.text))
}

fn parameters(fit: &Curve, coverage: &str) -> Grid {
    let between = format!("{coverage} % between");
    let mut grid = Grid::new(&[
        ("parameter", Align::Left),
        ("value", Align::Right),
        (&between, Align::Right),
        ("unit", Align::Left),
        ("what it is", Align::Left),
    ]);
    let row = |parameter: &CurveParameter| {
        vec![
            parameter.name.to_owned(),
            shown(parameter.value, parameter.u),
            parameter.interval.map_or_else(|| "unknown".to_owned(), open),
            if parameter.unit == "1" { String::new() } else { parameter.unit.clone() },
            parameter.meaning.clone(),
        ]
    };
    grid.rows = fit.parameters.iter().map(row).collect();
    grid
}

fn open([low, high]: [Option<f64>; 2]) -> String {
    let end = |end: Option<f64>| end.map_or_else(|| "open".to_owned(), shown_value);
    format!("{} - {}", end(low), end(high))
}

fn closed(ends: Option<[f64; 2]>) -> String {
    ends.map_or_else(|| "unknown".to_owned(), |ends| open(ends.map(Some)))
}

/// Residual spread, share explained, error of what was left out, criteria.
fn quality(fit: &Curve, y: &Axis) -> String {
    let of = if y.unit == "1" { String::new() } else { format!(" {}", y.unit) };
    let units = if fit.independent == "timbers" { "timbers" } else { "pieces" };
    let known =
        |what: &str, value: Option<f64>, unit: &str| value.map(|value| format!("{what} {}{unit}", shown_value(value)));
    let parts = [
        known("Pieces scatter about the curve by", fit.residual_sd, &format!("{of} (standard deviation)")),
        fit.residual_share.map(|share| {
            format!(
                "Pieces scatter about the curve by {} % of its strength (standard deviation)",
                shown_value(100.0 * share)
            )
        }),
        known("R²", fit.r_squared, ""),
        known(&format!("error of {units} left out in turn"), fit.loo_rmse, &of),
        known("AICc", fit.aicc, ""),
        known("BIC", fit.bic, ""),
    ];
    let known: Vec<String> = parts.into_iter().flatten().collect();
    format!("{}.", known.join("; "))
}

fn states(fit: &Curve, y: &Axis, x: &Axis, coverage: &str) -> Grid {
    let with_unit = |axis: &Axis| match axis.unit.as_str() {
        "1" => axis.title.clone(),
        unit => format!("{}, {unit}", axis.title),
    };
    let has_average = fit.curve.iter().any(|point| point.average.is_some());
    let mut grid = Grid::new(&[
        (&with_unit(x), Align::Right),
        (&with_unit(y), Align::Right),
        (&format!("mean, {coverage} %"), Align::Right),
        (&format!("new piece, {coverage} %"), Align::Right),
        ("average of models", Align::Right),
    ]);
    let row = |point: &CurvePoint| {
        let average = point.average.map_or_else(|| "unknown".to_owned(), shown_value);
        vec![
            shown_value(point.x),
            shown_value(point.fit),
            closed(point.confidence),
            if fit.formula.is_some() { closed(point.prediction) } else { String::new() },
            if has_average { average } else { String::new() },
        ]
    };
    grid.rows = fit.curve.iter().step_by(EVERY).map(row).collect();
    grid.without_empty_columns()
}

fn models(fit: &Curve) -> Grid {
    let mut grid =
        Grid::new(&[("model", Align::Left), ("AICc", Align::Right), ("weight", Align::Right), ("", Align::Left)]);
    let rows = fit.compared.iter().map(|entry| {
        vec![
            entry.model.to_owned(),
            entry.aicc.map_or_else(String::new, |aicc| format!("{aicc:.1}")),
            entry.weight.map_or_else(String::new, |weight| format!("{weight:.2}")),
            entry.reason.map_or_else(String::new, |reason| format!("not weighed: {reason}")),
        ]
    });
    grid.rows = rows.collect();
    grid.without_empty_columns()
}

fn groups(view: &mut View, several: &OneOrSeveral) {
    view.push(Block::Heading("one curve or several".to_owned()));
    view.push(Block::Paragraph(several.meaning.clone()));
    let mut grid = Grid::new(&[
        ("question", Align::Left),
        ("F", Align::Right),
        ("degrees of freedom", Align::Right),
        ("probability", Align::Right),
    ]);
    let rows = several.tests.iter().map(|test| {
        let [more, left] = test.degrees_of_freedom.map(shown_value);
        let probability =
            if test.probability < 0.0005 { "< 0.0005".to_owned() } else { format!("{:.3}", test.probability) };
        vec![test.question.to_owned(), shown_value(test.f), format!("{more} and {left}"), probability]
    });
    grid.rows = rows.collect();
    if !grid.rows.is_empty() {
        view.push(Block::Table(grid));
    }
    if !several.scales.is_empty() {
        let mut grid =
            Grid::new(&[("one shape, own scale", Align::Left), ("scale", Align::Right), ("unit", Align::Left)]);
        let unit = |unit: &String| if unit == "1" { String::new() } else { unit.clone() };
        let scales = several.scales.iter();
        let scales = scales.map(|one| vec![group_name(&one.group), shown(one.value, one.u), unit(&one.unit)]);
        let shared = several.shared.iter();
        let shared = shared.map(|one| vec![format!("{} of all", one.name), shown(one.value, one.u), unit(&one.unit)]);
        grid.rows = scales.chain(shared).collect();
        view.push(Block::Table(grid));
    }
}

/// Each reason with the pieces it holds for.
fn left_out(pieces: &[LeftOut]) -> Vec<(String, String)> {
    let mut reasons: Vec<_> = pieces.iter().map(|piece| piece.because).collect();
    reasons.sort_unstable();
    reasons.dedup();
    let of = |because| {
        let named = pieces.iter().filter(|piece: &&LeftOut| piece.because == because);
        let names: Vec<&str> = named.map(|piece| piece.sample.as_deref().unwrap_or("(no name)")).collect();
        let more = names.len().saturating_sub(NAMED);
        let more = if more > 0 { format!(" and {more} more (--json lists them)") } else { String::new() };
        (because.reason().to_owned(), format!("{}{more}", names[..names.len().min(NAMED)].join(", ")))
    };
    reasons.into_iter().map(|because: crate::study::LeftOutBecause| of(because)).collect()
}

fn closing(curves: &Curves) -> String {
    let used: usize = curves.fits.iter().map(|fit| fit.n).sum();
    let without: usize = curves.without.iter().map(|group| group.n).sum();
    let no_curve = if without == 0 { String::new() } else { format!(", {without} in groups without a curve") };
    format!(
        "{used} pieces used{no_curve}, {} left out, {} without a test. ± is one standard uncertainty; bootstrap of {} samples, seed {}. The \
         long story of a word: woodstate explain {}",
        curves.left_out.len(),
        curves.not_tested,
        curves.replicates,
        curves.settings.seed,
        curves.cautions.first().map_or("fit", |entry| entry.code),
    )
}
