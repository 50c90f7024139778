//! The command on the demonstration data, and `--where` on the other commands.

use serde_json::Value;

use crate::support::expected::equals;
use crate::support::program::{Ended, Folder, ended};

const HARBOUR: &str = "datasets-demo/harbour/harbour.xlsx";

fn run(command: &str, condition: &str, others: &[&str]) -> Ended {
    let folder = Folder::with_demo();
    let mut command = folder.command(&format!("{command} {HARBOUR} --quiet"));
    command.args(["--where", condition]).args(others);
    ended(&mut command, b"")
}

fn json(command: &str, condition: &str) -> Value {
    serde_json::from_str(&run(command, condition, &["--json"]).out).unwrap()
}

#[test]
fn the_text_reads_as_expected() {
    let found = run("summary", "taxon == 'oak'", &["--by", "depth_zone", "--value", "max_water_content"]);
    equals("summary/oak.txt", &found.out);
    let nothing = run("summary", "taxon == 'ook'", &[]);
    equals("summary/nothing.txt", &nothing.out);
}

#[test]
fn the_example_with_a_condition_runs() {
    let folder = Folder::with_demo();
    let help = folder.run("summary --help").out;
    let example = help.lines().find(|line| line.contains("--where \"")).unwrap().trim();
    let (arguments, condition) = example.trim_end_matches('"').split_once(" --where \"").unwrap();
    let mut command = folder.command(arguments.trim_start_matches("woodstate "));
    let found = ended(command.args(["--where", condition]), b"");
    assert_eq!(found.code, 0, "{}", found.err);
    assert!(found.out.contains("86 of 158 pieces fulfil: depth_from < 20 mm."), "{}", found.out);
}

#[test]
fn plain_lines_have_as_many_fields_as_their_header() {
    let found = run("summary", "taxon == 'oak'", &["--by", "context,depth_zone", "--plain"]);
    for table in found.out.split("\n\n") {
        let fields: Vec<usize> = table.lines().map(|line| line.split('\t').count()).collect();
        assert!(fields.len() > 1 && fields.iter().all(|n| *n == fields[0]), "{fields:?}");
    }
}

#[test]
fn classes_count_only_what_lies_inside_the_scope() {
    let all = json("summary", "not unknown(sample)");
    let group = &all["groups"][0];
    let classes = &group["classes"];
    let number = |value: &Value| value.as_u64().unwrap();
    let apart = ["unread", "out_of_scope", "scope_unknown"].map(|name| number(&classes[name]));
    assert_eq!(number(&classes["n"]) + apart.iter().sum::<u64>(), number(&group["n_pieces"]));
    let shares = classes["shares"].as_array().unwrap();
    assert_eq!(shares.iter().map(|share| number(&share["n"])).sum::<u64>(), number(&classes["n"]));
    assert_eq!(
        shares.iter().map(|share| share["class"].as_str()).collect::<Vec<_>>(),
        [Some("I"), Some("II"), Some("III"), None]
    );
    // 11 oaks are not decided, as the demonstration data says piece by piece.
    assert_eq!(number(&shares[3]["n"]), 11);
    assert!(number(&group["timber_classes"]["n"]) > 0);
}

#[test]
fn rows_left_out_before_the_assessment_are_counted() {
    for command in ["assess", "check"] {
        let outcome = json(command, "timber == 'B01'");
        let (counts, choice) = (&outcome["counts"], &outcome["where"][0]);
        let number = |value: &Value| value.as_u64().unwrap();
        let sum = ["assessed", "partial", "not_assessed", "left_out"].map(|name| number(&counts[name])).iter().sum();
        assert_eq!((number(&counts["rows"]), number(&counts["rows"])), (161, sum));
        assert_eq!(number(&choice["kept"]) + number(&choice["left_out"]) + number(&choice["unknown"]), 161);
        assert_eq!(number(&counts["left_out"]), 161 - number(&choice["kept"]));
        assert_eq!(outcome["source"][0]["rows"], 161);
    }
    assert_eq!(json("assess", "timber == 'B01'")["timbers"].as_array().unwrap().len(), 1);
}

#[test]
fn the_pieces_that_are_kept_have_the_results_they_had() {
    let folder = Folder::with_demo();
    let all = folder.json(&format!("assess {HARBOUR} --quiet"));
    let kept = json("assess", "timber == 'B01'");
    for piece in kept["samples"].as_array().unwrap() {
        assert!(all["samples"].as_array().unwrap().contains(piece), "{piece}");
    }
}

#[test]
fn assess_says_that_timbers_are_judged_by_what_is_kept() {
    let found = run("assess", "depth_from < 1 cm", &[]).out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(found.contains("Timbers are judged by the rows that are kept") && found.contains("left out"), "{found}");
}

#[test]
fn a_condition_on_a_result_is_refused_before_the_assessment() {
    for command in ["assess", "check"] {
        let found = run(command, "max_water_content > 400", &[]);
        assert_eq!((found.code, found.out.as_str()), (2, ""));
        assert!(found.err.contains("max_water_content is a result, not a measurement"), "{}", found.err);
    }
    assert_eq!(run("summary", "max_water_content > 400", &[]).code, 0);
}
