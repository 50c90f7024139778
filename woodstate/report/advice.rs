//! The view of `advise`: what every timber comes to, then timbers at length.

use crate::quantity::{counted, shown};
use crate::reference::RouteVerdict;
use crate::state::Value;
use crate::study::{
    Advice, ChangeAdvice, DisagreementAdvice, NextAdvice, ReasonAdvice, RouteAdvice, StepAdvice, TimberAdvice,
};

use super::{Align, Block, Grid, View, choice_sentence};

/// Timbers up to which each is told at length.
const AT_LENGTH: usize = 2;

/// Names that are listed at most.
const NAMED: usize = 12;

/// Things to measure next that stand in the table of timbers.
const MOST_NEXT: usize = 3;

/// The view of `advise`.
#[must_use]
pub fn advice_view(advice: &Advice) -> View {
    let mut view = View::default();
    for choice in &advice.choices {
        view.push(Block::Paragraph(choice_sentence(choice)));
    }
    view.push(Block::Table(timbers_grid(advice, usize::MAX)));
    let (matrix, legend) = matrix(advice, usize::MAX);
    view.push(Block::Table(matrix));
    view.push(Block::Legend(legend));
    if advice.timbers.len() > AT_LENGTH {
        view.push(Block::Paragraph("What to measure or to state next, over all timbers:".to_owned()));
        view.push(Block::Table(next_of_all(advice)));
    }
    if advice.timbers.len() <= AT_LENGTH {
        advice.timbers.iter().for_each(|timber| one(&mut view, advice, timber));
        let routes: Vec<&RouteAdvice> = advice.timbers.iter().flat_map(|timber| &timber.routes).collect();
        let is_open =
            |route: &&str| routes.iter().any(|one| one.route == *route && one.verdict > RouteVerdict::Excluded);
        let is_shown = |one: &&DisagreementAdvice| {
            one.routes.is_empty() || one.routes.iter().any(|route| is_open(&route.as_str()))
        };
        view.push(Block::Heading("Where sources do not agree".to_owned()));
        for one in advice.disagreements.iter().filter(is_shown) {
            view.push(Block::Listing(format!("{}. {}", one.about, one.so), sides(one)));
        }
    }
    view.push(Block::Heading("Before any treatment".to_owned()));
    for step in &advice.steps {
        view.push(Block::Listing(format!("{}. {}", step.title, due(step)), step_items(step)));
    }
    view.push(Block::Heading("Safety".to_owned()));
    advice.safety.lines().into_iter().for_each(|line| view.push(Block::Paragraph(line)));
    view.push(Block::Heading("How to read this".to_owned()));
    advice.notes.iter().for_each(|note| view.push(Block::Paragraph(note.clone())));
    view.push(Block::Paragraph(closing(advice)));
    view
}

/// What every timber comes to.
pub(super) fn timbers_grid(advice: &Advice, most: usize) -> Grid {
    let mut grid = Grid::new(&[
        ("timber", Align::Left),
        ("wood", Align::Left),
        ("state", Align::Left),
        ("suited or possible", Align::Left),
        ("open", Align::Left),
    ]);
    grid.n_names = 1;
    for timber in advice.timbers.iter().take(most) {
        let best = timber.routes.iter().filter(|route| route.verdict >= RouteVerdict::Possible);
        let best: Vec<String> = best.map(best_route).collect();
        let next: Vec<&str> = timber.next.iter().take(MOST_NEXT).map(|next| next.what).collect();
        grid.rows.push(vec![
            timber.timber.clone(),
            timber.taxon.clone().unwrap_or_else(|| "unknown".to_owned()),
            state(timber),
            if best.is_empty() { "none".to_owned() } else { best.join("; ") },
            if next.is_empty() { "nothing".to_owned() } else { next.join(", ") },
        ]);
    }
    grid
}

/// What to measure or to state next, over all timbers.
pub(super) fn next_of_all(advice: &Advice) -> Grid {
    let mut grid = Grid::new(&[
        ("column or key", Align::Left),
        ("what to do", Align::Left),
        ("timbers", Align::Right),
        ("verdicts that\nwould change", Align::Right),
    ]);
    grid.n_names = 1;
    let row = |next: &crate::study::NextOfAll| {
        vec![next.what.to_owned(), next.act.clone(), next.n_timbers.to_string(), next.n_verdicts.to_string()]
    };
    grid.rows = advice.next.iter().map(row).collect();
    grid
}

fn best_route(route: &RouteAdvice) -> String {
    let word = if route.verdict == RouteVerdict::Suited { " (suited)" } else { "" };
    format!("{}{word}", route.route)
}

/// Zones and how far each is degraded.
pub(super) fn state(timber: &TimberAdvice) -> String {
    let zones = timber.zones.iter().map(|zone| {
        let grade = zone.grade.map_or("unknown", |grade| grade.words());
        format!("{} {}", zone.zone, grade.trim_end_matches(" degraded"))
    });
    zones.collect::<Vec<_>>().join(", ")
}

/// Timbers against routes, a letter a verdict, and what the letters of the routes mean.
pub(super) fn matrix(advice: &Advice, most: usize) -> (Grid, Vec<(String, String)>) {
    let letter = |place: usize| u8::try_from(place).ok().map_or('?', |place| char::from(b'a'.saturating_add(place)));
    let heads: Vec<String> = (0..advice.routes.len()).map(|place| letter(place).to_string()).collect();
    let mut columns = vec![("timber", Align::Left)];
    columns.extend(heads.iter().map(|head| (head.as_str(), Align::Left)));
    let mut grid = Grid::new(&columns);
    grid.n_names = 1;
    for timber in advice.timbers.iter().take(most) {
        let mut row = vec![timber.timber.clone()];
        row.extend(advice.routes.iter().map(|entry| {
            let found = timber.routes.iter().find(|route| route.route == entry.route);
            found.map_or("", |route| mark(route.verdict)).to_owned()
        }));
        grid.rows.push(row);
    }
    let of_route = |(place, entry): (usize, &crate::study::RouteEntry)| {
        (letter(place).to_string(), format!("{} ({})", entry.title, entry.route))
    };
    let mut legend: Vec<(String, String)> = advice.routes.iter().enumerate().map(of_route).collect();
    let marks: Vec<String> =
        RouteVerdict::ALL.iter().map(|verdict| format!("{} {}", mark(*verdict), verdict.word())).collect();
    legend.push(("letters".to_owned(), marks.join(", ")));
    (grid, legend)
}

fn mark(verdict: RouteVerdict) -> &'static str {
    match verdict {
        RouteVerdict::Suited => "S",
        RouteVerdict::Possible => "P",
        RouteVerdict::Doubtful => "D",
        RouteVerdict::Excluded => "x",
    }
}

fn one(view: &mut View, advice: &Advice, timber: &TimberAdvice) {
    let wood = timber.taxon.as_ref().map_or_else(String::new, |taxon| format!(", {taxon}"));
    view.push(Block::Heading(format!("{}{wood}", timber.timber)));
    let zones = timber.zones.iter().map(|zone| {
        let value = |name: &str, value: Option<Value>| {
            let shown = value.map_or_else(|| "unknown".to_owned(), |value| shown(value.value, value.u));
            format!("{name} {shown} %")
        };
        let grade = zone.grade.map_or("grade unknown", |grade| grade.words());
        let numbers = [
            value("max. water content", zone.max_water_content),
            value("residual basic density", zone.residual_basic_density),
        ];
        (zone.zone.to_owned(), format!("{grade}: {} ({})", numbers.join(", "), zone.reason))
    });
    view.push(Block::Legend(zones.collect()));
    if advice.draws > 0 {
        let text = "Shares of draws are under measurement uncertainty only; see the notes below.";
        view.push(Block::Paragraph(text.to_owned()));
    }
    for verdict in RouteVerdict::ALL {
        for route in timber.routes.iter().filter(|route| route.verdict == verdict) {
            view.push(Block::Listing(route_text(route, timber), reasons(advice, route)));
        }
    }
    if !timber.next.is_empty() {
        let items = timber.next.iter().map(|next| (next.what.to_owned(), next_text(next)));
        view.push(Block::Listing(format!("Measure or state next for {}:", timber.timber), items.collect()));
    }
}

/// Verdict, route, share of draws, verdicts of the zones.
pub(super) fn route_text(route: &RouteAdvice, timber: &TimberAdvice) -> String {
    let holds = route.holds.map_or_else(String::new, |share| format!("; in {} of the draws", percent(share)));
    let is_apart = route.zones.iter().any(|zone| *zone != route.verdict);
    let zones =
        timber.zones.iter().zip(&route.zones).map(|(zone, verdict)| format!("{} {}", zone.zone, verdict.word()));
    let zones = if is_apart { format!("; {}", zones.collect::<Vec<_>>().join(", ")) } else { String::new() };
    let trial = if route.trial_piece && route.verdict > RouteVerdict::Excluded { "; a trial piece first" } else { "" };
    format!("{}: {} [{}]{holds}{zones}{trial}", route.title, route.verdict.word(), route.evidence)
}

/// A share in whole per cent; never 0 or 100 where it is not.
pub(super) fn percent(share: f64) -> String {
    match share * 100.0 {
        part if part <= 0.0 || part >= 100.0 => format!("{part:.0} %"),
        part if part < 1.0 => "less than 1 %".to_owned(),
        part if part > 99.0 => "more than 99 %".to_owned(),
        part => format!("{part:.0} %"),
    }
}

/// Reasons that bear on the verdict, and one line for what is open and would matter later.
pub(super) fn reasons(advice: &Advice, route: &RouteAdvice) -> Vec<(String, String)> {
    let is_later = |reason: &&ReasonAdvice| reason.bearing == "open" && reason.at_best > route.verdict;
    let now = route.reasons.iter().filter(|reason| !is_later(reason));
    let mut items: Vec<(String, String)> =
        now.map(|reason| (reason.bearing.to_owned(), reason_text(advice, reason))).collect();
    let mut later: Vec<&str> =
        route.reasons.iter().filter(is_later).flat_map(|reason| reason.missing.clone()).collect();
    later.sort_unstable();
    later.dedup();
    if !later.is_empty() {
        items.push((
            "later".to_owned(),
            format!("Not known, and of no weight before the rest is: {}.", later.join(", ")),
        ));
    }
    items
}

/// What was found, what is said, by whom.
fn reason_text(advice: &Advice, reason: &ReasonAdvice) -> String {
    let zone = reason.zone.filter(|_| reason.found.is_none()).map(|zone| format!("{zone}. ")).unwrap_or_default();
    let missing = match reason.missing.as_slice() {
        [] => String::new(),
        missing => format!("unknown: {}. ", missing.join(", ")),
    };
    let found = reason.found.as_ref().map(|found| format!("{found}. ")).unwrap_or_default();
    let Some(said) = advice.statements.get(reason.statement) else { return format!("{zone}{missing}{found}") };
    let basis = said.basis.map(|basis| format!(", {basis}")).unwrap_or_default();
    let graded =
        if reason.rests_on == said.evidence { String::new() } else { format!("; its grade: {}", reason.rests_on) };
    format!("{zone}{missing}{found}{} ({}) [{}{basis}{graded}]", said.text, said.who, said.evidence)
}

/// What to do and which verdicts would change.
pub(super) fn next_text(next: &NextAdvice) -> String {
    let changes = next.changes.iter().filter(|change| change.at_best != change.from || change.alone != change.from);
    let changes: Vec<String> = changes.map(change_text).collect();
    format!("{}; it would change {}. {}.", next.act, counted(next.n_routes, "verdict"), changes.join("; "))
}

fn change_text(change: &ChangeAdvice) -> String {
    let from = change.from.word();
    if change.alone != change.from || change.also.is_empty() {
        return format!("{} if {}: {from} to {}", change.route, change.found, change.alone.word());
    }
    let at_best = change.at_best.word();
    format!("{} if {}: {from} to {at_best}, if well too: {}", change.route, change.found, change.also.join(", "))
}

/// For which timbers a step is due.
pub(super) fn due(step: &StepAdvice) -> String {
    let named = |timbers: &[String]| {
        let more = timbers.len().saturating_sub(NAMED);
        let shown = timbers.iter().take(NAMED).map(String::as_str).collect::<Vec<_>>().join(", ");
        if more > 0 { format!("{shown} and {more} more") } else { shown }
    };
    match (step.is_always, step.due.as_slice(), step.unknown.as_slice()) {
        (true, ..) => "Every timber.".to_owned(),
        (_, [], []) => "No timber, by what was measured.".to_owned(),
        (_, due, []) => format!("Due: {}.", named(due)),
        (_, [], unknown) => format!("Not known: {}.", named(unknown)),
        (_, due, unknown) => format!("Due: {}. Not known: {}.", named(due), named(unknown)),
    }
}

/// Inputs, end, who decides, what to know.
pub(super) fn step_items(step: &StepAdvice) -> Vec<(String, String)> {
    let mut items = vec![
        ("needed".to_owned(), format!("{}.", step.inputs.join("; "))),
        ("done when".to_owned(), step.stop.shown()),
        ("decides".to_owned(), format!("{}.", step.decides)),
    ];
    items.extend(step.said.iter().map(|said| ("know".to_owned(), said.shown())));
    items
}

/// What each source says.
pub(super) fn sides(one: &DisagreementAdvice) -> Vec<(String, String)> {
    one.sides.iter().map(|side| ("-".to_owned(), side.shown())).collect()
}

fn closing(advice: &Advice) -> String {
    let first = advice.timbers.first().map_or("", |timber| timber.timber.as_str());
    let is_long = advice.timbers.len() <= AT_LENGTH;
    let one =
        if is_long { String::new() } else { format!("One timber with all reasons: --where \"timber == '{first}'\". ") };
    format!(
        "{one}A work in full, or the long story of a word: woodstate explain {{broda-hill-2021, suited, formaldehyde, ...}}"
    )
}
