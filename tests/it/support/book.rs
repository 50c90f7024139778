//! Workbooks: written by a package, or packed by hand where no well-behaved program would write them.

use std::io::{Cursor, Write};

use rust_xlsxwriter::Workbook;

/// A workbook of texts and numbers: a cell that is a number is written as one.
pub(crate) fn book(sheets: &[(&str, &str)]) -> Vec<u8> {
    let mut book = Workbook::new();
    for (name, text) in sheets {
        let page = book.add_worksheet();
        page.set_name(*name).unwrap();
        for (row, line) in (0..).zip(text.lines()) {
            for (column, cell) in (0..).zip(line.split(',')) {
                match cell.parse::<f64>() {
                    Ok(number) => page.write_number(row, column, number).unwrap(),
                    Err(_) => page.write_string(row, column, cell).unwrap(),
                };
            }
        }
    }
    book.save_to_buffer().unwrap()
}

const RELATIONS: &str = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
const MAIN: &str = "http://schemas.openxmlformats.org/spreadsheetml/2006/main";

/// A workbook whose sheet `samples` has the header `sample, mass_saturated [g], mass_oven_dry [g]` and these rows and
/// elements behind them, as they stand in the file; style 1 shows per cent.
pub(crate) fn raw_book(rows: &str, behind: &str) -> Vec<u8> {
    let head = ["sample", "mass_saturated [g]", "mass_oven_dry [g]"];
    let text = |(place, text): (char, &str)| format!("<c r=\"{place}1\" t=\"inlineStr\"><is><t>{text}</t></is></c>");
    let head: String = ('A'..).zip(head).map(text).collect();
    let relation = |kind: &str, target: &str| {
        let package = "http://schemas.openxmlformats.org/package/2006/relationships";
        let one = format!("<Relationship Id=\"r1\" Type=\"{RELATIONS}/{kind}\" Target=\"{target}\"/>");
        format!("<Relationships xmlns=\"{package}\">{one}</Relationships>")
    };
    let sheets = "<sheets><sheet name=\"samples\" sheetId=\"1\" r:id=\"r1\"/></sheets>";
    let styles = "<cellXfs><xf/><xf numFmtId=\"10\"/></cellXfs>";
    let parts = [
        ("[Content_Types].xml", "<Types/>".to_owned()),
        ("_rels/.rels", relation("officeDocument", "xl/workbook.xml")),
        ("xl/_rels/workbook.xml.rels", relation("worksheet", "worksheets/sheet1.xml")),
        ("xl/workbook.xml", format!("<workbook xmlns=\"{MAIN}\" xmlns:r=\"{RELATIONS}\">{sheets}</workbook>")),
        ("xl/styles.xml", format!("<styleSheet xmlns=\"{MAIN}\">{styles}</styleSheet>")),
        (
            "xl/worksheets/sheet1.xml",
            format!(
                "<worksheet xmlns=\"{MAIN}\"><sheetData><row r=\"1\">{head}</row>{rows}</sheetData>{behind}</worksheet>"
            ),
        ),
    ];
    let mut archive = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for (name, content) in parts {
        archive.start_file(name, zip::write::SimpleFileOptions::default()).unwrap();
        archive.write_all(content.as_bytes()).unwrap();
    }
    archive.finish().unwrap().into_inner()
}
