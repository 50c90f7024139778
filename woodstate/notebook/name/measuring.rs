//! `measured`, `taxon`, `sources`, `settings`, `fmt`: single values and what stands behind numbers.

use starlark::environment::GlobalsBuilder;
use starlark::eval::Evaluator;
use starlark::starlark_module;
use starlark::values::Value;
use starlark::values::none::NoneOr;

use crate::error::{Error, ErrorKind};
use crate::notebook::amount::{Amount, unit};
use crate::notebook::argument::{described, needed_number, optional_number, whole};
use crate::notebook::context::{Context, Limits, context};
use crate::notebook::fault::{failed, refuse, refused};
use crate::notebook::listing::listing;
use crate::notebook::value::{ColumnValue, Outcome, OutcomeValue, SingleValue, StateValue};
use crate::quantity::{Cited, shown};
use crate::reference::{Rank, Reference};
use crate::report::{Block, View, sources_view};

use super::assessing::or_none;

#[starlark_module]
pub(super) fn names(builder: &mut GlobalsBuilder) {
    /// A value with its standard uncertainty and its unit; arithmetic carries both.
    ///
    /// ```text
    /// measured(4.71, 0.01, "g") / measured(4.4, 0.1, "cm3")
    /// ```
    ///
    /// # Arguments
    /// * `value`: the value
    /// * `u`: one standard uncertainty; `None` where nobody knows it
    /// * `unit`: UCUM code such as `"g"`; `"1"` for a plain number
    fn measured<'v>(
        #[starlark(require = pos)] value: Value<'v>,
        #[starlark(require = pos)] u: Value<'v>,
        #[starlark(require = pos)] unit: &str,
    ) -> starlark::Result<SingleValue> {
        single(value, u, unit)
    }

    /// What is known of a wood: its name, and the basic density of its sound wood with the evidence.
    ///
    /// ```text
    /// taxon("oak")
    /// ```
    ///
    /// # Arguments
    /// * `name`: scientific or common name
    fn taxon(#[starlark(require = pos)] name: &str) -> starlark::Result<OutcomeValue> {
        wood(name)
    }

    /// Every published or stated number behind results or a fit, with its evidence.
    ///
    /// ```text
    /// sources(s)
    /// ```
    ///
    /// # Arguments
    /// * `of`: what `assess`, `fit` or `profile` gave
    fn sources<'v>(#[starlark(require = pos)] of: Value<'v>) -> starlark::Result<OutcomeValue> {
        cited(of).map(|cited| OutcomeValue::card("sources", sources_view(cited)))
    }

    /// What holds for this session; with arguments it is changed.
    ///
    /// ```text
    /// settings(coverage=0.9)
    /// ```
    ///
    /// # Arguments
    /// * `seed`: seed of random draws
    /// * `coverage`: coverage of intervals, between 0 and 1
    /// * `memory_mb`: most megabytes that tables and results may hold
    /// * `steps`: most steps of a cell, a step being a turn of a loop or a call
    /// * `calls`: most calls inside calls
    fn settings<'v>(
        #[starlark(require = named)] seed: Option<Value<'v>>,
        #[starlark(require = named)] coverage: Option<Value<'v>>,
        #[starlark(require = named)] memory_mb: Option<Value<'v>>,
        #[starlark(require = named)] steps: Option<Value<'v>>,
        #[starlark(require = named)] calls: Option<Value<'v>>,
        eval: &mut Evaluator<'v, '_, '_>,
    ) -> starlark::Result<OutcomeValue> {
        let context = context(eval)?;
        let number = |value: Option<Value<'v>>, name, limits| value.map(|value| whole(value, name, limits)).transpose();
        if let Some(seed) = number(seed, "seed", [0, u64::MAX])? {
            context.seed.set(Some(seed));
        }
        if let Some(coverage) = coverage {
            let share = needed_number(coverage, "coverage")?;
            if !(share > 0.0 && share < 1.0) {
                return Err(refuse(format!("coverage is {share}, and it lies between 0 and 1"), "coverage=0.95"));
            }
            context.coverage.set(Some(share));
        }
        if let Some(mega) = number(memory_mb, "memory_mb", [1, 1 << 20])? {
            context.ledger.set_most(usize::try_from(mega << 20).unwrap_or(usize::MAX));
        }
        let limits = context.limits.get();
        let steps = number(steps, "steps", [1000, u64::MAX])?.or(limits.steps);
        let calls = number(calls, "calls", [10, 1000])?.and_then(|calls| usize::try_from(calls).ok());
        context.limits.set(Limits { steps, calls: calls.unwrap_or(limits.calls) });
        Ok(set(context))
    }

    /// A number as text with so many digits after the point.
    ///
    /// ```text
    /// fmt(2 / 3, digits=2)
    /// ```
    ///
    /// # Arguments
    /// * `value`: the number, or a value with its uncertainty
    /// * `digits`: digits after the point; without it as many as the uncertainty supports, or four leading ones
    fn fmt<'v>(
        #[starlark(require = pos)] value: Value<'v>,
        #[starlark(require = named, default = NoneOr::None)] digits: NoneOr<Value<'v>>,
    ) -> starlark::Result<String> {
        text(value, or_none(digits))
    }
}

fn single(value: Value<'_>, u: Value<'_>, code: &str) -> starlark::Result<SingleValue> {
    let unit = unit(code).map_err(refused)?;
    let (value, u) = (needed_number(value, "value")?, optional_number(u, "u")?);
    match u {
        Some(u) if u < 0.0 => Err(refuse(format!("u is {u}, and an uncertainty is 0 or more"), "u=0.01")),
        u => Ok(SingleValue(Amount::new(vec![value], [u], unit))),
    }
}

fn wood(name: &str) -> starlark::Result<OutcomeValue> {
    let reference = Reference::shipped().map_err(failed)?;
    let Some(taxon) = reference.taxon(name) else {
        let allowed = reference.near_taxa(name).into_iter().map(str::to_owned).collect::<Vec<_>>();
        let allowed = if allowed.is_empty() { vec!["scientific and common names".to_owned()] } else { allowed };
        return Err(failed(Error::new(ErrorKind::Name { what: "wood", found: name.to_owned(), allowed })));
    };
    let rank = match taxon.rank {
        Rank::Species => "species",
        Rank::Genus => "genus",
        Rank::Type => "wood type",
    };
    let common: Vec<String> =
        taxon.names.iter().map(|(language, names)| format!("{language}: {}", names.join(", "))).collect();
    let density = reference.sound_density(taxon);
    let shown_density = density.as_ref().map_or_else(
        || "unknown".to_owned(),
        |density| format!("{} kg/m3", shown(density.density.value, density.density.u)),
    );
    let rows = [
        ["name".to_owned(), taxon.name.clone()],
        ["rank".to_owned(), rank.to_owned()],
        ["other names".to_owned(), taxon.synonyms.join(", ")],
        ["common names".to_owned(), common.join("; ")],
        ["basic density of sound wood".to_owned(), shown_density],
    ];
    let mut blocks = vec![listing(["wood", ""], rows.into_iter().filter(|row| !row[1].is_empty()))];
    blocks.extend(density.into_iter().flat_map(|density| sources_view(&density.cited).blocks));
    Ok(OutcomeValue::card("taxon", View { blocks }))
}

fn cited<'v>(of: Value<'v>) -> starlark::Result<&'v [Cited]> {
    if let Some(state) = StateValue::from_value(of) {
        return Ok(&state.assessment.sources);
    }
    match OutcomeValue::from_value(of).map(|value| &*value.outcome) {
        Some(Outcome::Fit(curves)) => Ok(&curves.sources),
        Some(Outcome::Profile(profiles)) => Ok(&profiles.sources),
        Some(Outcome::Report(report)) => Ok(&report.assessment.sources),
        Some(Outcome::Advice(advice)) => Ok(&advice.sources),
        _ => Err(refuse(format!("{} rests on no published numbers", described(of)), "sources(assess(t))")),
    }
}

fn set(context: &Context) -> OutcomeValue {
    let of_study = |set: Option<String>| set.unwrap_or_else(|| "as the study file says".to_owned());
    let limits = context.limits.get();
    let mega = |bytes: usize| format!("{} MB", bytes >> 20);
    let rows = [
        ["seed", &of_study(context.seed.get().map(|seed| seed.to_string()))],
        ["coverage", &of_study(context.coverage.get().map(|share| share.to_string()))],
        ["memory_mb", &format!("at most {}, now {}", mega(context.ledger.most()), mega(context.ledger.held()))],
        ["steps", &limits.steps.map_or_else(|| "no limit".to_owned(), |steps| format!("at most {steps} a cell"))],
        ["calls", &format!("at most {} inside each other", limits.calls)],
    ];
    let note = "The study file says the rest. Results that were made keep what held when they were made.";
    let rows = rows.map(|row| row.map(ToOwned::to_owned));
    let blocks = vec![listing(["setting", "value"], rows), Block::Paragraph(note.to_owned())];
    OutcomeValue::card("settings", View { blocks })
}

fn text(value: Value<'_>, digits: Value<'_>) -> starlark::Result<String> {
    let digits = (!digits.is_none()).then(|| whole(digits, "digits", [0, 15])).transpose()?;
    let digits = digits.and_then(|digits| usize::try_from(digits).ok());
    if ColumnValue::from_value(value).is_some() {
        return Err(refuse("fmt takes one number, and this is a column", "[fmt(x, digits=1) for x in c]"));
    }
    match (SingleValue::from_value(value), digits) {
        (Some(single), None) => Ok(single.to_string()),
        (Some(single), Some(digits)) => {
            let number = single.0.value(0).map_or_else(|| "unknown".to_owned(), |value| format!("{value:.digits$}"));
            let u = single.0.u(0).map_or_else(|| "unknown".to_owned(), |u| format!("{u:.digits$}"));
            Ok(format!("{number} ± {u} {}", single.0.unit))
        }
        (None, Some(digits)) => Ok(format!("{:.digits$}", needed_number(value, "value")?)),
        (None, None) => Ok(crate::quantity::shown_value(needed_number(value, "value")?)),
    }
}
