//! What every outcome carries: program, files, settings, legend.

use schemars::JsonSchema;
use serde::Serialize;

use crate::error::{CautionCode, Cautions};
use crate::quantity::Measured;
use crate::state::{OutsideScope, VolumeUncertainty};
use crate::table::{Batch, Table};

use super::{Protocol, Study};

/// Version of the form of every outcome.
pub(super) const SCHEMA_VERSION: u32 = 1;

/// The program that made an outcome.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Program {
    /// Its name.
    pub name: &'static str,
    /// Its version.
    pub version: &'static str,
}

impl Program {
    /// This build.
    #[must_use]
    pub fn this() -> Self {
        Self { name: env!("CARGO_PKG_NAME"), version: env!("CARGO_PKG_VERSION") }
    }
}

/// How far a batch came that was stopped; what was not done is not in the outcome.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Stopped {
    /// Timbers that were done.
    pub done: usize,
    /// Timbers that there are.
    pub total: usize,
}

impl Stopped {
    /// `None` where all was done.
    pub(super) fn of(done: usize, total: usize) -> Option<Self> {
        (done < total).then_some(Self { done, total })
    }

    /// One sentence.
    #[must_use]
    pub fn sentence(&self) -> String {
        let Self { done, total } = self;
        format!("Stopped after {done} of {total} timbers: the others were not looked at.")
    }
}

/// A table that was read.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct SourceTable {
    /// samples, timbers or log.
    pub table: &'static str,
    /// File as it was named.
    pub file: String,
    /// Sheet of a workbook.
    pub sheet: Option<String>,
    /// SHA-256 of the file.
    pub sha256: String,
    /// Rows below the header.
    pub rows: usize,
    /// What was found or given: encoding, delimiter, decimal mark, header row.
    pub reading: Vec<String>,
}

impl SourceTable {
    pub(super) fn of(batch: &Batch) -> Vec<Self> {
        let one = |table: &Table| Self {
            table: table.kind().name(),
            file: table.origin().file.clone(),
            sheet: table.origin().sheet.clone(),
            sha256: table.origin().sha256.clone(),
            rows: table.n_rows_in_file(),
            reading: table.origin().reading.clone(),
        };
        batch.tables().map(one).collect()
    }
}

/// A setting with its unit; `u` is `None` where unknown.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Stated {
    /// The value.
    pub value: f64,
    /// One standard uncertainty.
    pub u: Option<f64>,
    /// UCUM code.
    pub unit: &'static str,
}

/// Everything that was stated or assumed. `None` is "not recorded".
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Settings {
    /// Study file.
    pub study_file: Option<String>,
    /// SHA-256 of the study file.
    pub study_sha256: Option<String>,
    /// Title of the study.
    pub title: Option<String>,
    /// Coverage of every interval.
    pub coverage: f64,
    /// Seed of random draws.
    pub seed: u64,
    /// Class scheme.
    pub scheme: String,
    /// What the scheme is called.
    pub scheme_title: String,
    /// Its limits, in words.
    pub scheme_limits: String,
    /// The woods that it holds for.
    pub scheme_scope: Vec<String>,
    /// Which class owns a value exactly on a boundary.
    pub boundary: crate::reference::Boundary,
    /// Least probability of a decided class.
    pub decided_at: f64,
    /// Whether pieces outside the scope of the scheme are classed.
    pub classify_outside_scope: bool,
    /// Whether stated values come before measured ones.
    pub stated_first: bool,
    /// Share lost to borers above which no decay reading is given.
    pub borer_damage_limit: Stated,
    /// Ash content above which no decay reading is given.
    pub ash_limit: Stated,
    /// Density of the cell wall.
    pub cell_wall_density: Stated,
    /// Density of ash, where the cell wall is corrected for it.
    pub ash_density: Option<Stated>,
    /// Temperature of the water for weighing.
    pub weighing_temperature: Option<Stated>,
    /// Its salinity.
    pub weighing_salinity: Option<Stated>,
    /// Salinity of the pore water.
    pub pore_salinity: Option<Stated>,
    /// Density of all water, where stated.
    pub water_density: Option<Stated>,
    /// Resolution of the balance.
    pub balance: Option<Stated>,
    /// Uncertainty common to all weighings.
    pub balance_calibration: Option<Stated>,
    /// Resolution of the calliper.
    pub calliper: Option<Stated>,
    /// Standard uncertainty of a volume.
    pub volume_uncertainty: Option<Stated>,
    /// How volumes were measured.
    pub volume_method: Option<String>,
    /// Standard uncertainty of the thermometer.
    pub thermometer: Option<Stated>,
    /// How the laboratory worked.
    pub protocol: Protocol,
}

impl Settings {
    pub(super) fn of(study: &Study) -> Self {
        let options = &study.options;
        let exact = |value: f64, unit| Stated { value, u: None, unit };
        let measured = |measured: Measured, unit| Stated { value: measured.value, u: measured.u, unit };
        let (waters, instruments) = (&options.waters, &options.instruments);
        Self {
            study_file: study.file.clone(),
            study_sha256: study.sha256.clone(),
            title: study.title.clone(),
            coverage: options.propagation.coverage,
            seed: options.propagation.seed,
            scheme: options.scheme.id.clone(),
            scheme_title: options.scheme.title.clone(),
            scheme_limits: options.scheme.limits(),
            scheme_scope: options.scheme.scope.clone(),
            boundary: options.boundary,
            decided_at: options.decided_at,
            classify_outside_scope: options.outside_scope == OutsideScope::Classify,
            stated_first: options.stated_first,
            borer_damage_limit: exact(options.borer_damage_limit, "%"),
            ash_limit: exact(options.ash_limit, "%"),
            cell_wall_density: measured(options.cell_wall_density, "kg/m3"),
            ash_density: options.ash_density.map(|ash| measured(ash, "kg/m3")),
            weighing_temperature: waters.weighing_temperature.map(|water| measured(water, "Cel")),
            weighing_salinity: waters.weighing_salinity.map(|water| measured(water, "g/kg")),
            pore_salinity: waters.pore_salinity.map(|water| measured(water, "g/kg")),
            water_density: waters.density.map(|water| measured(water, "kg/m3")),
            balance: instruments.balance.map(|resolution| exact(resolution, "g")),
            balance_calibration: instruments.balance_calibration.map(|share| exact(share, "%")),
            calliper: instruments.calliper.map(|resolution| exact(resolution, "mm")),
            volume_uncertainty: instruments.volume.map(|volume| match volume {
                VolumeUncertainty::Absolute(u) => exact(u, "cm3"),
                VolumeUncertainty::Relative(share) => exact(share, "%"),
            }),
            volume_method: study.volume_method.clone(),
            thermometer: instruments.thermometer.map(|u| exact(u, "K")),
            protocol: study.protocol.clone(),
        }
    }
}

/// A caution with its long story and how often it was raised.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct LegendEntry {
    /// The word.
    pub code: &'static str,
    /// One short clause.
    pub text: &'static str,
    /// What it means.
    pub meaning: &'static str,
    /// What follows.
    pub consequence: &'static str,
    /// Why it happens.
    pub cause: &'static str,
    /// What to do.
    pub cure: &'static str,
    /// Pieces that have it.
    pub samples: usize,
    /// Timbers that have it.
    pub timbers: usize,
}

impl LegendEntry {
    /// The cautions of some pieces and timbers, in the order of the registry.
    pub(super) fn of(pieces: &[Cautions], timbers: &[Cautions]) -> Vec<Self> {
        let count = |sets: &[Cautions], code| sets.iter().filter(|set| set.contains(code)).count();
        let entry = |code: CautionCode| {
            let story = code.story();
            let (samples, timbers) = (count(pieces, code), count(timbers, code));
            let entry = Self {
                code: story.code,
                text: story.text,
                meaning: story.meaning,
                consequence: story.consequence,
                cause: story.cause,
                cure: story.cure,
                samples,
                timbers,
            };
            (samples + timbers > 0).then_some(entry)
        };
        CautionCode::ALL.iter().filter_map(|code| entry(*code)).collect()
    }
}
