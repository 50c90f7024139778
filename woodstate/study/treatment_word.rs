//! Words of treatment that have a story: verdicts, routes, rules, steps, keys of `[laboratory]`, dangers and substances.

use crate::reference::{Hazard, Reference, RouteRule, RouteVerdict, TreatmentRoute, TreatmentStep};

use super::advice::Said;
use super::laboratory::LABORATORY_KEYS;
use super::{Safety, SafetyForm};

/// Kind of a word, and name and text of each item.
pub(super) type Told = (&'static str, Vec<(&'static str, String)>);

/// The stories of a word.
pub(super) fn treatment_stories(word: &str, reference: &'static Reference) -> Vec<Told> {
    let said = |text: &str| vec![("meaning", text.to_owned())];
    let verdict = RouteVerdict::ALL.iter().find(|verdict| verdict.word() == word);
    let route = reference.routes().iter().find(|route| route.word == word);
    let rule = rules(reference).find(|rule| rule.word == word);
    let step = reference.treatment_steps().iter().find(|step| step.word == word);
    let key = LABORATORY_KEYS.iter().find(|(key, _)| *key == word);
    let found = [
        ("verdict", verdict.map(|verdict| said(verdict.meaning()))),
        ("route of treatment", route.map(|route| of_route(route, reference))),
        ("rule for routes", rule.map(|rule| of_rule(rule, reference))),
        ("step before treatment", step.map(|step| of_step(step, reference))),
        ("key of [laboratory]", key.map(|(_, what)| said(what))),
        ("danger", of_hazard(word, reference)),
    ];
    found.into_iter().filter_map(|(what, items)| Some((what, items?))).collect()
}

/// Every word of treatment that has a story.
pub(super) fn treatment_words(reference: &Reference) -> impl Iterator<Item = &str> {
    let verdicts = RouteVerdict::ALL.iter().map(|verdict| verdict.word());
    let routes = reference.routes().iter().map(|route| route.word.as_str());
    let rules = rules(reference).map(|rule| rule.word.as_str());
    let steps = reference.treatment_steps().iter().map(|step| step.word.as_str());
    let limits = reference.hazards().iter().flat_map(|hazard| &hazard.limits).map(|limit| limit.agent.as_str());
    let hazards = reference.hazards().iter().map(|hazard| hazard.word.as_str());
    let keys = LABORATORY_KEYS.iter().map(|(key, _)| *key);
    verdicts.chain(routes).chain(rules).chain(steps).chain(keys).chain(hazards).chain(limits)
}

fn rules(reference: &Reference) -> impl Iterator<Item = &RouteRule> {
    reference.routes().iter().flat_map(|route| &route.rules)
}

fn of_route(route: &'static TreatmentRoute, reference: &'static Reference) -> Vec<(&'static str, String)> {
    let shown = |said| Said::of(said, reference).shown();
    let mut items = vec![("title", route.title.clone()), ("meaning", route.about.clone())];
    items.extend(
        route.irreversible.iter().map(|said| ("irreversible", format!("{} A trial piece comes first.", shown(said)))),
    );
    let support = |support: &'static crate::reference::Support| {
        ("for", format!("{}: {}", support.basis.words(), shown(&support.said)))
    };
    items.extend(route.supports.iter().map(support));
    items.extend(route.rules.iter().map(|rule| ("limits", format!("{}: at best {}", rule.word, rule.verdict.word()))));
    items.extend(route.procedure.iter().map(|said| ("procedure", shown(said))));
    let dangers: Vec<&str> = reference.hazards_of(&route.word).map(|hazard| hazard.word.as_str()).collect();
    if !dangers.is_empty() {
        items.push(("dangers", format!("{}. {}", dangers.join(", "), reference.safety_deferral())));
    }
    items
}

fn of_rule(rule: &'static RouteRule, reference: &'static Reference) -> Vec<(&'static str, String)> {
    vec![
        ("meaning", Said::of(&rule.said, reference).shown()),
        ("where it holds", format!("at best {}", rule.verdict.word())),
        ("where that is not known", format!("at best {}", rule.unknown.word())),
    ]
}

fn of_step(step: &'static TreatmentStep, reference: &'static Reference) -> Vec<(&'static str, String)> {
    let shown = |said| Said::of(said, reference).shown();
    let mut items = vec![
        ("title", step.title.clone()),
        ("needed", step.inputs.join("; ")),
        ("done when", shown(&step.stop)),
        ("decides", step.decides.clone()),
    ];
    items.extend(step.said.iter().map(|said| ("know", shown(said))));
    items
}

/// A danger by its word, or the dangers that a substance belongs to.
fn of_hazard(word: &str, reference: &Reference) -> Option<Vec<(&'static str, String)>> {
    let is_meant = |hazard: &&Hazard| hazard.word == word || hazard.limits.iter().any(|limit| limit.agent == word);
    let words = reference.hazards().iter().filter(is_meant).map(|hazard| hazard.word.as_str());
    let safety = Safety::of(reference, words, SafetyForm::Long).ok().filter(|safety| !safety.notes.is_empty())?;
    Some(safety.lines().into_iter().map(|line| ("safety", line)).collect())
}
