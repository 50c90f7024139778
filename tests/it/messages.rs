//! Each finding fires on a smallest file, is quiet just beside it, and reads as its expected file says.

mod case;
mod place;

use woodstate::error::{Finding, FindingCode};
use woodstate::report::{findings_view, text};

use crate::support::batch::{findings, try_assess};
use crate::support::expected::equals;

use case::{Input, beside};

fn check(input: &Input) -> (Vec<FindingCode>, Vec<Finding>) {
    let (name, bytes, study) = input;
    let assessment = try_assess(name, bytes.clone(), study).unwrap();
    (findings(&assessment), assessment.findings)
}

#[test]
fn every_finding_fires_and_is_quiet_just_beside() {
    for &code in FindingCode::ALL {
        let (fires, quiet) = beside(code);
        assert!(check(&fires).0.contains(&code), "{} does not fire", code.word());
        assert!(!check(&quiet).0.contains(&code), "{} fires beside its case", code.word());
    }
}

#[test]
fn every_finding_reads_as_expected() {
    for &code in FindingCode::ALL {
        let mut found = check(&beside(code).0).1;
        found.retain(|finding| finding.code == code);
        equals(&format!("messages/{}.txt", code.word()), &text(&findings_view(&found), 100));
    }
}

#[test]
fn nothing_else_is_said_of_the_smallest_files() {
    for &code in FindingCode::ALL {
        let found = check(&beside(code).0).0;
        // Without the dry mass, the mass is missing too.
        let loses_mass = [
            FindingCode::UnitMissing,
            FindingCode::UnitUnknown,
            FindingCode::ColumnTwice,
            FindingCode::ValueBelowLimit,
        ];
        let follows = |other: FindingCode| match code {
            FindingCode::ColumnMissing => matches!(other, FindingCode::ColumnUnknown | FindingCode::MassMissing),
            code => other == FindingCode::MassMissing && loses_mass.contains(&code),
        };
        assert!(found.iter().all(|other| *other == code || follows(*other)), "{}: {found:?}", code.word());
    }
}

#[test]
fn every_finding_has_a_place_a_sentence_and_a_cure() {
    for &code in FindingCode::ALL {
        for finding in check(&beside(code).0).1 {
            assert!(finding.place.file.starts_with("d."), "{finding:?}");
            assert!(finding.place.row.is_some() || finding.count > 1 || finding.place.column.is_some(), "{finding:?}");
            assert!(!finding.text.is_empty() && !finding.cure.is_empty(), "{finding:?}");
            assert!(!finding.text.contains("  ") && !finding.text.contains("of  "), "{finding:?}");
        }
    }
}

#[test]
fn what_was_not_assessed_is_said_to_be_so() {
    for &code in FindingCode::ALL {
        let story = code.story();
        for part in [story.text, story.meaning, story.consequence, story.cause, story.cure] {
            assert!(!part.trim().is_empty(), "{}", story.code);
            assert!(!part.contains("refused") && !part.contains("invalid input"), "{}: {part}", story.code);
        }
    }
}
