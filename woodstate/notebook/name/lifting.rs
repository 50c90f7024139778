//! `lift`: what timbers weigh and whether they can bear it out of the water.

use std::collections::BTreeMap;

use starlark::environment::GlobalsBuilder;
use starlark::eval::Evaluator;
use starlark::starlark_module;
use starlark::values::Value;
use starlark::values::none::NoneOr;

use crate::notebook::argument::{described, optional_number, whole};
use crate::notebook::context::context;
use crate::notebook::fault::{failed, refuse};
use crate::notebook::value::{Outcome, OutcomeValue, StateValue, TableValue};
use crate::study::{LiftQuestion, StatedLoad, Study, SupportChoice, TypedTimber, lift, lift_typed};
use crate::table::Batch;

use super::assessing::{or_none, state_of};
use super::typed::typed;
use super::words::words;

#[starlark_module]
pub(super) fn names(builder: &mut GlobalsBuilder) {
    /// Weight of timbers, and whether each bears it out of the water in every way of support. A screening estimate, no
    /// lifting plan: local codes and licensed lifting practice decide.
    ///
    /// Quantities are texts with their unit, with ± where it is known, or values such as `measured(40, 10, "kg")`. Without a
    /// table one timber is typed: length, width and height or diameter, `basic_density`.
    ///
    /// ```text
    /// lift(s, sling_width="100 mm", dynamic="1.3 ± 0.1")
    /// ```
    ///
    /// # Arguments
    /// * `table`: what `read` or `assess` gave, or a part of it chosen by `where`
    /// * `support`: ways such as `"tray"`, `"slings:best"`, `"slings:0.2071"`, `"equalised:4"`, `"ground:best"`; one or a list
    /// * `required_margin`: least margin of strength over stress that you require; none is proposed, since none has been published
    /// * `accepted_probability`: probability with which the margin may be missed, such as `"1 %"`
    /// * `water`: water in and around the timber: fresh, sea, a salinity such as `"12 g/kg"`, a density such as `"1010 kg/m3"`
    /// * `temperature`: of the water, such as `"8 ± 2 Cel"`
    /// * `saturation`: share of the pores that water fills, such as `"80 ± 10 %"`; without it all
    /// * `drained`: share of the water in the pores that is left after draining, such as `"70 ± 10 %"`
    /// * `attached`: concretion, metal or sediment on each timber, such as `"40 ± 10 kg of 2600 kg/m3"`; one or a list
    /// * `hollow_drains`: a hollow loses its water when it leaves the water
    /// * `sling_width`: width of each sling along the timber, such as `"100 mm"`
    /// * `sling_angle`: angle between slings and level in degrees; 90 hangs upright
    /// * `dynamic`: dynamic factor for jerks and swell, such as `"1.3 ± 0.1"`
    /// * `placing`: standard uncertainty of the place of a sling, such as `"50 mm"`
    /// * `reduction`: what cracks, borers and holes take from every strength, such as `"30 %"`
    /// * `size_uncertainty`: standard uncertainty of every size that has none of its own, such as `"2 %"`
    /// * `size_effect`: lower bending strength for the size of the timber (dry Douglas-fir, handbook)
    /// * `time_under_load`: lower strength for a load that lasts, such as `"2 h"` (dry wood, curve of Madison)
    /// * `rim_stiffness`: modulus of the rim over that of the core, such as `"20 %"`, where the rim is to count as strength
    /// * `bending_strength`: where you know it, such as `"12 ± 3 MPa"`
    /// * `compression_parallel`: compression strength along the grain
    /// * `shear_parallel`: shear strength along the grain
    /// * `compression_perpendicular`: compression across the grain at the proportional limit
    /// * `bending_modulus`: modulus of elasticity, for the sag
    /// * `length`: of one timber that is typed, such as `"6 m"`
    /// * `width`: across, such as `"250 mm"`
    /// * `height`: as it hangs
    /// * `diameter`: of a round timber
    /// * `bore`: diameter of a hollow right through
    /// * `basic_density`: such as `"560 ± 30 kg/m3"`
    /// * `rim`: depth of the soft rim; `basic_density` is then that of the core
    /// * `rim_density`: basic density of the soft rim
    /// * `taxon`: wood, such as `"oak"`: for handbook strengths
    /// * `draws`: random draws of each timber; 0 for none
    fn lift<'v>(
        #[starlark(require = pos, default = NoneOr::None)] table: NoneOr<Value<'v>>,
        #[starlark(require = named, default = NoneOr::None)] support: NoneOr<Value<'v>>,
        #[starlark(require = named)] required_margin: Option<Value<'v>>,
        #[starlark(require = named)] accepted_probability: Option<Value<'v>>,
        #[starlark(require = named)] water: Option<Value<'v>>,
        #[starlark(require = named)] temperature: Option<Value<'v>>,
        #[starlark(require = named)] saturation: Option<Value<'v>>,
        #[starlark(require = named)] drained: Option<Value<'v>>,
        #[starlark(require = named, default = NoneOr::None)] attached: NoneOr<Value<'v>>,
        #[starlark(require = named, default = false)] hollow_drains: bool,
        #[starlark(require = named)] sling_width: Option<Value<'v>>,
        #[starlark(require = named)] sling_angle: Option<Value<'v>>,
        #[starlark(require = named)] dynamic: Option<Value<'v>>,
        #[starlark(require = named)] placing: Option<Value<'v>>,
        #[starlark(require = named)] reduction: Option<Value<'v>>,
        #[starlark(require = named)] size_uncertainty: Option<Value<'v>>,
        #[starlark(require = named, default = false)] size_effect: bool,
        #[starlark(require = named)] time_under_load: Option<Value<'v>>,
        #[starlark(require = named)] rim_stiffness: Option<Value<'v>>,
        #[starlark(require = named)] bending_strength: Option<Value<'v>>,
        #[starlark(require = named)] compression_parallel: Option<Value<'v>>,
        #[starlark(require = named)] shear_parallel: Option<Value<'v>>,
        #[starlark(require = named)] compression_perpendicular: Option<Value<'v>>,
        #[starlark(require = named)] bending_modulus: Option<Value<'v>>,
        #[starlark(require = named)] length: Option<Value<'v>>,
        #[starlark(require = named)] width: Option<Value<'v>>,
        #[starlark(require = named)] height: Option<Value<'v>>,
        #[starlark(require = named)] diameter: Option<Value<'v>>,
        #[starlark(require = named)] bore: Option<Value<'v>>,
        #[starlark(require = named)] basic_density: Option<Value<'v>>,
        #[starlark(require = named)] rim: Option<Value<'v>>,
        #[starlark(require = named)] rim_density: Option<Value<'v>>,
        #[starlark(require = named)] taxon: Option<Value<'v>>,
        #[starlark(require = named)] draws: Option<Value<'v>>,
        eval: &mut Evaluator<'v, '_, '_>,
    ) -> starlark::Result<OutcomeValue> {
        let timber = typed([
            ("length", length),
            ("width", width),
            ("height", height),
            ("diameter", diameter),
            ("bore", bore),
            ("basic_density", basic_density),
            ("rim", rim),
            ("rim_density", rim_density),
            ("taxon", taxon),
        ])?;
        let handling = typed([
            ("accepted_probability", accepted_probability),
            ("water", water),
            ("temperature", temperature),
            ("saturation", saturation),
            ("drained", drained),
            ("sling_width", sling_width),
            ("dynamic", dynamic),
            ("placing", placing),
            ("reduction", reduction),
            ("size_uncertainty", size_uncertainty),
            ("time_under_load", time_under_load),
            ("rim_stiffness", rim_stiffness),
            ("bending_strength", bending_strength),
            ("compression_parallel", compression_parallel),
            ("shear_parallel", shear_parallel),
            ("compression_perpendicular", compression_perpendicular),
            ("bending_modulus", bending_modulus),
        ])?;
        let number = |value: Option<Value<'v>>, name| value.map_or(Ok(None), |value| optional_number(value, name));
        let draws = draws.map(|n| whole(n, "draws", [0, 1_000_000])).transpose()?;
        let draws = draws.and_then(|draws| usize::try_from(draws).ok());
        let asked = |mut question: LiftQuestion| {
            question.supports = each(support, "support", SupportChoice::parse)?.unwrap_or(question.supports);
            question.attached = each(attached, "attached", StatedLoad::parse)?.unwrap_or(question.attached);
            question.sling_angle = number(sling_angle, "sling_angle")?.or(question.sling_angle);
            question.required.margin = number(required_margin, "required_margin")?.or(question.required.margin);
            question.hollow_drains |= hollow_drains;
            question.size_effect |= size_effect;
            handling.iter().try_for_each(|(key, text)| question.set(key, text)).map_err(failed)?;
            if question.required.probability.is_some() && question.required.margin.is_none() {
                let cure = "required_margin=..., yours to agree on; none is proposed";
                return Err(refuse("accepted_probability needs a margin that may be missed", cure));
            }
            Ok(question)
        };
        let context = context(eval)?;
        let Some(table) = table.into_option() else {
            if timber.is_empty() {
                let cure =
                    "lift(s), or one timber: lift(length=\"6 m\", diameter=\"300 mm\", basic_density=\"560 kg/m3\")";
                return Err(refuse("nothing is named to lift", cure));
            }
            let said: BTreeMap<&str, &str> = timber.iter().map(|(key, text)| (*key, text.as_str())).collect();
            let timber = TypedTimber::parse(&said).map_err(failed)?;
            let study = context.settled(Study::unstated().map_err(failed)?);
            let mut question = asked(study.lift.clone())?;
            question.draws = draws.unwrap_or(question.draws);
            let lifts = lift_typed(&study, &timber, &question, &context.watch()).map_err(failed)?;
            return Ok(OutcomeValue::new(Outcome::Lift(Box::new(lifts))));
        };
        if let Some((name, _)) = timber.first() {
            return Err(refuse(format!("{name} is of one timber that is typed, and a table is named too"), "lift(s)"));
        }
        let (study, batch, condition) = wood(table)?;
        context.compare(&batch);
        let mut question = asked(study.lift.clone())?;
        question.condition = condition;
        question.draws = draws.unwrap_or(OF_BATCH);
        let lifts = lift(&context.settled(study), batch, &question, &context.keeping()).map_err(failed)?;
        OutcomeValue::whole(Outcome::Lift(Box::new(lifts)), context)
    }
}

/// One text or a list, each read by a reader of its own; `None` where nothing was said. One text may hold a comma.
fn each<T>(
    said: NoneOr<Value<'_>>,
    name: &str,
    read: fn(&str) -> crate::error::Result<T>,
) -> starlark::Result<Option<Vec<T>>> {
    let value = or_none(said);
    let texts = match value.unpack_str() {
        Some(text) => vec![text.to_owned()],
        None => words(value, name)?,
    };
    let read = texts.iter().map(|text| read(text).map_err(failed)).collect::<starlark::Result<Vec<_>>>()?;
    Ok((!read.is_empty()).then_some(read))
}

/// Draws of each timber of a batch, where nobody says how many.
const OF_BATCH: usize = 2000;

/// Study, batch and condition of a table or of results.
fn wood(table: Value<'_>) -> starlark::Result<(Study, Batch, Option<String>)> {
    if let Some(table) = TableValue::from_value(table) {
        return Ok((Study::clone(&table.study), Batch::clone(&table.batch), None));
    }
    if StateValue::from_value(table).is_none() {
        let text = format!("a table or results are needed, and this is {}", described(table));
        return Err(refuse(text, "first: t = read(\"samples.csv\"); then: lift(t)"));
    }
    let state = state_of(table, "lifted")?;
    Ok((Study::clone(&state.study), state.assessment.batch.clone(), state.condition.clone()))
}
