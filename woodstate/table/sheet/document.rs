//! Open documents out (.ods): plain sheets with typed cells.
//!
//! A text is a text cell, never a formula or a link. No clock: the same sheets give the same bytes.

use std::io::{Cursor, Error as Failure, Write};

use quick_xml::escape::escape;
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, ZipWriter};

use crate::error::{Error, Place, Result};
use crate::table::workbook::{check_rows, check_text, sheet_name, widths};
use crate::table::{CellOut, ColumnOut, SheetOut};

use super::pack::of_file;

const KIND: &str = "application/vnd.oasis.opendocument.spreadsheet";

const NAMESPACES: &str = "xmlns:office=\"urn:oasis:names:tc:opendocument:xmlns:office:1.0\" \
    xmlns:style=\"urn:oasis:names:tc:opendocument:xmlns:style:1.0\" \
    xmlns:text=\"urn:oasis:names:tc:opendocument:xmlns:text:1.0\" \
    xmlns:table=\"urn:oasis:names:tc:opendocument:xmlns:table:1.0\" \
    xmlns:number=\"urn:oasis:names:tc:opendocument:xmlns:datastyle:1.0\" \
    xmlns:fo=\"urn:oasis:names:tc:opendocument:xmlns:xsl-fo-compatible:1.0\" office:version=\"1.3\"";

/// Most decimals that are shown.
const MOST_DECIMALS: u8 = 30;

/// Writes sheets as an open document: bold header, which a printed sheet repeats on each page.
///
/// Numbers keep all their digits and show those of their column. Names of sheets are changed as
/// [`write_workbook`](crate::table::write_workbook) changes them.
///
/// # Errors
/// A text longer than 32 767 characters or with a control character, a number that is not finite, or more rows than a
/// sheet has. The cell is named; `file` is only for that.
///
/// # Example
/// ```
/// use woodstate::table::{Cell, CellOut, ColumnOut, Limits, SheetOut, read_sheet, write_open_document};
///
/// let columns = vec![ColumnOut::new("sample"), ColumnOut::new("mass [g]")];
/// let sheet = SheetOut::of_rows("results", columns, vec![vec![CellOut::text("=1+1"), CellOut::number(12.5)]]);
/// let bytes = write_open_document(&[sheet], "out.ods")?;
/// let grid = read_sheet(&bytes, "out.ods", None, &Limits::default())?;
/// assert_eq!((grid.cell(1, 0), grid.cell(1, 1)), (Cell::Text("=1+1"), Cell::Number(12.5)));
/// # Ok::<(), woodstate::error::Error>(())
/// ```
///
/// # Source
/// OASIS, Open Document Format for Office Applications 1.3 (2021), part 2 (packages), part 3, chapters 6 (white space),
/// 9 (tables) and 16 (styles) \[memory].
pub fn write_open_document(sheets: &[SheetOut<'_>], file: &str) -> Result<Vec<u8>> {
    check_rows(sheets, file)?;
    let failed = |error: Failure| Error::content(of_file(file), format!("cannot be written: {error}"));
    let mut archive = ZipWriter::new(Cursor::new(Vec::new()));
    let plain = SimpleFileOptions::default().last_modified_time(DateTime::default());
    // Programs look for the type at a fixed place: first and as it is.
    let parts = [
        ("mimetype", CompressionMethod::Stored, KIND.to_owned()),
        ("META-INF/manifest.xml", CompressionMethod::Deflated, manifest()),
        ("content.xml", CompressionMethod::Deflated, String::new()),
    ];
    for (name, method, text) in parts {
        archive.start_file(name, plain.compression_method(method)).map_err(|error| failed(error.into()))?;
        archive.write_all(text.as_bytes()).map_err(failed)?;
    }
    content(sheets, file, &mut |text| archive.write_all(text.as_bytes()).map_err(failed))?;
    Ok(archive.finish().map_err(|error| failed(error.into()))?.into_inner())
}

fn manifest() -> String {
    let entry = |path: &str, kind: &str| {
        format!("<manifest:file-entry manifest:full-path=\"{path}\" manifest:media-type=\"{kind}\"/>")
    };
    format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<manifest:manifest \
         xmlns:manifest=\"urn:oasis:names:tc:opendocument:xmlns:manifest:1.0\" manifest:version=\"1.3\">{}{}</manifest:manifest>",
        entry("/", KIND),
        entry("content.xml", "text/xml"),
    )
}

/// Takes the next part of the text.
type Put<'a> = dyn FnMut(&str) -> Result<()> + 'a;

fn content(sheets: &[SheetOut<'_>], file: &str, put: &mut Put<'_>) -> Result<()> {
    let all_widths: Vec<Vec<f64>> = sheets.iter().map(widths).collect();
    put(&format!("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<office:document-content {NAMESPACES}>"))?;
    put(&styles(&all_widths))?;
    put("<office:body><office:spreadsheet>")?;
    let mut names: Vec<String> = Vec::new();
    for (at, (sheet, widths)) in sheets.iter().zip(&all_widths).enumerate() {
        let name = sheet_name(&sheet.name, &names);
        put(&format!("<table:table table:name=\"{}\">", escape(name.as_str())))?;
        names.push(name);
        for column in 0..widths.len() {
            put(&format!("<table:table-column table:style-name=\"c{at}.{column}\"/>"))?;
        }
        put("<table:table-header-rows><table:table-row>")?;
        for (column, spec) in sheet.columns.iter().enumerate() {
            let place = || Place { file: file.to_owned(), row: None, cell: None, ..sheet.place(0, column) };
            let text = paragraphs(&spec.header).map_err(|fault| Error::content(place(), fault))?;
            put(&format!(
                "<table:table-cell table:style-name=\"head\" office:value-type=\"string\">{text}</table:table-cell>"
            ))?;
        }
        put("</table:table-row></table:table-header-rows>")?;
        let mut cells = Vec::new();
        for row in 0..sheet.n_rows {
            cells.clear();
            sheet.row(row, &mut cells);
            let place = |column| Place { file: file.to_owned(), ..sheet.place(row, column) };
            let line = line(&cells, &sheet.columns).map_err(|(column, fault)| Error::content(place(column), fault))?;
            put(&line)?;
        }
        put("</table:table>")?;
    }
    put("</office:spreadsheet></office:body></office:document-content>")
}

/// The styles of columns and cells: widths, the header, long texts, and numbers by their decimals.
fn styles(widths: &[Vec<f64>]) -> String {
    // Width of a digit in millimetres, in the usual letters of a sheet.
    const DIGIT: f64 = 2.0;
    let mut styles = String::from("<office:automatic-styles>");
    let column = |at: usize, column: usize, width: f64| {
        format!(
            "<style:style style:name=\"c{at}.{column}\" style:family=\"table-column\">\
             <style:table-column-properties style:column-width=\"{:.1}mm\"/></style:style>",
            width * DIGIT
        )
    };
    for (at, widths) in widths.iter().enumerate() {
        styles.extend(widths.iter().enumerate().map(|(place, width)| column(at, place, *width)));
    }
    let top = "style:vertical-align=\"top\"";
    let cell = |name: &str, data: &str, wraps: &str, rest: &str| {
        format!(
            "<style:style style:name=\"{name}\" style:family=\"table-cell\"{data}>\
             <style:table-cell-properties {top}{wraps}/>{rest}</style:style>"
        )
    };
    let wraps = " fo:wrap-option=\"wrap\"";
    styles.push_str(&cell("head", "", wraps, "<style:text-properties fo:font-weight=\"bold\"/>"));
    styles.push_str(&cell("plain", "", "", ""));
    styles.push_str(&cell("long", "", wraps, ""));
    for decimals in 0..=MOST_DECIMALS {
        styles.push_str(&format!(
            "<number:number-style style:name=\"d{decimals}\"><number:number number:decimal-places=\"{decimals}\" \
             number:min-decimal-places=\"{decimals}\" number:min-integer-digits=\"1\"/></number:number-style>"
        ));
        styles.push_str(&cell(&format!("n{decimals}"), &format!(" style:data-style-name=\"d{decimals}\""), "", ""));
    }
    styles + "</office:automatic-styles>"
}

/// A row; where a cell cannot be written, its place and why.
fn line(cells: &[CellOut<'_>], columns: &[ColumnOut]) -> std::result::Result<String, (usize, String)> {
    let mut line = String::from("<table:table-row>");
    let last = cells.iter().rposition(|cell| !is_empty(cell)).map_or(0, |place| place + 1);
    for (place, cell) in cells[..last].iter().enumerate() {
        let decimals = columns.get(place).and_then(|column| column.decimals);
        line.push_str(&one(cell, decimals).map_err(|fault| (place, fault))?);
    }
    if last == 0 {
        line.push_str("<table:table-cell/>");
    }
    Ok(line + "</table:table-row>")
}

fn is_empty(cell: &CellOut<'_>) -> bool {
    match cell {
        CellOut::Empty => true,
        CellOut::Text(text) => text.is_empty(),
        CellOut::Number { .. } => false,
    }
}

fn one(cell: &CellOut<'_>, of_column: Option<u8>) -> std::result::Result<String, String> {
    check_text(cell)?;
    Ok(match cell {
        cell if is_empty(cell) => "<table:table-cell/>".to_owned(),
        CellOut::Empty => String::new(),
        CellOut::Text(text) => {
            let style = if text.contains('\n') || text.chars().count() > 60 { "long" } else { "plain" };
            let text = paragraphs(text)?;
            format!(
                "<table:table-cell table:style-name=\"{style}\" office:value-type=\"string\">{text}</table:table-cell>"
            )
        }
        CellOut::Number { value, .. } => {
            let decimals = cell.decimals(of_column).map(|decimals| decimals.min(MOST_DECIMALS));
            let style = decimals.map_or_else(|| "plain".to_owned(), |decimals| format!("n{decimals}"));
            let digits = digits(*value);
            let shown = decimals.map_or_else(|| digits.clone(), |n| format!("{value:.*}", usize::from(n)));
            format!(
                "<table:table-cell table:style-name=\"{style}\" office:value-type=\"float\" office:value=\"{digits}\">\
                 <text:p>{shown}</text:p></table:table-cell>"
            )
        }
    })
}

/// The shortest digits that read back as the same number.
fn digits(value: f64) -> String {
    let is_usual = value == 0.0 || (1e-5..1e15).contains(&value.abs());
    if is_usual { value.to_string() } else { format!("{value:e}") }
}

/// A text as paragraphs, a line each. White space that the format would take away has elements of its own.
fn paragraphs(text: &str) -> std::result::Result<String, String> {
    let mut out = String::with_capacity(text.len() + 18);
    for line in text.split('\n') {
        out.push_str("<text:p>");
        let mut rest = line;
        while let Some(start) = rest.find([' ', '\t']) {
            let (before, after) = rest.split_at(start);
            words(before, &mut out)?;
            let n = after.len() - after.trim_start_matches(' ').len();
            rest = &after[n.max(1)..];
            match n {
                0 => out.push_str("<text:tab/>"),
                1 if !before.is_empty() && !rest.is_empty() && !rest.starts_with('\t') => out.push(' '),
                n => out.push_str(&format!("<text:s text:c=\"{n}\"/>")),
            }
        }
        words(rest, &mut out)?;
        out.push_str("</text:p>");
    }
    Ok(out)
}

/// A text without blanks. XML has no way to write a control character but these.
fn words(text: &str, out: &mut String) -> std::result::Result<(), String> {
    let is_unknown = |c: &char| (*c < ' ' && *c != '\r') || matches!(c, '\u{fffe}' | '\u{ffff}');
    match text.chars().find(is_unknown) {
        Some(c) => {
            Err(format!("the text has the character {}, which an open document cannot hold", c.escape_unicode()))
        }
        None => {
            out.push_str(&escape(text));
            Ok(())
        }
    }
}
