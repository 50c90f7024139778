//! The glossary: six languages, one spelling, questions where a wrong guess would change numbers.
//!
//! Its words are common practice without a source; these tests hold what the words resolve to, not that they are right.

use woodstate::reference::Reference;
use woodstate::table::{Glossary, Meaning, TableKind};

use super::{column, looked, meanings};
use crate::support::batch::try_assess;

fn header(header: &str, kind: TableKind) -> Vec<String> {
    let known = Glossary::shipped().unwrap().header(header, kind, None);
    known.map_or_else(Vec::new, |known| known.meanings.iter().map(Meaning::text).collect())
}

#[test]
fn six_languages_name_the_saturated_and_the_dry_mass() {
    let pairs = [
        ("Wet mass [g]", "Oven-dry mass [g]"),
        ("Nassgewicht [g]", "Darrgewicht (g)"),
        ("Masse humide, g", "masse anhydre in g"),
        ("PESO UMIDO {g}", "peso anidro_g"),
        ("peso húmedo (g)", "peso anhidro [g]"),
        ("nat gewicht g", "Ovendroog gewicht <g>"),
    ];
    for (wet, dry) in pairs {
        assert_eq!(header(wet, TableKind::Samples), ["mass_saturated [g]"], "{wet}");
        assert_eq!(header(dry, TableKind::Samples), ["mass_oven_dry [g]"], "{dry}");
    }
}

#[test]
fn case_umlauts_accents_dots_and_marks_do_not_matter() {
    for (one, kind, meaning) in [
        ("LÄNGE [m]", TableKind::Timbers, "timber_length [m]"),
        ("Laenge (m)", TableKind::Timbers, "timber_length [m]"),
        ("La\u{308}nge [m]", TableKind::Timbers, "timber_length [m]"),
        ("Nassgew. [g]", TableKind::Samples, "mass_saturated [g]"),
        ("Proben-Nr.", TableKind::Samples, "sample"),
        ("N° d’échantillon", TableKind::Samples, "sample"),
        ("mm Tiefe von", TableKind::Samples, "depth_from [mm]"),
    ] {
        assert_eq!(header(one, kind), [meaning], "{one}");
    }
}

#[test]
fn a_word_with_two_meanings_that_change_numbers_is_a_question() {
    for (one, kind, count) in [
        ("Auftrieb [g]", TableKind::Samples, 2),
        ("spinta idrostatica [g]", TableKind::Samples, 2),
        ("Trockengewicht [g]", TableKind::Samples, 2),
        ("Durchmesser [mm]", TableKind::Samples, 2),
        ("Durchmesser [mm]", TableKind::Timbers, 1),
        ("teneur en eau [%]", TableKind::Samples, 2),
        ("densidad [g/cm3]", TableKind::Samples, 3),
        ("% PEG", TableKind::Log, 2),
        ("Tiefe [cm]", TableKind::Samples, 2),
    ] {
        assert_eq!(header(one, kind).len(), count, "{one}");
    }
    assert_eq!(header("PEG [g/L]", TableKind::Log), ["concentration_mass_per_volume [g/L]"]);
}

#[test]
fn a_unit_that_does_not_fit_is_said() {
    let found = looked("d.csv", "Probe;Nassgewicht [mm];Darrgewicht [g]\nK1;5;1\n");
    let item = column(&found, "Nassgewicht [mm]");
    assert!(meanings(item).is_empty());
    assert_eq!(item.why, "German word for mass_saturated, but its unit [mm] does not fit");
}

#[test]
fn a_slip_of_the_pen_is_told_the_nearest_word() {
    let found = looked("d.csv", "Probe;Nassgewcht [g];Darrgewicht [g]\nK1;5;1\n");
    assert!(column(&found, "Nassgewcht [g]").why.ends_with("Near: \"Nassgewicht\" (mass_saturated)"));
}

#[test]
fn each_wood_of_the_glossary_is_in_the_list_of_taxa() {
    let (glossary, reference) = (Glossary::shipped().unwrap(), Reference::shipped().unwrap());
    let taxon = TableKind::Samples.column("taxon").unwrap();
    for word in [
        "roble", "rovere", "encina", "pino", "aliso", "fresno", "haya", "abedul", "avellano", "sauce", "castaño",
        "nogal", "tejo", "arce", "alerce", "abeto", "álamo",
    ] {
        for (name, _) in glossary.cell(taxon, word).unwrap().meanings {
            assert_eq!(reference.taxon(name).unwrap().name, name, "{word}");
        }
    }
}

#[test]
fn check_tells_the_line_for_a_word_that_the_glossary_knows() {
    let found = try_assess("d.csv", "sample;Nassgewicht [g];mass_oven_dry [g]\nK1;5;1\n", "").unwrap();
    let finding = found.findings.iter().find(|finding| finding.code.word() == "column-unknown").unwrap();
    assert!(finding.text.ends_with("It is a German word for mass_saturated"), "{}", finding.text);
    assert_eq!(
        finding.cure,
        "write the line \"Nassgewicht [g]\" = \"mass_saturated [g]\" under [samples.columns] in woodstate.toml"
    );
}
