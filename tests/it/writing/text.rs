//! Delimited text out: the quoting of the `csv` crate, the digits of the standard library, on any number of threads.

use proptest::prelude::{ProptestConfig, any};
use proptest::proptest;

use woodstate::table::{CellOut, ColumnOut, SheetOut, TextStyle, stream_text, write_text};

use super::{COMMA, POINT, nasty, sheet};

fn by_csv_crate(rows: &[Vec<String>], delimiter: u8) -> Vec<u8> {
    let mut writer = csv::WriterBuilder::new().delimiter(delimiter).flexible(true).from_writer(Vec::new());
    for row in rows {
        writer.write_record(row).unwrap();
    }
    writer.into_inner().unwrap()
}

/// Source: the writer of the crate `csv`, which quotes where it must (RFC 4180, section 2).
#[test]
fn quotes_stand_where_the_csv_crate_puts_them() {
    // Guards are tested elsewhere.
    let texts = nasty().into_iter().filter(|text| !text.starts_with(['=', '+', '-', '@', '\t', '\'']));
    let mut rows: Vec<Vec<String>> = texts.map(|text| ["x", text.as_str(), "y"].map(str::to_owned).to_vec()).collect();
    for row in [&["\r"][..], &["\"", "\n", ""], &["", ""], &[""], &[], &["a b", ";,|\t", "1.5e-7"]] {
        rows.push(row.iter().map(|text| (*text).to_owned()).collect());
    }
    for delimiter in [',', ';', '\t', '|', 'e', '-', '1', '.', ' '] {
        let columns = ["a", "b;c", "d e"].map(ColumnOut::new).to_vec();
        let cells = rows.iter().map(|row| row.iter().map(CellOut::text).collect()).collect();
        let written = write_text(&SheetOut::of_rows("s", columns, cells), TextStyle { delimiter, ..POINT }).unwrap();
        let mut all = vec![["a", "b;c", "d e"].map(str::to_owned).to_vec()];
        all.extend(rows.iter().cloned());
        let guard = |cell: &String| if cell.starts_with('\r') { format!("'{cell}") } else { cell.clone() };
        let all: Vec<Vec<String>> = all.iter().map(|row| row.iter().map(guard).collect()).collect();
        let expected = by_csv_crate(&all, u8::try_from(delimiter).unwrap());
        assert_eq!(String::from_utf8(written).unwrap(), String::from_utf8(expected).unwrap(), "{delimiter:?}");
    }
}

fn check_number(value: f64) {
    let standard = format!("{value:?}");
    let standard = standard.strip_suffix(".0").unwrap_or(&standard);
    for style in [POINT, COMMA, TextStyle { delimiter: '-', ..POINT }, TextStyle { delimiter: ',', ..COMMA }] {
        let mark = style.decimal.mark().to_string();
        let cells = [standard.replace('.', &mark), "x".to_owned()].to_vec();
        let expected = by_csv_crate(&[cells], u8::try_from(style.delimiter).unwrap());
        let written = write_text(&sheet(vec![CellOut::number(value), CellOut::text("x")]), style).unwrap();
        let row = written.splitn(2, |byte| *byte == b'\n').nth(1).unwrap();
        assert_eq!(String::from_utf8_lossy(row), String::from_utf8_lossy(&expected), "{value:?}");
    }
}

/// Source: the Debug text of the standard library, without ".0".
#[test]
fn numbers_have_the_digits_of_the_standard_library() {
    for value in [0.0, -0.0, 1.0, 400.0, 0.1, 1e-4, 9.999e-5, 1.5e-5, 1e-5, 9.9e-6, 1e-7, -2.5e-7, 5e-324, f64::MAX] {
        check_number(value);
    }
    for value in [1e15, 123_456_789_012_345_680.0, 1e16, 9_999_999_999_999_998.0, 1e21, 1e23, 2.0_f64.powi(60)] {
        check_number(value);
        check_number(-value);
    }
    // Midway between two texts of 16 or 17 digits.
    for value in [1.0 + 2.0_f64.powi(-17), 127_397_746_600_775.125, 2_251_799_813_685_248.25, 3.0 + 2.0_f64.powi(-16)] {
        check_number(value);
        check_number(-value);
    }
}

/// A number with few binary places.
fn midway(bits: u64, places: i32) -> f64 {
    #[allow(clippy::cast_precision_loss, reason = "OK because 52 bits fit")]
    let whole = (bits >> 12) as f64;
    (whole * 2.0_f64.powi(places - 40)).floor() * 2.0_f64.powi(-places)
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(3_000) })]

    #[test]
    fn every_number_has_the_digits_of_the_standard_library(bits in any::<u64>(), size in -8..20_i32, places in 0..30_i32) {
        for value in [f64::from_bits(bits), f64::from_bits(bits >> 12 | 0x3ff0 << 48) * 10_f64.powi(size), midway(bits, places)] {
            if value.is_finite() {
                check_number(value);
            }
        }
    }
}

#[test]
fn threads_write_the_same_bytes() {
    let columns = || (0..7).map(|n| ColumnOut::new(format!("c{n}"))).collect();
    let row = |row: usize, cells: &mut Vec<CellOut<'_>>| {
        let row = u32::try_from(row).unwrap();
        cells.push(CellOut::text(format!("K{row}")));
        cells.extend((0..6).map(|n| CellOut::number(f64::from(row) / f64::from(n + 3))));
    };
    let sheet = SheetOut::made("s", columns(), 30_000, row);
    let written = |threads| {
        let mut bytes = Vec::new();
        stream_text(&sheet, POINT, threads, &mut bytes).unwrap();
        bytes
    };
    let one = written(1);
    assert_eq!(one.iter().filter(|byte| **byte == b'\n').count(), 30_001);
    assert!(one == written(3));
}

#[test]
fn a_number_that_is_none_stops_the_threads_and_is_named() {
    let row = |row: usize, cells: &mut Vec<CellOut<'_>>| {
        cells.push(CellOut::number(if row == 70_000 { f64::NAN } else { 1.0 }));
    };
    let sheet = SheetOut::made("s", vec![ColumnOut::new("x")], 500_000, row);
    let error = stream_text(&sheet, POINT, 3, &mut Vec::new()).unwrap_err().to_string();
    assert!(error.contains("s!A70002") && error.contains("not a finite"), "{error}");
}
