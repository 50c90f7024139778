//! Dangers and their safety notes: complete, honest about where numbers are from, and never switched off.

use std::collections::BTreeSet;

use woodstate::quantity::Evidence;
use woodstate::reference::Reference;
use woodstate::study::{Safety, SafetyForm, Study, explain};

fn check(words: &[&str], form: SafetyForm) -> Safety {
    Safety::of(Reference::shipped().unwrap(), words.iter().copied(), form).unwrap()
}

/// Source: the rule of the project: dangers that have to be named wherever work can hurt someone.
const NAMED: [&str; 12] = [
    "biocides",
    "carbon-dioxide",
    "chelating-baths",
    "cold-and-vacuum",
    "confined-tanks",
    "dithionite",
    "formaldehyde",
    "hot-tanks",
    "hydrogen-sulfide",
    "lifting",
    "ovens",
    "solvents",
];

#[test]
fn every_danger_is_named_with_a_short_and_a_long_text_that_defer_to_local_codes() {
    let reference = Reference::shipped().unwrap();
    let words: BTreeSet<&str> = reference.hazards().iter().map(|hazard| hazard.word.as_str()).collect();
    assert_eq!(words, BTreeSet::from(NAMED));
    for word in NAMED {
        let (long, short) = (check(&[word], SafetyForm::Long).lines(), check(&[word], SafetyForm::Short).lines());
        assert_eq!(short.len(), 2, "{word}");
        assert!(long.len() > 2 && long[0] == short[0], "{word}");
        // What is said without a source is said without a number too.
        assert!(!short[0].chars().any(|letter| letter.is_ascii_digit()), "{word}: {}", short[0]);
        for lines in [long, short] {
            let last = lines.last().unwrap();
            assert!(last.contains("local codes") && last.contains("licensed practice"), "{word}: {last}");
        }
    }
}

/// Source: the rule that a number from memory says so wherever it is shown.
#[test]
fn every_limit_shows_its_evidence() {
    let reference = Reference::shipped().unwrap();
    let mut from_memory = 0;
    for note in check(&NAMED, SafetyForm::Long).notes {
        for limit in &note.limits {
            assert!(limit.text.ends_with(&format!("[{}]", limit.evidence)), "{}", limit.text);
            from_memory += usize::from(limit.evidence == Evidence::Memory);
        }
        let hazard = reference.hazard(&note.word).unwrap();
        assert_eq!(note.long.len() + note.limits.len(), hazard.said.len() + hazard.limits.len());
        assert!(note.long.iter().all(|said| said.ends_with(']')), "{}", note.word);
    }
    assert_eq!(from_memory, 7);
}

/// Source: Prudent Practices in the Laboratory, p. 296 \[read]: 400 ppm, flash point -45 °C, autoignition 160 °C. Nitric
/// Oxide 2017, 71:1-13, Table 3 \[read]: ceiling 20, peak 50, recommended ceiling 10, immediately dangerous 100 ppm.
#[test]
fn limits_are_those_of_their_sources() {
    let reference = Reference::shipped().unwrap();
    let read = |word: &str, agent: &str| -> Vec<(&str, &str)> {
        let limits = reference.hazard(word).unwrap().limits.iter();
        let limits = limits.filter(|limit| limit.evidence == Evidence::Read && limit.agent == agent);
        limits.map(|limit| (limit.value.as_str(), limit.unit.as_deref().unwrap_or_default())).collect()
    };
    assert_eq!(
        read("solvents", "diethyl ether"),
        [("400", "ppm"), ("400 / 500", "ppm"), ("-45", "Cel"), ("160", "Cel")]
    );
    let gas: Vec<&str> = read("hydrogen-sulfide", "hydrogen sulfide").into_iter().map(|(value, _)| value).collect();
    assert_eq!(gas, ["20", "50", "10", "100", "1 / 5", "10 / 15"]);
}

#[test]
fn words_are_told_once_and_unknown_words_are_errors() {
    let twice = check(&["ovens", "formaldehyde", "ovens"], SafetyForm::Short);
    let words: Vec<&str> = twice.notes.iter().map(|note| note.word.as_str()).collect();
    assert_eq!(words, ["formaldehyde", "ovens"]);
    assert_eq!(check(&[], SafetyForm::Long).lines(), Vec::<String>::new());
    let unknown = Safety::of(Reference::shipped().unwrap(), ["oven"], SafetyForm::Long).unwrap_err();
    assert!(unknown.to_string().contains("ovens"), "{unknown}");
}

#[test]
fn dangers_and_substances_have_stories() {
    let formaldehyde = explain("formaldehyde").unwrap();
    assert_eq!(formaldehyde.what, "danger");
    let told: Vec<&str> = formaldehyde.story.iter().map(|(_, text)| text.as_str()).collect();
    assert!(told.iter().any(|text| text.contains("0.75 ppm (US OSHA) [copy]")), "{told:?}");
    assert!(told.last().unwrap().contains("licensed practice"));
    // A substance tells the danger that it belongs to.
    assert!(explain("acetone").unwrap().story[0].1.starts_with("Solvents"));
    assert!(explain("ovenz").unwrap_err().to_string().contains("ovens"));
}

#[test]
fn study_file_shortens_the_notes_and_cannot_switch_them_off() {
    let form = |text: &str| Study::parse(text, "woodstate.toml").map(|study| study.safety);
    assert_eq!(form("").unwrap(), SafetyForm::Long);
    assert_eq!(form("safety = \"short\"").unwrap(), SafetyForm::Short);
    let error = form("safety = \"off\"").unwrap_err().to_string();
    assert_eq!(error, "woodstate.toml:1:10: \"off\" is not one of long, short");
}
