//! 4: classes: scheme, scope, probabilities.

use crate::reference::Boundary;
use crate::report::Align;
use crate::report::assessment::percent;
use crate::report::summary::{apart, counts};

use super::{Cell, MOST_ROWS, Part, Source, Table};

pub(super) fn parts(source: &Source<'_>) -> Vec<Part> {
    let assessment = &source.report.assessment;
    let settings = &assessment.settings;
    let owner = match settings.boundary {
        Boundary::Worse => "the more degraded class",
        Boundary::Better => "the better preserved class",
    };
    let scope =
        if settings.scheme_scope.is_empty() { "every wood".to_owned() } else { settings.scheme_scope.join("; ") };
    let outside =
        if settings.classify_outside_scope { "classed all the same, with a caution" } else { "given no class" };
    let term = |name: &str, text: String| (name.to_owned(), text);
    let mut items = vec![
        term("scheme", settings.scheme_title.clone()),
        term("limits", settings.scheme_limits.clone()),
        term("scope", scope),
        term("a wood outside the scope is", outside.to_owned()),
        term("a value on a boundary belongs to", owner.to_owned()),
        term(
            "a class is decided from",
            format!(
                "a probability of {} % that this piece lies in it, given its measurement uncertainty",
                settings.decided_at * 100.0
            ),
        ),
    ];
    let of_scheme = assessment.sources.iter().filter(|cited| cited.used_for.contains("class"));
    items
        .extend(of_scheme.map(|cited| {
            term(&format!("source [{}]", cited.evidence), format!("{}, {}", cited.citation, cited.place))
        }));
    let mut parts = vec![Part::terms(items)];
    if assessment.samples.is_empty() && assessment.timbers.is_empty() {
        parts.push(Part::paragraph("No class was read."));
        return parts;
    }
    parts.push(Part::Table(shares(source)));
    parts.push(Part::paragraph(format!(
        "Shares are shares of those inside the scope that have a class reading, decided or not, with the interval of {} % \
         coverage (Wilson 1927). Pieces of one timber are not independent: cite the shares of timbers.",
        settings.coverage * 100.0
    )));
    parts.extend(probabilities(source));
    parts.extend(source.figures("classes"));
    parts
}

fn shares(source: &Source<'_>) -> Table {
    let page = &source.report.one_page;
    let (pieces, timbers) = (&page.piece_classes, &page.timber_classes);
    let right = |head| (head, Align::Right);
    let heads = [
        ("class", Align::Left),
        right("timbers"),
        right("share of timbers %"),
        right("pieces"),
        right("share of pieces %"),
    ];
    let mut table = Table::new("How many have which class", &heads);
    for (of_pieces, of_timbers) in pieces.shares.iter().zip(&timbers.shares) {
        let class = of_pieces.class.clone().unwrap_or_else(|| "not decided".to_owned());
        let ((one, one_share), (two, two_share)) = (counts(of_timbers, timbers.n), counts(of_pieces, pieces.n));
        table.row([class, one, one_share, two, two_share]);
    }
    for (what, n, of_timbers) in apart(pieces, timbers) {
        let what = what.trim_matches(['(', ')']).to_owned();
        table.row([what, of_timbers.to_string(), String::new(), n.to_string(), String::new()]);
    }
    table
}

/// The probability of each class for each timber that has one.
fn probabilities(source: &Source<'_>) -> Vec<Part> {
    let assessment = &source.report.assessment;
    let labels = &assessment.scheme_labels;
    let heads = std::iter::once(("timber".to_owned(), Align::Left))
        .chain(labels.iter().map(|label| (format!("class {label}"), Align::Right)))
        .chain([("decided".to_owned(), Align::Left), ("reason".to_owned(), Align::Left)]);
    let heads: Vec<(String, Align)> = heads.collect();
    let heads: Vec<(&str, Align)> = heads.iter().map(|(head, align)| (head.as_str(), *align)).collect();
    let mut table = Table::new("Probability of each class of a timber", &heads);
    let classed = || assessment.timbers.iter().filter(|timber| timber.degradation_class.most_likely.is_some());
    for timber in classed().take(MOST_ROWS) {
        let class = &timber.degradation_class;
        let share = |label| class.probability.as_ref().and_then(|shares| shares.get(label).copied());
        let shares = labels.iter().map(|label| share(label).map_or_else(|| "unknown".to_owned(), percent));
        let decided = match (class.decided, &class.most_likely) {
            (true, Some(label)) => label.clone(),
            _ => "no".to_owned(),
        };
        let cells = std::iter::once(timber.timber.clone()).chain(shares);
        let cells = cells.chain([decided, class.reason.clone().unwrap_or_default()]);
        table.rows.push(cells.map(Cell::from).collect());
    }
    match classed().count() {
        0 => vec![Part::paragraph("No timber has a class.")],
        n if n > MOST_ROWS => {
            let rest = format!("The first {MOST_ROWS} of {n} timbers; the sheet timbers of the workbook has all.");
            vec![Part::Table(table), Part::paragraph(rest)]
        }
        _ => vec![Part::Table(table)],
    }
}
