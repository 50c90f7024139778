//! The shapes that the page of the demonstration data claims, and that its two forms agree.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use woodstate::numeric::Watch;
use woodstate::study::Study;
use woodstate::table::{Batch, Table, read_batch};

fn demo(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("datasets-demo").join(name)
}

fn batch(name: &str) -> Batch {
    let path = demo(name);
    let study = Study::beside(&path).unwrap().unwrap();
    read_batch(&path, &study.read, &Watch::silent()).unwrap()
}

fn distinct(table: &Table, column: &str) -> usize {
    (0..table.n_rows()).filter_map(|row| table.text(column, row)).collect::<BTreeSet<_>>().len()
}

#[test]
fn the_harbour_has_the_shapes_its_page_claims() {
    let page = fs::read_to_string(demo("README.md")).unwrap();
    let Batch { samples, timbers, log, findings } = batch("harbour/harbour.xlsx");
    let shape = |table: &Table| format!("{} x {}", table.n_rows(), table.columns().len());
    for (file, table) in [("samples", Some(&samples)), ("timbers", timbers.as_ref()), ("log", log.as_ref())] {
        let line = page.lines().find(|line| line.starts_with(&format!("| `harbour/{file}.csv`"))).unwrap();
        // An uncertainty has a column of its own in the file and none of its own in the table.
        let text = fs::read_to_string(demo(&format!("harbour/{file}.csv"))).unwrap();
        let columns = text.lines().next().unwrap().split(',').count();
        assert_eq!(format!("{} x {columns}", table.unwrap().n_rows()), line.rsplit('|').nth(1).unwrap().trim());
    }
    assert_eq!(shape(&samples).split(" x ").next(), Some("161"));
    assert_eq!(
        (distinct(&samples, "sample"), distinct(&samples, "timber"), distinct(&samples, "core_id")),
        (158, 28, 43)
    );
    assert!(page.contains("158 pieces (3 of them measured twice: 161 rows), 28 timbers, 43 cores, 7 taxa"));
    assert_eq!(distinct(&samples, "taxon"), 7);
    assert!(findings.is_empty(), "{findings:?}");
}

#[test]
fn the_workbook_and_the_text_files_of_the_harbour_hold_the_same() {
    let (workbook, folder) = (batch("harbour/harbour.xlsx"), batch("harbour"));
    for (one, other) in workbook.tables().zip(folder.tables()) {
        assert!(one.columns() == other.columns(), "{} differ", one.kind().name());
    }
    assert_eq!((workbook.tables().count(), folder.tables().count()), (3, 3));
}

#[test]
fn the_messy_workbook_has_the_shapes_its_page_claims() {
    let page = fs::read_to_string(demo("README.md")).unwrap();
    let Batch { samples, timbers, .. } = batch("messy/barge.xlsx");
    let timbers = timbers.unwrap();
    // The composed sample name is a column of the table and not of the file.
    assert_eq!((samples.n_rows(), samples.columns().len() - 1), (40, 10));
    assert_eq!((timbers.n_rows(), timbers.columns().len()), (7, 7));
    assert!(page.contains("40 x 10, 7 x 7, notes"));
}

#[test]
fn the_tests_of_strength_have_the_shapes_their_page_claims() {
    let page = fs::read_to_string(demo("README.md")).unwrap();
    let Batch { samples, timbers, log, findings } = batch("strength/mechanics.csv");
    assert!(findings.is_empty() && timbers.is_none() && log.is_none(), "{findings:?}");
    let text = fs::read_to_string(demo("strength/mechanics.csv")).unwrap();
    let columns = text.lines().next().unwrap().split(',').count();
    let line = page.lines().find(|line| line.starts_with("| `strength/mechanics.csv`")).unwrap();
    assert_eq!(format!("{} x {columns}", samples.n_rows()), line.rsplit('|').nth(1).unwrap().trim());
    assert_eq!((distinct(&samples, "sample"), distinct(&samples, "timber")), (61, 16));
    assert!(page.contains("61 prisms, 20 x 20 x 360 mm, of 16 timbers"));
    let count =
        |column: &str, word: &str| (0..samples.n_rows()).filter(|&row| samples.text(column, row) == Some(word)).count();
    for (taxon, line) in [
        ("Quercus, deciduous", "| Quercus, deciduous | 37 | 10 |"),
        ("Alnus glutinosa", "| Alnus glutinosa | 12 | 3 |"),
        ("Pinus sylvestris", "| Pinus sylvestris | 10 | 2 |"),
        ("Fraxinus excelsior", "| Fraxinus excelsior | 2 | 1 |"),
    ] {
        assert!(page.contains(line) && line.contains(&format!("| {} |", count("taxon", taxon))), "{taxon}");
    }
    // What the page lists as made on purpose: 5 conditioned, 3 treated, 3 charred, 2 without a bending test.
    assert_eq!((count("condition_at_test", "conditioned"), count("condition_at_test", "treated")), (5, 3));
    assert_eq!(count("charring", "none"), 58);
    let bending = samples.numbers("bending_strength").unwrap();
    assert_eq!((0..samples.n_rows()).filter(|&row| bending.value(row).is_none()).count(), 2);
    // Every timber tested is one of the harbour.
    let harbour = batch("harbour/harbour.xlsx").samples;
    let known: BTreeSet<&str> = (0..harbour.n_rows()).filter_map(|row| harbour.text("timber", row)).collect();
    assert!((0..samples.n_rows()).all(|row| samples.text("timber", row).is_some_and(|timber| known.contains(timber))));
}

#[test]
fn the_tanks_have_the_shapes_their_page_claims() {
    let page = fs::read_to_string(demo("README.md")).unwrap();
    let Batch { samples, timbers, log, findings } = batch("tank");
    assert!(findings.is_empty(), "{findings:?}");
    for (file, table) in [("samples", Some(&samples)), ("timbers", timbers.as_ref()), ("log", log.as_ref())] {
        let line = page.lines().find(|line| line.starts_with(&format!("| `tank/{file}.csv`"))).unwrap();
        let text = fs::read_to_string(demo(&format!("tank/{file}.csv"))).unwrap();
        let columns = text.lines().next().unwrap().split(',').count();
        assert_eq!(format!("{} x {columns}", table.unwrap().n_rows()), line.rsplit('|').nth(1).unwrap().trim());
    }
    let log = log.unwrap();
    assert_eq!((distinct(&log, "tank"), distinct(&log, "timber"), distinct(&log, "date")), (2, 4, 31));
}

#[test]
fn the_demonstration_says_that_it_is_invented() {
    for name in [
        "README.md",
        "tank/woodstate.toml",
        "harbour/woodstate.toml",
        "strength/woodstate.toml",
        "messy/woodstate.toml",
    ] {
        assert!(fs::read_to_string(demo(name)).unwrap().contains("nvented"), "{name}");
    }
}
