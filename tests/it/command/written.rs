//! What `--out` writes, replaces and leaves alone.

use std::fs;

use crate::support::program::Folder;

use super::TWO;

const PROMISED: [&str; 12] = [
    "assess.json",
    "assess.xlsx",
    "columns.csv",
    "datapackage.json",
    "findings.csv",
    "input.csv",
    "method.csv",
    "references.csv",
    "results.csv",
    "routes.csv",
    "sources.csv",
    "timbers.csv",
];

fn check(folder: &Folder, arguments: &str) -> i32 {
    folder.run(arguments).code
}

fn names(folder: &Folder, name: &str) -> Vec<String> {
    let entries = fs::read_dir(folder.path(name)).unwrap();
    let mut names: Vec<String> = entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

#[test]
fn the_promised_files_are_written_and_the_list_of_them() {
    let folder = Folder::of(&[("d.csv", TWO)]);
    assert_eq!(check(&folder, "assess d.csv --out a/state"), 0);
    let mut expected = PROMISED.to_vec();
    expected.push("woodstate-files.sha256");
    assert_eq!(names(&folder, "a/state"), expected);
    let list = String::from_utf8(folder.bytes("a/state/woodstate-files.sha256")).unwrap();
    assert_eq!(list.lines().map(|line| line.split("  ").nth(1).unwrap()).collect::<Vec<_>>(), PROMISED);
}

#[test]
fn the_json_file_is_what_is_shown_as_json() {
    let folder = Folder::of(&[("d.csv", TWO)]);
    let ended = folder.run("assess d.csv --out state --json");
    assert_eq!(ended.out.into_bytes(), folder.bytes("state/assess.json"));
}

#[test]
fn the_same_command_twice_replaces_its_own_files() {
    let folder = Folder::of(&[("d.csv", TWO)]);
    assert_eq!(check(&folder, "assess d.csv --out state"), 0);
    let first = folder.bytes("state/results.csv");
    folder.put("d.csv", b"sample,mass_saturated [g],mass_oven_dry [g]\nK1,6.25,1.05\n");
    assert_eq!(check(&folder, "assess d.csv --out state"), 0);
    assert_ne!(folder.bytes("state/results.csv"), first);
}

#[test]
fn a_file_that_was_changed_since_needs_force() {
    let folder = Folder::of(&[("d.csv", TWO)]);
    check(&folder, "assess d.csv --out state");
    folder.put("state/results.csv", b"edited by hand");
    assert_eq!(check(&folder, "assess d.csv --out state"), 5);
    assert_eq!(folder.bytes("state/results.csv"), b"edited by hand");
    assert_eq!(check(&folder, "assess d.csv --out state --force"), 0);
    assert_ne!(folder.bytes("state/results.csv"), b"edited by hand");
    assert_eq!(check(&folder, "assess d.csv --out state"), 0);
}

#[test]
fn a_file_of_somebody_else_is_left_and_nothing_is_written_beside_it() {
    let folder = Folder::of(&[("d.csv", TWO), ("state/method.csv", b"mine"), ("state/other.txt", b"mine too")]);
    assert_eq!(check(&folder, "assess d.csv --out state"), 5);
    assert_eq!(names(&folder, "state"), ["method.csv", "other.txt"]);
    assert_eq!(folder.bytes("state/method.csv"), b"mine");
    assert_eq!(check(&folder, "assess d.csv --out state --force"), 0);
    assert_eq!(folder.bytes("state/other.txt"), b"mine too");
}

#[test]
fn the_input_is_never_written() {
    let folder = Folder::of(&[("input.csv", TWO)]);
    assert_eq!(check(&folder, "assess input.csv --out ."), 5);
    assert_eq!(folder.bytes("input.csv"), TWO);
}

#[test]
fn two_runs_write_the_same_bytes() {
    let folder = Folder::with_demo();
    let data = "assess datasets-demo/harbour/harbour.xlsx --quiet";
    let (first, second) = (folder.run(&format!("{data} --out a")), folder.run(&format!("{data} --out b")));
    assert_eq!((first.code, first.out), (0, second.out));
    for name in PROMISED {
        assert!(folder.bytes(&format!("a/{name}")) == folder.bytes(&format!("b/{name}")), "{name}");
    }
}

#[test]
fn what_was_assessed_is_written_although_a_row_was_not() {
    let folder = Folder::of(&[("d.csv", b"sample,mass_saturated [g],mass_oven_dry [g]\nK1,5.25,1.05\nK2,5,abc\n")]);
    assert_eq!(check(&folder, "assess d.csv --out state"), 3);
    let results = String::from_utf8(folder.bytes("state/results.csv")).unwrap();
    assert_eq!(results.lines().count(), 3);
    assert!(results.lines().nth(2).unwrap().contains("not_assessed"), "{results}");
}

#[test]
fn a_decimal_comma_is_written_with_semicolons() {
    let folder = Folder::of(&[("d.csv", TWO)]);
    check(&folder, "assess d.csv --out state --out-decimal ,");
    let results = String::from_utf8(folder.bytes("state/results.csv")).unwrap();
    // (9.5 - 4.5) / 4.5 = 111.1 %
    assert!(results.contains("111,11"), "{results}");
    assert!(
        results.lines().all(|line| line.matches(';').count() == results.lines().next().unwrap().matches(';').count())
    );
}
