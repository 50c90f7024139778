//! What `--plain`, `explain` and a narrow terminal show.

use woodstate::report::{assessment_view, explanation_view, text};
use woodstate::study::explain;

use crate::support::batch::assessed;
use crate::support::program::Folder;

const CSV: &str = "sample,timber,mass_saturated [g],mass_oven_dry [g],depth_from [mm],depth_to [mm]\nK1,B1,5,1,0,10\n";

#[test]
fn plain_has_words_for_cautions_and_one_unit_a_header() {
    let ended = Folder::of(&[("d.csv", CSV.as_bytes())]).run("assess d.csv --plain --quiet");
    let tables: Vec<&str> = ended.out.split("\n\n").collect();
    for table in &tables {
        let heads: Vec<&str> = table.lines().next().unwrap().split('\t').collect();
        assert!(heads.iter().all(|head| head.matches('[').count() <= 1 && !head.contains('%') | head.contains("[%]")));
        assert_eq!(heads.last(), Some(&"cautions"));
    }
    let cautions = tables[0].lines().nth(1).unwrap().split('\t').next_back().unwrap();
    assert!(cautions.split(' ').any(|word| word == "salt-possible"), "{}", tables[0]);
    assert!(tables[0].starts_with("sample\ttimber\tdepth_from [mm]\tdepth_to [mm]\tstatus\tmax_water_content [%]\tu("));
    assert!(tables[0].contains("\nK1\tB1\t0\t10\tassessed\t400\t\t"), "{}", tables[0]);
}

#[test]
fn plain_is_not_empty_for_check_and_explain() {
    let folder = Folder::of(&[("d.csv", CSV.replace("5,1", "5,x").as_bytes())]);
    let found = folder.run("check d.csv --plain");
    assert!(
        found.out.starts_with("code\tseverity\tfile\t") && found.out.contains("\nnumber-unreadable\terror\td.csv\t")
    );
    assert!(folder.run("explain charred --plain").out.starts_with("item\ttext\nin short\t"));
}

#[test]
fn a_word_with_two_stories_tells_both() {
    let story = explain("taxon-unknown").unwrap();
    assert_eq!(story.what, "finding and caution");
    let names: Vec<&str> = story.story.iter().map(|(name, _)| name.as_str()).collect();
    assert!(names.contains(&"finding: cure") && names.contains(&"caution: cure"), "{names:?}");
    assert_eq!(explain("charred").unwrap().story[0].0, "in short");
}

#[test]
fn routes_statuses_severities_and_schemes_have_a_story() {
    for (word, what) in [
        ("saturated_undried", "route"),
        ("stated", "route"),
        ("partial", "status"),
        ("not_assessed", "status"),
        ("warning", "severity"),
        ("note", "column and severity"),
        ("oak-water-content", "scheme"),
    ] {
        assert_eq!(explain(word).unwrap().what, what, "{word}");
    }
    let scheme = text(&explanation_view(&explain("oak-water-content").unwrap()), 200);
    for part in ["I from 400 %; II from 185 to 400 %; III to 185 %", "Quercus robur", "Jong", "evidence"] {
        assert!(scheme.contains(part), "{part}: {scheme}");
    }
    let last = explain("charred").unwrap().story.pop().unwrap();
    assert_eq!(last.0, "cure");
}

#[test]
fn every_route_that_a_quantity_names_has_a_story() {
    for quantity in ["max_water_content", "basic_density"] {
        let story = explain(quantity).unwrap().story;
        let routes = &story.iter().find(|(name, _)| name.starts_with("routes")).unwrap().1;
        for route in routes.split(", ") {
            assert!(explain(route).unwrap().what.contains("route"), "{route}");
        }
    }
}

#[test]
fn a_narrow_terminal_cuts_no_word_of_a_table() {
    let shown = text(&assessment_view(&assessed(CSV, "")), 50);
    for part in
        ["sample: K1", "  max. water content %      400 ± unknown", "  see below                 a b", "timber: B1"]
    {
        assert!(shown.contains(part), "{part}: {shown}");
    }
    let table = shown.split("all ").next().unwrap();
    assert!(table.lines().all(|line| line.chars().count() <= 50), "{shown}");
}
