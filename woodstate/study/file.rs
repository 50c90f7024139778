//! The study file: what the laboratory states about a batch.

use std::path::Path;

use crate::error::Result;
use crate::quantity::{Evidence, Quantity};
use crate::reference::{Boundary, ClassBand, Reference, Scheme};
use crate::state::{Instruments, OutsideScope, StateOptions, StatedReference, VolumeUncertainty, Waters};
use crate::table::{Decimal, ReadOptions, SourceFile, TableKind, TableOptions, column_of, read_file};

use super::Protocol;
use super::parse::{Origin, StudyText, TableText, Text};

/// Name of the study file that lies beside the data.
pub const STUDY_FILE: &str = "woodstate.toml";

/// What the laboratory states about a batch, and how its files are to be read.
///
/// # Example
/// ```
/// use woodstate::study::Study;
/// let study = Study::parse("[instruments]\nbalance = \"0.01 g\"", "woodstate.toml").unwrap();
/// assert_eq!(study.options.instruments.balance, Some(0.01));
/// let error = Study::parse("[instruments]\nbalanse = \"0.01 g\"", "woodstate.toml").unwrap_err();
/// assert!(error.to_string().starts_with("woodstate.toml:2:1: unknown field `balanse`"));
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Study {
    /// File it was read from; `None` where nothing is stated.
    pub file: Option<String>,
    /// SHA-256 of that file.
    pub sha256: Option<String>,
    /// Title of the study.
    pub title: Option<String>,
    /// How the files are to be read.
    pub read: ReadOptions,
    /// What decides the assessment.
    pub options: StateOptions,
    /// How volumes were measured, in the laboratory's words.
    pub volume_method: Option<String>,
    /// How the laboratory worked.
    pub protocol: Protocol,
}

impl Study {
    /// A study that states nothing.
    ///
    /// # Errors
    /// A broken build of the reference files.
    pub fn unstated() -> Result<Self> {
        Ok(Self {
            file: None,
            sha256: None,
            title: None,
            read: ReadOptions::default(),
            options: StateOptions::unstated(Reference::shipped()?)?,
            volume_method: None,
            protocol: Protocol::default(),
        })
    }

    /// Reads a study file.
    ///
    /// # Errors
    /// A file that cannot be read, or one of the faults of [`Study::parse`].
    pub fn open(path: &Path) -> Result<Self> {
        let source = read_file(path)?;
        Self::of(&source)
    }

    /// The study file beside the data: in the folder of a file, or in a folder of files. `None` where there is none.
    ///
    /// # Errors
    /// A study file that is there and cannot be used.
    pub fn beside(data: &Path) -> Result<Option<Self>> {
        let folder = if data.is_dir() { Some(data) } else { data.parent() };
        let path = folder.map(|folder| folder.join(STUDY_FILE)).filter(|path| path.is_file());
        path.map(|path| Self::open(&path)).transpose()
    }

    fn of(source: &SourceFile) -> Result<Self> {
        let text = String::from_utf8_lossy(&source.bytes);
        let mut study = Self::parse(text.trim_start_matches('\u{feff}'), &source.name)?;
        study.sha256 = Some(source.sha256.clone());
        Ok(study)
    }

    /// Reads the text of a study file; `file` is its name in errors.
    ///
    /// # Errors
    /// [`ErrorKind::Study`](crate::error::ErrorKind::Study) with line and column: an unknown key, a quantity without a
    /// unit, a column or a scheme that does not exist.
    pub fn parse(text: &str, file: &str) -> Result<Self> {
        let origin = Origin { file, text };
        let parsed = origin.read()?;
        let reference = Reference::shipped()?;
        let mut study = Self::unstated()?;
        study.file = Some(file.to_owned());
        study.read = ReadOptions {
            samples: table(&origin, &parsed.samples, TableKind::Samples)?,
            timbers: table(&origin, &parsed.timbers, TableKind::Timbers)?,
            log: table(&origin, &parsed.log, TableKind::Log)?,
            missing: parsed.missing.clone(),
        };
        study.options.instruments = instruments(&origin, &parsed)?;
        study.options.waters = waters(&origin, &parsed)?;
        for (taxon, stated) in &parsed.references {
            let text: Text = Some(stated.basic_density.clone());
            if let Some(density) = origin.measured(&text, "kg/m3")? {
                study.options.references.push(StatedReference {
                    taxon: taxon.clone(),
                    density,
                    source: stated.source.clone(),
                });
            }
        }
        assess(&origin, &parsed, reference, &mut study.options)?;
        study.title = parsed.title;
        study.volume_method = parsed.instruments.volume_method;
        study.protocol = parsed.protocol;
        Ok(study)
    }
}

fn table(origin: &Origin<'_>, text: &TableText, kind: TableKind) -> Result<TableOptions> {
    let mut options = TableOptions {
        sheet: text.sheet.clone(),
        encoding: text.encoding.clone(),
        sample: text.sample.clone(),
        ..TableOptions::default()
    };
    if let Some(row) = &text.header_row {
        if *row.as_ref() == 0 {
            return Err(origin.fault(row.span().start, "rows are counted from 1"));
        }
        options.header_row = Some(*row.as_ref());
    }
    options.decimal = origin.choice(text.decimal.as_ref(), &[(".", Decimal::Point), (",", Decimal::Comma)])?;
    let delimiters = [(";", ';'), (",", ','), ("\t", '\t'), ("tab", '\t'), ("|", '|')];
    options.delimiter = origin.choice(text.delimiter.as_ref(), &delimiters)?;
    for (header, meaning) in &text.columns {
        column_of(meaning.as_ref(), kind).map_err(|near| {
            let text = format!("\"{}\" is not a column of {}{}", meaning.as_ref(), kind.name(), did_you_mean(&near));
            origin.fault(meaning.span().start, text)
        })?;
        options.columns.insert(header.split_whitespace().collect::<Vec<_>>().join(" "), meaning.as_ref().clone());
    }
    for (column, words) in &text.words {
        column_of(column.as_ref(), kind).map_err(|near| {
            let text = format!("\"{}\" is not a column of {}{}", column.as_ref(), kind.name(), did_you_mean(&near));
            origin.fault(column.span().start, text)
        })?;
        options.words.insert(column.as_ref().clone(), words.clone());
    }
    Ok(options)
}

fn did_you_mean(near: &[&str]) -> String {
    if near.is_empty() { String::new() } else { format!(". Did you mean {}?", near.join(" or ")) }
}

fn instruments(origin: &Origin<'_>, parsed: &StudyText) -> Result<Instruments> {
    let text = &parsed.instruments;
    let volume = match text.volume_uncertainty.as_ref() {
        Some(volume) if volume.as_ref().trim_end().ends_with('%') => {
            origin.positive(&text.volume_uncertainty, "%")?.map(VolumeUncertainty::Relative)
        }
        _ => origin.positive(&text.volume_uncertainty, "cm3")?.map(VolumeUncertainty::Absolute),
    };
    let thermometer = match origin.positive(&text.thermometer, "Cel") {
        Err(_) => origin.positive(&text.thermometer, "K")?,
        found => found?,
    };
    Ok(Instruments {
        balance: origin.positive(&text.balance, "g")?,
        balance_calibration: origin.positive(&text.balance_calibration, "%")?,
        calliper: origin.positive(&text.calliper, "mm")?,
        volume,
        thermometer,
    })
}

fn waters(origin: &Origin<'_>, parsed: &StudyText) -> Result<Waters> {
    let text = &parsed.water;
    let within = |field: &Text, unit: &str, low: f64, high: f64| {
        let measured = origin.measured(field, unit)?;
        match (measured, field) {
            (Some(found), Some(text)) if !(low..=high).contains(&found.value) => {
                let say = format!("{} {unit} is outside {low} to {high} {unit}", found.value);
                Err(origin.fault(text.span().start, say))
            }
            _ => Ok(measured),
        }
    };
    Ok(Waters {
        weighing_temperature: within(&text.weighing_temperature, "Cel", -2.0, 40.0)?,
        weighing_salinity: within(&text.weighing_salinity, "g/kg", 0.0, 42.0)?,
        pore_salinity: within(&text.pore_salinity, "g/kg", 0.0, 42.0)?,
        density: within(&text.density, "kg/m3", 950.0, 1100.0)?,
    })
}

fn assess(origin: &Origin<'_>, parsed: &StudyText, reference: &Reference, options: &mut StateOptions) -> Result<()> {
    let text = &parsed.assess;
    if let Some(wall) = origin.measured(&text.cell_wall_density, "kg/m3")? {
        if !(1200.0..=1700.0).contains(&wall.value) {
            let at = text.cell_wall_density.as_ref().map_or(0, |text| text.span().start);
            return Err(origin.fault(at, format!("{} kg/m3 is outside 1200 to 1700 kg/m3", wall.value)));
        }
        options.cell_wall_density = wall;
    }
    if let Some(id) = &text.scheme {
        options.scheme = match parsed.schemes.get(id.as_ref()) {
            Some(own) => {
                let own_text = own.as_ref();
                let classes = own_text.classes.iter();
                let scheme = Scheme {
                    id: id.as_ref().clone(),
                    title: own_text.title.clone(),
                    quantity: own_text.quantity.clone(),
                    scope: own_text.scope.clone(),
                    classes: classes
                        .map(|class| ClassBand { label: class.label.clone(), from: class.from, to: class.to })
                        .collect(),
                    source: own_text.source.clone(),
                    place: "study file".to_owned(),
                    evidence: Evidence::Stated,
                };
                let known = Quantity::of_name(&scheme.quantity);
                known.ok_or_else(|| {
                    let say = format!("\"{}\" is not a derived quantity; usual is max_water_content", scheme.quantity);
                    origin.fault(own.span().start, say)
                })?;
                scheme.check().map_err(|say| origin.fault(own.span().start, say))?;
                scheme
            }
            None => {
                let scheme = reference.scheme(id.as_ref());
                scheme.map_err(|error| origin.fault(id.span().start, error.to_string()))?.clone()
            }
        };
    }
    let boundaries = [("worse", Boundary::Worse), ("better", Boundary::Better)];
    options.boundary = origin.choice(text.boundary.as_ref(), &boundaries)?.unwrap_or(options.boundary);
    let outside = [("no_class", OutsideScope::NoClass), ("classify", OutsideScope::Classify)];
    options.outside_scope = origin.choice(text.outside_scope.as_ref(), &outside)?.unwrap_or(options.outside_scope);
    options.decided_at = origin.share(text.decided_at.as_ref(), "decided_at")?.unwrap_or(options.decided_at);
    options.stated_first = text.stated_first.unwrap_or(options.stated_first);
    options.borer_damage_limit = origin.positive(&text.borer_damage_limit, "%")?.unwrap_or(options.borer_damage_limit);
    options.ash_limit = origin.positive(&text.ash_limit, "%")?.unwrap_or(options.ash_limit);
    let propagation = &mut options.propagation;
    propagation.coverage = origin.share(text.coverage.as_ref(), "coverage")?.unwrap_or(propagation.coverage);
    propagation.seed = text.seed.unwrap_or(propagation.seed);
    Ok(())
}
