//! Open documents out: what is written reads back unchanged, and what cannot be written is named.

use std::io::{Cursor, Read};

use proptest::prelude::{ProptestConfig, any};
use proptest::proptest;
use woodstate::table::{
    Cell, CellOut, ColumnOut, Grid, Limits, SheetOut, read_sheet, sheet_names, write_open_document, write_workbook,
};

use super::{nasty, sheet};

fn bytes(sheet: SheetOut<'_>) -> Vec<u8> {
    write_open_document(&[sheet], "out.ods").unwrap()
}

fn through(sheet: SheetOut<'_>) -> Grid {
    read_sheet(&bytes(sheet), "out.ods", None, &Limits::default()).unwrap()
}

fn refused(sheet: SheetOut<'_>) -> String {
    write_open_document(&[sheet], "out.ods").unwrap_err().to_string()
}

fn content(bytes: &[u8]) -> String {
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).unwrap();
    let mut text = String::new();
    archive.by_name("content.xml").unwrap().read_to_string(&mut text).unwrap();
    text
}

#[test]
fn nasty_texts_survive_an_open_document_as_texts() {
    let mut texts = nasty();
    texts.extend(["<b>", "]]>", "&amp;", "a\tb", "  two  blanks  ", "\n", "a\r\nb", "#N/A", "1e5"].map(str::to_owned));
    let grid = through(sheet(texts.iter().map(CellOut::text).collect()));
    for (column, text) in texts.iter().enumerate() {
        assert_eq!(grid.cell(1, column), Cell::Text(text));
    }
    let written = content(&bytes(sheet(texts.iter().map(CellOut::text).collect())));
    assert!(!written.contains("table:formula") && !written.contains("xlink"), "{written}");
}

#[test]
fn empty_cells_and_empty_texts_are_nothing_and_move_no_neighbour() {
    let cells = vec![CellOut::Empty, CellOut::text(""), CellOut::number(0.0), CellOut::Empty];
    let grid = through(sheet(cells));
    assert_eq!((grid.cell(1, 0), grid.cell(1, 1), grid.cell(1, 2)), (Cell::Empty, Cell::Empty, Cell::Number(0.0)));
    assert_eq!(grid.width(1), 3);
}

#[test]
fn a_number_keeps_its_digits_and_shows_those_of_its_uncertainty() {
    let number = CellOut::Number { value: 1616.0 / 3.0, u: Some(2.0) };
    let written = content(&bytes(sheet(vec![number])));
    assert!(written.contains("office:value=\"538.6666666666666\""), "{written}");
    assert!(written.contains("<text:p>538.7</text:p>"), "{written}");
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(300) })]

    #[test]
    fn every_finite_number_and_every_text_reads_back_unchanged(bits in any::<u64>(), text in "[a-z <&\"'\n\t\r=é-]{0,12}") {
        let value = f64::from_bits(bits);
        let value = if value.is_finite() { value } else { 0.1 };
        let grid = through(sheet(vec![CellOut::text("x"), CellOut::text(text.as_str()), CellOut::number(value)]));
        assert_eq!(grid.cell(1, 1), if text.is_empty() { Cell::Empty } else { Cell::Text(&text) });
        let Cell::Number(read) = grid.cell(1, 2) else { panic!("{value:?}") };
        assert_eq!(read.to_bits(), value.to_bits());
    }
}

#[test]
fn open_documents_have_the_same_bytes_in_every_run() {
    let made = || bytes(sheet(vec![CellOut::text("a"), CellOut::number(1.25)]));
    let first = made();
    // Longer than the step of two seconds of the dates in a package.
    std::thread::sleep(std::time::Duration::from_millis(2_100));
    assert!(first == made());
}

/// Source: OASIS, Open Document Format 1.3 (2021), part 2, 3.3: `mimetype` is the first file, not packed, without an extra
/// field, so that its text stands at byte 38 [memory].
#[test]
fn the_kind_of_the_document_stands_where_programs_look_for_it() {
    let bytes = bytes(sheet(vec![CellOut::text("a")]));
    assert_eq!(&bytes[30..38], b"mimetype");
    assert!(bytes[38..].starts_with(b"application/vnd.oasis.opendocument.spreadsheetPK"));
}

#[test]
fn sheets_of_both_kinds_have_the_same_names() {
    let sheets = ["a/b:c", "A_B_C", "", "input timbers"].map(|name| sheet_of(name, 1));
    let names = |bytes: &[u8]| sheet_names(bytes, "out", &Limits::default()).unwrap();
    let (document, book) = (write_open_document(&sheets, "out").unwrap(), write_workbook(&sheets, "out").unwrap());
    assert_eq!(names(&document), names(&book));
    assert_eq!(names(&document), ["a_b_c", "A_B_C (2)", "_", "input timbers"]);
}

fn sheet_of(name: &str, n_rows: usize) -> SheetOut<'static> {
    SheetOut::made(name, vec![ColumnOut::new("x")], n_rows, |_, cells| cells.push(CellOut::number(1.0)))
}

#[test]
fn what_an_open_document_cannot_hold_is_named_by_its_cell() {
    let text = refused(sheet(vec![CellOut::Empty, CellOut::text("a\u{1}b")]));
    assert!(text.starts_with("out.ods results!B2, column \"column 1\": the text has the character \\u{1}"), "{text}");
    let text = refused(sheet(vec![CellOut::text("x".repeat(32_768))]));
    assert!(text.starts_with("out.ods results!A2, column \"column 0\": the text has 32768 characters"), "{text}");
    let text = refused(sheet(vec![CellOut::number(f64::INFINITY)]));
    assert!(text.contains("results!A2") && text.contains("not a finite"), "{text}");
}

/// Source: a sheet has 1 048 576 rows, one of them the header: common practice of spreadsheet programs, no source.
#[test]
fn a_sheet_with_too_many_rows_is_refused_before_a_row_is_made() {
    let long = || SheetOut::made("routes", vec![ColumnOut::new("x")], 1_048_576, |row, _| panic!("row {row} was made"));
    let document = write_open_document(&[long()], "out.ods").unwrap_err();
    let book = write_workbook(&[long()], "out.xlsx").unwrap_err();
    for (error, file) in [(document, "out.ods"), (book, "out.xlsx")] {
        assert_eq!(error.to_string(), format!("{file} routes: 1048576 rows; a sheet holds 1048575 below its header"));
        assert!(error.hint().is_some_and(|hint| hint.contains(".csv") && hint.contains("--where")));
    }
}
