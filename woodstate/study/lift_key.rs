//! What is asked of a lift, and one timber, as somebody types it: keys with texts.

use std::collections::BTreeMap;

use crate::error::{Error, ErrorKind, Result};
use crate::quantity::{Measured, Unit};

use super::lift_question::{LiftQuestion, StatedStrength, TypedTimber, WaterChoice};
use super::lift_strength::{PROPERTIES, RIM_PROPERTIES};

/// Metres in a millimetre.
const MM: f64 = 1e-3;

/// Seconds in an hour.
const HOUR: f64 = 3600.0;

impl LiftQuestion {
    /// States one thing; what was stated before gives way.
    ///
    /// Keys: `accepted_probability`, `sling_width`, `dynamic`, `placing`, `water`, `temperature`, `saturation`, `drained`, `reduction`,
    /// `size_uncertainty`, `time_under_load`, `rim_stiffness`, and the columns of [`StatedStrength`].
    ///
    /// # Errors
    /// [`ErrorKind::Name`] for another key, [`ErrorKind::Quantity`] and [`ErrorKind::Unit`] for a text that cannot be read.
    ///
    /// # Example
    /// ```
    /// use woodstate::study::LiftQuestion;
    /// let mut question = LiftQuestion::usual();
    /// question.set("sling_width", "100 mm")?;
    /// assert_eq!(question.sling_width, Some(0.1));
    /// assert!(question.set("sling_width", "100").is_err());
    /// # Ok::<(), woodstate::error::Error>(())
    /// ```
    pub fn set(&mut self, key: &str, text: &str) -> Result<()> {
        match key {
            "accepted_probability" => self.required.probability = Some(share(text)?.value),
            "sling_width" => self.sling_width = Some(value(text, "mm", MM)?),
            "dynamic" => self.dynamic = Some(Self::factor(text)?),
            "placing" => self.placing = Some(value(text, "mm", MM)?),
            "water" => self.water = Some(WaterChoice::parse(text)?),
            "temperature" => self.temperature = Some(measured(text, "Cel", 1.0)?),
            "saturation" => self.saturation = Some(share(text)?),
            "drained" => self.drained = Some(share(text)?),
            "reduction" => self.reduction = Some(share(text)?.value),
            "size_uncertainty" => self.size_uncertainty = Some(share(text)?.value),
            "time_under_load" => self.time_under_load = Some(value(text, "h", HOUR)?),
            "rim_stiffness" => self.rim_stiffness = Some(share(text)?.value),
            _ if PROPERTIES.contains(&key) || RIM_PROPERTIES.contains(&key) => {
                let value = measured(text, "MPa", 1.0)?;
                self.strengths.retain(|stated| stated.property != key);
                self.strengths.push(StatedStrength { property: key.to_owned(), value });
            }
            _ => {
                let allowed = vec!["one that LiftQuestion::set names".to_owned()];
                return Err(Error::new(ErrorKind::Name { what: "key of a lift", found: key.to_owned(), allowed }));
            }
        }
        Ok(())
    }
}

impl TypedTimber {
    /// One timber by keys and texts: `length` and `basic_density` must be there, and `width` with `height`, or `diameter`; also
    /// `end_width`, `end_height`, `end_diameter`, `bore`, `rim` with `rim_density`, `taxon`.
    ///
    /// # Errors
    /// [`ErrorKind::Missing`] for what must be there, [`ErrorKind::Quantity`] and [`ErrorKind::Unit`] for a text that cannot be
    /// read.
    ///
    /// # Example
    /// ```
    /// use std::collections::BTreeMap;
    /// use woodstate::study::TypedTimber;
    /// let said = BTreeMap::from([("length", "6 m"), ("diameter", "300 mm"), ("basic_density", "560 ± 30 kg/m3")]);
    /// assert_eq!(TypedTimber::parse(&said)?.diameter.map(|(start, _)| start.value), Some(0.3));
    /// assert!(TypedTimber::parse(&BTreeMap::from([("length", "6 m")])).is_err());
    /// # Ok::<(), woodstate::error::Error>(())
    /// ```
    pub fn parse(said: &BTreeMap<&str, &str>) -> Result<Self> {
        let found =
            |key: &str, unit: &str, times: f64| said.get(key).map(|text| measured(text, unit, times)).transpose();
        let needed = |key: &str, unit: &str, cure: &str| {
            found(key, unit, 1.0)?
                .ok_or_else(|| Error::missing(format!("the {}", key.replace('_', " ")), cure.to_owned()))
        };
        let size = |start: &str, end: &str| -> Result<Option<(Measured, Option<f64>)>> {
            let end = found(end, "mm", MM)?.map(|end| end.value);
            Ok(found(start, "mm", MM)?.map(|start| (start, end)))
        };
        Ok(Self {
            length: needed("length", "m", "state it with its unit, such as 6 m")?,
            width: size("width", "end_width")?,
            height: size("height", "end_height")?,
            diameter: size("diameter", "end_diameter")?,
            bore: found("bore", "mm", MM)?.map(|bore| bore.value),
            basic_density: needed("basic_density", "kg/m3", "state it with its unit, such as 560 ± 30 kg/m3")?,
            rim: found("rim", "mm", MM)?.zip(found("rim_density", "kg/m3", 1.0)?),
            taxon: said.get("taxon").map(|taxon| (*taxon).to_owned()),
        })
    }
}

/// A quantity in a unit of ours, with its uncertainty.
fn measured(text: &str, unit: &str, times: f64) -> Result<Measured> {
    let found = Measured::parse(text, Unit::parse(unit)?)?;
    Ok(Measured { value: found.value * times, u: found.u.map(|u| u * times) })
}

fn value(text: &str, unit: &str, times: f64) -> Result<f64> {
    Ok(measured(text, unit, times)?.value)
}

/// A share in per cent, as a number from 0 to 1.
fn share(text: &str) -> Result<Measured> {
    measured(text, "%", 0.01)
}
