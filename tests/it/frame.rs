//! Data frames and Parquet, in and out.

use polars::prelude::{
    Column, DataFrame, DataType, NamedFrom, ParquetCompression, ParquetWriter, Series, TimeUnit, df,
};
use woodstate::error::FindingCode;
use woodstate::numeric::Watch;
use woodstate::table::{
    Batch, CellOut, ColumnOut, ReadOptions, RowState, SourceFile, TableKind, batch_of, frame_of_rows, frame_of_table,
    read_batch, table_of_frame, write_parquet,
};

fn read(frame: &DataFrame) -> (woodstate::table::Table, Vec<FindingCode>) {
    let options = ReadOptions { missing: vec!["n.d.".to_owned()], ..ReadOptions::default() };
    let (table, found) = table_of_frame(frame, TableKind::Samples, &options, &Watch::silent()).unwrap();
    (table, found.into_iter().map(|finding| finding.code).collect())
}

fn from_parquet(bytes: Vec<u8>) -> woodstate::error::Result<Batch> {
    batch_of(&SourceFile::from_bytes("d.parquet", bytes), &ReadOptions::default(), &Watch::silent())
}

fn parquet(frame: &mut DataFrame) -> Vec<u8> {
    let mut bytes = Vec::new();
    ParquetWriter::new(&mut bytes).finish(frame).unwrap();
    bytes
}

#[test]
fn a_frame_comes_back_with_its_values_uncertainties_units_texts_and_nulls() {
    let frame = df!(
        "sample" => ["007", "=1+1", "x"],
        "mass_saturated [g]" => [Some(0.1), None, Some(1.0 / 3.0)],
        "u(mass_saturated) [g]" => [None, None, Some(0.02)],
        "note" => [Some("\u{5e9}\u{5dc}\u{5d5}\u{5dd}"), None, Some("a\nb")],
    )
    .unwrap();
    let (table, found) = read(&frame);
    assert_eq!(found, []);
    assert!(frame_of_table(&table).unwrap().equals_missing(&frame));
}

#[test]
fn units_words_and_ranges_of_a_frame_are_those_of_a_file() {
    let frame = df!(
        "sample" => [1_i64, 2, 3],
        "mass_saturated [kg]" => [0.05, 0.06, -1.0],
        "mass_oven_dry [g]" => ["20.5", "n.d.", "much"],
        "charring" => ["none", "soot", "surface"],
    )
    .unwrap();
    let (table, found) = read(&frame);
    assert_eq!((table.text("sample", 0), table.row_number(0)), (Some("1"), 1));
    assert_eq!((table.number("mass_saturated", 0), table.number("mass_saturated", 2)), (Some(50.0), None));
    assert_eq!((table.number("mass_oven_dry", 0), table.number("mass_oven_dry", 1)), (Some(20.5), None));
    assert_eq!((table.text("charring", 1), table.state(2)), (None, RowState::Unreadable));
    for code in [FindingCode::ValueOutOfRange, FindingCode::NumberUnreadable, FindingCode::WordUnknown] {
        assert_eq!(found.iter().filter(|other| **other == code).count(), 1, "{code:?}: {found:?}");
    }
}

#[test]
fn a_bare_name_in_a_frame_means_our_unit_and_nan_means_unknown_and_both_are_said() {
    let frame = df!("sample" => ["a", "b"], "mass_saturated" => [5.0, f64::NAN], "ph_wood" => [5.5_f32, 6.5]).unwrap();
    let (table, found) = read(&frame);
    assert_eq!(found, []);
    assert_eq!((table.number("mass_saturated", 0), table.number("mass_saturated", 1)), (Some(5.0), None));
    assert_eq!(table.number("ph_wood", 1), Some(6.5));
    let notes = table.origin().reading.join("; ");
    assert!(notes.contains("no unit in the name of mass_saturated: taken in g"), "{notes}");
    assert!(notes.contains("NaN in 1 cell of mass_saturated: taken as unknown"), "{notes}");
}

#[test]
fn days_categories_flags_and_long_whole_numbers_are_texts() {
    let days = Series::new("date_sampled".into(), [19_844_i32, 0]).cast(&DataType::Date).unwrap();
    let hours = Series::new("note".into(), [1_714_566_600_000_i64, 86_400_000]);
    let hours = hours.cast(&DataType::Datetime(TimeUnit::Milliseconds, None)).unwrap();
    let frame = DataFrame::new(
        2,
        vec![
            Column::new("sample".into(), [9_007_199_254_740_993_i64, 2]),
            days.into(),
            hours.into(),
            Column::new("photo".into(), [true, false]),
        ],
    )
    .unwrap();
    let (table, found) = read(&frame);
    assert_eq!(found, []);
    let row = |row| ["sample", "date_sampled", "note", "photo"].map(|name| table.text(name, row).unwrap().to_owned());
    // Day 19844 after 1970-01-01 is 2024-05-01.
    assert_eq!(row(0), ["9007199254740993", "2024-05-01", "2024-05-01T12:30:00", "true"]);
    assert_eq!(row(1), ["2", "1970-01-01", "1970-01-02", "false"]);
}

#[test]
fn a_parquet_file_is_read_as_a_text_file_is_and_needs_its_units() {
    let mut frame = df!("sample" => ["a"], "mass_saturated [g]" => [Some(5.5)], "mass_oven_dry" => [2.0]).unwrap();
    let batch = from_parquet(parquet(&mut frame)).unwrap();
    assert_eq!(batch.samples.number("mass_saturated", 0), Some(5.5));
    assert_eq!(batch.samples.numbers("mass_oven_dry"), None);
    assert!(batch.findings.iter().any(|finding| finding.code == FindingCode::UnitMissing));
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("samples.parquet"), parquet(&mut frame)).unwrap();
    let of_folder = read_batch(folder.path(), &ReadOptions::default(), &Watch::silent()).unwrap();
    assert_eq!(of_folder.samples.number("mass_saturated", 0), Some(5.5));
}

#[test]
fn results_in_parquet_keep_every_digit_and_say_what_a_column_means() {
    let columns = ["sample", "mass_saturated [g]", "u(mass_saturated) [g]", "empty [g]"].map(ColumnOut::new);
    let rows = [
        vec![CellOut::text("=1+1"), CellOut::number(1.0 / 3.0), CellOut::number(1e-300), CellOut::Empty],
        vec![CellOut::Empty, CellOut::Empty, CellOut::Empty, CellOut::Empty],
    ];
    let frame = frame_of_rows(&columns, rows.clone()).unwrap();
    assert_eq!(frame.column("empty [g]").unwrap().dtype(), &DataType::Float64);
    assert_eq!(frame.column("sample").unwrap().null_count(), 1);
    let bytes = write_parquet(&columns, rows.clone(), "d.parquet").unwrap();
    assert_eq!(bytes, write_parquet(&columns, rows, "d.parquet").unwrap());
    let holds = |wanted: &str| bytes.windows(wanted.len()).any(|window| window == wanted.as_bytes());
    assert!(holds("mass_saturated [g]: unit") && holds("Mass in air of the fully saturated piece"));
    let batch = from_parquet(bytes).unwrap();
    assert_eq!(batch.samples.text("sample", 0), Some("=1+1"));
    assert_eq!(batch.samples.number("mass_saturated", 0), Some(1.0 / 3.0));
    assert_eq!(batch.samples.numbers("mass_saturated").unwrap().u(0), Some(1e-300));
}

#[test]
fn a_torn_parquet_file_is_one_sentence() {
    let mut frame = df!("sample" => ["a", "b"], "mass_saturated [g]" => [5.5, 6.5]).unwrap();
    let whole = parquet(&mut frame);
    for length in 4..whole.len() {
        let error = from_parquet(whole[..length].to_vec()).unwrap_err().to_string();
        assert!(error.starts_with("d.parquet") && error.lines().count() == 1, "{error}");
    }
}

#[test]
fn a_parquet_file_with_a_wrong_byte_is_an_error_or_a_table_and_never_the_end_of_the_program() {
    let mut frame = df!(
        "sample" => ["a", "b", "b"],
        "mass_saturated [g]" => [Some(5.5), None, Some(1.0)],
        "photo" => [true, false, true],
    )
    .unwrap();
    for compression in [ParquetCompression::Uncompressed, ParquetCompression::Zstd(None)] {
        let mut whole = Vec::new();
        ParquetWriter::new(&mut whole).with_compression(compression).finish(&mut frame).unwrap();
        for place in 4..whole.len() {
            for wrong in [0x01, 0x55, 0x80, 0xff] {
                let mut bytes = whole.clone();
                bytes[place] ^= wrong;
                if let Err(error) = from_parquet(bytes) {
                    assert_eq!(error.to_string().lines().count(), 1, "{error}");
                }
            }
        }
    }
}

#[test]
fn a_parquet_file_beyond_the_limit_is_refused_before_it_is_read() {
    let mut frame = df!("sample" => ["a", "b"], "mass_saturated [g]" => [5.5, 6.5]).unwrap();
    let options = ReadOptions { max_cells: Some(3), ..ReadOptions::default() };
    let source = SourceFile::from_bytes("d.parquet", parquet(&mut frame));
    let error = batch_of(&source, &options, &Watch::silent()).unwrap_err();
    assert!(error.to_string().contains("2 rows of 2 columns; allowed are 3 cells"), "{error}");
    assert_eq!(error.hint(), Some("raise the limit with --max-cells"));
}

#[test]
fn findings_of_a_frame_name_its_columns_and_no_cells() {
    let mut frame = df!(
        "sample" => ["A", "B"],
        "mass_saturated [g]" => [5.0, -1.0],
        "mass_saturated [kg]" => [5.0, 6.0],
        "mass_oven_dry" => [1.0, 2.0],
        "charring" => ["none", "soot"],
    )
    .unwrap();
    let found = from_parquet(parquet(&mut frame)).unwrap().findings;
    let of = |code: FindingCode| found.iter().find(|finding| finding.code == code).unwrap();
    assert_eq!(of(FindingCode::WordUnknown).place.to_string(), "d.parquet:2, column \"charring\"");
    assert_eq!(of(FindingCode::UnitMissing).place.to_string(), "d.parquet, column \"mass_oven_dry\"");
    let twice = of(FindingCode::ColumnTwice);
    assert_eq!(
        twice.text,
        "columns \"mass_saturated [g]\" and \"mass_saturated [kg]\" both mean mass_saturated; neither is used"
    );
    assert!(found.iter().all(|finding| finding.place.cell.is_none()), "{found:?}");
}

#[test]
fn a_condition_on_a_parquet_file_keeps_the_rows_it_says() {
    let mut frame = df!(
        "sample" => ["A", "B", "C"],
        "taxon" => ["oak", "Scots pine", "oak"],
        "depth_from [mm]" => [Some(0.0), Some(5.0), None],
        "mass_saturated [g]" => [5.0, 5.0, 5.0],
    )
    .unwrap();
    let batch = from_parquet(parquet(&mut frame)).unwrap();
    let kept = woodstate::study::choose(batch, "depth_from < 2 cm and taxon == 'oak'").unwrap();
    let names: Vec<_> = (0..kept.samples.n_rows()).map(|row| kept.samples.text("sample", row)).collect();
    assert_eq!(names, [Some("A")]);
}
