//! Units as people type them and as UCUM writes them.

use std::fmt;

use crate::error::{Error, ErrorKind, Result, near};

/// What a unit measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Dimension {
    /// Mass, base unit g.
    Mass,
    /// Length, base unit mm.
    Length,
    /// Volume, base unit cm3.
    Volume,
    /// Mass per volume, base unit kg/m3.
    Density,
    /// A ratio or a share, base unit 1.
    Ratio,
    /// Temperature on a scale, base unit Cel.
    Temperature,
    /// Force per area, base unit `MPa`.
    Stress,
    /// Force, base unit N.
    Force,
    /// Time, base unit d.
    Time,
    /// Electrical conductivity, base unit uS/cm.
    Conductivity,
    /// Acidity, \[pH\].
    Acidity,
    /// Area per time, base unit m2/s.
    Diffusivity,
    /// Energy per amount of substance, base unit J/mol.
    MolarEnergy,
    /// Amount of substance per volume, base unit mmol/L.
    Concentration,
    /// Volume per mass, base unit cm3/g.
    SpecificVolume,
}

/// A unit: its UCUM code and its factor to the base unit of its dimension.
///
/// # Example
/// ```
/// use woodstate::quantity::Unit;
/// let from = Unit::parse("g/cm³").unwrap();
/// let to = Unit::parse("kg/m3").unwrap();
/// assert_eq!(from.code(), "g/cm3");
/// assert_eq!(from.convert(0.1034, to).unwrap(), 103.4);
/// assert!(from.convert(1.0, Unit::parse("g").unwrap()).is_err());
/// ```
///
/// # Source
/// The Unified Code for Units of Measure (UCUM), case-sensitive codes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit(&'static Entry);

#[derive(Debug, PartialEq)]
struct Entry {
    code: &'static str,
    dimension: Dimension,
    /// Base units in one of this unit, as a ratio of two exact numbers so that 0.1034 g/cm3 is 103.4 kg/m3.
    times: f64,
    over: f64,
    offset: f64,
    spellings: &'static [&'static str],
}

const fn entry(
    code: &'static str,
    dimension: Dimension,
    (times, over): (f64, f64),
    spellings: &'static [&'static str],
) -> Entry {
    Entry { code, dimension, times, over, offset: 0.0, spellings }
}

const UNITS: &[Entry] = &[
    entry("g", Dimension::Mass, (1.0, 1.0), &["gr", "gram", "grams", "gramm"]),
    entry("mg", Dimension::Mass, (1.0, 1e3), &[]),
    entry("kg", Dimension::Mass, (1e3, 1.0), &[]),
    entry("t", Dimension::Mass, (1e6, 1.0), &[]),
    entry("mm", Dimension::Length, (1.0, 1.0), &[]),
    entry("um", Dimension::Length, (1.0, 1e3), &["µm", "μm"]),
    entry("cm", Dimension::Length, (10.0, 1.0), &[]),
    entry("m", Dimension::Length, (1e3, 1.0), &[]),
    entry("cm3", Dimension::Volume, (1.0, 1.0), &["ccm", "cc"]),
    entry("mm3", Dimension::Volume, (1.0, 1e3), &[]),
    entry("mL", Dimension::Volume, (1.0, 1.0), &["ml"]),
    entry("L", Dimension::Volume, (1e3, 1.0), &["l"]),
    entry("m3", Dimension::Volume, (1e6, 1.0), &[]),
    entry("kg/m3", Dimension::Density, (1.0, 1.0), &["kgm-3"]),
    entry("g/cm3", Dimension::Density, (1e3, 1.0), &["gcm-3", "g/cc", "g/ccm", "g/ml", "g/mL", "t/m3", "kg/L", "kg/l"]),
    entry("g/L", Dimension::Density, (1.0, 1.0), &["g/l"]),
    entry("g/dL", Dimension::Density, (10.0, 1.0), &["g/dl", "g/100mL", "g/100ml"]),
    entry("mg/L", Dimension::Density, (1.0, 1e3), &["mg/l"]),
    entry("1", Dimension::Ratio, (1.0, 1.0), &["g/g", "-", "%/%", "kg/kg"]),
    entry("%", Dimension::Ratio, (1.0, 1e2), &["percent", "g/100g", "cg/g"]),
    entry("g/kg", Dimension::Ratio, (1.0, 1e3), &["‰", "psu", "PSU", "ppt", "mg/g"]),
    entry("mg/kg", Dimension::Ratio, (1.0, 1e6), &["ppm", "ug/g", "µg/g", "μg/g"]),
    entry("Cel", Dimension::Temperature, (1.0, 1.0), &["°C", "C", "degC", "℃"]),
    Entry { code: "K", dimension: Dimension::Temperature, times: 1.0, over: 1.0, offset: -273.15, spellings: &[] },
    entry("MPa", Dimension::Stress, (1.0, 1.0), &["N/mm2"]),
    entry("kPa", Dimension::Stress, (1.0, 1e3), &["kN/m2"]),
    entry("GPa", Dimension::Stress, (1e3, 1.0), &["kN/mm2"]),
    entry("Pa", Dimension::Stress, (1.0, 1e6), &[]),
    entry("mbar", Dimension::Stress, (1.0, 1e4), &["hPa"]),
    entry("N", Dimension::Force, (1.0, 1.0), &[]),
    entry("kN", Dimension::Force, (1e3, 1.0), &[]),
    entry("d", Dimension::Time, (1.0, 1.0), &["day", "days"]),
    entry("h", Dimension::Time, (1.0, 24.0), &["hour", "hours"]),
    entry("min", Dimension::Time, (1.0, 1440.0), &[]),
    entry("wk", Dimension::Time, (7.0, 1.0), &["week", "weeks"]),
    entry("mo", Dimension::Time, (30.4375, 1.0), &["month", "months"]),
    entry("a", Dimension::Time, (365.25, 1.0), &["year", "years"]),
    entry("uS/cm", Dimension::Conductivity, (1.0, 1.0), &["µS/cm", "μS/cm"]),
    entry("mS/cm", Dimension::Conductivity, (1e3, 1.0), &[]),
    entry("[pH]", Dimension::Acidity, (1.0, 1.0), &["pH", "ph"]),
    entry("m2/s", Dimension::Diffusivity, (1.0, 1.0), &[]),
    entry("cm2/s", Dimension::Diffusivity, (1.0, 1e4), &[]),
    entry("mm2/s", Dimension::Diffusivity, (1.0, 1e6), &[]),
    entry("J/mol", Dimension::MolarEnergy, (1.0, 1.0), &[]),
    entry("kJ/mol", Dimension::MolarEnergy, (1e3, 1.0), &[]),
    entry("mmol/L", Dimension::Concentration, (1.0, 1.0), &["mmol/l", "mol/m3"]),
    entry("mol/L", Dimension::Concentration, (1e3, 1.0), &["mol/l"]),
    entry("cm3/g", Dimension::SpecificVolume, (1.0, 1.0), &["mL/g", "ml/g", "L/kg", "l/kg"]),
];

impl Unit {
    /// The unit that a person's spelling means: `kg/m³`, `kg·m-3`, `g/cc`, `°C`, `µm` with either code point, ...
    ///
    /// # Errors
    /// [`ErrorKind::Unit`] if no unit has this spelling.
    pub fn parse(spelling: &str) -> Result<Self> {
        let wanted = normal(spelling);
        UNITS
            .iter()
            .find(|unit| unit.code == wanted || unit.spellings.contains(&wanted.as_str()))
            .map(Self)
            .ok_or_else(|| unknown(spelling, UNITS.iter().collect(), None))
    }

    /// The unit that a person's spelling means, where what it measures is known.
    ///
    /// # Errors
    /// [`ErrorKind::Unit`] with the units of that dimension, and with the nearest spelling.
    pub fn parse_like(spelling: &str, like: Self) -> Result<Self> {
        let of_dimension = || UNITS.iter().filter(|unit| unit.dimension == like.0.dimension);
        let found = Self::parse(spelling).ok();
        if let Some(unit) = found.filter(|unit| unit.0.dimension == like.0.dimension) {
            return Ok(unit);
        }
        let spellings =
            of_dimension().flat_map(|unit| std::iter::once(unit.code).chain(unit.spellings.iter().copied()));
        let wanted = normal(spelling);
        let near = if found.is_some() { None } else { near(&wanted, spellings).first().copied() };
        Err(unknown(spelling.trim(), of_dimension().collect(), near))
    }

    /// Whether a spelling names a measure of its own that is taken as this unit, such as psu as g/kg, and not only
    /// another way of writing it, such as °C.
    ///
    /// # Example
    /// ```
    /// use woodstate::quantity::Unit;
    /// assert!(Unit::is_taken_for("psu") && Unit::is_taken_for("ppm"));
    /// assert!(!Unit::is_taken_for("cm³") && !Unit::is_taken_for("g/kg"));
    /// ```
    #[must_use]
    pub fn is_taken_for(spelling: &str) -> bool {
        // Practical salinity has no unit; ppt, ppm and per mille do not say of what.
        const OF_THEIR_OWN: [&str; 5] = ["psu", "PSU", "ppt", "‰", "ppm"];
        OF_THEIR_OWN.contains(&normal(spelling).as_str())
    }

    /// The UCUM code.
    #[must_use]
    pub fn code(self) -> &'static str {
        self.0.code
    }

    /// What it measures.
    #[must_use]
    pub fn dimension(self) -> Dimension {
        self.0.dimension
    }

    /// A value in this unit, in the unit `to`, with 15 significant digits; 12 where the zero of the scale moves.
    ///
    /// # Errors
    /// [`ErrorKind::Unit`] if the two do not measure the same thing; the allowed units are listed.
    pub fn convert(self, value: f64, to: Self) -> Result<f64> {
        self.same_dimension(to)?;
        if self == to {
            return Ok(value);
        }
        let base = value * self.0.times / self.0.over + self.0.offset;
        let converted = (base - to.0.offset) * to.0.over / to.0.times;
        // 291 K is 17.85 °C and 1.005 is 100.5 %: the last binary digits of a conversion mean nothing.
        let is_shifted = (self.0.offset - to.0.offset).abs() > 0.0;
        Ok(rounded(converted, if is_shifted { 12 } else { 15 }))
    }

    /// A difference or an uncertainty in this unit, in the unit `to`.
    ///
    /// # Errors
    /// As [`Unit::convert`].
    pub fn convert_difference(self, difference: f64, to: Self) -> Result<f64> {
        self.same_dimension(to)?;
        if self == to {
            return Ok(difference);
        }
        Ok(rounded(difference * self.0.times * to.0.over / self.0.over / to.0.times, 15))
    }

    fn same_dimension(self, to: Self) -> Result<()> {
        if self.0.dimension == to.0.dimension {
            return Ok(());
        }
        Err(unknown(self.0.code, UNITS.iter().filter(|unit| unit.dimension == to.0.dimension).collect(), None))
    }
}

/// A number with so many significant digits; 15 are as many as always survive.
fn rounded(value: f64, digits: usize) -> f64 {
    format!("{value:.*e}", digits - 1).parse().unwrap_or(value)
}

fn unknown(found: &str, allowed: Vec<&Entry>, near: Option<&str>) -> Error {
    let codes: Vec<&str> = allowed.into_iter().map(|unit| unit.code).collect();
    let near = near.map(|near| format!("; did you mean {near}?")).unwrap_or_default();
    Error::new(ErrorKind::Unit { found: found.to_owned(), allowed: format!("{}{near}", codes.join(", ")) })
}

/// Superscripts, dots and spaces as UCUM writes them.
fn normal(spelling: &str) -> String {
    spelling
        .trim()
        .chars()
        .filter(|c| !matches!(c, '·' | '⋅' | '*' | '^' | ' ' | '\u{a0}' | '\u{202f}'))
        .map(|c| match c {
            '²' => '2',
            '³' => '3',
            '⁻' | '−' => '-',
            '¹' => '1',
            c => c,
        })
        .collect()
}

impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.0.code)
    }
}
