//! Ways to read a file.

use serde_json::Value;

use crate::support::book::book;
use crate::support::program::Folder;

use super::{TWO, values};

/// The water contents of a file that holds the pieces of `TWO` in another form.
#[track_caller]
fn check(name: &str, bytes: &[u8], options: &str) -> Value {
    let folder = Folder::of(&[("two.csv", TWO), (name, bytes)]);
    let expected = values(&folder.json("assess two.csv"), "max_water_content");
    let outcome = folder.json(&format!("assess {name} {options}"));
    assert_eq!(values(&outcome, "max_water_content"), expected);
    outcome
}

#[test]
fn standard_input_is_read_as_a_file() {
    let folder = Folder::of(&[("study.toml", b"title = \"piped\"\n"), ("d.csv", TWO)]);
    let ended = folder.piped("assess - --study study.toml --json", TWO);
    let outcome: Value = serde_json::from_str(&ended.out).unwrap();
    assert_eq!(outcome["settings"]["title"], "piped");
    assert_eq!(outcome["source"][0]["file"], "standard input");
    assert_eq!(outcome["samples"], folder.json("assess d.csv --study study.toml")["samples"]);
}

#[test]
fn a_workbook_is_read_from_standard_input() {
    let workbook = book(&[("samples", std::str::from_utf8(TWO).unwrap())]);
    let ended = Folder::of(&[]).piped("assess - --json", &workbook);
    assert_eq!(serde_json::from_str::<Value>(&ended.out).unwrap()["counts"]["assessed"], 2);
}

#[test]
fn a_sheet_is_chosen_by_its_name() {
    let text = std::str::from_utf8(TWO).unwrap();
    let workbook = book(&[("notes", "nothing here"), ("cores", text)]);
    let outcome = check("d.xlsx", &workbook, "--sheet cores");
    assert_eq!(outcome["source"][0]["sheet"], "cores");
    let ended = Folder::of(&[("d.xlsx", &workbook)]).run("assess d.xlsx");
    assert_eq!(ended.code, 5);
    assert!(ended.err.contains("notes, cores") && ended.err.contains("--sheet"), "{}", ended.err);
    let ended = Folder::of(&[("d.xlsx", &workbook)]).run("assess d.xlsx --sheet core");
    assert_eq!(ended.code, 5);
    assert!(ended.err.contains("cores"), "{}", ended.err);
}

#[test]
fn the_header_row_is_counted_as_in_the_file() {
    let text = b"sample,timber\n\nsample,mass_saturated [g],mass_oven_dry [g]\nK1,5.25,1.05\nK2,9.5,4.5\n";
    let outcome = check("d.csv", text, "--header-row 3");
    assert_eq!(outcome["samples"][0]["rows"][0], 4);
}

#[test]
fn an_encoding_is_declared() {
    let text = b"sample,taxon,mass_saturated [g],mass_oven_dry [g]\nK1,ch\xeane,5.25,1.05\nK2,,9.5,4.5\n";
    let outcome = check("d.csv", text, "--encoding windows-1252");
    assert_eq!(outcome["samples"][0]["taxon"], "Quercus");
    let ended = Folder::of(&[("d.csv", text)]).run("assess d.csv");
    assert_eq!(ended.code, 5);
    assert!(
        ended.err.contains("d.csv:2: line 2 holds a letter that is not UTF-8 (byte 0xEA)")
            && ended.err.contains("--encoding windows-1252"),
        "{}",
        ended.err
    );
}

#[test]
fn a_delimiter_is_declared() {
    let text = String::from_utf8(TWO.to_vec()).unwrap();
    check("d.csv", text.replace(',', "|").as_bytes(), "--delimiter |");
    check("d.csv", text.replace(',', "\t").as_bytes(), "--delimiter tab");
    check("d.csv", text.replace(',', "!").as_bytes(), "--delimiter !");
}

#[test]
fn a_decimal_comma_gives_the_values_of_a_decimal_point() {
    let text = String::from_utf8(TWO.to_vec()).unwrap().replace(',', ";").replace('.', ",");
    let outcome = check("d.csv", text.as_bytes(), "");
    assert!(outcome["source"][0]["reading"].to_string().contains("decimal mark \\\",\\\" found in 4 cells"));
    check("d.csv", text.as_bytes(), "--decimal ,");
    let ambiguous = b"sample;mass_saturated [g];mass_oven_dry [g]\nK1;5,250;1,050\nK2;9,500;4,500\n";
    check("d.csv", ambiguous, "--decimal ,");
    assert_eq!(Folder::of(&[("d.csv", ambiguous)]).run("assess d.csv").code, 3);
}

#[test]
fn an_option_wins_over_the_study_file() {
    let study: &[u8] = b"[samples]\ndecimal = \".\"\n[assess]\nseed = 3\ncoverage = 0.9\n";
    let folder =
        Folder::of(&[("d.csv", b"sample;mass_saturated [g];mass_oven_dry [g]\nK1;5,25;1,05\n"), ("s.toml", study)]);
    let outcome = folder.json("assess d.csv --study s.toml --decimal , --seed 7 --coverage 0.8");
    assert_eq!(outcome["samples"][0]["status"], "assessed");
    assert_eq!((&outcome["settings"]["seed"], &outcome["settings"]["coverage"]), (&7.into(), &0.8.into()));
}

#[test]
fn the_study_file_beside_the_data_is_used_and_named() {
    let folder =
        Folder::of(&[("x/d.csv", TWO), ("x/woodstate.toml", b"title = \"beside\"\n"), ("woodstate.toml", b"[")]);
    let outcome = folder.json("assess x/d.csv");
    assert_eq!(outcome["settings"]["title"], "beside");
    assert!(outcome["settings"]["study_file"].as_str().unwrap().ends_with("woodstate.toml"));
    assert_eq!(folder.json("assess x/d.csv")["settings"]["study_sha256"].as_str().unwrap().len(), 64);
}

#[test]
fn a_folder_of_text_files_gives_the_values_of_the_workbook() {
    let folder = Folder::with_demo();
    let text = folder.json("assess datasets-demo/harbour");
    let book = folder.json("assess datasets-demo/harbour/harbour.xlsx");
    for part in ["samples", "timbers", "counts", "cautions", "sources"] {
        assert!(text[part] == book[part], "{part} differ");
    }
    let tables = |outcome: &Value| -> Vec<(Value, Value)> {
        let sources = outcome["source"].as_array().unwrap().iter();
        sources.map(|source| (source["table"].clone(), source["rows"].clone())).collect()
    };
    assert_eq!(tables(&text), [("samples", 161), ("timbers", 28), ("log", 31)].map(|(a, b)| (a.into(), b.into())));
    assert_eq!(tables(&text), tables(&book));
}

#[test]
fn a_misspelt_column_and_a_misspelt_taxon_get_a_proposal() {
    let csv = b"sample,taxon,mass_saturatd [g],mass_oven_dry [g],basic_density [kg/m3]\nK1,Quercus petrea,5,1,300\n";
    let outcome = Folder::of(&[("d.csv", csv)]).json("check d.csv");
    let texts: Vec<&str> = outcome["findings"].as_array().unwrap().iter().filter_map(|f| f["text"].as_str()).collect();
    assert!(texts.iter().any(|text| text.contains("Did you mean mass_saturated?")), "{texts:?}");
    assert!(texts.iter().any(|text| text.to_lowercase().contains("did you mean quercus petraea")), "{texts:?}");
}
