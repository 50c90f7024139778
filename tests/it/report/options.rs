//! Dates, rules of urgency, parts of the site, strength: what a person decides.

use woodstate::study::{Report, UrgencyRule};

use crate::support::program::{Folder, ended};

use super::{file, reported, text};

const HEAD: &str = "sample,timber,mass_saturated [g],mass_oven_dry [g],mass_immersed [g]";

fn rule(report: &Report, rule: UrgencyRule) -> Vec<String> {
    let urgent = report.one_page.urgent.iter().find(|urgent| urgent.rule == rule).unwrap();
    urgent.timbers.clone()
}

#[test]
fn a_date_stands_in_the_report_only_where_it_was_given() {
    let folder = Folder::of(&[("d.csv", format!("{HEAD}\nK1,B7,2.09,0.34,\n").as_bytes())]);
    let dated = |arguments: &str, epoch: Option<&str>| {
        let mut command = folder.command(&format!("report d.csv --out out --quiet --force {arguments}"));
        command.env_remove("SOURCE_DATE_EPOCH");
        if let Some(epoch) = epoch {
            command.env("SOURCE_DATE_EPOCH", epoch);
        }
        let run = ended(&mut command, b"");
        let page = text(&folder, "out/report.html");
        let date = page.split("<dt>Date</dt><dd>").nth(1).and_then(|rest| rest.split('<').next()).unwrap().to_owned();
        (run.code, date, run.err)
    };
    assert_eq!(dated("", None).1, "not given");
    assert_eq!(dated("", Some("1795737600")).1, "2026-11-27");
    assert_eq!(dated("--date 2026-01-02", Some("1795737600")).1, "2026-01-02");
    folder.put("woodstate.toml", b"[report]\ndate = \"2025-12-31\"\n");
    assert_eq!(dated("", Some("1795737600")).1, "2025-12-31");
    let (code, _, err) = dated("--date yesterday", None);
    assert_eq!(code, 2);
    assert!(err.contains("\"yesterday\" is not a day as year-month-day, such as 2026-11-27"), "{err}");
    folder.put("woodstate.toml", b"");
    let (code, _, err) = dated("", Some("soon"));
    assert_eq!(code, 5);
    assert!(err.contains("SOURCE_DATE_EPOCH") && err.contains("\"soon\""), "{err}");
}

#[test]
fn each_rule_of_urgency_fires_and_is_quiet_just_beside() {
    let csv = "sample,timber,metal,mass_saturated [g],mass_oven_dry [g],iron_in_wood [mg/kg],sulfur_reduced_in_wood [mg/kg]\n\
               K1,A,,2.09,0.34,100,\nK2,B,iron,2.09,0.34,,\nK3,C,none,2.09,0.34,,50\nK4,D,none,2.09,0.34,,\n";
    let open = reported(csv, "");
    assert_eq!(rule(&open, UrgencyRule::Iron), ["A", "B"]);
    assert_eq!(rule(&open, UrgencyRule::ReducedSulfur), ["C"]);
    let strict = reported(csv, "[report]\niron_limit = \"100 mg/kg\"\nreduced_sulfur_limit = \"49 mg/kg\"\n");
    assert_eq!(rule(&strict, UrgencyRule::Iron), ["B"]);
    assert_eq!(rule(&strict, UrgencyRule::ReducedSulfur), ["C"]);
    let above = reported(csv, "[report]\nreduced_sulfur_limit = \"50 mg/kg\"\n");
    assert_eq!(rule(&above, UrgencyRule::ReducedSulfur), Vec::<String>::new());
    // What nobody measured is unknown and not 0; of an unknown wood no class can be told either.
    let page =
        file(&reported("sample,timber,mass_saturated [g],mass_oven_dry [g]\nK1,A,2.09,0.34\n", ""), &[], "report.html");
    let unknown = "<td class=\"n\">unknown</td>\n<td class=\"n\">0 of 1 timber</td>\n<td class=\"keep\">unknown</td>";
    assert_eq!(page.matches(unknown).count(), 4);
    let chosen = reported(csv, "[report]\nurgent = [\"iron\"]\n");
    assert_eq!(chosen.one_page.urgent.len(), 1);
}

#[test]
fn a_worst_class_is_urgent_where_it_is_decided_and_another_rule_holds_where_it_is_not() {
    let folder = super::harbour();
    let json: serde_json::Value = serde_json::from_str(&text(&folder, "out/report.json")).unwrap();
    for timber in json["timbers"].as_array().unwrap() {
        let class = &timber["degradation_class"];
        let listed = |rule: &str| {
            let urgent = json["one_page"]["urgent"].as_array().unwrap();
            let urgent = urgent.iter().find(|urgent| urgent["rule"] == rule).unwrap();
            urgent["timbers"].as_array().unwrap().contains(&timber["timber"])
        };
        assert_eq!(listed("worst-class"), class["decided"] == true && class["most_likely"] == "I", "{timber}");
        assert_eq!(
            listed("class-not-decided"),
            class["decided"] == false && !class["most_likely"].is_null(),
            "{timber}"
        );
    }
}

#[test]
fn what_is_not_known_is_counted_by_timbers() {
    let csv = "sample,timber,mass_saturated [g],mass_oven_dry [g],iron_in_wood [mg/kg],metal\n\
               K1,A,2.09,0.34,100,unknown\nK2,A,2.09,0.34,,\nK3,B,2.09,0.34,,none\n";
    let report = reported(csv, "");
    let of = |column: &str| {
        let found = report.one_page.not_known.iter().find(|one| one.column == column).unwrap();
        (found.known, found.of, found.unit)
    };
    assert_eq!(of("iron_in_wood"), (1, 2, "timber"));
    // A cell that says unknown says nothing.
    assert_eq!(of("metal"), (1, 2, "timber"));
    assert!(file(&report, &[], "report.html").contains("iron in the wood: known in 1 of 2 timbers (iron_in_wood)"));
    let gaps = &report.timber_gaps;
    assert!(gaps[1].not_known.contains(&"iron in the wood") && !gaps[0].not_known.contains(&"iron in the wood"));
}

#[test]
fn the_site_is_divided_by_what_the_study_names_or_by_contexts() {
    let csv = "sample,timber,site,context,face,mass_saturated [g],mass_oven_dry [g]\n\
               K1,A,S,x,top,2.09,0.34\nK2,B,S,y,top,2.09,0.34\nK3,C,S,y,side,2.09,0.34\n";
    let by = |study: &str| reported(csv, study).site_parts.map(|parts| (parts.by, parts.groups.len()));
    assert_eq!(by(""), Some((vec!["context".to_owned()], 2)));
    assert_eq!(by("[report]\nby = [\"face\"]\n"), Some((vec!["face".to_owned()], 2)));
    assert_eq!(by("[report]\nby = []\n"), None);
}

#[test]
fn a_column_that_does_not_exist_is_refused_with_those_that_do() {
    let folder = Folder::of(&[
        ("d.csv", format!("{HEAD}\nK1,B7,2.09,0.34,\n").as_bytes()),
        ("woodstate.toml", b"[report]\nby = [\"contxt\"]\n"),
    ]);
    let ended = folder.run("report d.csv --out out");
    assert_eq!(ended.code, 2);
    assert!(ended.err.contains("unknown column \"contxt\""), "{}", ended.err);
    assert!(!folder.path("out").exists());
}

#[test]
fn strength_is_fitted_where_it_was_measured() {
    let folder = Folder::with_demo();
    assert_eq!(folder.run("report datasets-demo/strength/mechanics.csv --out out --quiet").code, 0);
    let json: serde_json::Value = serde_json::from_str(&text(&folder, "out/report.json")).unwrap();
    assert_eq!(json["strength"]["kind"], "fit");
    assert!(json["no_strength"].is_null());
    let fitted = folder.json(&format!(
        "fit datasets-demo/strength/mechanics.csv --value {} --against {}",
        json["strength"]["value"]["name"].as_str().unwrap(),
        json["strength"]["against"]["name"].as_str().unwrap()
    ));
    assert_eq!(json["strength"]["fits"], fitted["fits"]);
    // The study names another test and another state.
    folder.put("own.toml", b"[report]\nvalue = \"bending_modulus\"\nagainst = \"basic_density\"\n");
    let run = folder.run("report datasets-demo/strength/mechanics.csv --study own.toml --out other --quiet");
    assert_eq!(run.code, 0, "{}", run.err);
    let json: serde_json::Value = serde_json::from_str(&text(&folder, "other/report.json")).unwrap();
    assert_eq!(
        (&json["strength"]["value"]["name"], &json["strength"]["against"]["name"]),
        (&"bending_modulus".into(), &"basic_density".into())
    );
    // Too few pieces are an answer.
    let csv = "sample,timber,mass_saturated [g],mass_oven_dry [g],mass_immersed [g],condition_at_test,bending_strength [MPa]\n\
               K1,A,2.09,0.34,0.12,saturated,12\n";
    let why = reported(csv, "").no_strength.unwrap();
    assert!(why.starts_with("No curve of bending_strength against basic_density: "), "{why}");
}
