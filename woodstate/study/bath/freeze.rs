//! `bath freeze`: whether ice in the wood can dry at the pressure of a chamber.

use schemars::JsonSchema;
use serde::Serialize;

use super::caution::BathCaution;
use crate::error::{BathCautionCode, Error, ErrorKind, Result};
use crate::quantity::{Cited, shown_value};
use crate::reference::Reference;
use crate::study::SafetyForm;
use crate::study::envelope::{Program, SCHEMA_VERSION};
use crate::study::safety::Safety;
use crate::treatment::VapourCurve;

/// What freeze-drying is asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FreezeQuestion {
    /// Temperature of the wood in its centre, °C.
    pub wood_temperature: f64,
    /// Pressure of the chamber at the wood, Pa.
    pub chamber_pressure: f64,
    /// Eutectic temperature of the solution in the wood, °C; `None` where unknown.
    pub eutectic: Option<f64>,
    /// How much of the safety notes is shown.
    pub safety: SafetyForm,
}

/// The outcome of `bath freeze`.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct BathFreezing {
    /// Version of this form.
    pub schema_version: u32,
    /// `bath_freeze`.
    pub kind: &'static str,
    /// The program.
    pub program: Program,
    /// Temperature of the wood in its centre, Cel.
    pub wood_temperature: f64,
    /// Pressure of the chamber at the wood, Pa.
    pub chamber_pressure: f64,
    /// Eutectic temperature of the solution in the wood, Cel; `None` where unknown.
    pub eutectic: Option<f64>,
    /// Pressure of the vapour over ice of the temperature of the wood, Pa.
    pub vapour_pressure: f64,
    /// Temperature at which ice comes to rest at the pressure of the chamber, Cel.
    pub resting_temperature: f64,
    /// Whether the pressure lets ice dry: necessary, never sufficient.
    pub is_pressure_low_enough: bool,
    /// Whether the wood is below the eutectic temperature; `None` where that is unknown.
    pub is_frozen_through: Option<bool>,
    /// What it comes to, in sentences.
    pub meaning: Vec<String>,
    /// What to know before the pump is started.
    pub cautions: Vec<BathCaution>,
    /// Dangers, with limits of exposure.
    pub safety: Safety,
    /// Numbers behind it.
    pub sources: Vec<Cited>,
}

/// Warmest and coldest temperature of frozen wood that is taken, °C.
const TEMPERATURES: [f64; 2] = [-80.0, 0.0];

/// Compares ice in the wood with the pressure of a chamber.
///
/// ```text
/// log₁₀(p/Pa) = A − B/T
/// ```
///
/// ([`VapourCurve`]) Ice dries only below the pressure of its vapour, and only wood that is below its eutectic temperature is
/// frozen through. Both are necessary, and together they are not sufficient.
///
/// # Errors
/// [`ErrorKind::Range`] for a temperature of the wood outside −80 to 0 °C, a pressure that is not above 0, or an eutectic
/// temperature outside −80 to 0 °C.
///
/// # Example
/// ```
/// use woodstate::study::{FreezeQuestion, SafetyForm, bath_freeze};
/// let question =
///     FreezeQuestion { wood_temperature: -30.0, chamber_pressure: 10.0, eutectic: None, safety: SafetyForm::Short };
/// let outcome = bath_freeze(&question)?;
/// assert!((outcome.vapour_pressure - 38.27).abs() < 5e-3 && outcome.is_pressure_low_enough);
/// // Without the eutectic temperature there is no go-ahead.
/// assert_eq!(outcome.is_frozen_through, None);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
///
/// # Source
/// The form of August's law; A and B from memory.
pub fn bath_freeze(question: &FreezeQuestion) -> Result<BathFreezing> {
    let reference = Reference::shipped()?;
    let frozen = |name: &str, value: f64| match (TEMPERATURES[0]..=TEMPERATURES[1]).contains(&value) {
        true => Ok(value),
        false => {
            let allowed = format!("{} to {} Cel", TEMPERATURES[0], TEMPERATURES[1]);
            Err(Error::new(ErrorKind::Range { name: name.to_owned(), value, allowed }))
        }
    };
    let wood = frozen("temperature of the frozen wood", question.wood_temperature)?;
    let eutectic = question.eutectic.map(|eutectic| frozen("eutectic temperature", eutectic)).transpose()?;
    let constant = |name: &str| {
        let file = "constants.toml";
        let text = || format!("no constant \"{name}\"");
        reference.constant(name).ok_or_else(|| Error::new(ErrorKind::Reference { file, text: text() }))
    };
    let (a, b) = (constant("ice_vapour_a")?, constant("ice_vapour_b")?);
    let curve = VapourCurve::new(a.value, b.value)?;
    let vapour = curve.pressure(wood)?;
    let resting = curve.temperature(question.chamber_pressure)?;
    let is_low = question.chamber_pressure < vapour;
    let is_frozen = eutectic.map(|eutectic| wood < eutectic);
    let mut cautions = Vec::new();
    let tenth = |value: f64| shown_value((value * 10.0).round() / 10.0);
    if !is_low {
        let detail =
            format!("{} Pa in the chamber, {} Pa over the ice", tenth(question.chamber_pressure), tenth(vapour));
        cautions.push(BathCaution::new(BathCautionCode::PressureTooHigh, detail));
    }
    match (is_frozen, eutectic) {
        (None, _) => cautions.push(BathCaution::new(BathCautionCode::EutecticUnknown, "")),
        (Some(false), Some(eutectic)) => {
            let detail = format!("{} Cel, eutectic {} Cel", tenth(wood), tenth(eutectic));
            cautions.push(BathCaution::new(BathCautionCode::NotFrozenThrough, detail));
        }
        _ => {}
    }
    Ok(BathFreezing {
        schema_version: SCHEMA_VERSION,
        kind: "bath_freeze",
        program: Program::this(),
        wood_temperature: wood,
        chamber_pressure: question.chamber_pressure,
        eutectic,
        vapour_pressure: vapour,
        resting_temperature: resting,
        is_pressure_low_enough: is_low,
        is_frozen_through: is_frozen,
        meaning: meaning(is_low, is_frozen, [wood, vapour, question.chamber_pressure, resting], eutectic),
        cautions,
        safety: Safety::of_work(reference, &["freeze-drying"], question.safety)?,
        sources: vec![reference.constant_source(a), reference.constant_source(b)],
    })
}

fn meaning(
    is_low: bool,
    is_frozen: Option<bool>,
    [wood, vapour, chamber, resting]: [f64; 4],
    eutectic: Option<f64>,
) -> Vec<String> {
    let tenth = |value: f64| shown_value((value * 10.0).round() / 10.0);
    let pressure = match is_low {
        true => format!(
            "Vapour over ice of {} Cel has {} Pa, more than the {} Pa of the chamber: the ice can dry, and cools as it does, towards {} Cel.",
            tenth(wood),
            tenth(vapour),
            tenth(chamber),
            tenth(resting)
        ),
        false => format!(
            "Vapour over ice of {} Cel has {} Pa, no more than the {} Pa of the chamber: nothing leaves the wood.",
            tenth(wood),
            tenth(vapour),
            tenth(chamber)
        ),
    };
    let frozen = match (is_frozen, eutectic) {
        (Some(true), Some(eutectic)) => {
            format!("The wood is below its eutectic temperature of {} Cel.", tenth(eutectic))
        }
        (Some(false), Some(eutectic)) => {
            format!("The wood is not below its eutectic temperature of {} Cel: do not start the pump.", tenth(eutectic))
        }
        _ => "Whether the wood is frozen through is unknown: no go-ahead without its eutectic temperature.".to_owned(),
    };
    vec![
        pressure,
        frozen,
        "Both are necessary and never sufficient: thickness, load of the condenser and the way out for the vapour decide as well. Measure the \
         temperature in the centre of the thickest timber."
            .to_owned(),
    ]
}
