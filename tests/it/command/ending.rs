//! Exit codes.

use std::io::Read;
use std::process::Stdio;

use crate::support::program::Folder;

use super::TWO;

#[track_caller]
fn check(files: &[(&str, &[u8])], arguments: &str) -> (i32, String) {
    let ended = Folder::of(files).run(arguments);
    (ended.code, ended.err)
}

#[test]
fn cautions_are_answers_and_not_failures() {
    assert_eq!(check(&[("d.csv", TWO)], "assess d.csv").0, 0);
    assert_eq!(check(&[("d.csv", TWO)], "check d.csv").0, 0);
    assert_eq!(check(&[("d.csv", TWO)], "assess d.csv --strict").0, 4);
}

#[test]
fn a_row_that_was_not_assessed_ends_with_3_even_under_strict() {
    let csv: &[u8] = b"sample,mass_saturated [g],mass_oven_dry [g]\nK1,5,1\nK2,5,abc\n";
    for command in ["assess d.csv", "assess d.csv --strict", "check d.csv"] {
        assert_eq!(check(&[("d.csv", csv)], command).0, 3, "{command}");
    }
}

#[test]
fn a_row_that_was_partly_assessed_ends_with_0() {
    let csv: &[u8] = b"sample,mass_saturated [g],mass_oven_dry [g],borer_damage [%]\nK1,5,1,150\n";
    assert_eq!(check(&[("d.csv", csv)], "assess d.csv").0, 0);
}

#[test]
fn a_check_under_strict_ends_with_4_where_a_value_is_lost_and_not_for_a_note() {
    let lost: &[u8] = b"sample,mass_saturated [g],mass_oven_dry [g],borer_damage [%]\nK1,5,1,150\n";
    assert_eq!(check(&[("d.csv", lost)], "check d.csv").0, 0);
    assert_eq!(check(&[("d.csv", lost)], "check d.csv --strict").0, 4);
    assert_eq!(check(&[("d.csv", TWO)], "check d.csv --strict").0, 0);
}

#[test]
fn a_table_without_rows_ends_with_3() {
    let csv: &[u8] = b"sample,mass_saturated [g],mass_oven_dry [g]\n";
    assert_eq!(check(&[("d.csv", csv)], "assess d.csv").0, 3);
    assert_eq!(check(&[("d.csv", csv)], "check d.csv").0, 3);
}

#[test]
fn what_was_typed_wrongly_ends_with_2() {
    for command in ["", "asess d.csv", "assess", "assess d.csv --nonsense", "assess d.csv --coverage 2", "explain zzz"]
    {
        assert_eq!(check(&[("d.csv", TWO)], command).0, 2, "{command}");
    }
}

#[test]
fn a_fault_of_the_study_file_ends_with_2_and_names_its_line_and_column() {
    let study: &[u8] = b"# ours\n[instruments]\nbalance = \"0.01 mm\"\n";
    let (code, err) = check(&[("d.csv", TWO), ("woodstate.toml", study)], "assess d.csv");
    assert_eq!(code, 2);
    assert!(err.contains("woodstate.toml:3:11: unit \"mm\" is not one of g"), "{err}");
}

#[test]
fn a_file_that_is_not_there_or_is_no_table_ends_with_5() {
    for (name, bytes) in
        [("d.txt", &b"some prose\nand more prose\n"[..]), ("d.txt", b""), ("d.txt", b"\x80\x81,\xff\n")]
    {
        assert_eq!(check(&[(name, bytes)], "assess d.txt").0, 5, "{bytes:?}");
    }
    let (code, err) = check(&[], "assess nothing.csv");
    assert_eq!(code, 5);
    assert!(err.contains("cannot read nothing.csv"), "{err}");
    let (code, err) = check(&[("x/notes.txt", b"hello")], "assess x");
    assert_eq!(code, 5);
    assert!(err.contains("samples.csv"), "{err}");
}

#[test]
fn a_file_of_somebody_else_ends_with_5() {
    let folder = Folder::of(&[("d.csv", TWO), ("state/results.csv", b"mine")]);
    let ended = folder.run("assess d.csv --out state");
    assert_eq!(ended.code, 5);
    assert!(ended.err.contains("results.csv") && ended.err.contains("--force"), "{}", ended.err);
}

#[test]
fn a_reader_that_goes_away_is_no_failure() {
    let folder = Folder::with_demo();
    let mut command = folder.command("assess datasets-demo/harbour --json --quiet");
    let mut child = command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    drop(child.stdout.take());
    let mut err = String::new();
    child.stderr.take().unwrap().read_to_string(&mut err).unwrap();
    assert_eq!((child.wait().unwrap().code(), err.as_str()), (Some(0), ""));
}

#[test]
fn a_word_that_is_near_a_known_one_is_proposed() {
    let (code, err) = check(&[], "explain notsaturated");
    assert_eq!(code, 2);
    assert!(err.contains("woodstate explain not-saturated"), "{err}");
}
