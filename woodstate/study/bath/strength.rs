//! How strong a bath is, with its basis, and for how long.

use crate::error::{Error, ErrorKind, Result};
use crate::quantity::{Measured, Unit};
use crate::reference::BathBasis;
use crate::treatment::{mass_fraction_at, mass_per_volume, solution_density};

/// How strong a bath is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BathStrength {
    /// On which basis.
    pub basis: BathBasis,
    /// The strength: % by mass, or g/L.
    pub value: f64,
}

/// A bath of a schedule.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlannedBath {
    /// How strong.
    pub strength: BathStrength,
    /// How long, d; `None` where the schedule does not say.
    pub duration: Option<f64>,
}

/// What stands between two baths of a schedule.
const BETWEEN: char = ',';

impl BathStrength {
    /// Reads `10 % by mass`, `104 g/L` or `10.4 g/100 mL`.
    ///
    /// # Errors
    /// [`ErrorKind::Quantity`] for a bare percentage, which is two different baths, and for what is no strength.
    ///
    /// # Example
    /// ```
    /// use woodstate::study::BathStrength;
    /// assert_eq!(BathStrength::parse("10 % by mass")?.value, 10.0);
    /// assert_eq!(BathStrength::parse("10.4 g/100 mL")?.value, 104.0);
    /// let error = BathStrength::parse("40 %").unwrap_err();
    /// assert!(error.to_string().contains("40 % by mass"));
    /// # Ok::<(), woodstate::error::Error>(())
    /// ```
    pub fn parse(text: &str) -> Result<Self> {
        let plain = text.trim();
        let wrong = |allowed: String| Error::new(ErrorKind::Quantity { found: plain.to_owned(), allowed });
        let form = || "a strength with its basis, such as \"10 % by mass\" or \"104 g/L\"".to_owned();
        let by_mass = ["by mass", "w/w", "m/m"].iter().find_map(|word| plain.strip_suffix(word));
        if let Some(number) = by_mass {
            let value = bare(number, "%")?;
            if !(0.0..100.0).contains(&value) {
                return Err(wrong("from 0 to below 100 % by mass".to_owned()));
            }
            return Ok(Self { basis: BathBasis::MassFraction, value });
        }
        if plain.ends_with('%') || plain.ends_with("percent") {
            return Err(wrong(format!(
                "{}; a bare percentage is two different baths: write \"{plain} by mass\", or the grams in a litre",
                form()
            )));
        }
        let value = bare(plain, "g/L").map_err(|_| wrong(form()))?;
        if value < 0.0 {
            return Err(wrong("0 g/L or more".to_owned()));
        }
        Ok(Self { basis: BathBasis::MassPerVolume, value })
    }

    /// Mass fraction, 0 to 1.
    ///
    /// * `apparent_volume`: cm³/g, `water_density`: kg/m³
    ///
    /// # Errors
    /// A concentration beyond that of the pure impregnant.
    pub(super) fn fraction(self, apparent_volume: f64, water_density: f64) -> Result<f64> {
        match self.basis {
            BathBasis::MassFraction => Ok(self.value / 100.0),
            BathBasis::MassPerVolume => mass_fraction_at(self.value, apparent_volume, water_density),
        }
    }

    /// On another basis, in its unit.
    pub(super) fn on(self, basis: BathBasis, apparent_volume: f64, water_density: f64) -> Result<f64> {
        if self.basis == basis {
            return Ok(self.value);
        }
        let fraction = self.fraction(apparent_volume, water_density)?;
        Ok(match basis {
            BathBasis::MassFraction => fraction * 100.0,
            BathBasis::MassPerVolume => {
                mass_per_volume(fraction, solution_density(fraction, apparent_volume, water_density))
            }
        })
    }
}

impl PlannedBath {
    /// Reads `10 % by mass for 60 d`, or a strength alone.
    ///
    /// # Errors
    /// As [`BathStrength::parse`]; a duration that is not above 0.
    pub fn parse(text: &str) -> Result<Self> {
        let Some((strength, duration)) = text.split_once(" for ") else {
            return Ok(Self { strength: BathStrength::parse(text)?, duration: None });
        };
        let days = bare(duration, "d")?;
        if days <= 0.0 {
            let allowed = "a duration above 0, such as \"60 d\"".to_owned();
            return Err(Error::new(ErrorKind::Quantity { found: duration.trim().to_owned(), allowed }));
        }
        Ok(Self { strength: BathStrength::parse(strength)?, duration: Some(days) })
    }

    /// Reads baths with commas between.
    ///
    /// # Errors
    /// As [`PlannedBath::parse`], for the first that is wrong.
    pub fn parse_all(text: &str) -> Result<Vec<Self>> {
        text.split(BETWEEN).map(Self::parse).collect()
    }
}

/// A quantity without an uncertainty, in `unit`.
pub(super) fn bare(text: &str, unit: &str) -> Result<f64> {
    let unit = Unit::parse(unit)?;
    let measured = Measured::parse(text, unit)?;
    match measured.u {
        None => Ok(measured.value),
        Some(_) => {
            let allowed = format!("a number with its unit and without ±, such as \"10 {unit}\"");
            Err(Error::new(ErrorKind::Quantity { found: text.trim().to_owned(), allowed }))
        }
    }
}
