//! Workbooks, packed by hand so that they hold what a well-behaved program would not write.

use std::io::Cursor;
use std::io::Write;

use woodstate::error::ErrorKind;
use woodstate::table::Cell;
use woodstate::table::Grid;
use woodstate::table::Limits;
use woodstate::table::read_sheet;
use woodstate::table::sheet_names;

use super::row;

const RELATIONS: &str = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
const MAIN: &str = "http://schemas.openxmlformats.org/spreadsheetml/2006/main";

fn pack(parts: &[(&str, String)]) -> Vec<u8> {
    let mut archive = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for (name, content) in parts {
        archive.start_file(*name, zip::write::SimpleFileOptions::default()).unwrap();
        archive.write_all(content.as_bytes()).unwrap();
    }
    archive.finish().unwrap().into_inner()
}

/// A workbook with one sheet "Proben"; style 1 is a date, style 2 per cent.
fn workbook(properties: &str, sheet: &str, extra: &[(&str, String)]) -> Vec<u8> {
    let relation = |id: &str, kind: &str, target: &str| {
        format!("<Relationship Id=\"{id}\" Type=\"{RELATIONS}/{kind}\" Target=\"{target}\"/>")
    };
    let relations = |all: String| {
        format!(
            "<Relationships xmlns=\"http://schemas.openxmlformats.org/package/2006/relationships\">{all}</Relationships>"
        )
    };
    let sheets = "<sheets><sheet name=\"Proben\" sheetId=\"1\" r:id=\"r1\"/></sheets>";
    let mut parts = vec![
        ("[Content_Types].xml", "<Types/>".to_owned()),
        ("_rels/.rels", relations(relation("r1", "officeDocument", "xl/workbook.xml"))),
        ("xl/_rels/workbook.xml.rels", relations(relation("r1", "worksheet", "worksheets/sheet1.xml"))),
        (
            "xl/workbook.xml",
            format!("<workbook xmlns=\"{MAIN}\" xmlns:r=\"{RELATIONS}\">{properties}{sheets}</workbook>"),
        ),
        (
            "xl/styles.xml",
            format!(
                "<styleSheet xmlns=\"{MAIN}\"><cellXfs><xf/><xf numFmtId=\"14\"/><xf numFmtId=\"10\"/></cellXfs></styleSheet>"
            ),
        ),
        ("xl/worksheets/sheet1.xml", format!("<worksheet xmlns=\"{MAIN}\">{sheet}</worksheet>")),
    ];
    parts.extend_from_slice(extra);
    pack(&parts)
}

fn sheet_of(cells: &str) -> Vec<u8> {
    workbook("", &format!("<sheetData>{cells}</sheetData>"), &[])
}

fn check_sheet(bytes: &[u8]) -> Grid {
    read_sheet(bytes, "d.xlsx", None, &Limits::default()).unwrap()
}

fn refused_sheet(bytes: &[u8]) -> (String, String) {
    let error = read_sheet(bytes, "d.xlsx", None, &Limits::default()).unwrap_err();
    (error.to_string(), error.hint().unwrap_or_default().to_owned())
}

#[test]
fn cells_of_a_sheet_keep_their_kind_and_place() {
    let grid = check_sheet(&sheet_of(
        "<row r=\"2\"><c r=\"B2\"><v>3.25</v></c><c r=\"C2\" t=\"inlineStr\"><is><t>3,25</t></is></c>\
         <c r=\"D2\" t=\"e\"><v>#DIV/0!</v></c><c r=\"E2\"><f>B2+1</f></c><c r=\"F2\"><f>B2+1</f><v>4.25</v></c></row>\
         <row r=\"4\"><c r=\"A4\" t=\"b\"><v>1</v></c><c r=\"B4\" s=\"2\"><v>0.25</v></c></row>",
    ));
    let expected = [
        Cell::Empty,
        Cell::Number(3.25),
        Cell::Text("3,25"),
        Cell::Error("#DIV/0!"),
        Cell::NotCalculated,
        Cell::Number(4.25),
    ];
    assert_eq!(row(&grid, 0), expected);
    assert_eq!(row(&grid, 1), [Cell::Bool(true), Cell::Percent(0.25)]);
    assert_eq!(grid.place(0, 4).to_string(), "d.xlsx Proben!E2");
    assert_eq!((grid.n_rows(), grid.n_columns(), grid.row_number(1)), (2, 6, 4));
}

/// Source: ECMA-376 part 1, 18.17.4.1: in the 1900 system day 1 is 1900-01-01, in the 1904 system day 0 is
/// 1904-01-01, so that a date has 1462 less there. 45413 is 2024-05-01 [memory].
#[test]
fn dates_are_iso_text_in_both_date_systems() {
    let cells = |day: u32| {
        format!("<row r=\"1\"><c r=\"A1\" s=\"1\"><v>{day}</v></c><c r=\"B1\" s=\"1\"><v>{day}.5</v></c></row>")
    };
    let data = |day| format!("<sheetData>{}</sheetData>", cells(day));
    for (properties, day) in [("", 45_413), ("<workbookPr date1904=\"1\"/>", 45_413 - 1_462)] {
        let grid = check_sheet(&workbook(properties, &data(day), &[]));
        assert_eq!(row(&grid, 0), [Cell::Date("2024-05-01"), Cell::Date("2024-05-01T12:00:00")]);
    }
}

#[test]
fn merged_cells_are_marked_and_can_be_looked_through() {
    let text = |cell: &str, text: &str| format!("<c r=\"{cell}\" t=\"inlineStr\"><is><t>{text}</t></is></c>");
    let data = format!(
        "<sheetData><row r=\"1\">{}{}</row><row r=\"2\">{}<c r=\"C2\"><v>1</v></c></row></sheetData>\
         <mergeCells><mergeCell ref=\"A1:B1\"/><mergeCell ref=\"C1:C2\"/><mergeCell ref=\"A9:XFD1048576\"/></mergeCells>",
        text("A1", "mass"),
        text("C1", "volume"),
        text("A2", "wet"),
    );
    let grid = check_sheet(&workbook("", &data, &[]));
    assert_eq!(row(&grid, 0), [Cell::Text("mass"), Cell::Merged, Cell::Text("volume")]);
    // A number hidden under a merged area is not read.
    assert_eq!(row(&grid, 1), [Cell::Text("wet"), Cell::Empty, Cell::Merged]);
    assert_eq!((grid.shown(0, 1), grid.shown(1, 2)), (Cell::Text("mass"), Cell::Text("volume")));
}

#[test]
fn two_cells_at_the_corners_of_a_sheet_are_an_error_and_no_request_for_memory() {
    let bytes = sheet_of(
        "<row r=\"1\"><c r=\"A1\"><v>1</v></c></row><row r=\"1048576\"><c r=\"XFD1048576\"><f>A1</f><v>1</v></c></row>",
    );
    assert!(bytes.len() < 2_000);
    let (text, _) = refused_sheet(&bytes);
    assert!(text.contains("Proben!XFD1048576") && text.contains("row 100000"), "{text}");
    let (text, _) = refused_sheet(&sheet_of("<row r=\"1\"><c r=\"ALM1\"><v>1</v></c></row>"));
    assert!(text.contains("ALM1") && text.contains("column 1000"), "{text}");
    // 2000 cells in column 1000 are 2 million cells with the empty ones before them.
    let far: String = (1..=2_000).map(|r| format!("<row r=\"{r}\"><c r=\"ALL{r}\"><v>1</v></c></row>")).collect();
    let (text, hint) = refused_sheet(&sheet_of(&far));
    assert!(text.contains("1000000 cells") && hint.contains("--max-cells"), "{text}");
}

#[test]
fn numbers_in_a_workbook_that_only_ask_for_memory_are_harmless() {
    let shared = "<row r=\"1\"><c r=\"A1\"><f t=\"shared\" ref=\"A1:A2\" si=\"99999999999\">1</f><v>1</v></c></row>";
    assert_eq!(check_sheet(&sheet_of(shared)).cell(0, 0), Cell::Number(1.0));
    let claim = format!("<sst xmlns=\"{MAIN}\" uniqueCount=\"99999999999\"></sst>");
    let (text, _) = refused_sheet(&workbook("", "<sheetData/>", &[("xl/sharedStrings.xml", claim)]));
    assert!(text.contains("sharedStrings.xml claims 99999999999 texts"), "{text}");
    let (text, _) = refused_sheet(&sheet_of("<row r=\"1\"><c r=\"A99999999999\"><v>1</v></c></row>"));
    assert!(text.starts_with("d.xlsx"), "{text}");
}

#[test]
fn a_workbook_that_unpacks_to_too_much_is_refused_before_it_is_opened() {
    let spaces = format!("<sheetData>{}</sheetData>", " ".repeat(40 << 20));
    let (text, _) = refused_sheet(&workbook("", &spaces, &[]));
    assert!(text.contains("unpacks to more than"), "{text}");
    let parts: Vec<(String, String)> = (0..1_001).map(|part| (format!("p{part}"), String::new())).collect();
    let parts: Vec<(&str, String)> = parts.iter().map(|(name, text)| (name.as_str(), text.clone())).collect();
    let (text, _) = refused_sheet(&pack(&parts));
    assert!(text.contains("1001 parts"), "{text}");
}

#[test]
fn other_kinds_of_file_say_what_to_do() {
    let old = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1".to_vec();
    let secret: Vec<u8> = "EncryptedPackage".encode_utf16().flat_map(u16::to_le_bytes).collect();
    let open = pack(&[("mimetype", "application/vnd.oasis.opendocument.spreadsheet".to_owned())]);
    for (bytes, found, cure) in [
        (old.clone(), ".xls", "save it as .xlsx"),
        ([old, secret].concat(), "password", "without a password"),
        (open, "no content.xml", "save it as .xlsx"),
        (pack(&[("a.txt", "x".to_owned())]), "no workbook", "save it as .xlsx"),
        (b"a;b\n".to_vec(), "not a workbook", ".csv"),
        (b"PK\x03\x04 torn".to_vec(), "damaged", "save it as .xlsx"),
    ] {
        let (text, hint) = refused_sheet(&bytes);
        assert!(text.contains(found) && hint.contains(cure), "{text} / {hint}");
    }
}

#[test]
fn a_sheet_is_named_or_the_only_one() {
    let bytes = sheet_of("<row r=\"1\"><c r=\"A1\"><v>1</v></c></row>");
    assert_eq!(sheet_names(&bytes, "d.xlsx", &Limits::default()).unwrap(), ["Proben"]);
    let error = read_sheet(&bytes, "d.xlsx", Some("Probe"), &Limits::default()).unwrap_err();
    assert!(matches!(error.kind(), ErrorKind::Name { what: "sheet", allowed, .. } if *allowed == ["Proben"]));
}
