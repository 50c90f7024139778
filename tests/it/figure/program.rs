//! The command: files, lists, errors, and that what a person changed is left alone.

use std::fs;

use crate::support::expected::equals;
use crate::support::program::Folder;

const DATA: &str = "datasets-demo/harbour/harbour.xlsx";

#[test]
fn one_run_writes_every_form_and_says_the_caption() {
    let folder = Folder::with_demo();
    let run = || {
        folder.run(&format!("figure shrinkage {DATA} -o s.svg -o s.png -o s.pdf --data s.csv --data s.json --dpi 150"))
    };
    let ended = run();
    assert_eq!(ended.code, 0, "{}", ended.err);
    equals("figure/shrinkage.txt", &ended.out);
    assert!(
        ended.err.ends_with("Wrote s.svg.\nWrote s.png.\nWrote s.pdf.\nWrote s.csv.\nWrote s.json.\n"),
        "{}",
        ended.err
    );
    let names = ["s.svg", "s.png", "s.pdf", "s.csv", "s.json"];
    let first = names.map(|name| folder.bytes(name));
    assert!(first[0].starts_with(b"<svg ") && first[1].starts_with(b"\x89PNG") && first[2].starts_with(b"%PDF-"));
    let json: serde_json::Value = serde_json::from_slice(&first[4]).unwrap();
    assert_eq!((&json["kind"], &json["figure"]["name"]), (&"figure".into(), &"shrinkage".into()));
    // The same command works every day, with the same bytes.
    assert_eq!(run().code, 0);
    assert_eq!(first, names.map(|name| folder.bytes(name)));
    fs::write(folder.path("s.pdf"), "mine").unwrap();
    fs::remove_file(folder.path("s.svg")).unwrap();
    assert_eq!(run().code, 5);
    assert_eq!(folder.bytes("s.pdf"), b"mine");
    assert!(!folder.path("s.svg").exists(), "all files of a folder, or none");
}

#[test]
fn the_list_says_what_each_kind_needs() {
    let folder = Folder::of(&[]);
    let ended = folder.run("figure --list");
    assert_eq!((ended.code, ended.err.as_str()), (0, ""));
    equals("figure/list.txt", &ended.out);
    assert!(ended.out.contains("check the publisher's current guide"));
    assert_eq!(folder.json("figure --list")["kinds"].as_array().unwrap().len(), 17);
}

#[test]
fn wrong_words_and_endings_are_answered() {
    let folder = Folder::with_demo();
    let said = |arguments: &str| {
        let ended = folder.run(&format!("figure {arguments}"));
        (ended.code, ended.err)
    };
    let (code, text) = said(&format!("density-watter {DATA}"));
    assert_eq!(code, 2);
    assert!(
        text.contains("unknown kind of figure \"density-watter\"") && text.contains("did you mean density-water?"),
        "{text}"
    );
    let (code, text) = said(&format!("density-water {DATA} -o d.jpeg"));
    assert_eq!(code, 2);
    assert!(text.contains("unknown ending of a figure \"jpeg\"; known: svg, png, pdf"), "{text}");
    let (code, text) = said(&format!("density-water {DATA} --size hug"));
    assert_eq!(code, 2);
    assert!(text.contains("known: single, one-and-a-half, double, thesis, slide"), "{text}");
    let (code, text) = said(&format!("strength-curve {DATA} --value pin_penetration"));
    assert_eq!(code, 2);
    assert!(text.contains("add --against basic_density"), "{text}");
    let (code, text) = said(&format!("ternary {DATA}"));
    assert_eq!(code, 5);
    assert!(text.contains("ternary needs cellulose, hemicellulose, lignin; found: nothing of that"), "{text}");
    let (code, text) = said(&format!("box-points {DATA} --value basic_densitty"));
    assert_eq!(code, 2);
    assert!(text.contains("basic_density"), "{text}");
    assert_eq!(said("density-water").0, 2);
    let (code, text) = said(&format!("shrinkage {DATA} -o datasets-demo/harbour/harbour.svg --dpi 10 -o x.png"));
    assert_eq!(code, 1);
    assert!(text.contains("dpi is 10; allowed is 36 to 2400 dots per inch"), "{text}");
    assert!(!folder.path("datasets-demo/harbour/harbour.svg").exists(), "nothing is written where one file cannot be");
}

#[test]
fn pieces_are_chosen_and_panels_made() {
    let folder = Folder::with_demo();
    let json = folder
        .json(&format!("figure box-points {DATA} --value basic_density --panels context --where \"taxon == 'oak'\""));
    let panels = json["figure"]["panels"].as_array().unwrap();
    assert_eq!(panels.len(), 3);
    assert_eq!(json["where"][0]["kept"].as_u64().unwrap(), 109);
    let plain = folder.run(&format!("figure density-water {DATA} --plain --where \"taxon == 'alder'\" -q"));
    assert_eq!(plain.out.lines().count(), 1 + 14);
}

#[test]
fn outcome_and_list_are_what_their_schemas_say() {
    let folder = Folder::with_demo();
    for (kind, command) in [("figure", format!("figure class-shares {DATA}")), ("figures", "figure --list".to_owned())]
    {
        let schema = serde_json::from_str(&folder.run(&format!("schema {kind}")).out).unwrap();
        let validator = jsonschema::validator_for(&schema).unwrap();
        let json = folder.json(&command);
        let errors: Vec<String> = validator.iter_errors(&json).map(|error| error.to_string()).collect();
        assert_eq!(errors, Vec::<String>::new(), "{kind}");
    }
}
