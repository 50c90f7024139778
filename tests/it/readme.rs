//! What the README says is true: its example, its numbers, its commands.

use std::fs;
use std::path::Path;
use std::process::Command;

/// The text of the first fenced block of a language.
fn block(text: &str, language: &str) -> String {
    let start = text.find(&format!("```{language}\n")).unwrap() + language.len() + 4;
    let end = text[start..].find("```").unwrap();
    text[start..start + end].to_owned()
}

fn readme() -> String {
    fs::read_to_string(root().join("README.md")).unwrap()
}

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn woodstate(folder: &Path, arguments: &[&str]) -> std::process::Output {
    Command::new(env!("CARGO_BIN_EXE_woodstate")).args(arguments).current_dir(folder).output().unwrap()
}

#[test]
fn the_example_of_the_readme_gives_the_output_of_the_readme() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("four.csv"), block(&readme(), "csv")).unwrap();
    let study = root().join("datasets-demo/harbour/woodstate.toml");
    let output = woodstate(folder.path(), &["assess", "four.csv", "--study", study.to_str().unwrap()]);
    assert_eq!(String::from_utf8(output.stdout).unwrap(), block(&readme(), "text"));
    assert_eq!(output.status.code(), Some(0));
}

#[test]
fn the_example_has_four_rows_one_not_decided_and_one_out_of_scope() {
    assert_eq!(block(&readme(), "csv").lines().count(), 5);
    let text = block(&readme(), "text");
    assert_eq!(text.matches("not decided:").count(), 1);
    assert!(text.contains("(1 piece) [class-out-of-scope]"));
}

#[test]
fn the_readme_names_exactly_two_commands_for_a_fresh_machine() {
    let commands = block(&readme(), "console");
    let commands: Vec<&str> = commands.lines().collect();
    assert_eq!(commands, ["cargo run -- report datasets-demo/harbour/harbour.xlsx --out target/harbour", "tests/run"]);
}

#[test]
fn the_main_job_of_the_readme_runs_on_its_158_pieces_of_28_timbers() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("harbour");
    let output =
        woodstate(root(), &["report", "datasets-demo/harbour/harbour.xlsx", "--json", "--out", out.to_str().unwrap()]);
    assert_eq!(output.status.code(), Some(0));
    let json: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(json["counts"]["pieces"], 158);
    assert_eq!(json["counts"]["timbers"], 28);
    assert!(readme().contains("158 pieces of 28 timbers"));
    for name in ["report.html", "sheets.html", "report.json"] {
        assert!(out.join(name).is_file() && readme().contains(name), "{name}");
    }
}

#[test]
fn the_study_file_of_the_readme_is_one_that_woodstate_reads() {
    let text = block(&readme(), "toml");
    let text: String = text.lines().map(|line| format!("{}\n", line.trim_start())).collect();
    let study = woodstate::study::Study::parse(&text, "woodstate.toml").unwrap();
    assert_eq!(study.options.instruments.balance, Some(0.01));
}
