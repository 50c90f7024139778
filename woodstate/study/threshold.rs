//! Up to which value wood counts as sound.

use crate::error::{Error, ErrorKind, Result};
use crate::profile::Degraded;
use crate::quantity::{Evidence, Measured, Quantity, Unit, shown_value};
use crate::reference::{Constant, Reference, Scheme};

use super::Study;
use super::curve::Axis;
use super::depth::DepthThreshold;

/// Which threshold is asked for.
#[derive(Debug, Clone, PartialEq)]
pub enum ThresholdChoice {
    /// That of the quantity: our proposal for losses and densities, the best class of the scheme for its own quantity.
    Usual,
    /// A value with its unit, such as `75 %`, or the label of a class whose worse end it is.
    Text(String),
}

/// Quantities that fall as wood is lost.
const FALLING: [Quantity; 4] =
    [Quantity::BasicDensity, Quantity::ResidualBasicDensity, Quantity::SaturatedDensity, Quantity::OrganicBasicDensity];

/// Tests and readings that fall as wood is lost are those of strength; a driven pin goes deeper into weak wood.
pub(super) fn degraded(name: &str, is_mechanic: bool) -> Option<Degraded> {
    match Quantity::of_name(name) {
        Some(quantity) if FALLING.contains(&quantity) => Some(Degraded::Below),
        Some(Quantity::MaxWaterContent | Quantity::LossOfWoodSubstance | Quantity::Porosity) => Some(Degraded::Above),
        Some(_) => None,
        None if name == "pin_penetration" => Some(Degraded::Above),
        None if is_mechanic && name != "pin_diameter" => Some(Degraded::Below),
        None => None,
    }
}

/// The threshold of one timber.
pub(super) struct Thresholds<'a> {
    study: &'a Study,
    reference: &'static Reference,
    value: &'a Axis,
    degraded: Degraded,
    choice: &'a ThresholdChoice,
}

impl<'a> Thresholds<'a> {
    /// # Errors
    /// A text that is neither a value with its unit nor the label of a class.
    pub(super) fn new(
        study: &'a Study,
        value: &'a Axis,
        degraded: Degraded,
        choice: &'a ThresholdChoice,
    ) -> Result<Self> {
        let thresholds = Self { study, reference: Reference::shipped()?, value, degraded, choice };
        if let ThresholdChoice::Text(text) = choice {
            thresholds.typed(text)?;
        }
        Ok(thresholds)
    }

    /// The threshold of a timber, or why there is none.
    ///
    /// * `sound`: basic density of sound wood of its taxon, kg/m3
    /// * `is_in_scope`: whether the scheme is made for its taxon
    pub(super) fn of(
        &self,
        sound: Option<f64>,
        is_in_scope: bool,
    ) -> Result<std::result::Result<DepthThreshold, String>> {
        if let ThresholdChoice::Text(text) = self.choice {
            let found = self.typed(text)?;
            let is_class = found.evidence != Evidence::Stated;
            return Ok(if is_class && !is_in_scope { Err(self.out_of_scope()) } else { Ok(found) });
        }
        let Some(share) = self.reference.constant("sound_residual_basic_density") else {
            return Ok(Err("no threshold is known".to_owned()));
        };
        Ok(match Quantity::of_name(&self.value.name) {
            Some(Quantity::ResidualBasicDensity) => Ok(self.proposed(share.value, share, "")),
            Some(Quantity::LossOfWoodSubstance) => Ok(self.proposed(
                100.0 - share.value,
                share,
                &format!("residual basic density {} %, ", shown_value(share.value)),
            )),
            Some(Quantity::BasicDensity) => match sound {
                Some(sound) => {
                    let of = format!(
                        "{} % of {} kg/m3, sound wood of the taxon; ",
                        shown_value(share.value),
                        shown_value(sound)
                    );
                    Ok(self.proposed(sound * share.value / 100.0, share, &of))
                }
                None => Err("the basic density of sound wood of this timber is unknown; give --threshold".to_owned()),
            },
            Some(quantity) if quantity.name() == self.scheme().quantity => match self.of_class(None) {
                Some(found) if is_in_scope => Ok(found),
                _ => Err(self.out_of_scope()),
            },
            _ => Err(format!("no value of {} is known up to which wood is sound; give --threshold", self.value.title)),
        })
    }

    fn scheme(&self) -> &Scheme {
        &self.study.options.scheme
    }

    fn out_of_scope(&self) -> String {
        format!("the scheme {} is not made for this wood; give --threshold with a value", self.scheme().id)
    }

    fn made(&self, value: f64, reason: String, evidence: Evidence) -> DepthThreshold {
        let degraded = match self.degraded {
            Degraded::Below => "below",
            Degraded::Above => "above",
        };
        DepthThreshold { value, unit: self.value.unit.clone(), degraded, reason, evidence }
    }

    fn proposed(&self, value: f64, share: &Constant, before: &str) -> DepthThreshold {
        let reason = format!("{before}a proposal of ours");
        self.made(value, reason, share.evidence)
    }

    /// The worse end of a class of the scheme, of the best one where none is named.
    fn of_class(&self, label: Option<&str>) -> Option<DepthThreshold> {
        let scheme = self.scheme();
        let class = match label {
            Some(label) => scheme.classes.iter().find(|class| class.label.eq_ignore_ascii_case(label))?,
            None => scheme.classes.last()?,
        };
        let end = match self.degraded {
            Degraded::Below => class.from,
            Degraded::Above => class.to,
        };
        let reason = format!("worse end of class {} of {}", class.label, scheme.title);
        Some(self.made(end?, reason, scheme.evidence))
    }

    fn typed(&self, text: &str) -> Result<DepthThreshold> {
        let plain = text.trim();
        let is_of_scheme = self.scheme().quantity == self.value.name;
        if let Some(found) = self.of_class(Some(plain)).filter(|_| is_of_scheme) {
            return Ok(found);
        }
        let labels: Vec<&str> = self.scheme().classes.iter().map(|class| class.label.as_str()).collect();
        let is_label = labels.iter().any(|label| label.eq_ignore_ascii_case(plain));
        if is_label {
            let allowed = match is_of_scheme {
                true => "a class that is not the worst one, which has no worse end".to_owned(),
                false => format!(
                    "a value in {}; classes divide {quantity}: add --value {quantity}",
                    self.value.unit,
                    quantity = self.scheme().quantity
                ),
            };
            return Err(Error::new(ErrorKind::Quantity { found: text.to_owned(), allowed }));
        }
        let unit = Unit::parse(&self.value.unit)?;
        let value = Measured::parse(plain, unit)?;
        Ok(self.made(value.value, "stated by the user".to_owned(), Evidence::Stated))
    }
}
