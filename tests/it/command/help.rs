//! Help: as expected, and its examples run.

use crate::support::expected::equals;
use crate::support::program::Folder;

const COMMANDS: [&str; 4] = ["assess", "check", "summary", "explain"];

fn check(command: &str) -> String {
    let ended = Folder::of(&[]).run(&format!("{command} --help"));
    assert_eq!((ended.code, ended.err.as_str()), (0, ""));
    ended.out
}

#[test]
fn help_reads_as_expected() {
    equals("command/help.txt", &check(""));
    for command in COMMANDS {
        equals(&format!("command/help-{command}.txt"), &check(command));
    }
}

#[test]
fn every_command_of_the_help_has_help_and_a_story() {
    let help = check("");
    let listed = help.split("Commands:\n").nth(1).unwrap().split("\n\n").next().unwrap();
    let names: Vec<&str> = listed.lines().filter_map(|line| line.split_whitespace().next()).collect();
    assert_eq!(names, ["assess", "check", "summary", "explain", "help"]);
    for command in COMMANDS {
        assert_eq!(Folder::of(&[]).run(&format!("explain {command}")).code, 0, "{command}");
    }
}

#[test]
fn every_example_of_the_help_runs() {
    let folder = Folder::with_demo();
    // The messy workbook has four rows that cannot be assessed.
    for (command, code) in COMMANDS.into_iter().zip([0, 3, 0, 0]) {
        let help = check(command);
        let example = help.lines().find_map(|line| line.trim().strip_prefix("woodstate ")).unwrap().to_owned();
        let ended = folder.run(&example);
        assert_eq!(ended.code, code, "{example}: {}", ended.err);
        assert!(!ended.out.is_empty(), "{example}");
    }
    assert!(folder.path("state/assess.xlsx").is_file());
}

#[test]
fn every_exit_code_of_the_help_is_one_of_the_program() {
    let help = check("");
    let listed = help.split("Exit codes:\n").nth(1).unwrap();
    let codes: Vec<&str> = listed.lines().filter_map(|line| line.split_whitespace().next()).collect();
    assert_eq!(codes, ["0", "1", "2", "3", "4", "5", "70", "130"]);
}
