//! The pages of the demonstration data: form, order, what stands where.

use woodstate::report::PageFigure;

use crate::support::expected::equals;

use super::markup::{check, texts};
use super::{file, harbour, reported, text, without_style};

#[test]
fn the_pages_read_as_expected() {
    let folder = harbour();
    equals("report/harbour.html", &without_style(&text(&folder, "out/report.html")));
    equals("report/harbour_timbers.md", &text(&folder, "out/timbers.md"));
    equals("report/harbour_timbers.tex", &text(&folder, "out/timbers.tex"));
}

#[test]
fn the_pages_are_well_formed() {
    let folder = harbour();
    check(&text(&folder, "out/report.html"));
    check(&text(&folder, "out/sheets.html"));
}

#[test]
fn the_sections_stand_in_their_order() {
    let expected = [
        "0 In one page",
        "1 What was measured, and how",
        "2 Findings in the file, and what was done",
        "3 State of the timbers and pieces",
        "4 Classes",
        "5 In depth",
        "6 Parts of the site compared",
        "7 Strength",
        "8 Weight and support when lifting",
        "9 Treatment",
        "10 Following the treatment",
        "11 After treatment",
        "12 Cautions",
        "13 Methods, ready to paste",
        "14 Sources, with evidence",
        "15 Words and symbols",
        "16 How this report was made",
    ];
    assert_eq!(texts(&text(&harbour(), "out/report.html"), "h2"), expected);
    // A section without data says so, and stays.
    let page = file(&reported("sample\n", ""), &[], "report.html");
    check(&page);
    assert_eq!(texts(&page, "h2"), expected);
    for line in [
        "No piece was measured.",
        "No timber is named in the file.",
        "No number was measured.",
        "No class was read.",
        "No depth was measured of a timber.",
        "Nothing in the file divides the site into parts.",
        "No strength was measured.",
        "No weight and no support was computed.",
        "No treatment was judged.",
        "No treated wood was evaluated.",
        "No caution was raised.",
        "No quantity was computed.",
    ] {
        assert!(texts(&page, "p").iter().any(|text| text == line), "{line}");
    }
}

#[test]
fn each_timber_has_a_decision_sheet_with_room_to_write() {
    let sheets = text(&harbour(), "out/sheets.html");
    assert_eq!(texts(&sheets, "h2").len(), 28);
    assert_eq!(sheets.matches("<dt>Decision, and why</dt><dd></dd><dd></dd><dd></dd>").count(), 28);
    for line in ["<dt>Name</dt><dd></dd>", "<dt>Date</dt><dd></dd>"] {
        assert_eq!(sheets.matches(line).count(), 28);
    }
}

#[test]
fn links_to_decision_sheets_lead_there() {
    let folder = harbour();
    let (page, sheets) = (text(&folder, "out/report.html"), text(&folder, "out/sheets.html"));
    let targets: Vec<&str> =
        page.split("href=\"sheets.html#").skip(1).map(|rest| rest.split('"').next().unwrap()).collect();
    assert!(targets.len() >= 28);
    for target in targets {
        assert!(sheets.contains(&format!("id=\"{target}\"")), "{target}");
    }
}

#[test]
fn cautions_about_safety_defer_to_local_codes() {
    let warnings = text(&harbour(), "out/report.html");
    for words in ["ovens at 103 °C", "hydrogen sulfide", "biocides", "formaldehyde", "licensed person", "local codes"]
    {
        assert!(warnings.contains(words), "{words}");
    }
}

#[test]
fn a_figure_stands_in_its_section_with_its_files() {
    let report = reported("sample,timber,mass_saturated [g],mass_oven_dry [g]\nK1,B7,2.09,0.34\n", "");
    let svg = "<svg viewBox=\"0 0 10 10\" role=\"img\" aria-labelledby=\"f1-t f1-d\"><title id=\"f1-t\">Bars</title>\
               <desc id=\"f1-d\">One bar.</desc><rect width=\"5\" height=\"5\"/></svg>";
    let figure = PageFigure {
        name: "class-shares".to_owned(),
        svg: svg.to_owned(),
        caption: "Shares of <classes>".to_owned(),
        files: vec!["class-shares.svg".to_owned(), "class-shares.csv".to_owned()],
    };
    let page = file(&report, &[figure], "report.html");
    check(&page);
    let classes = page.find("id=\"classes\"").unwrap();
    let depth = page.find("id=\"depth\"").unwrap();
    assert!(page[classes..depth].contains(svg));
    assert!(
        page[classes..depth].contains(
            "Shares of &lt;classes&gt; <span class=\"files\">Files: class-shares.svg, class-shares.csv.</span>"
        )
    );
    assert!(!page[classes..depth].contains("No figure was drawn."));
}

#[test]
fn long_tables_stop_at_200_rows_and_say_where_the_rest_is() {
    let rows: String = (0..203).map(|n| format!("K{n},B{n:03},{},1\n", 3.0 + f64::from(n) / 100.0)).collect();
    let report = reported(&format!("sample,timber,mass_saturated [g],mass_oven_dry [g]\n{rows}"), "");
    let page = file(&report, &[], "report.html");
    check(&page);
    let said = texts(&page, "p");
    for line in [
        "The first 200 of 203 timbers; the sheet timbers of the workbook and timbers.csv have all.",
        "The first 200 of 203 pieces; the sheet results of the workbook and results.csv have all.",
    ] {
        assert!(said.iter().any(|text| text == line), "{line}");
    }
    assert!(page.contains(">K199</th>") && !page.contains(">K200</th>"));
    assert!(file(&report, &[], "pieces.md").contains("| K202 |"));
}
