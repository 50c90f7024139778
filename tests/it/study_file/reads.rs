//! How a file is to be read.

use woodstate::error::FindingCode;
use woodstate::study::Assessment;

use crate::support::batch::{assessed, findings, try_assess};
use crate::support::book::book;

fn check(csv: &str, study: &str) -> Vec<String> {
    names(&assessed(csv, study))
}

fn names(outcome: &Assessment) -> Vec<String> {
    outcome.samples.iter().map(|piece| piece.sample.clone().unwrap_or_default()).collect()
}

const HEAD: &str = "sample,mass_saturated [g],mass_oven_dry [g]";

#[test]
fn title_is_told() {
    let outcome = assessed(&format!("{HEAD}\nK1,5,1\n"), "title = \"Season 1\"");
    assert_eq!(outcome.settings.title.as_deref(), Some("Season 1"));
}

#[test]
fn missing_words_are_unknown() {
    let csv = format!("{HEAD},ash_content [%]\nK1,5,1,n.d.\n");
    assert_eq!(findings(&assessed(&csv, "")), [FindingCode::NumberUnreadable]);
    assert_eq!(findings(&assessed(&csv, "missing = [\"n.d.\"]")), []);
}

#[test]
fn sheet_and_header_row_are_those_that_are_named() {
    let text = format!("sample,timber\nnone,none\n{HEAD}\nK1,5,1");
    let workbook = book(&[("notes", "x"), ("Kerne", &text)]);
    let outcome = try_assess("d.xlsx", workbook, "[samples]\nsheet = \"Kerne\"\nheader_row = 3\n").unwrap();
    assert_eq!(names(&outcome), ["K1"]);
    assert_eq!(
        (outcome.source[0].sheet.as_deref(), outcome.samples.get(0).unwrap().rows.as_slice()),
        (Some("Kerne"), [4].as_slice())
    );
}

#[test]
fn decimal_and_delimiter_are_those_that_are_named() {
    let csv = "sample|mass_saturated [g]|mass_oven_dry [g]\nK1|5,000|1,000\n";
    let study = "[samples]\ndelimiter = \"|\"\ndecimal = \",\"\n";
    assert_eq!(assessed(csv, study).counts.assessed, 1);
    assert_eq!(assessed(csv, "[samples]\ndelimiter = \"|\"\n").counts.not_assessed, 1);
}

#[test]
fn encoding_is_the_one_that_is_named() {
    let csv = b"sample,mass_saturated [g],mass_oven_dry [g]\nK\xfc,5,1\n".to_vec();
    let outcome = try_assess("d.csv", csv, "[samples]\nencoding = \"windows-1252\"\n").unwrap();
    assert_eq!(names(&outcome), ["K\u{fc}"]);
}

#[test]
fn sample_names_are_composed() {
    let csv = "core_id,depth_from [mm],mass_saturated [g],mass_oven_dry [g]\nC1,0,5,1\nC1,10,5,1\n,20,5,1\n";
    assert_eq!(check(csv, "[samples]\nsample = [\"core_id\", \"depth_from\"]\n"), ["C1/0", "C1/10", ""]);
}

#[test]
fn columns_are_translated_and_their_unit_wins() {
    let csv = "Probe,Nassgewicht [kg],Darrgewicht\nK1,5,1000\n";
    let study = "[samples.columns]\n\"Probe\" = \"sample\"\n\"Nassgewicht [kg]\" = \"mass_saturated [g]\"\n\
                 \"Darrgewicht\" = \"mass_oven_dry [mg]\"\n";
    let outcome = assessed(csv, study);
    assert_eq!(findings(&outcome), [FindingCode::UnitOverridden]);
    assert_eq!(outcome.batch.samples.number("mass_saturated", 0), Some(5.0));
    assert_eq!(outcome.batch.samples.number("mass_oven_dry", 0), Some(1.0));
}

#[test]
fn words_are_translated_in_their_column_only() {
    let csv = format!("{HEAD},taxon,charring,note\nK1,5,1,Rotholz,ja,ja\n");
    let study =
        "[samples.words.taxon]\n\"Rotholz\" = \"Taxus baccata\"\n[samples.words.charring]\n\"ja\" = \"partial\"\n";
    let outcome = assessed(&csv, study);
    assert_eq!(outcome.samples.get(0).unwrap().taxon.as_deref(), Some("Taxus baccata"));
    let samples = &outcome.batch.samples;
    assert_eq!((samples.text("charring", 0), samples.text("note", 0)), (Some("partial"), Some("ja")));
}

#[test]
fn timbers_and_log_have_the_same_keys() {
    let workbook = book(&[
        ("samples", &format!("{HEAD},timber\nK1,5,1,B1")),
        ("Balken", "a title\nBalken,Holz,Laenge\nB1,Rotholz,5"),
        ("Becken", "another title\n\nTag,Becken,Leitwert\n2024-05-01,T1,400"),
    ]);
    let study = "[timbers]\nsheet = \"Balken\"\nheader_row = 2\n\
                 [timbers.columns]\n\"Balken\" = \"timber\"\n\"Holz\" = \"taxon\"\n\"Laenge\" = \"timber_length [m]\"\n\
                 [timbers.words.taxon]\n\"Rotholz\" = \"Taxus baccata\"\n\
                 [log]\nsheet = \"Becken\"\nheader_row = 3\n\
                 [log.columns]\n\"Tag\" = \"date\"\n\"Becken\" = \"tank\"\n\"Leitwert\" = \"conductivity [uS/cm]\"\n";
    let outcome = try_assess("d.xlsx", workbook, study).unwrap();
    assert_eq!(outcome.samples.get(0).unwrap().taxon.as_deref(), Some("Taxus baccata"));
    let (timbers, log) = (outcome.batch.timbers.unwrap(), outcome.batch.log.unwrap());
    assert_eq!((timbers.n_rows(), timbers.number("timber_length", 0)), (1, Some(5.0)));
    assert_eq!((log.n_rows(), log.number("conductivity", 0), log.text("tank", 0)), (1, Some(400.0), Some("T1")));
}

#[test]
fn a_mark_at_the_start_of_the_study_file_is_tolerated() {
    let folder = crate::support::program::Folder::of(&[
        ("d.csv", format!("{HEAD}\nK1,5,1\n").as_bytes()),
        ("woodstate.toml", "\u{feff}title = \"Marked\"\n".as_bytes()),
        ("bad.toml", "\u{feff}titel = \"Marked\"\n".as_bytes()),
    ]);
    assert_eq!(folder.json("assess d.csv")["settings"]["title"], "Marked");
    let ended = folder.run("assess d.csv --study bad.toml");
    assert!(ended.err.contains("bad.toml:1:1: unknown field `titel`"), "{}", ended.err);
}
