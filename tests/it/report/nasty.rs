//! Names that are formulas, markup, paths and templates do no harm.

use crate::support::expected::equals;
use crate::support::program::Folder;

use super::markup::{check, texts};
use super::{file, reported, without_style};

const NASTY: &str = "\
sample,timber,context,taxon,depth_from [mm],mass_saturated [g],mass_oven_dry [g],mass_immersed [g],note
=1+2,<script>alert(1)</script>,a,oak,0,4.71,0.76,0.27,=HYPERLINK(\"x\")
\"<b onclick=\"\"alert(1)\"\">x</b>\",../../etc/passwd,\"a\"\"b\",oak,10,4.10,0.84,0.29,
@SUM(A1),{{ 7 * 7 }},a,,,,,,
{% raw %},Ö&ü <!--,,Scots pine,0,3.87,0.71,0.25,
K5,,,oak,0,4.15,1.75,0.59,
";

#[test]
fn the_pages_of_nasty_names_read_as_expected_and_are_well_formed() {
    let report = reported(NASTY, "title = \"</title><script>alert(2)</script>\"");
    for (name, expected) in [("report.html", "report/nasty.html"), ("sheets.html", "report/nasty_sheets.html")] {
        let page = file(&report, &[], name);
        check(&page);
        equals(expected, &without_style(&page));
    }
}

#[test]
fn a_name_is_shown_as_it_was_typed() {
    let page = file(&reported(NASTY, ""), &[], "report.html");
    let names = texts(&page, "th");
    for name in ["<script>alert(1)</script>", "../../etc/passwd", "{{ 7 * 7 }}", "{% raw %}", "=1+2", "Ö&ü <!--"] {
        assert!(names.iter().any(|text| text == name), "{name}");
    }
    assert!(!names.iter().any(|text| text == "49"));
}

#[test]
fn no_file_and_no_anchor_takes_its_name_from_a_cell() {
    let folder = Folder::of(&[("d.csv", NASTY.as_bytes())]);
    assert_eq!(folder.run("report d.csv --out out --tables tex,md --quiet").code, 3);
    let mut names: Vec<String> = std::fs::read_dir(folder.path("out"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    let plain = |name: &String| name.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || "._-".contains(c));
    assert!(names.iter().all(plain), "{names:?}");
    let sheets = String::from_utf8(folder.bytes("out/sheets.html")).unwrap();
    for anchor in ["timber-1-etc-passwd", "timber-2-script-alert-1-script", "timber-3-7-7"] {
        assert!(sheets.contains(&format!("<h2 id=\"{anchor}\">")), "{anchor}");
    }
}

#[test]
fn no_text_is_a_formula_in_delimited_text_or_markup_in_marked_text() {
    let report = reported(NASTY, "");
    let results = file(&report, &[], "results.csv");
    assert!(results.contains("\n'=1+2,") && results.contains("\n'@SUM(A1),"), "{results}");
    let tex = file(&report, &[], "timbers.tex");
    assert!(tex.contains("\\{\\{ 7 * 7 \\}\\} &") && !tex.contains("{{ 7"), "{tex}");
    let md = file(&report, &[], "timbers.md");
    assert!(md.contains("| &lt;script&gt;alert(1)&lt;/script&gt; |"), "{md}");
}

#[test]
fn one_piece_without_timber_wood_and_uncertainty_makes_a_report() {
    let report = reported("sample,mass_saturated [g],mass_oven_dry [g]\n,2.09,0.34\n", "");
    for name in ["report.html", "sheets.html"] {
        check(&file(&report, &[], name));
    }
    let page = file(&report, &[], "report.html");
    assert!(page.contains("1 piece of 0 timbers. No timber is named, so the pieces stand alone"));
    assert!(file(&report, &[], "sheets.html").contains("The file names no timber, so there is no decision sheet."));
}
