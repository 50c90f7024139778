//! The wood that lies in a bath: how much of it, and how much water.

use std::collections::{BTreeMap, BTreeSet};

use schemars::JsonSchema;
use serde::Serialize;

use super::caution::BathCaution;
use super::number::BathNumber;
use crate::error::{BathCautionCode, Error, ErrorKind, Result};
use crate::numeric::{Watch, mean};
use crate::profile::Section;
use crate::quantity::{Cited, Quantity, counted};
use crate::study::envelope::SourceTable;
use crate::study::piece::Pieces;
use crate::study::profile::{ProfileQuestion, profile_assessed};
use crate::study::section::section;
use crate::study::{Assessment, PartState, Study, ThresholdChoice};
use crate::table::{Choice, Datum};

/// A timber of a bath.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct BathTimber {
    /// Its name.
    pub timber: String,
    /// Its wood; `None` where unknown.
    pub taxon: Option<String>,
    /// Diameter, or width and height, mm; none where unknown or of another form.
    pub sizes: Vec<f64>,
    /// Length, mm; `None` where unknown.
    pub length: Option<f64>,
    /// Volume, L.
    pub volume: Option<BathNumber>,
    /// Basic density, as a mean over the section, from its lightest to its heaviest piece, kg/m3.
    pub basic_density: Option<BathNumber>,
    /// Maximum water content that belongs to it, %.
    pub max_water_content: Option<BathNumber>,
    /// Oven-dry mass, kg.
    pub dry_mass: Option<BathNumber>,
    /// Water in it, bound water counted, kg.
    pub water: Option<BathNumber>,
    /// Iron in it, kg; `None` where it was not measured.
    pub iron: Option<BathNumber>,
    /// Reduced sulfur in it, kg; `None` where it was not measured.
    pub reduced_sulfur: Option<BathNumber>,
    /// Depth of the soft rim, mm; `None` where unknown.
    pub soft_rim: Option<BathNumber>,
    /// Why it is not counted; `None` where it is.
    pub not_counted: Option<String>,
    /// Its section, mm.
    #[serde(skip)]
    pub section: Option<Section>,
    /// Share of pores in its soft rim and in its core; `None` where one of them is unknown.
    #[serde(skip)]
    pub porosity: Option<[f64; 2]>,
}

/// The wood that lies in a bath.
#[derive(Debug, Clone, PartialEq)]
pub struct BathWood {
    /// The tables that were read; none where the wood was stated.
    pub source: Vec<SourceTable>,
    /// What conditions kept.
    pub choices: Vec<Choice>,
    /// The timbers, in the order of their names; none where the wood was stated.
    pub timbers: Vec<BathTimber>,
    /// Volume of the wood that is counted, L.
    pub volume: BathNumber,
    /// Water in it, kg.
    pub water: BathNumber,
    /// Its oven-dry mass, kg; `None` where it was not stated.
    pub dry_mass: Option<BathNumber>,
    /// What to know of it.
    pub cautions: Vec<BathCaution>,
    /// Numbers behind it.
    pub sources: Vec<Cited>,
    /// Density of its water, kg/m3.
    pub water_density: f64,
}

impl BathWood {
    /// Wood of which somebody knows volume and water.
    ///
    /// * `volume`: L; `water`: kg; `dry_mass`: kg; `water_density`: kg/m3
    ///
    /// # Errors
    /// [`ErrorKind::Range`] for a number that is not above 0, or for more water than fits into the wood.
    pub fn stated(volume: f64, water: f64, dry_mass: Option<f64>, water_density: f64) -> Result<Self> {
        let numbers = [("volume of the wood", Some(volume)), ("water in the wood", Some(water))];
        for (name, number) in numbers.into_iter().chain([("oven-dry mass of the wood", dry_mass)]) {
            if number.is_some_and(|number| number <= 0.0 || !number.is_finite()) {
                let value = number.unwrap_or_default();
                return Err(out(name, value, "a number above 0".to_owned()));
            }
        }
        let fits = volume * water_density / 1000.0;
        if water > fits {
            return Err(out(
                "water in the wood",
                water,
                format!("up to {fits} kg, as much as fits into the volume of the wood"),
            ));
        }
        Ok(Self {
            source: Vec::new(),
            choices: Vec::new(),
            timbers: Vec::new(),
            volume: BathNumber::bare(volume, "L"),
            water: BathNumber::bare(water, "kg"),
            dry_mass: dry_mass.map(|mass| BathNumber::bare(mass, "kg")),
            cautions: Vec::new(),
            sources: Vec::new(),
            water_density,
        })
    }

    /// The timbers of an assessment.
    ///
    /// ```text
    /// m = V ρ_b        W = V ρ_w (1 − ρ_b/ρ_wall)
    /// ```
    ///
    /// * V: area of the section by length; `ρ_b`: basic density, as a mean over the section where depths tell it and of the pieces otherwise, from
    ///   the lightest piece to the heaviest; `ρ_wall`: density of the cell wall; `ρ_w`: that of the water
    ///
    /// A timber is taken as full of water. Its sizes have no uncertainty here.
    ///
    /// # Errors
    /// [`ErrorKind::Missing`] where no timber can be counted, and a stop asked for through `watch`.
    pub fn of(study: &Study, assessment: &Assessment, water_density: f64, watch: &Watch<'_>) -> Result<Self> {
        let pieces = Pieces::of(assessment);
        let mut places: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
        for place in 0..pieces.n() {
            if let Some(timber) = pieces.timber(place) {
                places.entry(timber).or_default().push(place);
            }
        }
        let means = means(study, assessment, watch)?;
        let wall = study.options.cell_wall_density.value;
        let mut timbers = Vec::new();
        for (name, places) in &places {
            timbers.push(one(assessment, &pieces, name, places, means.get(*name), [wall, water_density]));
        }
        let listed = assessment.batch.timbers.as_ref();
        let unmeasured: BTreeSet<&str> = listed
            .iter()
            .flat_map(|table| (0..table.n_rows()).filter_map(|row| table.text("timber", row)))
            .filter(|name| !places.contains_key(name))
            .collect();
        timbers.extend(unmeasured.into_iter().map(unknown));
        timbers.sort_by(|a, b| a.timber.cmp(&b.timber));
        Self::sum(assessment, timbers, water_density)
    }

    fn sum(assessment: &Assessment, timbers: Vec<BathTimber>, water_density: f64) -> Result<Self> {
        let all = |of: fn(&BathTimber) -> Option<BathNumber>| -> Vec<BathNumber> {
            timbers.iter().filter(|timber| timber.not_counted.is_none()).filter_map(of).collect()
        };
        let (volumes, waters, masses) =
            (all(|timber| timber.volume), all(|timber| timber.water), all(|timber| timber.dry_mass));
        let left_out: Vec<&BathTimber> = timbers.iter().filter(|timber| timber.not_counted.is_some()).collect();
        if volumes.is_empty() {
            let first =
                left_out.first().and_then(|timber| timber.not_counted.as_deref()).unwrap_or("no timber is named");
            let cure = format!(
                "no timber can be counted ({first}); fill in the sizes of the timbers, or give --wood-volume and --wood-water"
            );
            return Err(Error::new(ErrorKind::Missing { what: "how much wood lies in the tank".to_owned(), cure }));
        }
        let mut cautions = Vec::new();
        if !left_out.is_empty() {
            let names = left_out.iter().map(|timber| timber.timber.clone()).collect();
            let detail = counted(left_out.len(), "timber");
            cautions.push(BathCaution::of_timbers(BathCautionCode::TimberNotCounted, detail, names));
        }
        Ok(Self {
            source: assessment.source.clone(),
            choices: assessment.choices.clone(),
            volume: BathNumber::sum(&volumes, "L"),
            water: BathNumber::sum(&waters, "kg"),
            dry_mass: Some(BathNumber::sum(&masses, "kg")),
            timbers,
            cautions,
            sources: Vec::new(),
            water_density,
        })
    }

    /// Volume of the bath beside the wood, L; `tank`: volume up to its level, L.
    pub(super) fn bath_volume(&self, tank: f64) -> Result<f64> {
        let bath = tank - self.volume.value;
        if bath > 0.0 {
            return Ok(bath);
        }
        let litres = (self.volume.value * 10.0).round() / 10.0;
        Err(out(
            "volume of the wood in L",
            litres,
            format!("below {tank} L, the volume of the tank; take another tank or fewer timbers"),
        ))
    }

    /// The timbers that are counted.
    pub(super) fn counted(&self) -> impl Iterator<Item = &BathTimber> {
        self.timbers.iter().filter(|timber| timber.not_counted.is_none())
    }
}

fn out(name: &str, value: f64, allowed: String) -> Error {
    Error::new(ErrorKind::Range { name: name.to_owned(), value, allowed })
}

/// Mean basic density over the section of each timber whose depths tell it, kg/m3, and the depth of its soft rim, mm.
struct SectionMean {
    basic_density: Option<f64>,
    soft_rim: Option<BathNumber>,
    /// Basic density of rim and core, kg/m3.
    parts: Option<[f64; 2]>,
}

fn means(study: &Study, assessment: &Assessment, watch: &Watch<'_>) -> Result<BTreeMap<String, SectionMean>> {
    let question = ProfileQuestion {
        value: Quantity::ResidualBasicDensity.name().to_owned(),
        threshold: ThresholdChoice::Usual,
        replicates: 0,
        ..ProfileQuestion::usual()
    };
    let profiles = match profile_assessed(study, assessment, &question, watch) {
        Ok(profiles) => profiles,
        // No piece has a depth: then no timber has a mean over its section.
        Err(error) if matches!(error.kind(), ErrorKind::Range { .. }) => return Ok(BTreeMap::new()),
        Err(error) => return Err(error),
    };
    let of = |timber: crate::study::TimberDepth| {
        let density = |part: &Option<PartState>| {
            let values = &part.as_ref()?.values;
            values.iter().find(|entry| entry.quantity == Quantity::BasicDensity.name()).map(|entry| entry.mean.value)
        };
        let parts = density(&timber.rim).zip(density(&timber.core)).map(|(rim, core)| [rim, core]);
        let whole = density(&timber.whole);
        let rim = timber.soft_rim.as_ref().and_then(|rim| {
            let depth = rim.depth?;
            match rim.between {
                [Some(low), Some(high)] => Some(BathNumber::between(depth.value, [low, high], "mm")),
                _ => Some(BathNumber::bare(depth.value, "mm")),
            }
        });
        (timber.timber, SectionMean { basic_density: whole, soft_rim: rim.filter(|rim| rim.value > 0.0), parts })
    };
    Ok(profiles.profiles.into_iter().map(of).collect())
}

fn unknown(name: &str) -> BathTimber {
    BathTimber {
        timber: name.to_owned(),
        taxon: None,
        sizes: Vec::new(),
        length: None,
        volume: None,
        basic_density: None,
        max_water_content: None,
        dry_mass: None,
        water: None,
        iron: None,
        reduced_sulfur: None,
        soft_rim: None,
        not_counted: Some("no piece of it was measured".to_owned()),
        section: None,
        porosity: None,
    }
}

fn one(
    assessment: &Assessment,
    pieces: &Pieces<'_>,
    name: &str,
    places: &[usize],
    over_section: Option<&SectionMean>,
    [wall, water_density]: [f64; 2],
) -> BathTimber {
    let mut timber = unknown(name);
    let first = places.first().copied().unwrap_or_default();
    let number = |column: &str| match pieces.datum(column, first) {
        Datum::Number(number) => Some(number),
        _ => None,
    };
    timber.taxon = pieces.taxon(first).map(str::to_owned);
    let (found, why) = section(pieces, first, None);
    timber.sizes = found.as_ref().map_or_else(Vec::new, |section| section.sizes_inside(0.0));
    timber.length = number("timber_length").map(|metres| metres * 1000.0);
    // mm3 are millionths of a litre.
    timber.volume =
        found.as_ref().zip(timber.length).map(|(section, length)| BathNumber::bare(section.area() * length / 1e6, "L"));
    timber.section = found;
    let known: Vec<f64> = places
        .iter()
        .filter_map(|place| assessment.samples.view(*place)?.value(Quantity::BasicDensity).map(|value| value.value))
        .collect();
    let low = known.iter().copied().fold(f64::INFINITY, f64::min);
    let high = known.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    timber.basic_density = mean(&known).map(|of_pieces| {
        let value = over_section.and_then(|mean| mean.basic_density).unwrap_or(of_pieces);
        BathNumber::between(value, [low, high], "kg/m3")
    });
    timber.soft_rim = over_section.and_then(|mean| mean.soft_rim);
    timber.porosity = over_section.and_then(|mean| mean.parts).map(|parts| parts.map(|density| 1.0 - density / wall));
    timber.not_counted = match (&timber.volume, &timber.basic_density) {
        (Some(_), Some(density)) if density.points().any(|density| density >= wall) => {
            Some(format!("its basic density is not below that of the cell wall, {wall} kg/m3"))
        }
        (Some(_), Some(_)) => None,
        (None, _) if timber.section.is_none() => {
            Some(why.and_then(|caution| caution.detail).unwrap_or_else(|| "its section is unknown".to_owned()))
        }
        (None, _) => Some("its length is unknown".to_owned()),
        (_, None) => Some("no piece of it has a basic density".to_owned()),
    };
    if let (Some(volume), Some(density), None) = (timber.volume, timber.basic_density, &timber.not_counted) {
        let litres = volume.value;
        timber.max_water_content =
            Some(density.map("%", |density| 100.0 * water_density * (1.0 / density - 1.0 / wall)));
        timber.dry_mass = Some(density.map("kg", |density| litres * density / 1000.0));
        timber.water = Some(density.map("kg", |density| litres * water_density * (1.0 - density / wall) / 1000.0));
        timber.iron = held(pieces, places, "iron_in_wood", timber.dry_mass);
        timber.reduced_sulfur = held(pieces, places, "sulfur_reduced_in_wood", timber.dry_mass);
    }
    timber
}

/// What a timber holds of an element, from its pieces in mg/kg: their mean, from the poorest to the richest.
fn held(pieces: &Pieces<'_>, places: &[usize], column: &str, dry_mass: Option<BathNumber>) -> Option<BathNumber> {
    let found: Vec<f64> = places
        .iter()
        .filter_map(|place| match pieces.datum(column, *place) {
            Datum::Number(number) => Some(number),
            _ => None,
        })
        .collect();
    let mass = dry_mass?;
    let low = found.iter().copied().reduce(f64::min)?;
    let high = found.iter().copied().reduce(f64::max)?;
    let middle = mean(&found)?;
    let [light, heavy] = mass.interval.unwrap_or([mass.value; 2]);
    Some(BathNumber::between(middle * mass.value / 1e6, [low * light / 1e6, high * heavy / 1e6], "kg"))
}
