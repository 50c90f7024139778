//! Views of outcomes: they show what an outcome holds and compute nothing.
//!
//! | for | here |
//! |---|---|
//! | a person at a terminal | [`assessment_view`], [`checkup_view`], [`explanation_view`], [`starter_view`], [`summary_view`], [`curves_view`], [`profiles_view`], [`bath_mix_view`], [`bath_wash_view`], [`bath_time_view`], [`bath_freeze_view`], [`following_view`], [`advice_view`], [`lifts_view`], then [`text`] |
//! | a pipe | [`assessment_plain`], [`checkup_plain`], [`explanation_plain`], [`starter_plain`], [`summary_plain`], [`curves_plain`], [`profiles_plain`], [`bath_mix_plain`], [`bath_wash_plain`], [`bath_time_plain`], [`bath_freeze_plain`], [`following_plain`], [`advice_plain`], [`lifts_plain`], then [`tab_separated`] |
//! | a program | [`json`], [`json_schema`], [`schema_list`] |
//! | a folder of files | [`assessment_files`], [`report_files`] with [`report_figures`], [`template_files`] |
//! | one file, or a data frame | [`result_file`], [`result_sheet`], [`curves_file`], [`profiles_file`], [`bath_file`], [`following_file`], [`advice_file`], [`lifts_file`] |
//! | a starter study file | [`starter_toml`] |
//! | a notebook | [`batch_excerpt`], [`pieces_excerpt`], [`sources_view`], then [`html_fragment`]; [`rich_content`] |

mod advice;
mod advice_plain;
mod assessment;
mod bath;
mod bath_freeze;
mod bath_mix;
mod bath_time;
mod bath_wash;
mod cell;
mod choice;
mod columns;
mod drawing;
mod echo;
mod excerpt;
mod explanation;
mod figure;
mod files;
mod findings;
mod follow;
mod follow_plain;
mod fragment;
mod html;
mod json;
mod lift;
mod lift_plain;
mod marked;
mod metadata;
mod method;
mod outline;
mod page;
mod plain;
mod profile;
mod profile_plain;
mod rich;
mod sheets;
mod single;
mod starter;
mod strength;
mod strength_file;
mod strength_plain;
mod summary;
mod template;
mod text;
mod view;

pub use advice::advice_view;
pub use advice_plain::{advice_ending, advice_file, advice_plain};
pub use assessment::{assessment_short_view, assessment_view};
pub use bath_freeze::{bath_freeze_plain, bath_freeze_view};
pub use bath_mix::{bath_mix_plain, bath_mix_view};
pub use bath_time::{bath_time_plain, bath_time_view};
pub use bath_wash::{bath_wash_plain, bath_wash_view};
pub use choice::choice_sentence;
pub use drawing::report_figures;
pub use excerpt::{batch_excerpt, pieces_excerpt, sources_view};
pub use explanation::{explanation_plain, explanation_view};
pub use figure::{figure_data_ending, figure_ending, figure_file, figure_list_view, figure_plain, figure_view};
pub use files::{ReportFile, assessment_files, report_files, workbook_left_out};
pub use findings::{checkup_view, findings_view};
pub use follow::following_view;
pub use follow_plain::{following_ending, following_file, following_plain};
pub use fragment::html_fragment;
pub use html::Templates;
pub use json::{SchemaList, json, json_schema, schema_list, schema_list_view};
pub use lift::lifts_view;
pub use lift_plain::{lifts_ending, lifts_file, lifts_plain};
pub use marked::Marked;
pub use outline::report_view;
pub use page::PageFigure;
pub use plain::{assessment_plain, checkup_plain};
pub use profile::profiles_view;
pub use profile_plain::profiles_plain;
pub use rich::rich_content;
pub use single::{SINGLE, check_room, result_description, result_file, result_sheet, single_ending};
pub use starter::{starter_plain, starter_toml, starter_view};
pub use strength::curves_view;
pub use strength_file::{
    BathOutcome, bath_ending, bath_file, curves_ending, curves_file, profiles_ending, profiles_file,
};
pub use strength_plain::curves_plain;
pub use summary::{summary_plain, summary_view};
pub use template::{template_files, template_next, template_plain, template_text, template_view};
pub use text::{tab_separated, text};
pub use view::{Align, Block, ColumnView, Grid, View};
