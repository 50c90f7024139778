//! Long texts are read in chunks and on threads, and nobody can tell.

use std::fmt::Write;

use proptest::prelude::{ProptestConfig, any};
use proptest::proptest;

use woodstate::error::Finding;
use woodstate::numeric::Watch;
use woodstate::table::{
    Batch, Decimal, DecimalEvidence, NumberText, Origin, ReadOptions, SourceFile, Table, TableKind, TableOptions,
    TextOptions, Texts, batch_of, ingest, parse_number, read_text,
};

const HEAD: &str = "A title\nsample;timber;mass_saturated [g];mass_oven_dry [kg];u(mass_oven_dry) [g];charring;note";

/// A file of several chunks with every kind of fault far from its start.
fn long(end: &str, has_quotes: bool) -> String {
    let mut text = HEAD.replace('\n', end) + end;
    for row in 0..12_000 {
        let mass = ["12,5", "n.d.", "<3", "oops", "-7", "1.234"].get(row % 997).copied().unwrap_or("8,125");
        let word = ["none", "partial", "odd", ""].get(row % 1_009).copied().unwrap_or("through");
        let note = match row % 11 {
            3 if has_quotes => format!("\"a {end} b; \"\"{row}\"\"\""),
            4 => String::new(),
            5 => "' =1".to_owned(),
            _ => format!("note of piece {row} é"),
        };
        let more = if row % 2_003 == 2_002 { ";x" } else { "" };
        write!(text, "K{row};B{};{mass};0,00{};0,1;{word};{note}{more}{end}", row / 7, row % 90).unwrap();
        if row % 100 == 50 {
            text.push_str(end);
        }
    }
    text
}

fn options(threads: usize) -> ReadOptions {
    ReadOptions { missing: vec!["n.d.".to_owned()], threads: Some(threads), ..ReadOptions::default() }
}

fn read(text: &str, threads: usize) -> Batch {
    batch_of(&SourceFile::from_bytes("d.csv", text.into()), &options(threads), &Watch::silent()).unwrap()
}

/// The same by way of a grid of all cells.
fn at_once(text: &str) -> (Table, Vec<Finding>) {
    let grid = read_text(text.as_bytes(), "d.csv", &TextOptions::default()).unwrap().grid;
    let missing = ["n.d.".to_owned()];
    let origin = Origin { file: "d.csv".to_owned(), ..Origin::default() };
    ingest(&grid, TableKind::Samples, &TableOptions::default(), &missing, origin, &Watch::silent()).unwrap()
}

#[test]
fn chunks_and_threads_give_the_table_and_the_findings_of_one_grid() {
    for (end, has_quotes) in [("\n", false), ("\n", true), ("\r\n", false), ("\r\n", true), ("\r", true)] {
        let text = long(end, has_quotes);
        assert!(text.len() > 600_000);
        let (one, three) = (read(&text, 1), read(&text, 3));
        assert!(one == three, "{end:?} {has_quotes}");
        let (table, findings) = at_once(&text);
        assert!(one.samples.columns() == table.columns(), "{end:?} {has_quotes}");
        assert!(one.findings == findings, "{end:?} {has_quotes}");
        assert_eq!(table.n_rows(), 12_000);
        for row in 0..table.n_rows() {
            let of = |table: &Table| (table.row_number(row), table.state(row));
            assert_eq!(of(&one.samples), of(&table));
            assert_eq!(one.samples.unused(row, "mass_saturated"), table.unused(row, "mass_saturated"));
        }
        assert!(findings.len() > 50);
        let said = &table.origin().reading;
        assert!(one.samples.origin().reading.ends_with(said), "{said:?}");
    }
}

fn masses(n: usize, special: &[(usize, &str)]) -> String {
    let mut text = "sample;mass_saturated [g];note\n".to_owned();
    for row in 0..n {
        let mass = special.iter().find(|(at, _)| *at == row).map_or("5", |(_, mass)| mass);
        writeln!(text, "K{row};{mass};{}", "x".repeat(40)).unwrap();
    }
    text
}

#[test]
fn the_last_cell_of_a_long_file_can_decide_its_decimal_mark() {
    let comma = read(&masses(20_000, &[(10, "1.234"), (19_999, "2,5")]), 2);
    let mass = comma.samples.numbers("mass_saturated").unwrap();
    assert_eq!((mass.value(19_999), mass.value(10), mass.value(11)), (Some(2.5), None, Some(5.0)));
    assert!(comma.samples.origin().reading.iter().any(|said| said == "decimal mark \",\" found in 1 cell"));
    let mixed = read(&masses(20_000, &[(10, "1,5"), (19_999, "2.5")]), 2);
    let mass = mixed.samples.numbers("mass_saturated").unwrap();
    assert_eq!((mass.value(10), mass.value(19_999), mass.value(11)), (None, None, Some(5.0)));
    assert_eq!(mixed.findings.iter().filter(|finding| finding.code.word() == "number-ambiguous").count(), 2);
}

#[test]
fn what_stops_a_long_file_is_what_stops_the_walk_through_it() {
    let torn = masses(20_000, &[(15_000, "\"5"), (19_000, "\"5")]);
    let wide = masses(20_000, &[(15_000, &";".repeat(2_000)), (19_000, "\"5")]);
    let plain = masses(20_000, &[]);
    for (text, max_cells) in [(torn, None), (wide, None), (plain, Some(45_000))] {
        let usual = TextOptions::default();
        let limits = TextOptions { max_cells: max_cells.unwrap_or(usual.max_cells), ..usual };
        let expected = read_text(text.as_bytes(), "d.csv", &limits).unwrap_err();
        for threads in [1, 3] {
            let options = ReadOptions { max_cells, ..options(threads) };
            let source = SourceFile::from_bytes("d.csv", text.clone().into());
            let error = batch_of(&source, &options, &Watch::silent()).unwrap_err();
            assert_eq!((error.to_string(), error.hint()), (expected.to_string(), expected.hint()));
        }
    }
}

#[test]
fn a_column_of_texts_gives_back_what_was_put_in() {
    for different in [1, 10, 63, 64, 65, 200, 5_000] {
        let cell = |row: usize| (!row.is_multiple_of(13)).then(|| format!("é{}", row % different));
        let put: Vec<Option<String>> = (0..5_000).map(cell).collect();
        let texts: Texts = put.iter().map(Option::as_ref).collect();
        assert_eq!((texts.len(), texts.get(5_000)), (5_000, None));
        assert!(texts.iter().eq(put.iter().map(Option::as_deref)), "{different}");
        assert_eq!(texts, Texts::from(put));
    }
    let texts: Texts = [Some(""), None, Some("a")].into_iter().collect();
    assert_eq!((texts.get(0), texts.get(1), texts.get(2)), (Some(""), None, Some("a")));
    assert_eq!(format!("{texts:?}"), "[Some(\"\"), None, Some(\"a\")]");
    assert_ne!(texts, [Some(""), Some(""), Some("a")].into_iter().collect());
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(5_000) })]

    /// A space in front makes a text go the long way.
    #[test]
    fn the_short_way_reads_numbers_as_the_long_one(text in "[-+]?[0-9]{0,17}[.,]?[0-9]{0,6}(e-?[0-9]{1,2})?") {
        let spaced = format!(" {text}");
        for decimal in [Decimal::Point, Decimal::Comma] {
            let bits = |text: &str| match parse_number(text, decimal) {
                NumberText::Value(value) => Some(value.to_bits()),
                _ => None,
            };
            assert_eq!(bits(&text), bits(&spaced), "{text}");
        }
        assert_eq!(DecimalEvidence::of([text.as_str()]), DecimalEvidence::of([spaced.as_str()]), "{text}");
    }

    #[test]
    fn numbers_are_read_to_the_nearest(whole in any::<u32>(), places in 0..12_usize) {
        let digits = format!("{whole:012}");
        let text = format!("{}.{}", &digits[..12 - places], &digits[12 - places..]);
        let expected: f64 = text.parse().unwrap();
        assert_eq!(parse_number(&text, Decimal::Point), NumberText::Value(expected));
    }
}
