//! 0: the whole in one page.

use crate::quantity::counted;
use crate::report::Align;
use crate::report::outline::how_many;
use crate::site::Classes;
use crate::study::{NotKnown, OnePage, Urgent};

use super::decision::anchor;
use super::{Cell, Count, Link, Part, Source, Table};

/// Names of one rule that are listed.
const NAMED: usize = 40;

pub(super) fn parts(source: &Source<'_>) -> Vec<Part> {
    let (assessment, page) = (&source.report.assessment, &source.report.one_page);
    let counts = assessment.counts;
    let (what, n, classes) = match counts.timbers {
        0 => ("piece", counts.pieces, &page.piece_classes),
        timbers => ("timber", timbers, &page.timber_classes),
    };
    let strip = strip(classes);
    let listed: Vec<String> = strip.iter().filter(|count| count.n > 0).map(|c| format!("{} {}", c.n, c.name)).collect();
    let mut parts = vec![Part::paragraph(format!(
        "{} of {}. {}: {}.",
        counted(counts.pieces, "piece"),
        counted(counts.timbers, "timber"),
        match (n, what) {
            (0, _) => "Nothing can be said of a class".to_owned(),
            (_, "timber") => "The timbers, each by its worst zone".to_owned(),
            _ => "No timber is named, so the pieces stand alone".to_owned(),
        },
        if listed.is_empty() { "the file has no row that could be read".to_owned() } else { listed.join(", ") },
    ))];
    if n > 0 {
        parts.push(Part::Strip { label: format!("Classes of {}", counted(n, what)), items: strip });
        parts.push(Part::paragraph(format!("Scheme: {}.", assessment.settings.scheme_title)));
    }
    parts.extend(urgent(source, page));
    parts.push(Part::heading("What is not known"));
    if page.not_known.is_empty() {
        parts.push(Part::paragraph("Whatever this report asks after was recorded."));
    } else {
        parts.push(Part::Points { items: page.not_known.iter().map(not_known).collect() });
    }
    parts.push(Part::heading("Numbers that rest on memory"));
    match page.from_memory.len() {
        0 => parts.push(Part::paragraph("None.")),
        n => {
            let them = if n == 1 { "it" } else { "them" };
            parts.push(Part::paragraph(format!(
                "{} from memory, not checked in the source. Open the source before you cite {them}.",
                counted(n, "number")
            )));
            parts.push(Part::Points { items: page.from_memory.iter().map(|cited| cited.used_for.clone()).collect() });
        }
    }
    parts
}

fn not_known(not_known: &NotKnown) -> String {
    let NotKnown { column, what, known, of, unit } = not_known;
    let of = counted(*of, unit);
    match known {
        0 => format!("{what}: known in none of {of} ({column})"),
        known => format!("{what}: known in {known} of {of} ({column})"),
    }
}

/// Each class, the worst first, then what has none.
fn strip(classes: &Classes) -> Vec<Count> {
    let of_class = classes.shares.iter().enumerate().map(|(place, share)| match &share.class {
        Some(class) => Count { name: format!("in class {class}"), n: share.n, tone: format!("class-{place}") },
        None => Count { name: "not decided".to_owned(), n: share.n, tone: "other".to_owned() },
    });
    let others = [
        ("of a wood outside the scheme", classes.out_of_scope),
        ("of unknown wood", classes.scope_unknown),
        ("without a class reading", classes.unread),
    ];
    let others = others.map(|(name, n)| Count { name: name.to_owned(), n, tone: "other".to_owned() });
    of_class.chain(others).collect()
}

fn urgent(source: &Source<'_>, page: &OnePage) -> Vec<Part> {
    let mut parts = vec![Part::heading("What is urgent")];
    if page.urgent.is_empty() {
        parts.push(Part::paragraph("The study file asks for no rule of urgency."));
        return parts;
    }
    let left = |head| (head, Align::Left);
    let heads = [
        left("rule"),
        left("asks"),
        ("how many", Align::Right),
        ("can be told of", Align::Right),
        left("which"),
        left("next"),
    ];
    let mut table = Table::new("Rules of urgency and what fulfils them", &heads);
    for urgent in &page.urgent {
        let known = format!("{} of {}", urgent.known, counted(urgent.of, urgent.unit));
        let words = [urgent.rule.word().to_owned(), urgent.text.clone(), how_many(urgent), known].map(Cell::from);
        table.rows.push(words.into_iter().chain([which(source, urgent), urgent.next.to_owned().into()]).collect());
    }
    parts.push(Part::Table(table));
    parts.push(Part::paragraph(
        "The rules and their limits are a proposal of this project, not a published standard. Choose and set them under \
         [report] in the study file.",
    ));
    parts
}

fn which(source: &Source<'_>, urgent: &Urgent) -> Cell {
    let place = |name: &String| {
        let timbers = &source.report.assessment.timbers;
        timbers.binary_search_by(|timber| timber.timber.cmp(name)).unwrap_or_default()
    };
    let timbers = urgent.timbers.iter();
    let link = |name: &String| Link { text: name.clone(), href: format!("sheets.html#{}", anchor(place(name), name)) };
    let links: Vec<Link> = timbers.take(NAMED).map(link).collect();
    let samples = urgent.samples.iter().map(|sample| sample.as_deref().unwrap_or("a piece without a name"));
    let mut texts: Vec<String> = samples.take(NAMED).map(str::to_owned).collect();
    let more = urgent.timbers.len().saturating_sub(NAMED) + urgent.samples.len().saturating_sub(NAMED);
    if more > 0 {
        texts.push(format!("{more} more, which report.json lists"));
    }
    match (links.is_empty(), texts.is_empty()) {
        (true, true) if urgent.known == 0 => "unknown".to_owned().into(),
        (true, true) => "none of these".to_owned().into(),
        _ => Cell { text: texts.join(", "), links, class: "long split" },
    }
}
