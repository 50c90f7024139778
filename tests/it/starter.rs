//! `study`: from a file as it is to a study file that a person has accepted.

mod edits;
mod glossary;

use woodstate::numeric::Watch;
use woodstate::report::{starter_toml, starter_view, text};
use woodstate::study::{Item, ItemState, Starter, Study, starter};
use woodstate::table::{SourceFile, TableOptions, read_file};

use crate::support::expected::equals;
use crate::support::program::{Folder, demo};

use edits::{Edit, edited};

/// Invented: a title, a row of units, decimal commas, French words, pieces that carry the name of their core.
const FRENCH: &str = "\
Pieux du port (inventé);;;;;;\n\
Carotte;Prof. de;Prof. à;Essence;Masse humide;Masse anhydre;Poids immergé\n\
;mm;mm;;g;g;g\n\
C1;0;10;chêne pédonculé;5,21;1,02;0,31\n\
C1;10;20;chêne pédonculé;5,43;1,43;0,44\n\
C2;0;10;pin sylvestre;4,98;s.d.;0,29\n";

fn looked(name: &str, text: impl Into<Vec<u8>>) -> Starter {
    starter(&SourceFile::from_bytes(name, text.into()), &TableOptions::default(), &Watch::silent()).unwrap()
}

fn barge() -> Starter {
    let file = read_file(demo("messy/barge.xlsx")).unwrap();
    let file = SourceFile::from_bytes("barge.xlsx", file.bytes);
    starter(&file, &TableOptions::default(), &Watch::silent()).unwrap()
}

#[track_caller]
fn column<'a>(starter: &'a Starter, header: &str) -> &'a Item {
    let columns = starter.tables.iter().flat_map(|table| &table.columns);
    columns.into_iter().find(|item| item.name == header).unwrap_or_else(|| panic!("no column {header}"))
}

fn meanings(item: &Item) -> Vec<&str> {
    item.answers.iter().map(|answer| answer.meaning.as_str()).collect()
}

#[test]
fn the_starter_of_the_messy_workbook_reads_as_expected() {
    let found = barge();
    equals("starter/barge.toml", &starter_toml(&found));
    equals("starter/barge-80.txt", &text(&starter_view(&found), 80));
    equals("starter/barge-160.txt", &text(&starter_view(&found), 160));
    equals("starter/french.toml", &starter_toml(&looked("pieux.csv", FRENCH)));
}

#[test]
fn as_it_is_written_it_states_nothing() {
    for found in [barge(), looked("pieux.csv", FRENCH)] {
        let (study, unstated) = (Study::parse(&starter_toml(&found), "s").unwrap(), Study::unstated().unwrap());
        assert_eq!(study, Study { file: Some("s".to_owned()), ..unstated });
    }
}

#[test]
fn with_every_proposal_accepted_it_can_be_used() {
    for found in [barge(), looked("pieux.csv", FRENCH)] {
        let text = starter_toml(&found);
        let accepted = edited(&text, &[Edit::AcceptAll]);
        assert_eq!(
            Study::parse(&accepted, "s").unwrap().read,
            Study::parse(&text.replace("# ", ""), "s").unwrap().read
        );
        assert_ne!(accepted, text);
    }
}

#[test]
fn each_answer_can_be_used_and_each_blank_must_be_filled() {
    for text in [starter_toml(&barge()), starter_toml(&looked("pieux.csv", FRENCH))] {
        for line in text.lines().filter_map(|line| line.strip_prefix("#? ")) {
            let with = text.replacen(&format!("#? {line}"), line, 1);
            let is_quantity = line.contains('…') && line.split("  ##").next().unwrap().split(' ').count() > 3;
            let is_of_protocol = line.starts_with("drying_temperature");
            assert_eq!(Study::parse(&with, "s").is_err(), is_quantity && !is_of_protocol, "{line}");
        }
    }
}

#[test]
fn sixteen_edits_make_the_messy_workbook_what_its_own_study_file_makes_it() {
    let book = std::fs::read(demo("messy/barge.xlsx")).unwrap();
    let own = std::fs::read(demo("messy/woodstate.toml")).unwrap();
    let (by_hand, shipped) =
        (Folder::of(&[("barge.xlsx", &book)]), Folder::of(&[("barge.xlsx", &book), ("woodstate.toml", &own)]));
    assert_eq!(by_hand.run("study barge.xlsx").code, 0);
    let written = String::from_utf8(by_hand.bytes("woodstate.toml")).unwrap();
    assert_eq!(edits::BARGE.len(), 16);
    by_hand.put("woodstate.toml", edited(&written, edits::BARGE).as_bytes());
    let (mine, theirs) = (by_hand.json("check barge.xlsx"), shipped.json("check barge.xlsx"));
    assert_eq!((&mine["findings"], &mine["counts"]), (&theirs["findings"], &theirs["counts"]));
    let (mine, theirs) = (by_hand.json("assess barge.xlsx"), shipped.json("assess barge.xlsx"));
    for part in ["samples", "timbers", "findings", "cautions"] {
        assert_eq!(mine[part], theirs[part], "{part}");
    }
}

#[test]
fn a_french_text_with_a_row_of_units_needs_four_edits() {
    let folder = Folder::of(&[("pieux.csv", FRENCH.as_bytes())]);
    assert_eq!(folder.run("study pieux.csv").code, 0);
    let written = String::from_utf8(folder.bytes("woodstate.toml")).unwrap();
    assert_eq!(edits::FRENCH.len(), 4);
    folder.put("woodstate.toml", edited(&written, edits::FRENCH).as_bytes());
    let checked = folder.json("check pieux.csv");
    // The dry mass that is not known stays a finding: no study file can cure it.
    let codes: Vec<&str> =
        checked["findings"].as_array().unwrap().iter().map(|one| one["code"].as_str().unwrap()).collect();
    assert_eq!((codes, checked["counts"]["assessed"].as_u64()), (vec!["mass-missing"], Some(3)));
    // (5.21 - 1.02) / 1.02 = 4.1078
    let assessed = folder.json("assess pieux.csv");
    let content = assessed["samples"][0]["values"]["max_water_content"]["value"].as_f64().unwrap();
    assert!((content - 410.78).abs() < 0.01, "{content}");
}

#[test]
fn a_row_of_units_that_holds_a_number_is_no_row_of_units() {
    let folder = Folder::of(&[
        ("d.csv", b"sample,mass_saturated [g],mass_oven_dry [g]\nK1,5,1\nK2,6,1\n"),
        ("woodstate.toml", b"[samples]\nunits_row = 2\n"),
    ]);
    let ended = folder.run("check d.csv");
    assert_eq!(ended.code, 5);
    assert!(ended.err.contains("units_row names this row, and a number stands in it"), "{}", ended.err);
}

#[test]
fn a_study_file_that_somebody_changed_is_replaced_by_force_only() {
    let folder = Folder::of(&[("pieux.csv", FRENCH.as_bytes())]);
    assert_eq!(folder.run("study pieux.csv").code, 0);
    let first = folder.bytes("woodstate.toml");
    assert_eq!(folder.run("study pieux.csv").code, 0);
    assert_eq!(folder.bytes("woodstate.toml"), first);
    folder.put("woodstate.toml", b"title = \"mine\"\n");
    let ended = folder.run("study pieux.csv");
    assert_eq!((ended.code, folder.bytes("woodstate.toml").as_slice()), (5, b"title = \"mine\"\n".as_slice()));
    assert!(ended.err.contains("--force"), "{}", ended.err);
    assert_eq!(folder.run("study pieux.csv --force").code, 0);
    assert_eq!(folder.bytes("woodstate.toml"), first);
}

#[test]
fn what_the_numbers_suggest_is_a_hint_and_stays_a_question() {
    let found = barge();
    let buoyancy = column(&found, "Auftrieb [g]");
    assert_eq!(buoyancy.state, ItemState::Question);
    assert_eq!(meanings(buoyancy), ["mass_displaced [g]", "mass_immersed [g]"]);
    assert!(
        buoyancy.hint.as_ref().unwrap().contains("0.84 to 0.95 times those of \"Nassgewicht [g]\""),
        "{buoyancy:?}"
    );
    let found = looked("d.csv", "Probe;Wassergehalt [%]\nK1;95\nK2;410\n");
    let content = column(&found, "Wassergehalt [%]");
    assert_eq!(meanings(content), ["water_content_dry_basis [%]", "water_content_wet_basis [%]"]);
    assert_eq!(content.hint.as_deref(), Some("values reach 410: a share of the total mass never passes 100 %"));
}

#[test]
fn a_text_that_is_not_utf_8_is_looked_at_and_its_encoding_asked() {
    let found = looked("d.csv", b"Probe;Tr\xe4ger;Nassgewicht [g]\nK1;x;5\nK2;y;6\n".to_vec());
    let key = found.tables[0].keys.iter().find(|item| item.name == "encoding").unwrap();
    assert_eq!((key.state, meanings(key)), (ItemState::Question, vec!["\"windows-1252\""]));
    assert_eq!(key.answers[0].clause, "then a cell reads Träger");
}

#[test]
fn a_file_without_known_headers_says_what_to_name() {
    let folder = Folder::of(&[("d.csv", b"foo,bar\n1,2\n")]);
    let ended = folder.run("study d.csv");
    assert_eq!(ended.code, 0, "{}", ended.err);
    let folder = Folder::of(&[("d.xlsx", &crate::support::book::book(&[("a", "foo,bar\n1,2"), ("b", "x")]))]);
    let ended = folder.run("study d.xlsx");
    assert_eq!(ended.code, 5);
    assert!(ended.err.contains("no sheet with a row of known headers; looked at: a, b"), "{}", ended.err);
    assert!(!folder.path("woodstate.toml").exists());
}
