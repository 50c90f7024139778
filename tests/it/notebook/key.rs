//! Completion and help at the cursor.

use super::desk::{in_harbour, text};

/// The proposals at `|`.
fn proposed(cells: &str, line: &str) -> Vec<String> {
    in_harbour(|session, _| {
        text(session, cells);
        let cursor = line.chars().position(|c| c == '|').unwrap();
        let found = session.complete(&line.replace('|', ""), cursor);
        let written: String = line.chars().skip(found.start).take(cursor - found.start).collect();
        assert!(found.proposals.iter().all(|one| one.text.to_lowercase().starts_with(&written.to_lowercase())));
        found.proposals.into_iter().map(|one| one.text).collect()
    })
}

#[test]
fn names_arguments_columns_words_woods_files_and_figures_are_proposed() {
    let first = "t = read('harbour.xlsx')\ns = assess(t)\noaks = 3";
    let cases: [(&str, &[&str]); 13] = [
        ("asse|", &["assess"]),
        ("x = oa|", &["oaks"]),
        ("fit(s, va|", &["value="]),
        ("s.where(\"max_w|", &["max_water_content"]),
        ("s.max_w|", &["max_water_content"]),
        ("t[\"mass_ov|", &["mass_oven_dry"]),
        ("t.wh|", &["where"]),
        ("s.where(\"depth_from < 20 mm and tax|", &["taxon"]),
        ("s.where(\"taxon == 'Quercus ro|", &["Quercus robur"]),
        ("read(\"harb|", &["harbour.xlsx"]),
        ("figure(\"dens|", &["density-water"]),
        ("summary(s, by=\"context,depth_z|", &["depth_zone"]),
        ("fit(s, value=\"x\", against=\"poros|", &["porosity"]),
    ];
    for (line, expected) in cases {
        assert_eq!(proposed(first, line), expected, "{line}");
    }
    assert!(proposed(first, "x = 1 # asse|").is_empty());
    // Characters are counted, not bytes.
    assert_eq!(proposed(first, "print(\"é🪵\", s.max_w|"), ["max_water_content"]);
    assert!(!proposed(first, "|").iter().any(|name| name.starts_with('_')));
}

#[test]
fn what_stands_at_the_cursor_is_told() {
    in_harbour(|session, _| {
        text(session, "t = read('harbour.xlsx')");
        let told = |code: &str| {
            let cursor = code.chars().position(|c| c == '|').unwrap();
            session.inspect(&code.replace('|', ""), cursor, false).map(|shown| shown.text).unwrap_or_default()
        };
        let fit = told("fi|t(s)");
        assert!(fit.starts_with("fit(state, value=..., against=..., model=\"auto\""), "{fit}");
        assert!(fit.contains("Strength against state") && fit.contains("Example: f = fit(s, value="), "{fit}");
        assert!(told("summary(s, |").starts_with("summary(state,"));
        assert!(told("t.wh|ere").contains("The rows that fulfil a condition"));
        assert!(told("x|").is_empty());
        let loss = told("s.where(\"loss_of_wood_sub|stance > 3\")");
        assert!(loss.contains("100 - residual basic density"), "{loss}");
        assert!(told("t|").starts_with("table of 161 rows"));
    });
}

#[test]
fn every_function_has_its_docs() {
    in_harbour(|session, _| {
        for name in [
            "read", "study", "check", "assess", "summary", "profile", "fit", "figure", "report", "advise", "follow",
            "lift", "bath", "join", "save", "show", "clear", "help", "sources", "measured", "taxon", "settings", "fmt",
        ] {
            let shown = text(session, &format!("help({name})"));
            assert!(shown.contains("Example: "), "{shown}");
            assert_eq!(shown, text(session, &format!("help('{name}')")));
        }
        assert!(text(session, "help('not-saturated')").contains("vacuum"));
        assert!(text(session, "help(read('harbour.xlsx'))").contains(".where(condition)"));
    });
}
