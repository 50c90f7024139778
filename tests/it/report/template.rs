//! Templates of a laboratory take the place of shipped ones; their faults have a file and a line.

use crate::support::program::{Ended, Folder};

use super::text;

const TWO: &[u8] = b"sample,timber,mass_saturated [g],mass_oven_dry [g]\nK1,B7,2.09,0.34\nK2,B7,2.04,0.54\n";

fn run(name: &str, template: &[u8]) -> (Folder, Ended) {
    let folder = Folder::of(&[("d.csv", TWO), (name, template)]);
    let ended = folder.run("report d.csv --out out --template own --quiet");
    (folder, ended)
}

#[test]
fn a_letterhead_of_a_laboratory_stands_on_every_page() {
    let (folder, ended) = run("own/letterhead.html", b"<p>Museum of Mud, {{ page.program }}</p>\n");
    assert_eq!(ended.code, 0, "{}", ended.err);
    for page in ["out/report.html", "out/sheets.html"] {
        assert!(text(&folder, page).contains("<p>Museum of Mud, woodstate "), "{page}");
    }
}

#[test]
fn an_unknown_variable_is_told_with_file_and_line() {
    let (folder, ended) = run("own/letterhead.html", b"<p>\n{{ page.titel }}</p>\n");
    assert_eq!(ended.code, 2);
    assert!(ended.err.contains("own/letterhead.html:2: undefined value"), "{}", ended.err);
    assert!(ended.err.contains("{{ page.titel }}"), "{}", ended.err);
    assert!(ended.err.contains("a template sees page.title"), "{}", ended.err);
    assert!(!folder.path("out").exists());
}

#[test]
fn a_fault_of_syntax_is_told_with_file_and_line() {
    let (_, ended) = run("own/style.html", b"<style>\n</style>\n{% if %}\n");
    assert_eq!(ended.code, 2);
    assert!(ended.err.contains("own/style.html:3: syntax error"), "{}", ended.err);
}

#[test]
fn a_file_that_is_no_template_is_refused_with_the_nearest_name() {
    let (_, ended) = run("own/leterhead.html", b"<p>x</p>");
    assert_eq!(ended.code, 2);
    assert!(ended.err.contains("unknown template \"leterhead.html\""), "{}", ended.err);
    assert!(ended.err.contains("did you mean letterhead.html?"), "{}", ended.err);
}

#[test]
fn a_template_that_is_not_utf_8_is_refused_with_its_line() {
    let (_, ended) = run("own/letterhead.html", b"<p>\nM\xfcnster</p>");
    assert_eq!(ended.code, 2);
    assert!(ended.err.contains("own/letterhead.html:2: a letter here is not UTF-8"), "{}", ended.err);
}

#[test]
fn a_folder_that_is_not_there_is_told() {
    let folder = Folder::of(&[("d.csv", TWO)]);
    let ended = folder.run("report d.csv --out out --template own");
    assert_eq!(ended.code, 5);
    assert!(ended.err.contains("cannot read own: there is no such file or folder"), "{}", ended.err);
}

#[test]
fn an_unknown_kind_of_table_is_refused_with_those_there_are() {
    let folder = Folder::of(&[("d.csv", TWO)]);
    let ended = folder.run("report d.csv --out out --tables docx");
    assert_eq!(ended.code, 2);
    assert!(ended.err.contains("unknown kind of table \"docx\"; known: tex, md"), "{}", ended.err);
}
