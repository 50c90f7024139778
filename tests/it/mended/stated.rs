//! Keys of the study file that did nothing, or the wrong thing, in silence.

use woodstate::error::{FindingCode, Severity};
use woodstate::quantity::{Measured, Unit};
use woodstate::study::Study;

use crate::support::batch::assessed;

/// The error of a study file.
#[track_caller]
fn check(study: &str, expected: &str) {
    let error = Study::parse(study, "w.toml").unwrap_err().to_string();
    assert!(error.contains(expected), "{error}");
}

const SCHEME: &str = "title = \"t\"\nsource = \"s\"\n";

#[test]
fn words_hold_for_the_column_however_it_is_written() {
    let csv = "sample,mass_saturated [g],mass_oven_dry [g],charring\nK1,5,1,ja\n";
    let found = assessed(csv, "[samples.words.Charring]\nja = \"through\"");
    assert!(found.findings.iter().all(|finding| finding.code != FindingCode::WordUnknown));
    assert_eq!(found.batch.samples.text("charring", 0), Some("through"));
}

#[test]
fn words_that_can_never_be_used_are_errors() {
    check("[samples.words.mass_oven_dry]\nx = \"1\"", "w.toml:1:16: mass_oven_dry holds numbers");
    check("[samples.words.charring]\nja = \"partal\"", "w.toml:2:6: \"partal\" is not a word of charring");
    check("[samples.words.charring]\nja = \"partal\"", "Did you mean partial?");
    assert!(Study::parse("[samples.words.taxon]\nEiche = \"Zelkova\"", "w.toml").is_ok());
}

#[test]
fn names_are_composed_of_samples_only() {
    check("[timbers]\nsample = [\"timber\"]", "w.toml:2:10: sample composes names of samples");
    check("[samples]\nsample = []", "w.toml:2:10:");
}

#[test]
fn every_scheme_is_checked_whether_it_is_used_or_not() {
    let with = |rest: &str| format!("[assess]\nscheme = \"oak-water-content\"\n[schemes.mine]\n{SCHEME}{rest}");
    let bands = "classes = [{ label = \"I\", from = 5.0 }, { label = \"II\", to = 5.0 }]\n";
    let quantity = "quantity = \"max_water_content\"\n";
    check(&with(&format!("quantity = \"max_water_contend\"\n{bands}")), "Did you mean max_water_content");
    check(&with(&format!("{quantity}classes = []\n")), "at least two classes");
    check(&with(&format!("{quantity}{bands}scope = [\"Quercus robr\"]")), "w.toml:8:10: \"Quercus robr\"");
    check(&with(&format!("{quantity}{bands}scope = [\"Quercus robr\"]")), "Did you mean Quercus robur");
    check(&format!("[schemes.mine]\n{SCHEME}{quantity}{bands}"), "write scheme = \"mine\" under [assess]");
    assert!(Study::parse(&with(&format!("{quantity}{bands}")), "w.toml").is_ok());
}

#[test]
fn the_worst_class_can_be_the_last() {
    let with = |worst: &str| {
        let bands = "classes = [{ label = \"A\", to = 60.0 }, { label = \"B\", from = 60.0, to = 80.0 }, { label = \"C\", from = 80.0 }]";
        let scheme = format!("[schemes.mine]\n{SCHEME}quantity = \"porosity\"\n{bands}\n{worst}");
        Study::parse(&format!("[assess]\nscheme = \"mine\"\n{scheme}"), "w.toml")
    };
    let labels = |worst: &str| {
        let scheme = with(worst).unwrap().options.scheme;
        scheme.classes.into_iter().map(|class| class.label).collect::<String>()
    };
    assert_eq!(
        (labels("").as_str(), labels("worst = \"A\"").as_str(), labels("worst = \"C\"").as_str()),
        ("ABC", "ABC", "CBA")
    );
    let error = with("worst = \"B\"").unwrap_err().to_string();
    assert!(error.contains("\"B\" is not the first or the last class; the worst is A or C"), "{error}");
}

#[test]
fn two_references_for_one_taxon_are_an_error_with_both_names() {
    let one = |name: &str| format!("[references.\"{name}\"]\nbasic_density = \"560 kg/m3\"\n");
    let study = format!("{}{}", one("Quercus robur"), one("pedunculate oak"));
    check(&study, "\"Quercus robur\" and \"pedunculate oak\" mean one taxon");
}

#[test]
fn the_water_for_weighing_is_not_stated_twice() {
    let study = "[water]\ndensity = \"998 kg/m3\"\nweighing_temperature = \"18 Cel\"";
    check(study, "w.toml:3:24: density is stated beside weighing_temperature and replaces it");
}

#[test]
fn impossible_references_and_walls_are_errors() {
    let reference = |density: &str| format!("[references.oak]\nbasic_density = \"{density}\"");
    check(&reference("0.56 kg/m3"), "w.toml:2:17: 0.56 kg/m3 is outside 50 to 1400 kg/m3");
    check(&reference("1401 kg/m3"), "outside 50 to 1400");
    assert!(Study::parse(&reference("0.56 g/cm3"), "w.toml").is_ok());
    check("[assess]\ncell_wall_density = \"1500 ± 301 kg/m3\"", "w.toml:2:21: an uncertainty of 301 kg/m3");
}

#[test]
fn a_decimal_comma_and_a_bare_number_are_told_what_to_write() {
    let with = |text: &str| format!("[instruments]\nbalance = {text}");
    check(&with("\"0,01 g\""), "w.toml:2:11:");
    check(&with("\"0,01 g\""), "the decimal mark in the study file is the point: 0.01 g");
    for text in ["0.01", "\"0.01\""] {
        check(&with(text), "w.toml:2:11:");
        check(&with(text), "write it with its unit, as in \"0.01 g\"");
    }
    check("[assess]\nash_limit = 5", "as in \"5 %\"");
    check("[instruments]\ncalliper = \"0.05 mn\"", "unit \"mn\" is not one of mm, um, cm, m");
    check("[assess]\ncell_wall_density = \"1500 kg/mm3\"", "did you mean kg/m3?");
}

#[test]
fn plus_and_minus_may_be_typed() {
    let unit = Unit::parse("kg/m3").unwrap();
    for text in ["1500 ± 30 kg/m3", "1500 +/- 30 kg/m3", "1500 +- 30 kg/m3", "1500+-30 kg/m3"] {
        assert_eq!(Measured::parse(text, unit).unwrap(), Measured::new(1500.0, 30.0), "{text}");
    }
}

#[test]
fn psu_in_the_study_file_is_noted_with_its_line() {
    let csv = "sample,mass_saturated [g],mass_oven_dry [g]\nK1,5,1\n";
    let found = assessed(csv, "[water]\npore_salinity = \"7 ± 0.5 psu\"");
    let note = found.findings.iter().find(|finding| finding.code == FindingCode::UnitReadAs).unwrap();
    assert_eq!((note.severity, note.text.as_str()), (Severity::Note, "psu is read as g/kg"));
    assert_eq!((note.place.file.as_str(), note.place.row), ("woodstate.toml", Some(2)));
}
