//! The outcome of `follow`: plain data.

use schemars::JsonSchema;
use serde::Serialize;

use crate::error::{CourseCautionCode, Finding};
use crate::quantity::Cited;
use crate::study::{Program, Safety, Settings, SourceTable};

use super::FollowOptions;

/// The outcome of `follow`.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Following {
    /// Version of this form.
    pub schema_version: u32,
    /// `following`.
    pub kind: &'static str,
    /// The program.
    pub program: Program,
    /// The tables that were read.
    pub source: Vec<SourceTable>,
    /// What was stated or assumed.
    pub settings: Settings,
    /// What was asked of the log.
    pub asked: FollowOptions,
    /// How many rows became what.
    pub counts: FollowCounts,
    /// Each timber that was weighed, in the order of the log.
    pub timbers: Vec<TimberCourse>,
    /// Each tank.
    pub tanks: Vec<TankCourse>,
    /// Treated wood beside its control.
    pub treated: Vec<TreatedTimber>,
    /// What to know, or to look at in the tanks.
    pub cautions: Vec<CourseCaution>,
    /// The cautions that were raised, with their long stories.
    pub legend: Vec<CourseLegend>,
    /// What the study file should answer.
    pub questions: Vec<FollowAsk>,
    /// How the numbers are to be read.
    pub notes: Vec<String>,
    /// Dangers to people.
    pub safety: Safety,
    /// What was found in the files.
    pub findings: Vec<Finding>,
    /// Published figures that were used, or stand beside results and decide nothing.
    pub sources: Vec<Cited>,
}

/// How many rows of the log became what.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
pub struct FollowCounts {
    /// Rows of the log.
    pub rows: usize,
    /// Rows without a day, which are not used.
    pub without_day: usize,
    /// Timbers that were weighed.
    pub timbers: usize,
    /// Tanks.
    pub tanks: usize,
}

/// A number with its interval.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct CourseNumber {
    /// The number.
    pub value: f64,
    /// Its interval with the coverage of the settings; `None` for an end that is open.
    pub interval: [Option<f64>; 2],
    /// UCUM code.
    pub unit: &'static str,
}

/// A day with its interval.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct CourseDay {
    /// The day; `None` where it lies more than a hundred years ahead.
    pub day: Option<String>,
    /// Earliest and latest day; `None` for an end that is open or more than a hundred years ahead.
    pub interval: [Option<String>; 2],
    /// Whether the day lies before the last row, so that the target is reached already.
    pub is_reached: bool,
}

/// A timber in its baths.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct TimberCourse {
    /// Its name.
    pub timber: String,
    /// The tanks it lay in, in their order.
    pub tanks: Vec<String>,
    /// Its shape and sizes in words; `None` where unknown.
    pub shape: Option<String>,
    /// First and last day of weighing.
    pub days: [String; 2],
    /// Its weighings.
    pub weighings: Vec<WeighingShown>,
    /// What it gained, kg; `u` from the stated uncertainties alone.
    pub gained: Option<CourseNumber>,
    /// The same as a share of its first mass, %.
    pub gained_share: Option<CourseNumber>,
    /// Diffusivity across the grain, m²/s.
    pub diffusivity: Option<CourseNumber>,
    /// fitted, or stated.
    pub diffusivity_from: Option<&'static str>,
    /// Why nothing was fitted; `None` where it was.
    pub no_fit: Option<String>,
    /// Standard deviation of the masses about the fit, kg.
    pub scatter: Option<f64>,
    /// Mean concentration in the wood as a share of that of the bath, %, at the last row.
    pub average_now: Option<CourseNumber>,
    /// The same in the centre.
    pub centre_now: Option<CourseNumber>,
    /// When the average reaches the target.
    pub average_target: Option<CourseDay>,
    /// When the centre reaches it.
    pub centre_target: Option<CourseDay>,
    /// How diffusivity and forecast moved as weighings came in.
    pub history: Vec<ForecastThen>,
    /// The course by the fit, for a drawing.
    pub curve: Vec<CourseMoment>,
}

/// A weighing.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct WeighingShown {
    /// The day.
    pub date: String,
    /// The same as days from 1970-01-01.
    pub day: f64,
    /// Mass after draining, kg.
    pub mass: f64,
    /// One standard uncertainty as stated; `None` where unknown.
    pub u: Option<f64>,
    /// Mass by the fit; `None` where there is none.
    pub fitted: Option<f64>,
}

/// The forecast as it stood when so many weighings were there.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ForecastThen {
    /// How many weighings.
    pub weighings: usize,
    /// Day of the last of them.
    pub date: String,
    /// Diffusivity by them, m²/s.
    pub diffusivity: CourseNumber,
    /// When the average reaches the target in the last bath of that day; `None` where no target is stated.
    pub average_target: Option<CourseDay>,
    /// The same for the centre.
    pub centre_target: Option<CourseDay>,
}

/// A day of the course by the fit.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct CourseMoment {
    /// Days from 1970-01-01.
    pub day: f64,
    /// Mass, kg; `None` where it was not fitted.
    pub mass: Option<f64>,
    /// Band of it, by the ends of the diffusivity; `None` where one is open.
    pub band: Option<[f64; 2]>,
    /// Mean concentration in the wood as a share of that of the last bath, %.
    pub average: f64,
    /// The same in the centre.
    pub centre: f64,
}

/// A tank.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct TankCourse {
    /// Its name; `None` for rows without one.
    pub tank: Option<String>,
    /// What is in it, as stated.
    pub impregnant: Option<String>,
    /// First and last day.
    pub days: [String; 2],
    /// Rows of the bath, those that weigh a timber apart.
    pub rows: usize,
    /// Readings of concentration, in their order.
    pub strengths: Vec<Strength>,
    /// What its water tells of washing; `None` where nothing was read.
    pub washing: Option<Washing>,
}

/// Concentration of a bath on a day.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Strength {
    /// The day.
    pub date: String,
    /// As it was read.
    pub value: f64,
    /// `%` by mass of solution, or `g/L`.
    pub unit: &'static str,
    /// Mass per volume of solution, g/L; `None` where the basis cannot be changed.
    pub mass_per_volume: Option<f64>,
}

/// What the water of a tank tells of washing.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Washing {
    /// `chloride_in_water` or `conductivity`.
    pub column: &'static str,
    /// UCUM code of the readings.
    pub unit: &'static str,
    /// The readings.
    pub readings: Vec<WashShown>,
    /// The baths, one after the other.
    pub baths: Vec<WashedBath>,
    /// Timbers that stand for all wood in the tank.
    pub pieces: Vec<String>,
    /// Diffusivity across the grain, m²/s.
    pub diffusivity: Option<CourseNumber>,
    /// Why nothing was fitted; `None` where it was.
    pub no_fit: Option<String>,
    /// Water of the first bath over water in the wood, by volume, by the fit.
    pub ratio: Option<f64>,
    /// Fresh water by the fit, in the unit of the readings.
    pub fresh: Option<f64>,
    /// Water in the wood at first by the fit, in the unit of the readings.
    pub in_wood_at_first: Option<f64>,
    /// Salt that is left in the wood by the fit, % of what stood in its water at first over that of fresh water.
    pub left_in_wood: Option<f64>,
    /// Standard deviation of the readings about the fit.
    pub scatter: Option<f64>,
    /// The bath by the fit, for a drawing.
    pub curve: Vec<WashedMoment>,
    /// Whether the curve is flat by the stated criterion; `None` where none is stated.
    pub flat: Option<Judgement>,
    /// The last readings beside the stated limits.
    pub limits: Vec<Judgement>,
}

/// A reading of the water.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct WashShown {
    /// The day.
    pub date: String,
    /// The same as days from 1970-01-01.
    pub day: f64,
    /// Which bath, from 1.
    pub bath: usize,
    /// The reading, corrected to 25 °C where a coefficient for conductivity is stated.
    pub value: f64,
    /// By the fit; `None` where there is none.
    pub fitted: Option<f64>,
}

/// A bath of a washing.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct WashedBath {
    /// Which, from 1.
    pub bath: usize,
    /// The day it began.
    pub begin: String,
    /// How long it stood until the change or the last row, d.
    pub length: f64,
    /// Its volume, L; `None` where unknown.
    pub volume: Option<f64>,
    /// Its last reading, the strongest.
    pub last: Option<f64>,
    /// Rise a week between its last two readings; `None` with fewer.
    pub rise_a_week: Option<f64>,
}

/// A day of the bath by the fit.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct WashedMoment {
    /// Days from 1970-01-01.
    pub day: f64,
    /// Which bath, from 1.
    pub bath: usize,
    /// The reading by the fit.
    pub value: f64,
}

/// A criterion of the user and what came of it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Judgement {
    /// Whether it is met.
    pub is_met: bool,
    /// In words.
    pub text: String,
}

/// Treated wood beside its control.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct TreatedTimber {
    /// The treated timber.
    pub timber: String,
    /// Its treatment, as the timbers table says.
    pub treatment: Option<String>,
    /// The control; `None` where none is named or it was not measured.
    pub control: Option<String>,
    /// Relative humidity at which both were conditioned, %; `None` where unknown or different.
    pub climate: Option<f64>,
    /// Each direction, and the cross-section.
    pub directions: Vec<Efficiency>,
    /// Why there is no efficiency; `None` where there is.
    pub no_efficiency: Option<String>,
    /// The stated limit and what came of it, for the cross-section; `None` where none is stated.
    pub accepted: Option<Judgement>,
}

/// Shrinkage of treated wood and control in one direction.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Efficiency {
    /// radial, tangential, longitudinal or `cross_section`.
    pub direction: &'static str,
    /// Shrinkage of the treated wood, %.
    pub treated: Option<MeanShrinkage>,
    /// Shrinkage of the control, %.
    pub control: Option<MeanShrinkage>,
    /// Anti-shrink efficiency, %; `None` where it cannot be given.
    pub efficiency: Option<f64>,
    /// One standard uncertainty of it; `None` where unknown.
    pub u: Option<f64>,
    /// Its interval with the coverage of the settings; `None` where unknown.
    pub interval: Option<[f64; 2]>,
}

/// Mean shrinkage of the pieces of a timber.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct MeanShrinkage {
    /// The mean, %.
    pub value: f64,
    /// One standard uncertainty of the mean; `None` where unknown.
    pub u: Option<f64>,
    /// Pieces.
    pub n: usize,
}

/// A caution about a timber or a tank.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct CourseCaution {
    /// The word.
    pub code: &'static str,
    /// One short clause.
    pub text: &'static str,
    /// What it rests on here; `None` where there is nothing to add.
    pub detail: Option<String>,
    /// The timber; `None` where it is about a tank or the log.
    pub timber: Option<String>,
    /// The tank; `None` where it is about a timber or the log.
    pub tank: Option<String>,
    /// The day on which it was first seen; `None` where it is about all.
    pub date: Option<String>,
    /// The code, to match on; not written, `code` is its word.
    #[serde(skip)]
    pub of: CourseCautionCode,
}

impl CourseCaution {
    pub(super) fn new(of: CourseCautionCode, detail: impl Into<String>) -> Self {
        let detail = Some(detail.into()).filter(|detail| !detail.is_empty());
        Self { code: of.word(), text: of.story().text, detail, timber: None, tank: None, date: None, of }
    }

    pub(super) fn of_timber(mut self, timber: &str) -> Self {
        self.timber = Some(timber.to_owned());
        self
    }

    pub(super) fn of_tank(mut self, tank: Option<&str>) -> Self {
        self.tank = tank.map(str::to_owned);
        self
    }

    pub(super) fn since(mut self, date: String) -> Self {
        self.date = Some(date);
        self
    }
}

/// A caution with its long story and how often it was raised.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct CourseLegend {
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
    /// How often.
    pub count: usize,
}

impl CourseLegend {
    pub(super) fn of(cautions: &[CourseCaution]) -> Vec<Self> {
        let entry = |code: &CourseCautionCode| {
            let story = code.story();
            let count = cautions.iter().filter(|caution| caution.of == *code).count();
            (count > 0).then_some(Self {
                code: story.code,
                text: story.text,
                meaning: story.meaning,
                consequence: story.consequence,
                cause: story.cause,
                cure: story.cure,
                count,
            })
        };
        CourseCautionCode::ALL.iter().filter_map(entry).collect()
    }
}

/// A question to the study file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct FollowAsk {
    /// The key under `[follow]`.
    pub key: &'static str,
    /// What is asked and why.
    pub text: String,
    /// A line to be written; what stands in it is an example and no advice.
    pub line: String,
}
