//! `[lift]` of the study file.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Deserialize;

use crate::error::Result;
use crate::lift::Requirement;
use crate::quantity::Measured;

use super::lift_question::{LiftQuestion, StatedStrength, WaterChoice};
use super::lift_stated::{StatedLoad, StatedStation, StatedTimber};
use super::lift_strength::{PROPERTIES, RIM_PROPERTIES};
use super::lift_support::SupportChoice;
use super::origin::{Origin, QuantityText, Spanned, Text};

/// How timbers are lifted and what is required. Nothing here has a usual value but the ways of support that are looked at.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub(super) struct LiftText {
    /// Ways of support that are looked at, such as ["tray", "slings:best", "slings:0.2071", "slings:1.2m", "equalised:4", "ground:best"].
    #[schemars(with = "Vec<String>")]
    supports: Option<Vec<Spanned<String>>>,
    /// Least margin of strength over stress that you require; none is proposed, since none has been published.
    #[schemars(with = "f64")]
    required_margin: Option<Spanned<f64>>,
    /// Probability with which the margin may be missed, such as "1 %"; it goes with `required_margin`.
    #[schemars(with = "QuantityText")]
    accepted_probability: Text,
    /// Water around the timbers when they are lifted: "fresh", "sea", a salinity such as "12 g/kg", a density such as "1010 kg/m3".
    #[schemars(with = "String")]
    water: Option<Spanned<String>>,
    /// Its temperature.
    #[schemars(with = "QuantityText")]
    temperature: Text,
    /// Share of the pores that water fills, such as "80 ± 10 %"; without it all.
    #[schemars(with = "QuantityText")]
    saturation: Text,
    /// Share of the water in the pores that is left after draining, such as "70 ± 10 %": for the drained weight.
    #[schemars(with = "QuantityText")]
    drained: Text,
    /// Concretion, metal or sediment on each timber, such as ["40 ± 10 kg of 2600 kg/m3"]; ["none"] where nothing hangs there.
    #[schemars(with = "Vec<String>")]
    attached: Option<Vec<Spanned<String>>>,
    /// Whether a hollow loses its water when it leaves the water.
    #[schemars(with = "bool")]
    hollow_drains: Option<bool>,
    /// Width of each sling along the timber.
    #[schemars(with = "QuantityText")]
    sling_width: Text,
    /// Angle between slings and level, degrees; 90 hangs upright, as from a spreader.
    #[schemars(with = "f64")]
    sling_angle: Option<Spanned<f64>>,
    /// Dynamic factor for jerks and swell, such as "1.3 ± 0.1".
    #[schemars(with = "String")]
    dynamic: Text,
    /// Standard uncertainty of the place of a sling.
    #[schemars(with = "QuantityText")]
    placing: Text,
    /// What cracks, borers and holes take from every strength, such as "30 %".
    #[schemars(with = "QuantityText")]
    reduction: Text,
    /// Standard uncertainty of every size that has none of its own, such as "2 %".
    #[schemars(with = "QuantityText")]
    size_uncertainty: Text,
    /// Whether bending strength is lowered for the size of the timber.
    #[schemars(with = "bool")]
    size_effect: Option<bool>,
    /// Time under load for which strength is lowered, such as "2 h".
    #[schemars(with = "QuantityText")]
    time_under_load: Text,
    /// Modulus of the rim over that of the core, such as "20 %", where the rim is to count as strength; without it the rim only weighs.
    #[schemars(with = "QuantityText")]
    rim_stiffness: Text,
    /// Strengths that hold for every timber, by their columns; with `rim_` before them those of a rim that counts.
    #[schemars(with = "BTreeMap<String, QuantityText>")]
    strengths: BTreeMap<Spanned<String>, Spanned<QuantityText>>,
    /// What is stated of single timbers, by their names.
    #[schemars(with = "BTreeMap<String, LiftTimberText>")]
    timbers: BTreeMap<String, LiftTimberText>,
}

/// What is stated of one timber alone.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub(super) struct LiftTimberText {
    /// Sections along it, such as ["0 m: 300 x 250 mm", "2.5 m: 280 x 240 mm", "6 m: 200 x 180 mm"]; of a round timber "0 m: 400 mm",
    /// of a hollow one "0 m: 400 mm, bore 150 mm". They take the place of its width, height and diameter.
    #[schemars(with = "Vec<String>")]
    stations: Option<Vec<Spanned<String>>>,
    /// Diameter of a hollow right through a round timber.
    #[schemars(with = "QuantityText")]
    bore: Text,
    /// Concretion, metal or sediment on it, such as ["bolt: 12 kg of 7800 kg/m3 at 1.5 m", "8 kg of 2600 kg/m3 from 0 m to 2 m"].
    #[schemars(with = "Vec<String>")]
    attached: Option<Vec<Spanned<String>>>,
    /// Share of its pores that water fills.
    #[schemars(with = "QuantityText")]
    saturation: Text,
    /// What damage takes from every strength of it.
    #[schemars(with = "QuantityText")]
    reduction: Text,
}

const PER_CENT: (f64, f64) = (0.0, 100.0);

/// Reads `[lift]`.
pub(super) fn lift(origin: &Origin<'_>, text: &LiftText) -> Result<LiftQuestion> {
    let usual = LiftQuestion::usual();
    let question = LiftQuestion {
        supports: each(origin, text.supports.as_ref(), SupportChoice::parse)?.unwrap_or(usual.supports.clone()),
        required: Requirement {
            margin: text.required_margin.as_ref().map(|margin| *margin.as_ref()),
            probability: share(origin, &text.accepted_probability)?.map(|share| share.value),
        },
        sling_width: origin.positive(&text.sling_width, "mm")?.map(|width| 1e-3 * width),
        sling_angle: text.sling_angle.as_ref().map(|angle| *angle.as_ref()),
        dynamic: told(origin, &text.dynamic, LiftQuestion::factor)?,
        placing: origin.positive(&text.placing, "mm")?.map(|placing| 1e-3 * placing),
        water: match &text.water {
            Some(water) => {
                let read = WaterChoice::parse(water.as_ref());
                Some(read.map_err(|error| origin.fault(water.span().start, error.to_string()))?)
            }
            None => None,
        },
        temperature: origin.within(&text.temperature, "Cel", (-2.0, 40.0))?,
        saturation: share(origin, &text.saturation)?,
        drained: share(origin, &text.drained)?,
        attached: each(origin, text.attached.as_ref(), StatedLoad::parse)?.unwrap_or_default(),
        hollow_drains: text.hollow_drains.unwrap_or_default(),
        strengths: strengths(origin, text)?,
        reduction: share(origin, &text.reduction)?.map(|share| share.value),
        size_uncertainty: share(origin, &text.size_uncertainty)?.map(|share| share.value),
        size_effect: text.size_effect.unwrap_or_default(),
        time_under_load: origin.positive(&text.time_under_load, "h")?.map(|hours| 3600.0 * hours),
        rim_stiffness: origin.positive(&text.rim_stiffness, "%")?.map(|share| share / 100.0),
        timbers: text
            .timbers
            .iter()
            .map(|(name, text)| Ok((name.clone(), timber(origin, text)?)))
            .collect::<Result<_>>()?,
        ..usual
    };
    let places =
        [text.required_margin.as_ref().map(Spanned::span), text.accepted_probability.as_ref().map(Spanned::span)];
    let at = places.into_iter().flatten().next().map_or(0, |span| span.start);
    question.required.check().map_err(|error| origin.fault(at, error.to_string()))?;
    if let Some(angle) = text.sling_angle.as_ref().filter(|angle| !(*angle.as_ref() > 0.0 && *angle.as_ref() <= 90.0)) {
        let say = format!("sling_angle is {} degrees; allowed is a number above 0 and up to 90", angle.as_ref());
        return Err(origin.fault(angle.span().start, say));
    }
    Ok(question)
}

/// A text by a reader of its own, whose words are told at its place.
fn told<T>(origin: &Origin<'_>, text: &Text, read: fn(&str) -> Result<T>) -> Result<Option<T>> {
    let Some(text) = text else { return Ok(None) };
    read(&text.as_ref().0).map(Some).map_err(|error| origin.fault(text.span().start, error.to_string()))
}

fn each<T>(
    origin: &Origin<'_>,
    texts: Option<&Vec<Spanned<String>>>,
    read: fn(&str) -> Result<T>,
) -> Result<Option<Vec<T>>> {
    let one = |text: &Spanned<String>| {
        read(text.as_ref()).map_err(|error| origin.fault(text.span().start, error.to_string()))
    };
    texts.map(|texts| texts.iter().map(one).collect()).transpose()
}

/// A share in per cent, as a number from 0 to 1.
fn share(origin: &Origin<'_>, text: &Text) -> Result<Option<Measured>> {
    let found = origin.within(text, "%", PER_CENT)?;
    Ok(found.map(|found| Measured { value: found.value / 100.0, u: found.u.map(|u| u / 100.0) }))
}

fn strengths(origin: &Origin<'_>, text: &LiftText) -> Result<Vec<StatedStrength>> {
    let one = |(name, value): (&Spanned<String>, &Spanned<QuantityText>)| {
        let known = PROPERTIES.iter().chain(&RIM_PROPERTIES).copied().collect::<Vec<_>>();
        if !known.contains(&name.as_ref().as_str()) {
            let say = format!("\"{}\" is not one of {}", name.as_ref(), known.join(", "));
            return Err(origin.fault(name.span().start, say));
        }
        let stated = origin.measured(&Some(value.clone()), "MPa")?;
        match stated {
            Some(strength) if strength.value <= 0.0 => {
                Err(origin.fault(value.span().start, format!("{} MPa is not above 0", strength.value)))
            }
            stated => Ok(stated.map(|value| StatedStrength { property: name.as_ref().clone(), value })),
        }
    };
    text.strengths.iter().filter_map(|entry| one(entry).transpose()).collect()
}

fn timber(origin: &Origin<'_>, text: &LiftTimberText) -> Result<StatedTimber> {
    let stated = StatedTimber {
        stations: each(origin, text.stations.as_ref(), StatedStation::parse)?.unwrap_or_default(),
        bore: origin.positive(&text.bore, "mm")?.map(|bore| 1e-3 * bore),
        attached: each(origin, text.attached.as_ref(), StatedLoad::parse)?.unwrap_or_default(),
        saturation: share(origin, &text.saturation)?,
        reduction: share(origin, &text.reduction)?.map(|share| share.value),
    };
    let at = text.stations.as_ref().and_then(|stations| stations.first()).map_or(0, |first| first.span().start);
    stated.by_stations(None).map_err(|error| origin.fault(at, error.to_string()))?;
    Ok(stated)
}
