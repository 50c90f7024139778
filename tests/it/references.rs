//! The reference files of this build: complete, reachable by every name, and honest about where each number is from.

use std::collections::BTreeMap;

use toml::{Table, Value};
use woodstate::quantity::Evidence;
use woodstate::reference::{Basis, Boundary, ClassBand, Rank, Reference, Scheme};

const FILES: [(&str, &str); 12] = [
    ("basic_density.toml", include_str!("../../woodstate/reference/basic_density.toml")),
    ("chemicals.toml", include_str!("../../woodstate/reference/chemicals.toml")),
    ("constants.toml", include_str!("../../woodstate/reference/constants.toml")),
    ("hazards.toml", include_str!("../../woodstate/reference/hazards.toml")),
    ("impregnants.toml", include_str!("../../woodstate/reference/impregnants.toml")),
    ("lifting.toml", include_str!("../../woodstate/reference/lifting.toml")),
    ("routes.toml", include_str!("../../woodstate/reference/routes.toml")),
    ("schemes.toml", include_str!("../../woodstate/reference/schemes.toml")),
    ("shrinkage.toml", include_str!("../../woodstate/reference/shrinkage.toml")),
    ("sources.toml", include_str!("../../woodstate/reference/sources.toml")),
    ("strength.toml", include_str!("../../woodstate/reference/strength.toml")),
    ("taxa.toml", include_str!("../../woodstate/reference/taxa.toml")),
];

fn check() -> &'static Reference {
    Reference::shipped().unwrap()
}

/// Agrees to half a unit of the last of `decimals` places.
#[track_caller]
fn agrees(actual: f64, expected: f64, decimals: i32) {
    let half = 0.5 * 10_f64.powi(-decimals);
    assert!((actual - expected).abs() <= half * (1.0 + 1e-9), "{actual} instead of {expected} ± {half}");
}

/// Mean and standard uncertainty of the density of sound wood, kg/m3, and what stands behind it.
fn sound(name: &str) -> (f64, f64, Basis, usize) {
    let taxon = check().taxon(name).unwrap_or_else(|| panic!("{name} is unknown"));
    let sound = check().sound_density(taxon).unwrap_or_else(|| panic!("{name} has no density"));
    (sound.density.value, sound.density.u.unwrap(), sound.basis, sound.values.len())
}

/// The tables of a list in a reference file.
fn entries(file: &str, list: &str) -> Vec<Table> {
    let text = FILES.iter().find(|(name, _)| *name == file).unwrap().1;
    let table: Table = text.parse().unwrap();
    table[list].as_array().unwrap().iter().map(|entry| entry.as_table().unwrap().clone()).collect()
}

/// Source: the requirement of at least 60 woods with a published density of their own.
#[test]
fn more_than_sixty_taxa_have_a_density_of_their_own() {
    let own: std::collections::BTreeSet<String> = entries("basic_density.toml", "basic_density")
        .iter()
        .map(|entry| entry["taxon"].as_str().unwrap().to_owned())
        .collect();
    assert!(own.len() >= 60, "{}", own.len());
    for name in &own {
        let (density, u, ..) = sound(name);
        // Source: the range of sound wood in the lists used, 284 (Salix alba) to 913 (Olea europaea) [copy].
        assert!((284.0..=913.0).contains(&density), "{name}: {density}");
        assert!(u > 0.09 * density && u < 0.5 * density, "{name}: {density} ± {u}");
    }
}

/// Source: the names in taxa.toml themselves; case, spaces and a closing dot do not matter.
#[test]
fn every_taxon_is_found_by_each_of_its_names() {
    let mut found = 0;
    for taxon in check().taxa() {
        for name in [&taxon.name].into_iter().chain(&taxon.synonyms).chain(taxon.names.values().flatten()) {
            let mut ways = vec![name.clone(), format!("  {}", name.replace(' ', "  ")), format!("{name}.")];
            // ß is SS in capitals; such a name has its own entry with ss where it matters.
            ways.extend(Some(name.to_uppercase()).filter(|_| !name.contains('ß')));
            for way in ways {
                let other = check().taxon(&way).unwrap_or_else(|| panic!("\"{way}\" of {} is unknown", taxon.name));
                assert_eq!(other.name, taxon.name, "\"{way}\"");
            }
            found += 1;
        }
    }
    assert!(found > check().taxa().len() * 3, "{found}");
    assert!(check().taxon("").is_none() && check().taxon("Quercus robor").is_none());
    assert!(check().near_taxa("Quercus robor").contains(&"Quercus robur"));
}

/// Source: the rule that case and spaces do not matter, also behind the dot of "sp.".
#[test]
fn space_behind_a_closing_dot_does_not_hide_a_taxon() {
    assert_eq!(check().taxon("Quercus sp. ").map(|taxon| taxon.name.as_str()), Some("Quercus"));
}

/// Source: Zanne et al. 2009, row 13418, 0.560 \[copy], and Vieilledent et al. 2018, tree 1986, 0.64 \[read]; scatter
/// between trees 9.2 % \[derived]: mean 600, s = 80/√2 = 56.57, u = √(56.57² + 55.20²) = 79.04 kg/m3.
#[test]
fn uncertainty_of_pedunculate_oak_from_two_values() {
    let (density, u, basis, values) = sound("Quercus robur");
    agrees(density, 600.0, 9);
    agrees(u, 79.04, 2);
    assert_eq!((basis, values), (Basis::Species, 2));
}

/// Source: Zanne et al. 2009, row 4085, 0.517 \[copy]; spread between databases 13.69 % (Vieilledent et al. 2018) \[read],
/// between trees 9.2 % \[derived]: u = 517 √(0.1369² + 0.092²) = 85.27 kg/m3.
#[test]
fn single_value_takes_the_spread_between_databases() {
    let (density, u, basis, values) = sound("common hazel");
    agrees(density, 517.0, 9);
    agrees(u, 85.27, 2);
    assert_eq!((basis, values), (Basis::Species, 1));
}

/// Source: Alnus 450 (IPCC 2006, Table 4.14) \[copy], A. glutinosa 439, A. incana 439 (Zanne et al. 2009) \[copy]; the
/// American A. rubra does not stand for the genus: mean 442.667, s = 6.351, u = √(6.351² + 40.725²) = 41.22 kg/m3.
#[test]
fn genus_takes_its_own_value_and_those_of_its_european_species() {
    let (density, u, basis, values) = sound("alder");
    agrees(density, 442.667, 3);
    agrees(u, 41.22, 2);
    assert_eq!((basis, values), (Basis::Genus, 3));
}

/// Source: IPCC 2006, Table 4.14: Quercus 0.58, and FPL-GTR-282, Table 5-3b \[copy]: oaks lie between 500 and 850 kg/m3.
#[test]
fn densities_of_oaks_are_plausible_and_say_on_what_they_rest() {
    let by_name = [
        ("Quercus petraea", 580.0, Basis::Species, 2),
        ("Quercus, deciduous", 590.0, Basis::Type, 4),
        ("Quercus, evergreen", 770.0, Basis::Type, 4),
        // No value of its own: that of the genus, and it says so.
        ("Quercus pubescens", sound("Quercus").0, Basis::Genus, sound("Quercus").3),
    ];
    for (name, expected, basis, values) in by_name {
        let (density, _, found, count) = sound(name);
        agrees(density, expected, 9);
        assert_eq!((found, count), (basis, values), "{name}");
    }
    let (oak, ..) = sound("Quercus");
    assert!((500.0..850.0).contains(&oak));
}

/// Source: the definitions of a genus and a type: their values are those of what they hold, each once.
#[test]
fn types_hold_no_value_twice() {
    let reference = check();
    for taxon in reference.taxa().iter().filter(|taxon| taxon.rank != Rank::Species) {
        let Some(sound) = reference.sound_density(taxon) else { continue };
        let mut origins: Vec<_> = sound.cited.iter().map(|cited| (&cited.id, &cited.place)).collect();
        assert_eq!(origins.len(), sound.values.len() + 1, "{}", taxon.name);
        origins.sort_unstable();
        origins.dedup();
        assert_eq!(origins.len(), sound.values.len() + 1, "{}", taxon.name);
        assert!(taxon.members.iter().all(|name| reference.taxon(name).is_some_and(|member| member.name == *name)));
    }
}

/// Source: Forest Products Laboratory 2021, FPL-GTR-282, Table 4-3, p. 4-8: oak, white: 5.6, 10.5, 16.3 % \[copy].
#[test]
fn normal_shrinkage_of_white_oak() {
    let shrinkage = check().normal_shrinkage(check().taxon("Quercus alba").unwrap()).unwrap();
    agrees(shrinkage.radial, 5.6, 9);
    agrees(shrinkage.tangential, 10.5, 9);
    agrees(shrinkage.volumetric.value, 16.3, 9);
    // One row does not say how far trees differ.
    assert_eq!(shrinkage.volumetric.u, None);
    assert_eq!(shrinkage.cited.len(), 1);
    assert_eq!(shrinkage.cited[0].evidence, Evidence::Copy);
    // Three regions of one species, and none for an oak of Europe.
    let fir = check().normal_shrinkage(check().taxon("Pseudotsuga menziesii").unwrap()).unwrap();
    agrees(fir.volumetric.value, (12.4 + 10.7 + 11.8) / 3.0, 9);
    assert!(check().normal_shrinkage(check().taxon("Quercus robur").unwrap()).is_none());
}

/// Label, lower and upper end.
type Band = (&'static str, Option<f64>, Option<f64>);

fn scheme(bands: &[Band]) -> Scheme {
    let oak = check().scheme("oak-water-content").unwrap();
    let classes = bands.iter().map(|&(label, from, to)| ClassBand { label: label.to_owned(), from, to }).collect();
    Scheme { classes, ..oak.clone() }
}

/// Source: the rule that classes cover every value once.
#[test]
fn schemes_with_gaps_overlaps_or_double_labels_are_refused() {
    let (low, high) = (Some(185.0), Some(400.0));
    assert!(scheme(&[("I", high, None), ("II", low, high), ("III", None, low)]).check().is_ok());
    let wrong: [(&str, &[Band], &str); 6] = [
        ("gap", &[("I", high, None), ("II", None, low)], "cover every value once"),
        ("overlap", &[("I", low, None), ("II", None, high)], "cover every value once"),
        ("label", &[("I", high, None), ("II", low, high), ("I", None, low)], "label twice"),
        ("no upper end", &[("I", low, high), ("II", None, low)], "cover every value once"),
        ("one class", &[("I", None, None)], "at least two"),
        ("empty band", &[("I", high, None), ("II", high, high), ("III", None, high)], "cover every value once"),
    ];
    for (what, bands, expected) in wrong {
        let found = scheme(bands).check();
        assert!(found.as_ref().is_err_and(|text| text.contains(expected)), "{what}: {found:?}");
    }
}

/// Source: the same rule; TOML has a word for a number that is none, and no value lies on either side of it.
#[test]
fn scheme_with_a_limit_that_is_no_number_is_refused() {
    let nan = Some(f64::NAN);
    assert!(scheme(&[("I", nan, None), ("II", None, nan)]).check().is_err());
}

/// Source: de Jong 1977: above 400, 185 to 400, below 185 % \[copy]; which class owns a limit is open, so it is settable.
#[test]
fn limits_of_the_oak_scheme_belong_to_the_worse_or_the_better_class_as_asked() {
    let oak = check().scheme("oak-water-content").unwrap();
    let label = |value, boundary| oak.class_of(value, boundary).map(|place| oak.classes[place].label.as_str());
    let expected: [(f64, &str, &str); 6] = [
        (400.0, "I", "II"),
        (185.0, "II", "III"),
        (400.1, "I", "I"),
        (399.9, "II", "II"),
        (184.9, "III", "III"),
        (0.0, "III", "III"),
    ];
    for (value, worse, better) in expected {
        assert_eq!(label(value, Boundary::Worse), Some(worse), "{value}");
        assert_eq!(label(value, Boundary::Better), Some(better), "{value}");
    }
    for value in [f64::NAN, f64::INFINITY] {
        assert_eq!(label(value, Boundary::Worse), None);
    }
    assert!(check().scheme("oak-watercontent").is_err());
}

/// Every value of a key, however deep.
fn all_of<'a>(value: &'a Value, key: &str, found: &mut Vec<&'a str>) {
    match value {
        Value::Table(table) => table.iter().for_each(|(name, value)| match value.as_str() {
            Some(text) if name == key => found.push(text),
            _ => all_of(value, key, found),
        }),
        Value::Array(values) => values.iter().for_each(|value| all_of(value, key, found)),
        _ => {}
    }
}

/// Source: the rule of evidence: one of six tags for each number, a work for each, and each work cited or explained.
#[test]
fn every_number_has_a_tag_and_a_work_that_is_listed() {
    const TAGS: [&str; 6] = ["read", "copy", "derived", "memory", "proposal", "common_practice"];
    let ids: Vec<&str> = check().sources().iter().map(|source| source.id.as_str()).collect();
    let mut counts = BTreeMap::new();
    for (file, text) in FILES {
        let table = Value::Table(text.parse().unwrap());
        let (mut tags, mut works) = (Vec::new(), Vec::new());
        all_of(&table, "evidence", &mut tags);
        all_of(&table, "source", &mut works);
        // The laboratory states its own limits of routes.
        let is_stated = |tag: &str| file == "routes.toml" && tag == "stated";
        assert!(tags.iter().all(|tag| TAGS.contains(tag) || is_stated(tag)), "{file}: {tags:?}");
        assert!(works.iter().all(|work| ids.contains(work)), "{file}");
        assert_eq!(tags.len(), works.len(), "{file}");
        counts.insert(file, tags.len());
    }
    // One line more than densities: the scatter between trees.
    assert_eq!(counts["basic_density.toml"], entries("basic_density.toml", "basic_density").len() + 1);
    assert_eq!(counts["shrinkage.toml"], entries("shrinkage.toml", "shrinkage").len());
    assert_eq!(counts["schemes.toml"], check().schemes().len());
    assert_eq!(counts["constants.toml"], check().constants().len());
    // Examples, size and time.
    assert_eq!(counts["lifting.toml"], check().dynamic_examples().len() + 2);
}

/// Source: the rule that a choice of ours is never shown as a published limit.
#[test]
fn every_proposal_says_that_it_is_ours() {
    let says_so = |text: &str| ["limit of ours", "chosen by us", "assumption"].iter().any(|words| text.contains(words));
    let mut proposals = 0;
    for constant in check().constants() {
        let is_ours = constant.source == "woodstate";
        let is_proposal = constant.evidence == Evidence::Proposal;
        assert!(is_proposal || !is_ours, "{} is ours and not marked", constant.name);
        assert_eq!(is_proposal, says_so(&constant.place), "{}: {}", constant.name, constant.place);
        proposals += usize::from(is_proposal);
    }
    assert!(proposals >= 8, "{proposals}");
}
