//! What a depth profile means for the timber, in sentences.

use crate::profile::{DepthModel, DepthProfile, ProfileOptions, Scatter};
use crate::quantity::{counted, shown, shown_value};

use super::curve::Axis;
use super::depth::{DepthNumber, PartState, TimberDepth};

/// Probability below which cores are called different.
const UNLIKELY: f64 = 0.05;

/// Why this model.
pub(super) fn reason(profile: &DepthProfile, options: &ProfileOptions) -> String {
    let Some(fit) = profile.fit() else {
        return format!("none, {} are too few to choose one", counted(profile.n, "increment"));
    };
    let model = fit.shape.model;
    let name = format!("{} ({})", model.word(), model.meaning());
    if options.model.is_some() {
        return format!("{name}, as asked");
    }
    let sharp = profile.choice.considered.iter().any(|entry| {
        entry.model == DepthModel::Logistic && entry.reason == Some(crate::profile::NotWeighed::AsSharpAsAStep)
    });
    let sharp = if sharp && model == DepthModel::Step {
        "; a gradual border is not told from a sharp one by increments this thick"
    } else {
        ""
    };
    match profile.choice.next() {
        Some((next, more)) => {
            format!("{name}, the smallest AICc; next {}, {} more{sharp}", next.word(), shown_value(round(more)))
        }
        None => format!("{name}, the only one that so few increments carry{sharp}"),
    }
}

/// What scatter between cores means.
pub(super) fn of_cores(scatter: &Scatter) -> String {
    match (scatter.n_cores, scatter.probability) {
        (1, _) => "One core: how the timber differs from place to place is unknown.".to_owned(),
        (_, Some(p)) if p < UNLIKELY => {
            "The cores differ by more than their increments scatter: go by the worst of them.".to_owned()
        }
        (_, Some(_)) => {
            "The cores agree within the scatter of their increments; few cores show only large differences.".to_owned()
        }
        (_, None) => "Whether the cores differ cannot be told: too few increments.".to_owned(),
    }
}

/// What a profile comes to; `no_threshold` says why there is no soft rim.
pub(super) fn of_timber(timber: &TimberDepth, value: &Axis, no_threshold: Option<String>) -> Vec<String> {
    let mut said = vec![sampled(timber)];
    match (&timber.soft_rim, &timber.threshold) {
        (Some(_), Some(_)) => said.push(rim(timber)),
        _ => said.extend(no_threshold.map(|why| format!("No soft rim is given: {why}."))),
    }
    said.extend(core(timber));
    let parts = [("soft rim", &timber.rim), ("core", &timber.core)];
    said.extend(parts.into_iter().filter_map(|(name, part)| state(name, part.as_ref()?, value)));
    said.extend(timber.between_cores.as_ref().map(|cores| cores.meaning.clone()));
    said
}

fn sampled(timber: &TimberDepth) -> String {
    let [_, deepest] = timber.depth.unwrap_or_default();
    let core = match timber.cores.len() {
        1 => "1 core".to_owned(),
        n => format!("{n} cores"),
    };
    format!("{}, {core}, {} mm deep.", counted(timber.n, "increment"), shown_value(round(deepest)))
}

fn rim(timber: &TimberDepth) -> String {
    let (Some(rim), Some(threshold)) = (&timber.soft_rim, &timber.threshold) else { return String::new() };
    let unit = if threshold.unit == "1" { String::new() } else { format!(" {}", threshold.unit) };
    let sound = format!("{}{unit} ({})", shown_value(round(threshold.value)), threshold.reason);
    let between = format!("{}{}", between(rim.between), reached(rim.reached));
    match (rim.end, rim.depth) {
        ("none", _) => format!("No soft rim by the curve: sound from the surface on, up to {sound}. {between}"),
        ("found", Some(depth)) => {
            format!("Soft rim {} mm deep{}, sound from {sound}. {between}", number(depth), ends(depth))
        }
        ("beyond_cores", _) => format!("Degraded down to the end of the cores, sound from {sound}. {between}"),
        _ if timber.model.is_some() => {
            format!("The curve disagrees with the increments, which go first; sound from {sound}. {between}")
        }
        _ => format!("Too few increments for a curve; sound from {sound}. {between}"),
    }
}

fn between(ends: [Option<f64>; 2]) -> String {
    let mm = |end: f64| shown_value(round(end));
    match ends {
        [Some(low), Some(high)] => format!("By increments it ends between {} and {} mm.", mm(low), mm(high)),
        [Some(low), None] => format!("By increments it ends deeper than {} mm; no sound increment was found.", mm(low)),
        [None, _] => String::new(),
    }
}

/// How often sound wood is reached at all, where that is not sure.
fn reached(share: Option<f64>) -> String {
    match share {
        Some(share) if share < 0.975 => format!(
            " Within the uncertainty of measurement and of sound wood, the cores reach sound wood in {} of 100 draws.",
            shown_value((100.0 * share).round())
        ),
        _ => String::new(),
    }
}

/// A number with its uncertainty, to a tenth where that is unknown.
pub(super) fn number(number: DepthNumber) -> String {
    shown(if number.u.is_none() { round(number.value) } else { number.value }, number.u)
}

fn ends(number: DepthNumber) -> String {
    let end = |end: Option<f64>| end.map_or_else(|| "open".to_owned(), |end| shown_value(round(end)));
    match number.interval {
        [None, None] => String::new(),
        [low, high] => format!(" [{}, {}]", end(low), end(high)),
    }
}

fn core(timber: &TimberDepth) -> Option<String> {
    let core = timber.sound_core.as_ref()?;
    let section = timber.section.as_ref()?;
    let by = |sizes: Vec<String>| sizes.join(" x ");
    let of = by(section.sizes.iter().map(|size| shown_value(*size)).collect());
    let left = by(core.sizes.iter().map(|size| shown_value(size.value.round())).collect());
    if core.share.value <= 0.0 {
        return Some("No sound wood is left in the section: the rim is as deep as its middle.".to_owned());
    }
    let share = format!("{} %{} of the section", number(core.share), ends(core.share));
    Some(match core.sizes.len() {
        0 => format!("Sound inside it: {share}."),
        1 => format!("Sound inside it: diameter {left} of {of} mm, {share}."),
        _ => format!("Sound inside it: {left} of {of} mm, {share}."),
    })
}

/// State of a part: what is looked at, and the class.
fn state(name: &str, part: &PartState, value: &Axis) -> Option<String> {
    let found = part.values.iter().find(|entry| entry.quantity == value.name)?;
    let unit = if value.unit == "1" { String::new() } else { format!(" {}", value.unit) };
    let number = format!("{} {}{unit}", value.title, shown(found.mean.value, found.mean.u));
    let class = part.degradation_class.as_ref().and_then(|class| {
        let label = class.most_likely.as_ref()?;
        Some(if class.decided { format!(", class {label}") } else { format!(", class {label}, not decided") })
    });
    Some(format!("State of the {name}: {number}{}.", class.unwrap_or_default()))
}

/// To a tenth: depths and criteria are not known better.
fn round(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}
