//! Files as people have them: each trap is read right or refused with its place, never read wrong.

mod chunk;
mod sheet;

use woodstate::error::ErrorKind;
use woodstate::error::Place;
use woodstate::table::Cell;
use woodstate::table::Decimal;
use woodstate::table::DecimalEvidence;
use woodstate::table::DecimalVerdict;
use woodstate::table::Grid;
use woodstate::table::NumberText;
use woodstate::table::TextOptions;
use woodstate::table::TextSheet;
use woodstate::table::parse_number;
use woodstate::table::read_text;

fn check_text(bytes: &[u8], options: &TextOptions) -> TextSheet {
    read_text(bytes, "d.csv", options).unwrap()
}

fn refused(bytes: &[u8], options: &TextOptions) -> (Place, String, String) {
    let error = read_text(bytes, "d.csv", options).unwrap_err();
    let hint = error.hint().unwrap_or_default().to_owned();
    match error.kind() {
        ErrorKind::Content { place, text } => (place.clone(), text.clone(), hint),
        other => panic!("{other:?}"),
    }
}

fn usual() -> TextOptions {
    TextOptions::default()
}

fn declared(encoding: &str) -> TextOptions {
    TextOptions { encoding: Some(encoding.to_owned()), ..usual() }
}

fn row(grid: &Grid, row: usize) -> Vec<Cell<'_>> {
    (0..grid.width(row)).map(|column| grid.cell(row, column)).collect()
}

#[test]
fn names_that_look_like_numbers_stay_text() {
    let found = check_text(b"sample,mass\n007,1\n1e5, 2.5\n", &usual());
    assert_eq!(row(&found.grid, 1), [Cell::Text("007"), Cell::Text("1")]);
    assert_eq!(row(&found.grid, 2), [Cell::Text("1e5"), Cell::Text(" 2.5")]);
}

#[test]
fn every_line_end_is_a_line_end_and_blank_lines_count() {
    for end in ["\n", "\r\n", "\r"] {
        let text = ["a;b", "", "1;2", ";", "3;4"].join(end);
        let grid = check_text(text.as_bytes(), &usual()).grid;
        let lines: Vec<usize> = (0..grid.n_rows()).map(|row| grid.row_number(row)).collect();
        assert_eq!(lines, [1, 3, 5], "{end:?}");
        assert_eq!(row(&grid, 2), [Cell::Text("3"), Cell::Text("4")], "{end:?}");
    }
}

#[test]
fn utf_16_and_marks_are_read_by_their_mark() {
    let text = "a;b\nEiche é;1\n";
    let little: Vec<u8> = "\u{feff}".encode_utf16().chain(text.encode_utf16()).flat_map(u16::to_le_bytes).collect();
    let big: Vec<u8> = "\u{feff}".encode_utf16().chain(text.encode_utf16()).flat_map(u16::to_be_bytes).collect();
    let marked = format!("\u{feff}{text}").into_bytes();
    for (bytes, name) in [(little, "UTF-16LE"), (big, "UTF-16BE"), (marked, "UTF-8")] {
        let found = check_text(&bytes, &usual());
        assert_eq!(found.encoding, name);
        assert_eq!(found.grid.cell(0, 0), Cell::Text("a"));
        assert_eq!(found.grid.cell(1, 0), Cell::Text("Eiche é"));
    }
    let (_, text, hint) = refused(b"\xef\xbb\xbfa;b\n", &declared("windows-1252"));
    assert!(text.contains("UTF-8") && text.contains("windows-1252"), "{text}");
    assert_eq!(hint, "leave --encoding out");
}

#[test]
fn other_encodings_are_refused_until_they_are_declared() {
    let bytes = b"a;b\nHain;1\nEs\xe9;2\n";
    let (place, text, hint) = refused(bytes, &usual());
    assert_eq!(place.row, Some(3));
    assert_eq!(text, "line 3 holds a letter that is not UTF-8 (byte 0xE9)");
    assert!(hint.contains("--encoding windows-1252"), "{hint}");
    let found = check_text(bytes, &declared("windows-1252"));
    assert_eq!((found.encoding, found.grid.cell(2, 0)), ("windows-1252", Cell::Text("Esé")));
    let error = read_text(bytes, "d.csv", &declared("klingon")).unwrap_err();
    assert!(matches!(error.kind(), ErrorKind::Name { found, allowed, .. }
        if found == "klingon" && allowed.iter().any(|name| name == "windows-1252")));
}

#[test]
fn what_is_no_text_is_refused() {
    let (_, text, hint) = refused(b"PK\x03\x04rest", &usual());
    assert!(text.contains("workbook") && hint.contains(".xlsx"));
    let (place, text, _) = refused(b"a;b\n1;\0\n", &usual());
    assert_eq!(place.row, Some(2));
    assert!(text.contains("NUL"), "{text}");
    for nothing in [&b""[..], b"\xef\xbb\xbf", b"\n \r\n"] {
        assert_eq!(refused(nothing, &usual()).1, "the file is empty");
    }
}

#[test]
fn the_delimiter_is_found_outside_quotes_and_told() {
    for (text, delimiter, width) in [
        ("a;b;c\n1,5;2,5;3,5\n", Some(';'), 3),
        ("a,b\n\"1;2;3\",x\n", Some(','), 2),
        ("a\tb\n1,5\t2\n", Some('\t'), 2),
        ("a|b\n1|2\n", Some('|'), 2),
        ("Season 1, harbour\na;b;c\n1;2;3\n4;5;6\n", Some(';'), 3),
        ("a;b\n1,5;2\n1,6;2;odd\n", Some(';'), 3),
        ("sample\nA\nB\n", None, 1),
    ] {
        let found = check_text(text.as_bytes(), &usual());
        assert_eq!((found.delimiter, found.grid.n_columns()), (delimiter, width), "{text}");
        assert_eq!(found.is_sniffed, delimiter.is_some());
    }
}

#[test]
fn a_delimiter_that_cannot_be_told_must_be_declared() {
    for text in ["mass\n1,5\n2,5\n", "a, x;b\n1,5;2\n"] {
        let (_, _, hint) = refused(text.as_bytes(), &usual());
        assert!(hint.contains("--delimiter"), "{text}");
        let found = check_text(text.as_bytes(), &TextOptions { delimiter: Some(';'), ..usual() });
        assert!(matches!(found.grid.cell(1, 0), Cell::Text("1,5")), "{text}");
        assert!(!found.is_sniffed);
    }
    let (_, text, _) = refused(b"a b\n", &TextOptions { delimiter: Some('·'), ..usual() });
    assert!(text.contains("ASCII"), "{text}");
}

#[test]
fn quoted_cells_keep_delimiters_quotes_and_line_ends() {
    let grid = check_text(b"a;b\n\"x;\"\"y\"\"\";\"one\r\ntwo\"\n3;4", &usual()).grid;
    assert_eq!(row(&grid, 1), [Cell::Text("x;\"y\""), Cell::Text("one\r\ntwo")]);
    assert_eq!((grid.row_number(1), grid.row_number(2)), (2, 4));
}

#[test]
fn a_torn_quote_never_swallows_rows() {
    let (place, text, _) = refused(b"a;b\n\"1;2\n3;4\n", &usual());
    assert_eq!((place.row, text.contains("never closed")), (Some(2), true));
    // Opens in line 2 and meets the opening quote of line 4: a lenient reader makes one cell of three lines.
    let (place, text, _) = refused(b"a;b\n\"1;2\n3;4\n\"5\";6\n", &usual());
    assert_eq!((place.row, text.contains("more text follows")), (Some(4), true));
    let grid = check_text(b"a;b\n5\" board;2\n", &usual()).grid;
    assert_eq!(grid.cell(1, 0), Cell::Text("5\" board"));
}

#[test]
fn a_place_names_file_line_and_cell() {
    let grid = check_text(b"a;b\n\n1;2\n", &usual()).grid;
    assert_eq!(grid.place(1, 1).to_string(), "d.csv:3 (B3)");
    assert_eq!((grid.cell(1, 9), grid.cell(9, 0)), (Cell::Empty, Cell::Empty));
}

#[test]
fn text_beyond_the_limits_is_refused_with_its_line() {
    let wide = format!("a\n{}\n", ";".repeat(1_000));
    let (place, text, _) = refused(wide.as_bytes(), &TextOptions { delimiter: Some(';'), ..usual() });
    assert_eq!((place.row, text.contains("1000 columns")), (Some(2), true));
    let (place, _, hint) = refused(b"a;b\n1;2\n3;4\n", &TextOptions { max_cells: 4, ..usual() });
    assert_eq!((place.row, hint.contains("--max-cells")), (Some(3), true));
}

#[test]
fn the_number_grammar_takes_what_people_write_and_nothing_else() {
    use NumberText::{BelowLimit, Unreadable, Value};
    for (text, decimal, expected) in [
        ("12.5", Decimal::Point, Value(12.5)),
        (" 12,5 ", Decimal::Comma, Value(12.5)),
        ("\u{2212}3.2", Decimal::Point, Value(-3.2)),
        ("+4", Decimal::Point, Value(4.0)),
        ("1.2e3", Decimal::Point, Value(1200.0)),
        ("1,2E\u{2212}3", Decimal::Comma, Value(0.0012)),
        ("1\u{a0}234\u{202f}567.5", Decimal::Point, Value(1_234_567.5)),
        ("12\u{2009}345", Decimal::Comma, Value(12_345.0)),
        ("<0.1", Decimal::Point, BelowLimit(0.1)),
        ("< 0,1", Decimal::Comma, BelowLimit(0.1)),
        ("1\u{a0}23", Decimal::Point, Unreadable),
        ("1 234", Decimal::Point, Unreadable),
        ("1,5", Decimal::Point, Unreadable),
        ("1.5", Decimal::Comma, Unreadable),
        ("1.234,5", Decimal::Comma, Unreadable),
        ("NaN", Decimal::Point, Unreadable),
        ("inf", Decimal::Point, Unreadable),
        ("1e999", Decimal::Point, Unreadable),
        ("12%", Decimal::Point, Unreadable),
        ("5 g", Decimal::Point, Unreadable),
        ("12.05.2024", Decimal::Point, Unreadable),
        (">3", Decimal::Point, Unreadable),
        ("", Decimal::Point, Unreadable),
        (".", Decimal::Point, Unreadable),
        ("e5", Decimal::Point, Unreadable),
    ] {
        assert_eq!(parse_number(text, decimal), expected, "{text:?} {decimal:?}");
    }
}

#[test]
fn the_decimal_mark_is_shown_or_doubtful_but_never_guessed() {
    for (texts, expected) in [
        (&["12.5", "7", "oak", ""][..], DecimalVerdict::Shown(Decimal::Point)),
        (&["12,5", "1.234"], DecimalVerdict::Shown(Decimal::Comma)),
        (&["1.234"], DecimalVerdict::Ambiguous),
        (&["1,234,567"], DecimalVerdict::Ambiguous),
        (&["0.234"], DecimalVerdict::Shown(Decimal::Point)),
        (&["1.234,5"], DecimalVerdict::Shown(Decimal::Comma)),
        (&["<1,234.5"], DecimalVerdict::Shown(Decimal::Point)),
        (&["1234.567"], DecimalVerdict::Shown(Decimal::Point)),
        (&["12.5", "12,5"], DecimalVerdict::Conflict),
        (&["12.05.2024", "3, 4", "12"], DecimalVerdict::Unneeded),
    ] {
        assert_eq!(DecimalEvidence::of(texts.iter().copied()).verdict(), expected, "{texts:?}");
    }
}
