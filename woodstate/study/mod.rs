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
//! | `profile` | [`profile()`], [`profile_assessed`] | [`Profiles`] |
//! | `figure` | [`piece_rows`], [`saturated_line`], [`fit`] | [`PieceRows`], [`SaturatedLine`], [`Curves`] |
//! | `report` | [`report`](report()) | [`Report`] |
//! | `--where` | [`choose`] | a batch of fewer rows |
//! | `explain` | [`explain`] | [`Explanation`] |
//! | `template` | [`template`](template()) | [`Template`] |
//! | `study` | [`starter`](starter()) | [`Starter`] |

mod assess;
mod check;
mod choose;
mod curve;
mod depth;
mod depth_meaning;
mod envelope;
mod explain;
mod file;
mod fitting;
mod increments;
mod meaning;
mod page;
mod pair;
mod parse;
mod piece;
mod profile;
mod protocol;
mod reading;
mod report;
mod rows;
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
mod urgency;
mod word;

pub use assess::{Assessment, Counts, assess};
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
pub use envelope::{LegendEntry, Program, Settings, SourceTable, Stated};
pub use explain::{Explanation, explain};
pub use file::{STUDY_FILE, Study};
pub use page::{NotKnown, OnePage, TimberGap, Urgent};
pub use pair::{LeftOut, LeftOutBecause};
pub use parse::StudyText;
pub use profile::{ProfileQuestion, profile, profile_assessed};
pub use protocol::Protocol;
pub use report::{Measurement, Report, ReportQuestion, SiteParts, report};
pub use rows::{
    PieceRow, PieceRows, RowQuestion, RowValue, chosen, chosen_places, known_names, known_numbers, piece_rows,
};
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
