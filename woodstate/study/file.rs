//! The study file: what the laboratory states about a batch.

use std::cell::RefCell;
use std::path::Path;

use crate::error::{Finding, Result};
use crate::reference::{Boundary, Reference};
use crate::state::{Instruments, OutsideScope, StateOptions, StatedReference, VolumeUncertainty, Waters};
use crate::table::{ReadOptions, SourceFile, TableKind, is_day, read_file};

use super::bath::BathText;
use super::follow::options;
use super::laboratory::{LaboratoryLimits, laboratory};
use super::lift_text::lift;
use super::origin::{Origin, Text};
use super::parse::StudyText;
use super::reading::table;
use super::scheme::schemes;
use super::{BathPlan, FollowOptions, LiftQuestion, Protocol, ReportOptions, SafetyForm, UrgencyRule};

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
    /// What is asked of the log of a treatment.
    pub follow: FollowOptions,
    /// What a report is to say.
    pub report: ReportOptions,
    /// What is stated of a bath.
    pub bath: BathPlan,
    /// How timbers are lifted and what is required.
    pub lift: LiftQuestion,
    /// What the laboratory can treat, what it wants, and its own limits.
    pub laboratory: LaboratoryLimits,
    /// How much of the safety notes is shown.
    pub safety: SafetyForm,
    /// What is worth knowing of the study file and no fault.
    pub findings: Vec<Finding>,
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
            follow: FollowOptions::default(),
            report: ReportOptions::default(),
            bath: BathPlan::default(),
            lift: LiftQuestion::usual(),
            laboratory: LaboratoryLimits::default(),
            safety: SafetyForm::default(),
            findings: Vec::new(),
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
        let text = std::str::from_utf8(&source.bytes).map_err(|error| {
            // OK because what stands before the fault is UTF-8.
            let before = String::from_utf8_lossy(&source.bytes[..error.valid_up_to()]);
            let origin = Origin { file: &source.name, text: &before, findings: RefCell::default() };
            origin.fault(before.len(), "a letter here is not UTF-8; save the study file as UTF-8")
        })?;
        let mut study = Self::parse(text.trim_start_matches('\u{feff}'), &source.name)?;
        study.sha256 = Some(source.sha256().to_owned());
        Ok(study)
    }

    /// Reads the text of a study file; `file` is its name in errors.
    ///
    /// # Errors
    /// [`ErrorKind::Study`](crate::error::ErrorKind::Study) with line and column: an unknown key, a quantity without a
    /// unit, a column or a scheme that does not exist.
    pub fn parse(text: &str, file: &str) -> Result<Self> {
        let origin = Origin { file, text, findings: RefCell::default() };
        let parsed: StudyText = origin.read()?;
        let reference = Reference::shipped()?;
        let mut study = Self::unstated()?;
        study.file = Some(file.to_owned());
        study.read = ReadOptions {
            samples: table(&origin, &parsed.samples, TableKind::Samples)?,
            timbers: table(&origin, &parsed.timbers, TableKind::Timbers)?,
            log: table(&origin, &parsed.log, TableKind::Log)?,
            missing: parsed.missing.clone(),
            max_cells: None,
            threads: None,
        };
        study.options.instruments = instruments(&origin, &parsed)?;
        study.options.waters = waters(&origin, &parsed)?;
        study.options.references = references(&origin, &parsed, reference)?;
        assess(&origin, &parsed, reference, &mut study.options)?;
        study.follow = options(&origin, &parsed.follow)?;
        study.report = report(&origin, &parsed)?;
        let forms = SafetyForm::ALL.map(|form| (form.word(), form));
        study.safety = origin.choice(parsed.safety.as_ref(), &forms)?.unwrap_or_default();
        study.bath = bath(&origin, &parsed.bath, study.safety)?;
        study.lift = lift(&origin, &parsed.lift)?;
        study.laboratory = laboratory(&origin, &parsed.laboratory)?;
        study.title = parsed.title;
        study.volume_method = parsed.instruments.volume_method;
        study.protocol = parsed.protocol;
        study.findings = origin.findings.into_inner();
        Ok(study)
    }
}

fn instruments(origin: &Origin<'_>, parsed: &StudyText) -> Result<Instruments> {
    let text = &parsed.instruments;
    let volume = match text.volume_uncertainty.as_ref() {
        Some(volume) if volume.as_ref().0.trim_end().ends_with('%') => {
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
    const SALT: (f64, f64) = (0.0, 42.0);
    let text = &parsed.water;
    let of_weighing = [
        ("weighing_temperature", text.weighing_temperature.as_ref()),
        ("weighing_salinity", text.weighing_salinity.as_ref()),
    ];
    for (name, weighing) in of_weighing {
        if let (Some(weighing), Some(_)) = (weighing, &text.density) {
            let say = format!("density is stated beside {name} and replaces it; leave one of the two out");
            return Err(origin.fault(weighing.span().start, say));
        }
    }
    Ok(Waters {
        weighing_temperature: origin.within(&text.weighing_temperature, "Cel", (-2.0, 40.0))?,
        weighing_salinity: origin.within(&text.weighing_salinity, "g/kg", SALT)?,
        pore_salinity: origin.within(&text.pore_salinity, "g/kg", SALT)?,
        density: origin.within(&text.density, "kg/m3", (950.0, 1100.0))?,
    })
}

/// The references of the user, each for a taxon of its own.
fn references(origin: &Origin<'_>, parsed: &StudyText, reference: &Reference) -> Result<Vec<StatedReference>> {
    let mut references: Vec<StatedReference> = Vec::new();
    let meant = |name: &str| reference.taxon(name).map_or(name.to_owned(), |taxon| taxon.name.clone());
    for (taxon, stated) in &parsed.references {
        if let Some(other) = references.iter().find(|other| meant(&other.taxon) == meant(taxon.as_ref())) {
            let text = format!("\"{}\" and \"{}\" mean one taxon; keep one", other.taxon, taxon.as_ref());
            return Err(origin.fault(taxon.span().start, text));
        }
        let text: Text = Some(stated.basic_density.clone());
        if let Some(density) = origin.within(&text, "kg/m3", (50.0, 1400.0))? {
            let (taxon, source) = (taxon.as_ref().clone(), stated.source.clone());
            references.push(StatedReference { taxon, density, source });
        }
    }
    Ok(references)
}

fn assess(origin: &Origin<'_>, parsed: &StudyText, reference: &Reference, options: &mut StateOptions) -> Result<()> {
    const MOST_OF_WALL: f64 = 300.0;
    let text = &parsed.assess;
    if let Some(wall) = origin.within(&text.cell_wall_density, "kg/m3", (1200.0, 1700.0))? {
        if let Some(u) = wall.u.filter(|u| *u > MOST_OF_WALL) {
            let at = text.cell_wall_density.as_ref().map_or(0, |text| text.span().start);
            return Err(origin.fault(at, format!("an uncertainty of {u} kg/m3 is above {MOST_OF_WALL} kg/m3")));
        }
        options.cell_wall_density = wall;
    }
    options.ash_density = origin.within(&text.ash_density, "kg/m3", (1700.0, 6000.0))?;
    let own = schemes(origin, parsed, reference)?;
    if let Some(id) = &text.scheme {
        options.scheme = match own.into_iter().find(|scheme| scheme.id == *id.as_ref()) {
            Some(scheme) => scheme,
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

fn bath(origin: &Origin<'_>, text: &BathText, safety: SafetyForm) -> Result<BathPlan> {
    let mut plan = BathPlan { safety, ..BathPlan::default() };
    for (key, value) in &text.0 {
        let is_key = BathPlan::KEYS.iter().any(|(known, _)| *known == key.as_ref());
        let at = if is_key { value.span().start } else { key.span().start };
        plan.set(key.as_ref(), &value.as_ref().0).map_err(|error| origin.fault(at, error.to_string()))?;
    }
    Ok(plan)
}

fn report(origin: &Origin<'_>, parsed: &StudyText) -> Result<ReportOptions> {
    const MOST: (f64, f64) = (0.0, 1e6);
    let (text, usual) = (&parsed.report, ReportOptions::default());
    if let Some(date) = text.date.as_ref().filter(|date| !is_day(date.as_ref())) {
        let say = format!("\"{}\" is not a day as year-month-day, such as 2026-11-27", date.as_ref());
        return Err(origin.fault(date.span().start, say));
    }
    let rules = UrgencyRule::ALL.map(|rule| (rule.word(), rule));
    let urgent = text.urgent.as_ref().map(|words| {
        words.iter().filter_map(|word| origin.choice(Some(word), &rules).transpose()).collect::<Result<Vec<_>>>()
    });
    let limit = |text, usual| Ok(origin.within(text, "mg/kg", MOST)?.map_or(usual, |limit| limit.value));
    Ok(ReportOptions {
        date: text.date.as_ref().map(|date| date.as_ref().clone()),
        by: text.by.clone(),
        value: text.value.clone(),
        against: text.against.clone(),
        urgent: urgent.transpose()?.unwrap_or(usual.urgent),
        reduced_sulfur_limit: limit(&text.reduced_sulfur_limit, usual.reduced_sulfur_limit)?,
        iron_limit: limit(&text.iron_limit, usual.iron_limit)?,
    })
}
