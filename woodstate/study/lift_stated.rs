//! What is stated of single timbers that are to be lifted: stations along them, loads that hang on them.

use std::collections::BTreeMap;

use crate::error::{Error, ErrorKind, Result, near};
use crate::lift::{Shape, Spot, Station, Timber};
use crate::quantity::{Measured, Unit};

/// What may be written.
const STATIONS: &str = "a station: its distance from the start and its section, such as \"0 m: 300 x 250 mm\" (width x height), \
                        \"2 m: 280 mm\" (diameter) or \"2 m: 280 mm, bore 120 mm\"";
const LOADS: &str = "a load: its mass, its density and where it hangs, such as \"40 ± 10 kg of 2600 kg/m3\" (evenly over the \
                     length), \"concretion: 40 kg of 2600 kg/m3 from 1 m to 2 m\", \
                     \"bolt: 12 kg of 7800 kg/m3 at 1.5 m\" or, where nothing hangs there, \"none\"";

fn wrong(found: &str, allowed: &str) -> Error {
    Error::new(ErrorKind::Quantity { found: found.trim().to_owned(), allowed: allowed.to_owned() })
}

/// A number in a unit, for which no uncertainty may stand.
fn exact(text: &str, unit: &str, times: f64) -> Result<f64> {
    let found = Measured::parse(text, Unit::parse(unit)?)?;
    match found.u {
        None => Ok(found.value * times),
        Some(_) => Err(wrong(text, "without ±: the uncertainty of all sizes is stated as size_uncertainty")),
    }
}

/// Metres in a millimetre.
const MM: f64 = 1e-3;

/// The section of a timber at a place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StatedStation(pub Station);

impl StatedStation {
    /// Reads `0 m: 300 x 250 mm`, `2 m: 280 mm` or `2 m: 280 mm, bore 120 mm`.
    ///
    /// # Errors
    /// [`ErrorKind::Quantity`] with what is allowed; sizes that are not above 0.
    ///
    /// # Example
    /// ```
    /// use woodstate::study::StatedStation;
    /// let station = StatedStation::parse("2.5 m: 300 x 250 mm")?.0;
    /// assert_eq!((station.at, station.shape.width(), station.shape.height()), (2.5, 0.3, 0.25));
    /// assert!(StatedStation::parse("2.5: 300 mm").is_err());
    /// # Ok::<(), woodstate::error::Error>(())
    /// ```
    pub fn parse(text: &str) -> Result<Self> {
        let (place, section) = text.split_once(':').ok_or_else(|| wrong(text, STATIONS))?;
        let at = exact(place, "m", 1.0)?;
        let (outline, bore) = match section.split_once(',') {
            Some((outline, bore)) => {
                (outline, Some(bore.trim().strip_prefix("bore").ok_or_else(|| wrong(text, STATIONS))?))
            }
            None => (section, None),
        };
        let shape = match (outline.split_once(['x', '×']), bore) {
            (Some((width, height)), None) => {
                // "300 x 250 mm": one unit for both.
                let unit = height.trim_start_matches(|c: char| c.is_ascii_digit() || c == '.' || c == ' ');
                let is_bare = width.trim().parse::<f64>().is_ok();
                let width = if is_bare { format!("{} {unit}", width.trim()) } else { width.to_owned() };
                Shape::rectangle(exact(&width, "mm", MM)?, exact(height, "mm", MM)?)
            }
            (None, None) => Shape::round(exact(outline, "mm", MM)?),
            (None, Some(bore)) => Shape::hollow(exact(outline, "mm", MM)?, exact(bore, "mm", MM)?),
            (Some(_), Some(_)) => Err(wrong(text, "a bore of a round timber: one diameter before it")),
        };
        Ok(Self(Station { at, shape: shape? }))
    }
}

/// Something that hangs on a timber: concretion, metal, sediment.
#[derive(Debug, Clone, PartialEq)]
pub struct StatedLoad {
    /// What it is; empty where nobody said.
    pub what: String,
    /// Its mass, kg.
    pub mass: Measured,
    /// Its density, kg/m3: water pushes it up by mass over density.
    pub density: f64,
    /// Where it is, m from the start.
    pub spot: Spot,
}

impl StatedLoad {
    /// A load over the whole length.
    #[must_use]
    pub fn even(mass: Measured, density: f64) -> Self {
        Self { what: String::new(), mass, density, spot: Spot::Whole }
    }

    /// What is stated where someone felt for it and found that nothing hangs there.
    #[must_use]
    pub fn nothing() -> Self {
        const OF_WATER: f64 = 1000.0;
        Self::even(Measured::new(0.0, 0.0), OF_WATER)
    }

    /// Reads `none` or `40 ± 10 kg of 2600 kg/m3`, with a name and `:` before it and `at 1.5 m` or `from 1 m to 2 m` behind it where wanted.
    ///
    /// # Errors
    /// [`ErrorKind::Quantity`] with what is allowed.
    ///
    /// # Example
    /// ```
    /// use woodstate::lift::Spot;
    /// use woodstate::study::StatedLoad;
    /// let load = StatedLoad::parse("concretion: 40 ± 10 kg of 2600 kg/m3 from 50 cm to 2 m")?;
    /// assert_eq!((load.mass.value, load.mass.u, load.density), (40.0, Some(10.0), 2600.0));
    /// assert_eq!((load.what.as_str(), load.spot), ("concretion", Spot::Between(0.5, 2.0)));
    /// assert_eq!(StatedLoad::parse("none")?, StatedLoad::nothing());
    /// assert!(StatedLoad::parse("40 kg").is_err());
    /// # Ok::<(), woodstate::error::Error>(())
    /// ```
    pub fn parse(text: &str) -> Result<Self> {
        if text.trim().eq_ignore_ascii_case("none") {
            return Ok(Self::nothing());
        }
        let (what, rest) = text.split_once(':').map_or(("", text), |(what, rest)| (what.trim(), rest));
        let (mass, behind) = rest.split_once(" of ").ok_or_else(|| wrong(text, LOADS))?;
        let metres = |place: &str| exact(place, "m", 1.0);
        let (density, spot) = match (behind.split_once(" at "), behind.split_once(" from ")) {
            (Some((density, place)), None) => (density, Spot::At(metres(place)?)),
            (None, Some((density, places))) => {
                let (from, to) = places.split_once(" to ").ok_or_else(|| wrong(text, LOADS))?;
                (density, Spot::Between(metres(from)?, metres(to)?))
            }
            _ => (behind, Spot::Whole),
        };
        let density = Measured::parse(density, Unit::parse("kg/m3")?)?.value;
        Ok(Self { what: what.to_owned(), mass: Measured::parse(mass, Unit::parse("kg")?)?, density, spot })
    }

    /// Its words, as it would be typed.
    #[must_use]
    pub fn words(&self) -> String {
        if *self == Self::nothing() {
            return "none".to_owned();
        }
        let name = if self.what.is_empty() { String::new() } else { format!("{}: ", self.what) };
        let u = self.mass.u.map_or_else(String::new, |u| format!(" ± {u}"));
        let place = match self.spot {
            Spot::Whole => String::new(),
            Spot::At(place) => format!(" at {place} m"),
            Spot::Between(from, to) => format!(" from {from} m to {to} m"),
        };
        format!("{name}{}{u} kg of {} kg/m3{place}", self.mass.value, self.density)
    }
}

/// What is stated of one timber alone.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct StatedTimber {
    /// Sections along it, from its start to its end; they take the place of its width, height and diameter.
    pub stations: Vec<StatedStation>,
    /// Diameter of a hollow right through a round timber, m.
    pub bore: Option<f64>,
    /// What hangs on it, besides what hangs on every timber.
    pub attached: Vec<StatedLoad>,
    /// Share of its pores that water fills, 0 to 1.
    pub saturation: Option<Measured>,
    /// What damage takes from every strength of it, 0 to 1.
    pub reduction: Option<f64>,
}

impl StatedTimber {
    /// The timber by its stations; `None` without any.
    ///
    /// # Errors
    /// Stations out of order or of several kinds, a last one that is not at the end of a timber of a known length, m.
    pub(super) fn by_stations(&self, length: Option<f64>) -> Result<Option<Timber>> {
        if self.stations.is_empty() {
            return Ok(None);
        }
        let stations: Vec<Station> = self.stations.iter().map(|station| station.0).collect();
        let timber = Timber::of_stations(&stations)?;
        match length {
            Some(length) if (timber.length() - length).abs() > 1e-6 * length => Err(Error::new(ErrorKind::Range {
                name: "place of the last station (m)".to_owned(),
                value: timber.length(),
                allowed: format!("the end of the timber, {length} m"),
            })),
            _ => Ok(Some(timber)),
        }
    }
}

/// Whether every timber that something is stated of is there.
///
/// # Errors
/// [`ErrorKind::Name`] with the timbers that are near.
pub(super) fn all_there(stated: &BTreeMap<String, StatedTimber>, known: &[&str]) -> Result<()> {
    match stated.keys().find(|name| !known.contains(&name.as_str())) {
        None => Ok(()),
        Some(found) => {
            let nearest = near(found, known.iter().copied());
            let allowed = if nearest.is_empty() { known.to_vec() } else { nearest };
            let allowed = allowed.into_iter().map(str::to_owned).collect();
            Err(Error::new(ErrorKind::Name { what: "timber under [lift.timbers]", found: found.clone(), allowed }))
        }
    }
}
