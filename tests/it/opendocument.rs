//! Open documents, packed by hand as spreadsheet programs write them and as none would.
//!
//! Source of elements and attributes: the open document format of OASIS, 1.3, part 3, chapters 9 (tables) and 19 (attributes).

use std::io::{Cursor, Write};

use woodstate::error::ErrorKind;
use woodstate::table::{Cell, Grid, Limits, read_sheet, sheet_names};

const KIND: &str = "application/vnd.oasis.opendocument.spreadsheet";

fn pack(parts: &[(&str, &str)]) -> Vec<u8> {
    let mut archive = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for (name, content) in parts {
        archive.start_file(*name, zip::write::SimpleFileOptions::default()).unwrap();
        archive.write_all(content.as_bytes()).unwrap();
    }
    archive.finish().unwrap().into_inner()
}

fn document(tables: &str) -> Vec<u8> {
    let styles = "<office:automatic-styles><style:style style:name=\"ta1\" style:family=\"table\">\
                  <style:table-properties table:display=\"true\"/></style:style>\
                  <style:style style:name=\"ta2\" style:family=\"table\">\
                  <style:table-properties table:display=\"false\"/></style:style></office:automatic-styles>";
    let content = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?><office:document-content>{styles}<office:body><office:spreadsheet>\
         {tables}</office:spreadsheet></office:body></office:document-content>"
    );
    pack(&[("mimetype", KIND), ("content.xml", &content)])
}

fn sheet_of(rows: &str) -> Vec<u8> {
    document(&format!("<table:table table:name=\"Proben\" table:style-name=\"ta1\">{rows}</table:table>"))
}

fn cell(kind: &str, value: &str, shown: &str) -> String {
    format!("<table:table-cell office:value-type=\"{kind}\" {value}><text:p>{shown}</text:p></table:table-cell>")
}

fn text(shown: &str) -> String {
    cell("string", "", shown)
}

fn number(value: &str) -> String {
    cell("float", &format!("office:value=\"{value}\""), "shown")
}

fn row(cells: &str) -> String {
    format!("<table:table-row>{cells}</table:table-row>")
}

#[track_caller]
fn grid(bytes: &[u8]) -> Grid {
    read_sheet(bytes, "d.ods", None, &Limits::default()).unwrap()
}

fn cells(grid: &Grid, row: usize) -> Vec<Cell<'_>> {
    (0..grid.width(row)).map(|column| grid.cell(row, column)).collect()
}

fn refused(bytes: &[u8]) -> (String, String) {
    let error = read_sheet(bytes, "d.ods", None, &Limits::default()).unwrap_err();
    (error.to_string(), error.hint().unwrap_or_default().to_owned())
}

#[test]
fn cells_of_an_open_document_keep_their_kind_and_place() {
    let first = [
        "<table:table-cell/>".to_owned(),
        number("3.25"),
        text("3,25"),
        cell("percentage", "office:value=\"0.25\"", "25 %"),
        cell("date", "office:date-value=\"2024-05-01\"", "1. Mai 2024"),
        cell("date", "office:date-value=\"2024-05-01T12:30:00\"", "x"),
        cell("time", "office:time-value=\"PT12H30M00S\"", "x"),
        cell("time", "office:time-value=\"PT26H00M00S\"", "x"),
        cell("boolean", "office:boolean-value=\"true\"", "WAHR"),
        cell("currency", "office:value=\"1e3\" office:currency=\"EUR\"", "1.000"),
    ];
    let second = [
        "<table:table-cell table:formula=\"of:=[.B2]\"/>".to_owned(),
        cell("string", "table:formula=\"of:=1/0\" office:string-value=\"\" calcext:value-type=\"error\"", "#DIV/0!"),
        cell("float", "table:formula=\"of:=1+1\" office:value=\"2\"", "2"),
    ];
    let grid =
        grid(&sheet_of(&format!("{}{}{}", row("<table:table-cell/>"), row(&first.concat()), row(&second.concat()))));
    let expected = [
        Cell::Empty,
        Cell::Number(3.25),
        Cell::Text("3,25"),
        Cell::Percent(0.25),
        Cell::Date("2024-05-01"),
        Cell::Date("2024-05-01T12:30:00"),
        Cell::Date("12:30:00"),
        Cell::Date("PT26H0M0S"),
        Cell::Bool(true),
        Cell::Number(1000.0),
    ];
    assert_eq!(cells(&grid, 0), expected);
    assert_eq!(cells(&grid, 1), [Cell::NotCalculated, Cell::Error("#DIV/0!"), Cell::Number(2.0)]);
    assert_eq!(grid.place(0, 4).to_string(), "d.ods Proben!E2");
}

#[test]
fn text_keeps_its_lines_and_spaces_and_leaves_out_notes() {
    let note = "<office:annotation><text:p>a note</text:p></office:annotation>";
    let cells_of = [
        "<table:table-cell office:value-type=\"string\"><text:p>a &amp; b</text:p><text:p>&#233;<text:span>t\u{e9}</text:span>\
         <text:s text:c=\"2\"/>x</text:p></table:table-cell>"
            .to_owned(),
        format!("<table:table-cell office:value-type=\"string\">{note}<text:p>=1+1</text:p></table:table-cell>"),
        text("  one \n  two"),
        format!("<table:table-cell>{note}</table:table-cell>"),
    ];
    let grid = grid(&sheet_of(&row(&cells_of.concat())));
    let expected = [Cell::Text("a & b\n\u{e9}t\u{e9}  x"), Cell::Text("=1+1"), Cell::Text("one two")];
    assert_eq!(cells(&grid, 0), expected);
}

#[test]
fn repeated_cells_are_written_out_and_an_empty_tail_costs_nothing() {
    let tail = "<table:table-cell table:number-columns-repeated=\"16380\"/>";
    let two = "<table:table-cell table:number-columns-repeated=\"2\" office:value-type=\"float\" office:value=\"7\"/>";
    let rows = format!(
        "{}<table:table-row table:number-rows-repeated=\"3\">{}{two}{tail}</table:table-row>\
         <table:table-row table:number-rows-repeated=\"4\">{tail}</table:table-row>{}\
         <table:table-row table:number-rows-repeated=\"1048000\">{tail}</table:table-row>",
        row(&text("head")),
        text("a"),
        row(&text("last")),
    );
    let grid = grid(&sheet_of(&rows));
    assert_eq!((grid.n_rows(), grid.n_columns()), (5, 3));
    assert_eq!(cells(&grid, 3), [Cell::Text("a"), Cell::Number(7.0), Cell::Number(7.0)]);
    assert_eq!((grid.row_number(3), grid.row_number(4)), (4, 9));
}

#[test]
fn a_small_file_that_repeats_a_value_a_thousand_million_times_is_refused() {
    let cell =
        "<table:table-cell table:number-columns-repeated=\"1000\" office:value-type=\"float\" office:value=\"1\"/>";
    let bytes = sheet_of(&format!("<table:table-row table:number-rows-repeated=\"1000000\">{cell}</table:table-row>"));
    assert!(bytes.len() < 2_000);
    let (text, hint) = refused(&bytes);
    assert!(text.contains("1000000 cells") && hint.contains("--max-cells"), "{text}");
    let far = cell.replace("1000\"", "4294967295\"");
    let (text, _) = refused(&sheet_of(&row(&far)));
    assert!(text.contains("column 1000"), "{text}");
    let low = format!("<table:table-row table:number-rows-repeated=\"4294967295\"/>{}", row(&number("1")));
    let (text, _) = refused(&sheet_of(&low));
    assert!(text.contains("row 100000"), "{text}");
    let none = cell.replace("1000\"", "0\"");
    let (text, _) = refused(&sheet_of(&row(&none)));
    assert!(text.contains("number-columns-repeated is 0"), "{text}");
    let spaces = "<text:s text:c=\"4294967295\"/>".repeat(100);
    assert!(matches!(grid(&sheet_of(&row(&self::text(&format!("a{spaces}"))))).cell(0, 0), Cell::Text(_)));
}

#[test]
fn merged_cells_of_an_open_document_are_marked_and_can_be_looked_through() {
    let covered = "<table:covered-table-cell/>";
    let first = format!(
        "<table:table-cell table:number-columns-spanned=\"2\" office:value-type=\"string\"><text:p>mass</text:p>\
         </table:table-cell>{covered}<table:table-cell table:number-rows-spanned=\"2\" office:value-type=\"string\">\
         <text:p>volume</text:p></table:table-cell>"
    );
    let second = format!("{}<table:table-cell/>{covered}", text("wet"));
    let grid = grid(&sheet_of(&format!("{}{}", row(&first), row(&second))));
    assert_eq!(cells(&grid, 0), [Cell::Text("mass"), Cell::Merged, Cell::Text("volume")]);
    assert_eq!(cells(&grid, 1), [Cell::Text("wet"), Cell::Empty, Cell::Merged]);
    assert_eq!((grid.shown(0, 1), grid.shown(1, 2)), (Cell::Text("mass"), Cell::Text("volume")));
}

#[test]
fn the_only_sheet_in_view_is_read_and_a_wrong_name_is_answered() {
    let table = |name: &str, style: &str| {
        format!("<table:table table:name=\"{name}\" table:style-name=\"{style}\">{}</table:table>", row(&text(name)))
    };
    let bytes = document(&[table("Liste", "ta2"), table("Proben", "ta1")].concat());
    assert_eq!(sheet_names(&bytes, "d.ods", &Limits::default()).unwrap(), ["Liste", "Proben"]);
    assert_eq!(grid(&bytes).cell(0, 0), Cell::Text("Proben"));
    let hidden = read_sheet(&bytes, "d.ods", Some("Liste"), &Limits::default()).unwrap();
    assert_eq!(hidden.cell(0, 0), Cell::Text("Liste"));
    let error = read_sheet(&bytes, "d.ods", Some("Probe"), &Limits::default()).unwrap_err();
    assert!(matches!(error.kind(), ErrorKind::Name { what: "sheet", allowed, .. } if allowed[0] == "Proben"));
}

#[test]
fn locked_torn_and_large_open_documents_are_one_sentence() {
    let locked = "<manifest:manifest><manifest:encryption-data/></manifest:manifest>";
    let locked = pack(&[("mimetype", KIND), ("META-INF/manifest.xml", locked), ("content.xml", "\u{1}\u{2}")]);
    let torn =
        pack(&[("mimetype", KIND), ("content.xml", "<office:body><table:table table:name=\"a\"><table:table-row>")]);
    // Noise that does not pack.
    let mut seed = 1_u64;
    let noise: String = std::iter::repeat_with(|| {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
        char::from(b' ' + u8::try_from((seed >> 33) % 95).unwrap())
    })
    .take(14 << 20)
    .collect();
    let large = pack(&[("mimetype", KIND), ("noise.txt", &noise), ("content.xml", "<a/>")]);
    let other = pack(&[("mimetype", "application/vnd.oasis.opendocument.text"), ("content.xml", "<a/>")]);
    let bad = sheet_of(&row(&number("many")));
    for (bytes, found, cure) in [
        (locked, "password", "without a password"),
        (large, "allowed are 10485760", "save it as .xlsx"),
        (torn, "damaged: content.xml", "save it as .xlsx"),
        (other, "no workbook", "save it as .xlsx"),
        (bad, "a number cannot be read", "save it as .xlsx"),
    ] {
        let (text, hint) = refused(&bytes);
        assert!(text.contains(found) && hint.contains(cure) && text.lines().count() == 1, "{text} / {hint}");
    }
}
