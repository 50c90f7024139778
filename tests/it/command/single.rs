//! `-o FILE` and `-o -`: one file of results, with the description of its columns beside it.

use std::fmt::Write;

use crate::command::TWO;
use crate::support::program::Folder;

fn names(folder: &Folder) -> Vec<String> {
    let entries = std::fs::read_dir(folder.path(".")).unwrap();
    let mut names: Vec<String> = entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    names.retain(|name| name != "d.csv" && name != "woodstate-files.sha256");
    names.sort();
    names
}

fn description(folder: &Folder, name: &str) -> serde_json::Value {
    serde_json::from_slice(&folder.bytes(name)).unwrap()
}

#[test]
fn each_kind_of_file_has_its_description_beside_it_or_in_it() {
    let endings = [("csv", true), ("tsv", true), ("ods", true), ("parquet", true), ("xlsx", false), ("json", false)];
    for (ending, beside) in endings.into_iter().filter(|(ending, _)| cfg!(feature = "frame") || *ending != "parquet") {
        let folder = Folder::of(&[("d.csv", TWO)]);
        let ended = folder.run(&format!("assess d.csv -o out.{ending}"));
        assert_eq!(ended.code, 0, "{}", ended.err);
        let (file, about) = (format!("out.{ending}"), format!("out.{ending}.datapackage.json"));
        assert_eq!(names(&folder), if beside { vec![file.clone(), about.clone()] } else { vec![file.clone()] });
        assert_eq!(ended.err.contains(&format!("Wrote {file} and {about}.")), beside, "{}", ended.err);
    }
}

#[test]
fn the_description_gives_unit_meaning_and_evidence_and_the_decimal_mark() {
    let folder = Folder::of(&[("d.csv", TWO)]);
    folder.run("assess d.csv -o out.csv --out-decimal ,");
    let package = description(&folder, "out.csv.datapackage.json");
    let resource = &package["resources"][0];
    assert_eq!((&resource["path"], &resource["dialect"]["delimiter"]), (&"out.csv".into(), &";".into()));
    let fields = resource["schema"]["fields"].as_array().unwrap();
    let heads: Vec<&str> = fields.iter().map(|field| field["name"].as_str().unwrap()).collect();
    let written = String::from_utf8(folder.bytes("out.csv")).unwrap();
    assert_eq!(heads.join(";"), written.lines().next().unwrap());
    let field = |name: &str| fields.iter().find(|field| field["name"] == name).unwrap();
    let porosity = field("porosity [%]");
    assert_eq!((&porosity["unit"], &porosity["decimalChar"]), (&"%".into(), &",".into()));
    let rests = porosity["evidence"].as_array().unwrap();
    assert!(rests.iter().any(|one| one["usedFor"].as_str().unwrap().starts_with("density of the cell wall")));
    assert_eq!(field("u(porosity) [%]")["uncertaintyOf"], "porosity [%]");
    assert!(fields.iter().all(|field| field["description"].as_str().is_some_and(|text| text.len() > 10)));
    folder.run("assess d.csv -o out.ods --out-decimal ,");
    let sheet = &description(&folder, "out.ods.datapackage.json")["resources"][0];
    assert_eq!((&sheet["format"], &sheet["dialect"]["sheetName"]), (&"ods".into(), &"results".into()));
    assert!(sheet["schema"]["fields"].as_array().unwrap().iter().all(|field| field["decimalChar"].is_null()));
}

#[test]
fn a_description_of_somebody_else_keeps_both_files_from_being_written() {
    let folder = Folder::of(&[("d.csv", TWO), ("out.csv.datapackage.json", b"mine")]);
    let ended = folder.run("assess d.csv -o out.csv");
    assert_eq!(ended.code, 5, "{}", ended.err);
    assert_eq!(names(&folder), ["out.csv.datapackage.json"]);
    assert_eq!(folder.bytes("out.csv.datapackage.json"), b"mine");
}

#[test]
fn a_header_that_begins_like_a_formula_is_named_as_it_stands_in_the_text() {
    let csv = b"sample,=own,row,x,x,mass_saturated [g],mass_oven_dry [g]\nK1,a,b,c,d,5,1\n";
    let folder = Folder::of(&[("d.csv", csv)]);
    folder.run("assess d.csv --out state");
    let input = String::from_utf8(folder.bytes("state/input.csv")).unwrap();
    let head = input.lines().next().unwrap();
    assert_eq!(head, "row,sample,'=own,row (2),x,x (2),mass_saturated [g],mass_oven_dry [g]");
    let package = description(&folder, "state/datapackage.json");
    let resources = package["resources"].as_array().unwrap();
    let fields = &resources.iter().find(|resource| resource["name"] == "input").unwrap()["schema"]["fields"];
    let names: Vec<&str> = fields.as_array().unwrap().iter().map(|field| field["name"].as_str().unwrap()).collect();
    assert_eq!(names.join(","), head);
}

#[test]
fn a_dash_writes_the_pieces_to_standard_output_and_nothing_else_there() {
    let folder = Folder::of(&[("d.csv", TWO)]);
    let piped = folder.run("assess d.csv -o -");
    assert_eq!(piped.code, 0, "{}", piped.err);
    assert_eq!(names(&folder), Vec::<String>::new());
    folder.run("assess d.csv -o out.csv");
    assert!(piped.out.into_bytes() == folder.bytes("out.csv"));
    let comma = folder.run("assess d.csv -o - --out-decimal ,").out;
    // (9.5 - 4.5) / 4.5 = 111.1 %
    assert!(comma.lines().nth(2).unwrap().contains(";111,11"), "{comma}");
    assert_eq!(folder.piped("assess - -o -", TWO).out.lines().count(), 3);
}

#[test]
fn a_dash_ends_as_the_rows_do_and_says_findings_apart() {
    let folder = Folder::of(&[("d.csv", b"sample,mass_saturated [g],mass_oven_dry [g]\nK1,5.25,1.05\nK2,5,abc\n")]);
    let ended = folder.run("assess d.csv -o -");
    assert_eq!((ended.code, ended.out.lines().count()), (3, 3), "{}", ended.err);
    assert!(ended.err.contains("number-unreadable") && !ended.out.contains("number-unreadable"), "{}", ended.err);
}

#[test]
fn a_dash_beside_json_or_plain_is_a_matter_of_usage() {
    let folder = Folder::of(&[("d.csv", TWO)]);
    for arguments in ["assess d.csv -o - --json", "assess d.csv -o - --plain", "study d.csv -o - --json"] {
        let ended = folder.run(arguments);
        assert_eq!((ended.code, ended.out.as_str()), (2, ""), "{arguments}");
        assert!(ended.err.contains("choose one"), "{}", ended.err);
    }
}

#[test]
fn a_study_file_on_standard_output_is_the_one_that_would_be_written() {
    let folder = Folder::of(&[("d.csv", b"Probe;Nassgewicht [g]\nK1;5,25\n")]);
    let piped = folder.run("study d.csv -o -");
    assert_eq!((piped.code, names(&folder).len()), (0, 0), "{}", piped.err);
    folder.run("study d.csv -o starter.toml");
    assert!(piped.out.into_bytes() == folder.bytes("starter.toml"));
}

/// `/dev/full` is a disk that is always full (Linux, full(4)).
#[test]
#[cfg(target_os = "linux")]
fn a_full_disk_behind_a_dash_ends_the_command() {
    let folder = Folder::of(&[("d.csv", TWO)]);
    let full = std::fs::File::options().write(true).open("/dev/full").unwrap();
    let output = folder.command("assess d.csv -o - -q").stdout(full).output().unwrap();
    assert_eq!(output.status.code(), Some(5));
    let said = String::from_utf8(output.stderr).unwrap();
    assert_eq!(said, "woodstate: cannot write standard output: the disk is full\n");
}

#[test]
fn rows_that_no_sheet_holds_are_refused_before_anything_is_computed() {
    let mut csv = String::from("sample,mass_saturated [g]\n");
    for row in 0..1_048_576 {
        writeln!(csv, "{row},5").unwrap();
    }
    let folder = Folder::of(&[("d.csv", csv.as_bytes())]);
    for ending in ["xlsx", "ods"] {
        let ended = folder.run(&format!("assess d.csv -o out.{ending}"));
        assert_eq!((ended.code, names(&folder).len()), (5, 0), "{}", ended.err);
        let sentence = format!(
            "woodstate: out.{ending}: cannot hold 1048576 rows of samples; a sheet holds 1048575 below its header\n  write a .csv"
        );
        assert!(ended.err.contains(&sentence), "{}", ended.err);
    }
}

#[test]
fn an_ending_that_is_not_made_is_answered_with_those_that_are_and_makes_no_folder() {
    let folder = Folder::of(&[("d.csv", TWO), ("old.pdf/note", b"mine")]);
    let ended = folder.run("assess d.csv -o out.XLS");
    let sentence = "unknown ending of a file of results \"xls\"; known: csv, tsv, xlsx, ods, parquet, json";
    assert!(ended.err.contains(sentence) && ended.code == 2, "{}", ended.err);
    assert_eq!(names(&folder), ["old.pdf"]);
    // A folder that is there is a folder, whatever it is called.
    assert_eq!(folder.run("assess d.csv -o old.pdf").code, 0);
    assert_eq!(folder.run("assess d.csv -o state.2024").code, 0);
    assert!(folder.path("state.2024/results.csv").is_file() && folder.path("old.pdf/results.csv").is_file());
}

#[test]
fn strange_headers_lead_to_a_study_file() {
    let folder = Folder::of(&[("d.csv", b"Probe;Nassgewicht [g]\nK1;5,25\n")]);
    let ended = folder.run("check d.csv");
    assert_eq!(ended.code, 5);
    assert!(ended.err.contains("[samples.columns] in woodstate.toml; woodstate study proposes"), "{}", ended.err);
}

#[cfg(not(feature = "frame"))]
#[test]
fn a_build_without_parquet_says_how_to_get_it() {
    let folder = Folder::of(&[("d.parquet", b"PAR1"), ("d.csv", TWO)]);
    for arguments in ["assess d.parquet", "assess d.csv -o out.parquet"] {
        let ended = folder.run(arguments);
        assert!(ended.err.contains("cargo install --path . --features frame") && ended.code == 5, "{}", ended.err);
    }
}

/// Only its first bytes are looked at for that.
#[test]
fn a_parquet_file_has_no_sheets_and_needs_no_starter() {
    let folder = Folder::of(&[("d.parquet", b"PAR1")]);
    let ended = folder.run("assess d.parquet --sheet x");
    let sentence = "d.parquet: is a Parquet file and has no sheets; the sheet \"x\" was named";
    assert!(ended.err.contains(sentence) && ended.code == 5, "{}", ended.err);
    let ended = folder.run("study d.parquet");
    assert!(ended.err.contains("is a Parquet file, and study looks at workbooks and texts"), "{}", ended.err);
    assert!(ended.err.contains("woodstate check d.parquet") && ended.code == 5, "{}", ended.err);
}
