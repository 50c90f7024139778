//! What stands on the two streams.

use crate::support::program::{Ended, Folder, ended};

use super::TWO;

const BAD: &[u8] = b"sample,mass_saturated [g],mass_oven_dry [g]\nK1,5.25,1.05\nK2,5,abc\n";

fn check(arguments: &str) -> Ended {
    Folder::of(&[("d.csv", TWO), ("bad.csv", BAD)]).run(arguments)
}

#[test]
fn json_is_one_object_with_a_version_and_a_kind() {
    for (command, kind) in [
        ("assess bad.csv", "assess"),
        ("check bad.csv", "check"),
        ("explain charred", "explain"),
        ("study d.csv", "starter"),
    ] {
        let out = check(&format!("{command} --json")).out;
        let object: serde_json::Value = serde_json::from_str(&out).unwrap();
        assert_eq!((&object["schema_version"], &object["kind"]), (&1.into(), &kind.into()), "{command}");
    }
}

#[test]
fn plain_lines_have_as_many_fields_as_their_header() {
    let folder = Folder::with_demo();
    let out = folder.run("assess datasets-demo/harbour --plain --quiet").out;
    let tables: Vec<&str> = out.split("\n\n").collect();
    assert_eq!(tables.len(), 2);
    for (table, rows) in tables.into_iter().zip([158, 28]) {
        let fields: Vec<usize> = table.lines().map(|line| line.split('\t').count()).collect();
        assert_eq!(fields.len(), rows + 1);
        assert!(fields.iter().all(|n| *n == fields[0]), "{fields:?}");
    }
}

#[test]
fn json_and_plain_exclude_each_other() {
    assert_eq!(check("assess d.csv --json --plain").code, 2);
}

#[test]
fn quiet_silences_standard_error_and_changes_no_result() {
    let (loud, quiet) = (check("assess bad.csv"), check("assess bad.csv --quiet"));
    assert!(loud.err.contains("number-unreadable"), "{}", loud.err);
    assert_eq!((quiet.err.as_str(), quiet.out, quiet.code), ("", loud.out, loud.code));
    assert_eq!(check("assess bad.csv --quiet --out state").err, "");
}

#[test]
fn results_alone_stand_on_standard_output() {
    let (shown, written) = (check("assess bad.csv"), check("assess bad.csv --out state"));
    assert_eq!(shown.out, written.out);
    assert!(written.err.contains("Wrote") && !written.out.contains("Wrote"));
    assert!(!shown.out.contains("number-unreadable"), "{}", shown.out);
}

#[test]
fn a_failure_says_nothing_on_standard_output() {
    for command in ["assess nothing.csv", "assess d.csv --nonsense", "explain zzz", "assess d.csv --coverage 2"] {
        let failed = check(command);
        assert_eq!(failed.out, "", "{command}");
        assert!(!failed.err.is_empty(), "{command}");
    }
}

#[test]
fn colour_obeys_the_option_and_the_environment() {
    let folder = Folder::of(&[]);
    let run = |option: &str, environment: &[&str]| {
        let mut command = folder.command(&format!("explain zzz --color {option}"));
        command.env_remove("NO_COLOR").env_remove("CLICOLOR_FORCE").env("TERM", "xterm");
        command.envs(environment.iter().map(|name| (*name, "1")));
        let Ended { out, err, .. } = ended(&mut command, b"");
        out.contains('\u{1b}') || err.contains('\u{1b}')
    };
    assert!(run("always", &[]));
    assert!(!run("never", &["CLICOLOR_FORCE"]));
    assert!(!run("auto", &[]));
    assert!(run("auto", &["CLICOLOR_FORCE"]));
    assert!(!run("auto", &["CLICOLOR_FORCE", "NO_COLOR"]));
}

#[test]
fn results_have_no_colour_at_all() {
    for command in ["assess bad.csv", "check bad.csv", "explain charred", "assess bad.csv --plain"] {
        assert!(!check(&format!("{command} --color always")).out.contains('\u{1b}'), "{command}");
    }
}

#[test]
fn the_version_is_that_of_the_package() {
    assert_eq!(check("--version").out, format!("woodstate {}\n", env!("CARGO_PKG_VERSION")));
}
