//! The command, as a conservator types it.

use jsonschema::Validator;

use crate::support::expected::equals;
use crate::support::program::{Ended, Folder, ended};

const DATA: &str = "datasets-demo/harbour/harbour.xlsx";

fn run(condition: &str, others: &str) -> Ended {
    let folder = Folder::with_demo();
    let mut command = folder.command(&format!("advise {DATA} --quiet {others}"));
    ended(command.args(["--where", condition]), b"")
}

#[test]
fn the_text_reads_as_expected() {
    equals("advise/harbour.txt", &run("not unknown(sample)", "--safety short").out);
    equals("advise/one.txt", &run("timber == 'B07'", "").out);
    equals("advise/plain.txt", &run("timber == 'B07'", "--plain --safety short").out);
    equals("advise/one.json", &run("timber == 'B07'", "--json --safety short").out);
}

#[test]
fn outcomes_are_valid_under_the_schema() {
    let schema = Folder::of(&[]).run("schema advise").out;
    let validator: Validator = jsonschema::validator_for(&serde_json::from_str(&schema).unwrap()).unwrap();
    for others in ["", "--replicates 0", "--safety short"] {
        let outcome = serde_json::from_str(&run("not unknown(sample)", &format!("{others} --json")).out).unwrap();
        let faults: Vec<String> = validator.iter_errors(&outcome).map(|fault| fault.to_string()).collect();
        assert_eq!(faults, Vec::<String>::new(), "{others}");
    }
}

#[test]
fn files_are_written_in_each_form() {
    let folder = Folder::with_demo();
    for name in ["a.json", "a.csv", "a.tsv", "a.xlsx"] {
        let found = folder.run(&format!("advise {DATA} --quiet --out {name}"));
        assert_eq!(found.code, 0, "{}", found.err);
        assert!(found.out.contains(&format!("Wrote {name}.")));
        assert!(folder.path(name).is_file(), "{name}");
    }
    let csv = std::fs::read_to_string(folder.path("a.csv")).unwrap();
    // A row a timber and route, and the header.
    assert_eq!(csv.lines().count(), 1 + 28 * 17);
    let wrong = folder.run(&format!("advise {DATA} --quiet --out a.pdf"));
    assert!(wrong.err.contains("json, csv, tsv, xlsx"), "{}", wrong.err);
}

#[test]
fn safety_is_shortened_and_never_switched_off() {
    let long = run("timber == 'B07'", "").out;
    let short = run("timber == 'B07'", "--safety short").out;
    let one_line = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    for text in [&long, &short] {
        assert!(
            one_line(text)
                .contains("local codes, the safety data sheets of your products and licensed practice come first")
        );
    }
    assert!(long.contains("0.75 ppm") && !short.contains("0.75 ppm"));
    let off = run("timber == 'B07'", "--safety off");
    assert_eq!(off.code, 2);
    assert!(off.err.contains("long, short"), "{}", off.err);
}

#[test]
fn cautions_end_a_strict_run_with_4() {
    let csv = "sample,timber,taxon,mass_saturated [g],mass_oven_dry [g]\nA,T1,oak,10,1.2\n";
    let folder = Folder::of(&[("d.csv", csv.as_bytes())]);
    assert_eq!(folder.run("advise d.csv").code, 0);
    assert_eq!(folder.run("advise d.csv --strict").code, 4);
}

#[test]
fn words_of_treatment_have_stories() {
    let folder = Folder::of(&[]);
    for (word, expected) in [
        ("suited", "(verdict)"),
        ("peg-freeze-drying", "(route of treatment)"),
        ("metal-in-peg", "(rule for routes)"),
        ("desalting", "(step before treatment)"),
        ("largest_tank", "(key of [laboratory])"),
        ("advise", "(command)"),
        ("acetone", "(danger)"),
    ] {
        let found = folder.run(&format!("explain {word}"));
        assert!(found.code == 0 && found.out.contains(expected), "{word}: {}{}", found.out, found.err);
    }
}
