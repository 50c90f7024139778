//! Views of outcomes: they show what an outcome holds and compute nothing.
//!
//! | for | here |
//! |---|---|
//! | a person at a terminal | [`assessment_view`], [`checkup_view`], [`explanation_view`], then [`text`] |
//! | a pipe | [`assessment_plain`], [`checkup_plain`], [`explanation_plain`], then [`tab_separated`] |
//! | a program | [`json`], [`json_schema`] |
//! | a folder of files | [`assessment_files`] |
//! | one file, or a data frame | [`result_file`], [`result_sheet`] |

mod assessment;
mod cell;
mod echo;
mod explanation;
mod files;
mod findings;
mod json;
mod method;
mod plain;
mod sheets;
mod single;
mod text;
mod view;

pub use assessment::assessment_view;
pub use explanation::{explanation_plain, explanation_view};
pub use files::{ReportFile, assessment_files};
pub use findings::{checkup_view, findings_view};
pub use json::{json, json_schema};
pub use plain::{assessment_plain, checkup_plain};
pub use single::{SINGLE, result_file, result_sheet};
pub use text::{tab_separated, text};
pub use view::{Align, Block, ColumnView, Grid, View};
