//! `report`: its pages, its files, its templates, and that they say what the outcome says.

mod files;
mod form;
mod markup;
mod nasty;
mod numbers;
mod options;
mod template;

use woodstate::numeric::Watch;
use woodstate::report::{Marked, PageFigure, Templates, report_files};
use woodstate::study::{Report, ReportQuestion, Study, report};
use woodstate::table::{Decimal, SourceFile, TextStyle, batch_of};

use crate::support::program::Folder;

const HARBOUR: &str = "datasets-demo/harbour/harbour.xlsx";
const STYLE: TextStyle = TextStyle { decimal: Decimal::Point, delimiter: ',' };

/// The report of a text under a study file.
#[track_caller]
fn reported(csv: &str, study: &str) -> Report {
    let study = Study::parse(study, "woodstate.toml").unwrap();
    let batch = batch_of(&SourceFile::from_bytes("d.csv", csv.into()), &study.read, &Watch::silent()).unwrap();
    report(&study, batch, &ReportQuestion::default(), &Watch::silent()).unwrap()
}

/// A file of a report.
#[track_caller]
fn file(report: &Report, figures: &[PageFigure], name: &str) -> String {
    let templates = Templates::shipped().unwrap();
    let files = report_files(report, figures, &templates, &Marked::ALL, STYLE).unwrap();
    let found = files.iter().find(|file| file.name == name).unwrap_or_else(|| panic!("no file {name}"));
    String::from_utf8(found.bytes().unwrap()).unwrap()
}

/// The pages of the demonstration data.
fn harbour() -> Folder {
    let folder = Folder::with_demo();
    let ended = folder.run(&format!("report {HARBOUR} --out out --date 2026-11-27 --tables tex,md --quiet"));
    assert_eq!(ended.code, 0, "{}", ended.err);
    folder
}

/// A text that the program wrote.
fn text(folder: &Folder, name: &str) -> String {
    String::from_utf8(folder.bytes(name)).unwrap()
}

/// A page without its style, to be read in an expected file.
fn without_style(page: &str) -> String {
    let (before, rest) = page.split_once("<style>").unwrap();
    let (_, after) = rest.split_once("</style>").unwrap();
    format!("{before}{after}")
}
