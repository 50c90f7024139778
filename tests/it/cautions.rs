//! Each caution is raised by a smallest batch, is quiet just beside its limit, and tells its whole story.

mod case;

use woodstate::error::CautionCode;
use woodstate::report::{assessment_view, explanation_view, text};
use woodstate::study::{Assessment, explain};

use crate::support::batch::{is_raised, try_assess};
use crate::support::expected::equals;

use case::{Input, beside};

fn check(input: &Input) -> Assessment {
    try_assess(input.name, input.bytes.clone(), &input.study).unwrap()
}

#[test]
fn every_caution_is_raised_and_is_quiet_just_beside() {
    for &code in CautionCode::ALL {
        let (raised, quiet) = beside(code);
        assert!(is_raised(&check(&raised), code), "{} is not raised", code.word());
        assert!(!is_raised(&check(&quiet), code), "{} is raised beside its case", code.word());
    }
}

#[test]
fn a_complete_piece_has_no_caution() {
    let outcome = check(&case::complete());
    assert!(outcome.samples.get(0).unwrap().cautions.is_empty(), "{:?}", outcome.cautions);
    assert_eq!(outcome.cautions, []);
}

#[test]
fn every_story_reads_as_expected() {
    let stories: Vec<String> =
        CautionCode::ALL.iter().map(|code| text(&explanation_view(&explain(code.word()).unwrap()), 100)).collect();
    equals("cautions/stories.txt", &stories.join("\n"));
}

#[test]
fn every_story_is_whole_and_names_no_brand_and_no_path() {
    for story in CautionCode::ALL.iter().map(|code| code.story()) {
        for part in [story.text, story.meaning, story.consequence, story.cause, story.cure] {
            assert!(!part.trim().is_empty(), "{}", story.code);
            let marks = ["\u{ae}", "\u{2122}", "http", "://", "\\", "C:"];
            assert!(!marks.iter().any(|mark| part.contains(mark)), "{}: {part}", story.code);
            assert!(!part.split_whitespace().any(|word| word.starts_with(['/', '~'])), "{}: {part}", story.code);
        }
        let sentences = [story.meaning, story.consequence, story.cause];
        assert!(sentences.iter().all(|part| part.ends_with('.')), "{} has a sentence without an end", story.code);
    }
}

#[test]
fn the_legend_counts_pieces_and_tells_what_all_have() {
    let row = |name: &str, taxon: &str| format!("{name},{taxon},none,0,none,none,10,32.9,30\n");
    let head = case::HEAD.replace(",timber,core_id,depth_from [mm],depth_to [mm]", "");
    let csv = format!("{head}\n{}{}", row("K1", "Quercus robur"), row("K2", "Salix/Populus"));
    let own = "[references.\"Salix/Populus\"]\nbasic_density = \"360 ± 18 kg/m3\"\nsource = \"invented\"\n";
    let study = case::STUDY.replace("pore_salinity = \"0 g/kg\"\n", "") + own;
    let outcome = try_assess("d.csv", csv, &study).unwrap();
    equals("cautions/legend.txt", &text(&assessment_view(&outcome), 100));
}

#[test]
fn every_caution_of_an_outcome_stands_in_its_legend_with_its_count() {
    for &code in CautionCode::ALL {
        let outcome = check(&beside(code).0);
        let entry = outcome.cautions.iter().find(|entry| entry.code == code.word()).unwrap();
        let samples = outcome.samples.iter().filter(|piece| piece.cautions.contains(code)).count();
        let timbers = outcome.timbers.iter().filter(|timber| timber.cautions.contains(code)).count();
        assert_eq!((entry.samples, entry.timbers), (samples, timbers), "{}", code.word());
    }
}
