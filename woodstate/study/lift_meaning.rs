//! What a lift comes to, in sentences that can be read aloud.

use crate::lift::{Check, Support, SupportOutcome, Verdict, Why};
use crate::quantity::{shown, shown_value};

use super::lift_number::LiftNumber;
use super::lift_plan::{Damage, Plan};
use super::lift_question::LiftQuestion;
use super::lift_timber::{LiftAnswer, SupportLift, TimberLift};

/// Why a way of support is not known to hold; `None` where it is, or where nothing is decided.
pub(super) fn reason(
    verdict: &Verdict,
    found: &SupportOutcome,
    plan: &Plan,
    question: &LiftQuestion,
) -> Option<String> {
    let wanted = question.required.margin.map_or_else(String::new, shown_value);
    match verdict {
        Verdict::FullLength | Verdict::Met | Verdict::NotAsked | Verdict::ProbabilityNotAsked => None,
        Verdict::Not(Why::Impossible) => found.impossible.clone(),
        Verdict::Not(Why::Unknown(checks)) => Some(match (&plan.damage, plan.reduction) {
            (Damage::There(what), None) => format!("{what}: no margin without a stated reduction (--reduction)"),
            _ => unknown(found, checks),
        }),
        Verdict::Not(Why::Margin) => {
            let check = found.governing.map_or("", Check::title);
            let margin = found.margin.map_or_else(String::new, |margin| shown_value(margin.value));
            Some(format!("margin {margin} against {check} is below the required {wanted}"))
        }
        Verdict::Not(Why::ProbabilityUnknown) if question.draws == 0 => {
            Some("no draws were made, so nobody knows how surely the margin is met".to_owned())
        }
        Verdict::Not(Why::ProbabilityUnknown) => {
            Some("the uncertainty of an input is unknown, so nobody knows how surely the margin is met".to_owned())
        }
        Verdict::Not(Why::Probability) => {
            let share = found.probability_below?;
            let accepted = question.required.probability.map_or_else(String::new, |share| shown_value(100.0 * share));
            Some(format!(
                "the margin is below {wanted} with a probability of up to {} %, and {accepted} % is accepted",
                shown_value(100.0 * share.interval.high)
            ))
        }
    }
}

fn unknown(found: &SupportOutcome, checks: &[Check]) -> String {
    let is_strength =
        |check: &&Check| found.checks.iter().any(|checked| checked.check == **check && checked.strength.is_none());
    let mut strengths: Vec<&str> = checks.iter().filter(is_strength).map(|check| check.strength()).collect();
    strengths.dedup();
    let mut parts = Vec::new();
    if !strengths.is_empty() {
        parts.push(format!("strength unknown: {}", strengths.join(", ").replace('_', " ")));
    }
    let has_no_width = |check: &Check| {
        *check == Check::Bearing
            && found.support != Support::Tray
            && found.checks.iter().any(|checked| checked.check == Check::Bearing && checked.stress.is_none())
    };
    if checks.iter().any(has_no_width) {
        parts.push("pressure under slings unknown: state --sling-width".to_owned());
    }
    parts.join("; ")
}

/// The way of support that is the answer: the one with the largest margin of those that meet what is required, or the tray.
pub(super) fn answer(lift: &TimberLift, question: &LiftQuestion) -> LiftAnswer {
    let margin = |support: &SupportLift| support.margin.as_ref().map_or(f64::NEG_INFINITY, |margin| margin.value);
    let met = lift.supports.iter().filter(|support| support.verdict == "met");
    if let Some(best) = met.max_by(|a, b| margin(a).total_cmp(&margin(b))) {
        let reason = match (&best.margin, &best.probability_below_required) {
            (Some(margin), Some(below)) => {
                format!("margin {}, below the required one in {} % of the draws", number(margin), percent(below.value))
            }
            _ => "what is required is met".to_owned(),
        };
        let is_upper_bound = lift.strengths.iter().any(|found| found.strength.route == Some("handbook"));
        let bound =
            if is_upper_bound { "; by handbook strengths of sound wood, an upper bound for decayed wood" } else { "" };
        return LiftAnswer { support: best.support.clone(), is_met: true, reason: format!("{reason}{bound}") };
    }
    let with_slings: Vec<&SupportLift> =
        lift.supports.iter().filter(|support| support.verdict != "full_length").collect();
    let nearest = with_slings.iter().copied().max_by(|a, b| margin(a).total_cmp(&margin(b)));
    let reason = match (question.required.margin, nearest) {
        (_, None) => "no way with slings was asked for".to_owned(),
        (_, Some(SupportLift { reason: Some(reason), title, .. })) => format!("{title}: {reason}"),
        (None, Some(_)) => "no required margin is stated, so no way with slings is known to be enough".to_owned(),
        (Some(_), Some(_)) => {
            "the margin is met by the stated values; whether it is met surely enough needs --accepted-probability"
                .to_owned()
        }
    };
    LiftAnswer { support: "tray".to_owned(), is_met: false, reason }
}

fn number(number: &LiftNumber) -> String {
    number.u.map_or_else(|| shown_value(number.value), |u| shown(number.value, Some(u)))
}

fn percent(share: f64) -> String {
    shown_value(100.0 * share)
}

/// Metres to the centimetre, as a tape is read.
fn tape(metres: f64) -> String {
    format!("{metres:.2} m")
}

pub(super) fn meaning(lift: &TimberLift) -> Vec<String> {
    let mut said = Vec::new();
    let (air, under) = (number(&lift.mass_in_air), number(&lift.mass_submerged));
    said.push(match &lift.growth {
        Some(growth) => format!(
            "{air} kg in the air, {under} kg under water: it grows {} times heavier while it breaks the surface.",
            shown_value((growth.value * 10.0).round() / 10.0)
        ),
        None => format!("{air} kg in the air; under water it floats ({under} kg)."),
    });
    if let Some(drained) = &lift.mass_drained {
        said.push(format!("Drained as stated it weighs {} kg.", number(drained)));
    }
    let name = |word: &str| match lift.supports.iter().find(|support| support.support == word) {
        Some(support) => support.title.clone(),
        None => "tray along the full length".to_owned(),
    };
    let tray = format!(
        "Tray: inside at least {} long and {:.0} mm wide for a timber {:.0} mm high, padding on top.",
        tape(lift.tray.length),
        lift.tray.width,
        lift.tray.height
    );
    if lift.answer.is_met {
        said.push(format!("Meets what is required: {} ({}).", name(&lift.answer.support), lift.answer.reason));
    } else {
        said.push(format!("Support it along the full length. Why not in slings: {}.", lift.answer.reason));
        said.push(tray);
    }
    if let Some(best) = &lift.best_slings {
        let cost = best.placing_cost.get(1).or(best.placing_cost.first());
        let cost = cost.map_or_else(String::new, |cost| {
            format!(
                "; {:.0} mm off their places they bend it up to {} times as much",
                1e3 * cost.error,
                shown_value((cost.times * 100.0).round() / 100.0)
            )
        });
        said.push(format!(
            "Two slings bend it least {} from the start and {} from the end{cost}.",
            tape(best.from_start),
            tape(best.from_end)
        ));
    }
    said
}
