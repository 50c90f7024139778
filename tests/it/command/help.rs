//! Help: as expected, and its examples run.

use crate::support::expected::equals;
use crate::support::program::Folder;

/// The commands that the help lists, in its order.
fn commands() -> Vec<String> {
    let help = check("");
    let listed = help.split("Commands:\n").nth(1).unwrap().split("\n\n").next().unwrap();
    let names = listed.lines().filter_map(|line| line.split_whitespace().next()).filter(|name| *name != "help");
    names.map(str::to_owned).collect()
}

fn check(command: &str) -> String {
    let ended = Folder::of(&[]).run(&format!("{command} --help"));
    assert_eq!((ended.code, ended.err.as_str()), (0, ""));
    ended.out
}

#[test]
fn help_reads_as_expected() {
    equals("command/help.txt", &without_optional(&check("")));
    for command in commands() {
        equals(&format!("command/help-{command}.txt"), &check(&command));
    }
}

/// The help without the commands that a build may leave out.
fn without_optional(help: &str) -> String {
    let is_optional = |line: &&str| ["  kernel ", "  run "].iter().any(|command| line.starts_with(command));
    help.split_inclusive('\n').filter(|line| !is_optional(line)).collect()
}

#[test]
fn every_command_of_the_help_has_a_story() {
    let commands = commands();
    assert!(commands.len() >= 9, "{commands:?}");
    for command in commands {
        assert_eq!(Folder::of(&[]).run(&format!("explain {command}")).code, 0, "{command}");
    }
}

#[test]
fn every_example_of_every_help_runs() {
    let folder = Folder::with_demo();
    for command in commands() {
        let help = check(&command);
        let part = help.split("Example:\n").nth(1).unwrap_or_else(|| panic!("{command} has no example"));
        let examples: Vec<&str> = part
            .lines()
            .take_while(|line| !line.is_empty())
            .map(|line| line.trim().strip_prefix("woodstate ").unwrap())
            .collect();
        assert!(!examples.is_empty(), "{command}");
        for example in examples {
            let ended = folder.run(example);
            // The messy workbook has four rows that cannot be assessed.
            let expected = if example.contains("barge.xlsx") && command == "check" { 3 } else { 0 };
            assert_eq!(ended.code, expected, "{example}: {}", ended.err);
            assert!(!ended.out.is_empty(), "{example}");
        }
    }
    assert!(folder.path("state/assess.xlsx").is_file() && folder.path("form.xlsx").is_file());
}

#[test]
fn every_command_lists_the_exit_codes() {
    for command in commands() {
        assert!(check(&command).contains("  130  interrupted"), "{command}");
    }
}

#[test]
fn every_exit_code_of_the_help_is_one_of_the_program() {
    let help = check("");
    let listed = help.split("Exit codes:\n").nth(1).unwrap();
    let codes: Vec<&str> = listed.lines().filter_map(|line| line.split_whitespace().next()).collect();
    assert_eq!(codes, ["0", "1", "2", "3", "4", "5", "70", "130"]);
}
