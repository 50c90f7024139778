//! 9: treatment.

use crate::report::advice::{due, matrix, sides, step_items, timbers_grid};
use crate::report::{Align, Block, Grid, View};
use crate::study::{Advice, RouteEntry, Said};

use super::{MOST_ROWS, Part, Source};

pub(super) fn parts(source: &Source<'_>) -> Vec<Part> {
    let advice = &source.report.advice;
    if advice.timbers.is_empty() {
        let mut parts = vec![Part::paragraph("No treatment was judged.")];
        parts.extend(safety(advice));
        return parts;
    }
    let mut view = View::default();
    view.push(Block::Paragraph(advice.notes.first().cloned().unwrap_or_default()));
    let captioned = |view: &mut View, caption: &str, grid: Grid| {
        view.push(Block::Paragraph(format!("{caption}:")));
        view.push(Block::Table(grid));
    };
    captioned(&mut view, "Routes of every timber", timbers_grid(advice, MOST_ROWS));
    let (grid, legend) = matrix(advice, MOST_ROWS);
    captioned(&mut view, "Timbers against routes", grid);
    view.push(Block::Legend(legend));
    captioned(&mut view, "What to measure or to state next, and how many verdicts it would change", next(advice));
    let more = advice.timbers.len().saturating_sub(MOST_ROWS);
    let more = if more > 0 { format!("{more} more timbers stand in report.json. ") } else { String::new() };
    view.push(Block::Paragraph(format!(
        "{more}Every reason for a timber: woodstate advise FILE --where \"timber == 'NAME'\"."
    )));
    view.push(Block::Listing("What was read of each route:".to_owned(), advice.routes.iter().map(of_route).collect()));
    for step in &advice.steps {
        view.push(Block::Listing(format!("Before any treatment: {}. {}", step.title, due(step)), step_items(step)));
    }
    for one in &advice.disagreements {
        view.push(Block::Listing(format!("Sources do not agree: {}. {}", one.about, one.so), sides(one)));
    }
    advice.notes.iter().skip(1).for_each(|note| view.push(Block::Paragraph(note.clone())));
    let mut parts = Part::of_view(view, "Routes of treatment");
    parts.extend(safety(advice));
    parts
}

/// What to measure or state next, a row each.
fn next(advice: &Advice) -> Grid {
    let mut grid = Grid::new(&[
        ("timber", Align::Left),
        ("column or key", Align::Left),
        ("what to do", Align::Left),
        ("verdicts", Align::Right),
    ]);
    grid.n_names = 1;
    let rows = advice.timbers.iter().flat_map(|timber| timber.next.iter().map(move |next| (timber, next)));
    let row = |(timber, next): (&crate::study::TimberAdvice, &crate::study::NextAdvice)| {
        vec![timber.timber.clone(), next.what.to_owned(), next.act.clone(), next.n_routes.to_string()]
    };
    grid.rows = rows.take(MOST_ROWS).map(row).collect();
    grid
}

fn of_route(route: &RouteEntry) -> (String, String) {
    let procedure: Vec<String> = route.procedure.iter().map(Said::shown).collect();
    let irreversible = route.irreversible.map(|said| format!("{} A trial piece comes first.", said.shown()));
    let mut texts = vec![route.about.to_owned()];
    texts.extend(irreversible);
    texts.extend(procedure);
    (route.route.to_owned(), texts.join(" "))
}

/// The dangers; the last warning defers to local codes and licensed practice.
fn safety(advice: &Advice) -> Vec<Part> {
    let mut parts = vec![Part::heading("Safety")];
    for note in &advice.safety.notes {
        let mut lines = note.lines(advice.safety.form).into_iter();
        parts.extend(lines.next().map(Part::warning));
        parts.extend(lines.map(Part::paragraph));
    }
    parts.push(Part::warning(advice.safety.deferral.clone()));
    parts
}
