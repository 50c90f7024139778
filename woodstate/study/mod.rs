//! The study file, and one function per command.
//!
//! A [`Study`] is what the laboratory states about a batch: how to read its files, its instruments, its waters, its
//! protocol. Each function here takes a study and inputs and gives an outcome: plain data that `report` shows and JSON
//! holds.
//!
//! | command | function | outcome |
//! |---|---|---|
//! | `assess` | [`assess`] | [`Assessment`] |
//! | `check` | [`check`] | [`Checkup`] |
//! | `summary` | [`summary()`], [`summarise`] | [`Summary`] |
//! | `fit` | [`fit`], [`fit_assessed`] | [`Curves`] |
//! | `follow` | [`follow`](follow()) | [`Following`] |
//! | `profile` | [`profile()`], [`profile_assessed`] | [`Profiles`] |
//! | `lift` | [`lift()`], [`lift_assessed`], [`lift_typed`] | [`Lifts`] |
//! | `figure` | [`piece_rows`], [`saturated_line`], [`fit`] | [`PieceRows`], [`SaturatedLine`], [`Curves`] |
//! | `bath` | [`bath_mix`], [`bath_wash`], [`bath_time`], [`bath_freeze`] | [`BathMixing`], [`BathWashing`], [`BathTiming`], [`BathFreezing`] |
//! | `report` | [`report`](report()) | [`Report`] |
//! | `--where` | [`choose`] | a batch of fewer rows |
//! | `explain` | [`explain`] | [`Explanation`] |
//! | `template` | [`template`](template()) | [`Template`] |
//! | `study` | [`starter`](starter()) | [`Starter`] |

mod advice;
mod advise;
mod advised;
mod assess;
mod bath;
mod check;
mod choose;
mod circumstances;
mod curve;
mod depth;
mod depth_meaning;
mod envelope;
mod explain;
mod file;
mod fitting;
mod follow;
mod increments;
mod laboratory;
mod lift;
mod lift_caution;
mod lift_key;
mod lift_look;
mod lift_meaning;
mod lift_number;
mod lift_outcome;
mod lift_plan;
mod lift_question;
mod lift_stated;
mod lift_strength;
mod lift_support;
mod lift_text;
mod lift_timber;
mod meaning;
mod origin;
mod page;
mod pair;
mod parse;
mod piece;
mod profile;
mod protocol;
mod reading;
mod report;
mod rows;
mod safety;
mod saturated;
mod scheme;
mod section;
mod several;
mod soft_rim;
mod starter;
mod strength;
mod summary;
mod symbol;
mod template;
mod threshold;
mod timber_depth;
mod trace;
mod treatment_word;
mod urgency;
mod word;

pub use advice::{
    Advice, ChangeAdvice, DisagreementAdvice, NextAdvice, NextOfAll, ReasonAdvice, RouteAdvice, RouteEntry, Said,
    StepAdvice, TimberAdvice, VerdictCounts, ZoneAdvice,
};
pub use advise::{AdviseQuestion, advise, advise_assessed};
pub use assess::{Assessment, Counts, assess};
pub use bath::{
    BaseNeed, BathCaution, BathCount, BathCourse, BathFreezing, BathImpregnant, BathMixing, BathMoment, BathNumber,
    BathPiece, BathPlan, BathStrength, BathTimber, BathTiming, BathWashing, BathWood, ChelatingNeed, FreezeQuestion,
    HeldInWood, MixedBath, MixedTimber, PlannedBath, ShareTimes, StatedDiffusivity, TimberTimes, UsedDiffusivity,
    WashingBath, bath_freeze, bath_mix, bath_time, bath_wash, bath_water_density,
};
pub use check::{Checkup, check};
pub use choose::{choose, keep_rows};
pub use curve::{
    Axis, ComparedModel, Curve, CurveDiagnostics, CurveLegend, CurveParameter, CurvePoint, CurveTest, Curves,
    PieceBeside,
};
pub use depth::{
    BetweenCores, CoreDepth, DepthLegend, DepthLevel, DepthNumber, DepthPoint, DepthThreshold, IncrementValue,
    NotInProfile, PartState, PartValue, ProfileBreak, ProfileParameter, Profiles, SoftRimDepth, SoundCore, TimberDepth,
    TimberSection,
};
pub use envelope::{LegendEntry, Program, Settings, SourceTable, Stated, Stopped};
pub use explain::{Explanation, explain};
pub use file::{STUDY_FILE, Study};
pub use follow::{
    ConcentrationStep, CourseCaution, CourseDay, CourseLegend, CourseMoment, CourseNumber, Efficiency, FollowAsk,
    FollowCounts, FollowOptions, FollowQuestion, Following, ForecastThen, Judgement, MeanShrinkage, Strength,
    TankCourse, TankOptions, TimberCourse, TreatedTimber, WashShown, WashedBath, WashedMoment, Washing, WeighingShown,
    follow,
};
pub use laboratory::{LaboratoryLimits, LaboratoryLine};
pub use lift::{lift, lift_assessed, lift_typed};
pub use lift_caution::LiftCaution;
pub use lift_number::LiftNumber;
pub use lift_outcome::{DynamicFactor, LiftHandling, LiftLegend, Lifts, NotLifted};
pub use lift_question::{LiftQuestion, StatedStrength, TypedTimber, WaterChoice};
pub use lift_stated::{StatedLoad, StatedStation, StatedTimber};
pub use lift_support::{Along, SupportChoice};
pub use lift_timber::{
    BestPlaces, LiftAnswer, LiftCheck, MomentStep, PlacingCost, SupportLift, SurfacingStep, TimberLift, TraySize,
    ZoneStrength,
};
pub use page::{NotKnown, OnePage, TimberGap, Urgent};
pub use pair::{LeftOut, LeftOutBecause};
pub use parse::StudyText;
pub use profile::{ProfileQuestion, profile, profile_assessed};
pub use protocol::Protocol;
pub use report::{Measurement, Report, ReportQuestion, SiteParts, report};
pub use rows::{
    PieceRow, PieceRows, RowQuestion, RowValue, chosen, chosen_places, known_names, known_numbers, piece_rows,
};
pub use safety::{Safety, SafetyForm, SafetyLimit, SafetyNote};
pub use saturated::{SaturatedLine, saturated_line};
pub use section::SectionForm;
pub use several::{CurvesTest, GroupScale, OneOrSeveral, SharedParameter, WithoutCurve};
pub use starter::{Answer, Item, ItemState, Oddity, OtherSheet, Starter, StarterTable, StarterWords, starter};
pub use strength::{FitQuestion, fit, fit_assessed};
pub use summary::{Summary, SummaryQuestion, summarise, summary};
pub use symbol::{Symbol, Translation, Word};
pub use template::{FormColumn, FormColumns, FormTable, Template, template};
pub use threshold::ThresholdChoice;
pub use urgency::{ReportOptions, UrgencyRule};
