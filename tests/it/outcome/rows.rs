//! Every row of a file is in the outcome exactly once, whatever stands in its cells.

use proptest::prelude::{ProptestConfig, Strategy, any, prop_oneof};
use proptest::{collection, proptest};

use woodstate::report::{assessment_view, findings_view, json, tab_separated, text};
use woodstate::state::Status;
use woodstate::study::Assessment;

use crate::support::batch::try_assess;

const HEAD: &str = "sample;timber;core_id;replicate;taxon;charring;depth_from [mm];depth_to [mm];mass_saturated [g];\
                    u(mass_saturated) [g];mass_oven_dry [g];mass_immersed [g];volume_saturated [cm3];ash_content [%]";

const STUDY: &str =
    "missing = [\"-\"]\n[samples]\ndecimal = \".\"\ndelimiter = \";\"\n[instruments]\nbalance = \"0.01 g\"\n";

const WORDS: &[&str] =
    &["", "", "K1", "K2", "oak", "Eiche", "none", "partial", "1", "2", "-", "<0.1", "abc", "#N/A", "1,5", "-3"];
const NUMBERS: &[&str] = &["1e999", "NaN", "inf", "0", "-0", "1e-320"];

/// A cell that is right, wrong or empty.
fn cell() -> impl Strategy<Value = String> {
    prop_oneof![
        proptest::sample::select(WORDS).prop_map(str::to_owned),
        (0_u32..2000).prop_map(|n| format!("{:.2}", f64::from(n) / 100.0)),
        proptest::sample::select(NUMBERS).prop_map(str::to_owned),
        "[ -~]{0,6}".prop_map(|text| text.replace([';', '"'], "")),
    ]
}

/// The rows of an outcome: the numbers of all, sorted, and whether the counts add up.
#[track_caller]
fn check(outcome: &Assessment) -> Vec<usize> {
    let counts = outcome.counts;
    assert_eq!(counts.rows, counts.assessed + counts.partial + counts.not_assessed);
    assert_eq!(counts.pieces, outcome.samples.len());
    let mut rows: Vec<usize> = outcome.samples.views().flat_map(|piece| piece.rows().iter().copied()).collect();
    assert_eq!(rows.len(), counts.rows);
    rows.sort_unstable();
    rows
}

/// Every view can be shown, and no number in the JSON is anything but a number.
#[track_caller]
fn show(outcome: &Assessment) {
    let json = json(outcome).unwrap();
    assert!(!json.contains("NaN,") && !json.contains(": inf"), "{json}");
    let view = assessment_view(outcome);
    assert!(!text(&view, 80).is_empty() && tab_separated(&view).is_empty() == outcome.samples.is_empty());
    assert_eq!(text(&findings_view(&outcome.findings), 60).trim().is_empty(), outcome.findings.is_empty());
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(300) })]

    #[test]
    fn rows_in_are_rows_out(cells in collection::vec(collection::vec(cell(), 14), 1..12)) {
        let lines: Vec<String> = cells.iter().map(|row| format!("x{}", row.join(";"))).collect();
        let csv = format!("{HEAD}\n{}\n", lines.join("\n"));
        let outcome = try_assess("d.csv", csv, STUDY).unwrap();
        assert_eq!(check(&outcome), (2..2 + cells.len()).collect::<Vec<_>>());
        show(&outcome);
    }

    #[test]
    fn a_row_that_is_not_assessed_has_a_finding(cells in collection::vec(collection::vec(cell(), 14), 1..8)) {
        let lines: Vec<String> = cells.iter().map(|row| format!("x{}", row.join(";"))).collect();
        let outcome = try_assess("d.csv", format!("{HEAD}\n{}\n", lines.join("\n")), STUDY).unwrap();
        let lost = outcome.samples.iter().filter(|piece| piece.status == Status::NotAssessed);
        for piece in lost {
            let is_said = |row: &usize| outcome.findings.iter().any(|finding| finding.place.row == Some(*row));
            assert!(piece.rows.iter().any(is_said), "{piece:?}");
        }
    }

    #[test]
    fn random_bytes_are_assessed_or_refused_and_never_panic(bytes in collection::vec(any::<u8>(), 0..200)) {
        if let Ok(outcome) = try_assess("d.csv", bytes, "") {
            show(&outcome);
        }
    }

    #[test]
    fn random_bytes_below_a_good_header_never_panic(bytes in collection::vec(any::<u8>(), 0..120)) {
        let csv = [b"sample;mass_saturated [g];mass_oven_dry [g]\n".as_slice(), &bytes].concat();
        let study = "[samples]\nencoding = \"windows-1252\"\n";
        if let Ok(outcome) = try_assess("d.csv", csv, study) {
            check(&outcome);
            show(&outcome);
        }
    }

    #[test]
    fn random_texts_in_cells_never_panic(texts in collection::vec("\\PC{0,8}", 3..12)) {
        let cells: Vec<String> = texts.iter().map(|text| format!("\"{}\"", text.replace('"', "\"\""))).collect();
        let rows: Vec<String> = cells.chunks(3).map(|row| row.join(";")).collect();
        let csv = format!("sample;mass_saturated [g];taxon\n{}\n", rows.join("\n"));
        if let Ok(outcome) = try_assess("d.csv", csv, "[samples]\ndelimiter = \";\"\n") {
            check(&outcome);
            show(&outcome);
        }
    }
}
