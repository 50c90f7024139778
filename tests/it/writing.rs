//! What is written reads back unchanged, runs nowhere as a formula, and replaces nothing that is not ours.

mod document;
mod system;
mod text;

use std::fs;
use std::path::Path;

use proptest::prelude::ProptestConfig;
use proptest::prelude::any;
use proptest::proptest;

use woodstate::error::ErrorKind;
use woodstate::table::Cell;
use woodstate::table::CellOut;
use woodstate::table::ColumnOut;
use woodstate::table::Decimal;
use woodstate::table::FileOut;
use woodstate::table::Grid;
use woodstate::table::LEDGER;
use woodstate::table::Limits;
use woodstate::table::NumberText;
use woodstate::table::Overwrite;
use woodstate::table::SheetOut;
use woodstate::table::TextOptions;
use woodstate::table::TextStyle;
use woodstate::table::parse_number;
use woodstate::table::read_file;
use woodstate::table::read_sheet;
use woodstate::table::read_text;
use woodstate::table::sheet_names;
use woodstate::table::write_all;
use woodstate::table::write_file;
use woodstate::table::write_text;
use woodstate::table::write_workbook;

const POINT: TextStyle = TextStyle { delimiter: ',', decimal: Decimal::Point };
const COMMA: TextStyle = TextStyle { delimiter: ';', decimal: Decimal::Comma };

fn sheet(cells: Vec<CellOut<'_>>) -> SheetOut<'_> {
    let columns = (0..cells.len()).map(|n| ColumnOut::new(format!("column {n}"))).collect();
    SheetOut::of_rows("results", columns, vec![cells])
}

fn through_text(sheet: &SheetOut<'_>, style: TextStyle) -> Grid {
    let options = TextOptions { delimiter: Some(style.delimiter), ..TextOptions::default() };
    read_text(&write_text(sheet, style).unwrap(), "out.csv", &options).unwrap().grid
}

fn through_workbook(sheet: &SheetOut<'_>) -> Grid {
    let bytes = write_workbook(std::slice::from_ref(sheet), "out.xlsx").unwrap();
    read_sheet(&bytes, "out.xlsx", None, &Limits::default()).unwrap()
}

fn nasty() -> Vec<String> {
    let mut texts =
        ["=1+1", "-5 text", "+3", "@x", "\tx", "'=1+1", "''-x", "'plain", "a;b,c|d", "5\" board", "עץ אלון"]
            .map(str::to_owned)
            .to_vec();
    texts.extend(["one\ntwo".to_owned(), "007".to_owned(), "http://a.example".to_owned(), "x".repeat(10_000)]);
    texts
}

#[test]
fn nasty_texts_survive_both_formats() {
    let texts = nasty();
    let sheet = sheet(texts.iter().map(CellOut::text).collect());
    for grid in [through_text(&sheet, POINT), through_text(&sheet, COMMA), through_workbook(&sheet)] {
        for (column, text) in texts.iter().enumerate() {
            assert_eq!(grid.cell(1, column), Cell::Text(text));
        }
    }
}

#[test]
fn only_texts_are_guarded_against_formulas() {
    let cells = vec![CellOut::text("=1+1"), CellOut::text("\0x"), CellOut::number(-3.2), CellOut::Empty];
    let mut sheet = sheet(cells);
    sheet.columns[0].header = "@a".to_owned();
    let text = String::from_utf8(write_text(&sheet, COMMA).unwrap()).unwrap();
    assert_eq!(text, "'@a;column 1;column 2;column 3\n'=1+1;'\0x;-3,2;\n");
}

#[test]
fn what_cannot_be_written_is_named_by_its_cell() {
    let sheet = sheet(vec![CellOut::Empty, CellOut::text("x".repeat(32_768))]);
    let error = write_workbook(&[sheet], "out.xlsx").unwrap_err().to_string();
    assert!(error.starts_with("out.xlsx results!B2, column \"column 1\": the text has 32768 characters"), "{error}");
    let sheet = self::sheet(vec![CellOut::number(f64::NAN)]);
    let errors = [write_text(&sheet, POINT).unwrap_err(), write_workbook(&[sheet], "out.xlsx").unwrap_err()];
    for error in errors {
        assert!(error.to_string().contains("results!A2") && error.to_string().contains("not a finite"), "{error}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(500) })]

    #[test]
    fn every_finite_number_reads_back_to_the_bit(bits in any::<u64>()) {
        let value = f64::from_bits(bits);
        let value = if value.is_finite() { value } else { 0.1 };
        for style in [POINT, COMMA] {
            let grid = through_text(&sheet(vec![CellOut::text("x"), CellOut::number(value)]), style);
            let Cell::Text(text) = grid.cell(1, 1) else { panic!("{value:?}") };
            let NumberText::Value(read) = parse_number(text, style.decimal) else { panic!("{text}") };
            assert_eq!(read.to_bits(), value.to_bits());
        }
    }

    #[test]
    fn every_text_reads_back_unchanged(text in "[a-z'=;,\"\n\r\t @+|é-]{0,12}", other in "[\"\n\r;]{0,4}") {
        let texts = ["x".to_owned(), text, other];
        let grid = through_text(&sheet(texts.iter().map(CellOut::text).collect()), COMMA);
        for (column, text) in texts.iter().enumerate() {
            let expected = if text.is_empty() { Cell::Empty } else { Cell::Text(text) };
            assert_eq!(grid.cell(1, column), expected);
        }
    }
}

#[test]
fn workbooks_have_the_same_bytes_in_every_run() {
    let sheets = [sheet(vec![CellOut::text("a"), CellOut::Number { value: 1.25, u: Some(2.0) }])];
    let first = write_workbook(&sheets, "out.xlsx").unwrap();
    // Longer than the step of two seconds of the dates in a package.
    std::thread::sleep(std::time::Duration::from_millis(2_100));
    assert!(first == write_workbook(&sheets, "out.xlsx").unwrap());
    let grid = read_sheet(&first, "out.xlsx", None, &Limits::default()).unwrap();
    assert_eq!(grid.cell(1, 1), Cell::Number(1.25));
}

#[test]
fn sheet_names_are_made_to_fit() {
    let long = "a".repeat(40);
    let wanted = ["a/b:c", "A_B_C", "", "History", long.as_str(), long.as_str()];
    let sheets = wanted.map(|name| SheetOut::of_rows(name, vec![ColumnOut::new("x")], Vec::new()));
    let bytes = write_workbook(&sheets, "out.xlsx").unwrap();
    let names = sheet_names(&bytes, "out.xlsx", &Limits::default()).unwrap();
    let (full, second) = ("a".repeat(31), format!("{} (2)", "a".repeat(27)));
    assert_eq!(names, ["a_b_c", "A_B_C (2)", "_", "History_", full.as_str(), second.as_str()]);
}

fn would_overwrite(result: woodstate::error::Result<()>, path: &Path) -> bool {
    let error = result.unwrap_err();
    let is_forced = error.hint().is_some_and(|hint| hint.contains("--force"));
    is_forced && matches!(error.kind(), ErrorKind::WouldOverwrite { path: found } if found == path)
}

#[test]
fn our_own_unchanged_files_are_replaced_and_nothing_else() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("deep/er/out.csv");
    write_file(&path, b"1", Overwrite::IfOurs).unwrap();
    write_file(&path, b"2", Overwrite::IfOurs).unwrap();
    fs::write(&path, b"edited").unwrap();
    assert!(would_overwrite(write_file(&path, b"3", Overwrite::IfOurs), &path));
    assert_eq!(read_file(&path).unwrap().bytes, b"edited");
    write_file(&path, b"3", Overwrite::Force).unwrap();
    write_file(&path, b"4", Overwrite::IfOurs).unwrap();
    assert_eq!(read_file(&path).unwrap().bytes, b"4");
}

#[test]
fn a_damaged_list_of_written_files_protects_every_file() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("out.csv");
    write_file(&path, b"1", Overwrite::IfOurs).unwrap();
    let list = folder.path().join(LEDGER);
    let text = fs::read_to_string(&list).unwrap();
    fs::write(&list, format!("{text}<<<<<<< mine\n")).unwrap();
    assert!(would_overwrite(write_file(&path, b"2", Overwrite::IfOurs), &path));
    // The same content again harms nobody.
    write_file(&path, b"1", Overwrite::IfOurs).unwrap();
    write_file(&path, b"2", Overwrite::IfOurs).unwrap();
}

#[test]
fn files_are_written_together_or_not_at_all() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("b.csv"), b"mine").unwrap();
    let files = [FileOut::bytes("a.csv", b"1"), FileOut::bytes("b.csv", b"2")];
    assert!(would_overwrite(
        write_all(folder.path(), &files, Overwrite::IfOurs).map(drop),
        &folder.path().join("b.csv")
    ));
    let left: Vec<_> = fs::read_dir(folder.path()).unwrap().map(|entry| entry.unwrap().file_name()).collect();
    assert_eq!(left, ["b.csv"]);
    write_all(folder.path(), &files, Overwrite::Force).unwrap();
    let mut left: Vec<_> = fs::read_dir(folder.path()).unwrap().map(|entry| entry.unwrap().file_name()).collect();
    left.sort();
    assert_eq!(left, ["a.csv", "b.csv", LEDGER]);
}

/// Source: FIPS 180-4 examples: SHA-256 of "abc" begins ba7816bf and ends f20015ad.
#[test]
fn the_list_of_written_files_has_the_form_of_checksum_tools() {
    let folder = tempfile::tempdir().unwrap();
    write_file(folder.path().join("z.txt"), b"abc", Overwrite::IfOurs).unwrap();
    write_file(folder.path().join("a.txt"), b"abc", Overwrite::IfOurs).unwrap();
    let abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
    assert_eq!(fs::read_to_string(folder.path().join(LEDGER)).unwrap(), format!("{abc}  a.txt\n{abc}  z.txt\n"));
}

#[test]
fn names_that_leave_the_folder_are_refused() {
    let folder = tempfile::tempdir().unwrap();
    for name in ["../out.csv", "a/b.csv", "c:x", "", "..", LEDGER] {
        let error = write_all(folder.path(), &[FileOut::bytes(name, b"1")], Overwrite::Force).unwrap_err();
        assert!(matches!(error.kind(), ErrorKind::File { doing: "write", .. }), "{name}");
    }
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0);
}

#[test]
fn a_missing_file_is_named_with_the_words_of_the_system() {
    let folder = tempfile::tempdir().unwrap();
    let error = read_file(folder.path().join("none.csv")).unwrap_err();
    assert!(matches!(error.kind(), ErrorKind::File { doing: "read", why, .. } if !why.is_empty()));
}
