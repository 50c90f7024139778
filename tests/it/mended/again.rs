//! Faults that people found who used the program: each the claim that it is mended.

use woodstate::error::{FindingCode, Severity};
use woodstate::quantity::Quantity;
use woodstate::report::{assessment_files, assessment_view, checkup_view, findings_view, text};
use woodstate::state::Status;
use woodstate::study::{Assessment, Study, check};
use woodstate::table::{Decimal, FileOut, LEDGER, Overwrite, SourceFile, TextStyle, batch_of, write_all};

use crate::support::batch::{assessed, findings, is_raised, piece, try_assess, value};
use crate::support::book::{book, raw_book};
use crate::support::program::Folder;

use super::{HEAD, said};

fn shown(assessment: &Assessment) -> String {
    text(&assessment_view(assessment), 200)
}

#[test]
fn files_of_an_earlier_run_do_not_stay_beside_new_ones() {
    let samples = format!("{HEAD},timber\nK1,5,1,B1");
    let sheets = [("samples", samples.as_str()), ("timbers", "timber\nB1"), ("log", "date,tank\n2024-05-01,T1")];
    let csv = format!("{HEAD}\nK1,5,1\n");
    let folder = Folder::of(&[("h.xlsx", &book(&sheets)), ("b.csv", csv.as_bytes())]);
    folder.run("assess h.xlsx --out h");
    assert!(folder.path("h/input_log.csv").exists());
    folder.put("h/input_timbers.csv", b"mine");
    let ended = folder.run("assess b.csv --out h");
    assert!(ended.err.contains("Removed input_log.csv of an earlier run."), "{}", ended.err);
    assert!(!folder.path("h/input_log.csv").exists());
    assert_eq!(folder.bytes("h/input_timbers.csv"), b"mine");
    let ledger = String::from_utf8(folder.bytes(&format!("h/{LEDGER}"))).unwrap();
    assert!(ledger.contains("input.csv") && !ledger.contains("input_"), "{ledger}");
}

#[test]
fn nothing_is_removed_where_a_run_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let file = |name| FileOut::bytes(name, b"1");
    write_all(folder.path(), &[file("old.csv")], Overwrite::IfOurs).unwrap();
    std::fs::write(folder.path().join("new.csv"), b"mine").unwrap();
    assert!(write_all(folder.path(), &[file("new.csv")], Overwrite::IfOurs).is_err());
    assert!(folder.path().join("old.csv").exists());
}

/// The part of a workbook with its sheet of that number, counted from 1.
fn part(bytes: &[u8], name: &str) -> String {
    use std::io::Read;
    let mut archive = zip::ZipArchive::new(std::io::Cursor::new(bytes)).unwrap();
    let mut part = String::new();
    archive.by_name(name).unwrap().read_to_string(&mut part).unwrap();
    part
}

#[test]
fn long_texts_of_a_workbook_have_room_and_names_stay_in_view() {
    let style = TextStyle { delimiter: ',', decimal: Decimal::Point };
    let csv = format!("{HEAD},timber\nK1,5,1,B1\n");
    let found = assessed(&csv, "");
    let write = || assessment_files(&found, style).unwrap();
    let bytes = write().iter().find(|file| file.name == "assess.xlsx").unwrap().bytes().unwrap();
    assert!(write().iter().any(|file| file.bytes().unwrap() == bytes));
    let results = part(&bytes, "xl/worksheets/sheet1.xml");
    assert!(results.contains("<pane xSplit=\"1\" ySplit=\"1\""), "{results}");
    // results, timbers, routes, input, findings, columns, method
    let method = part(&bytes, "xl/worksheets/sheet7.xml");
    let columns: Vec<&str> = method.split("<col ").skip(1).collect();
    let width = |column: &str| column.split("width=\"").nth(1).unwrap().split('"').next().unwrap().parse::<f64>();
    let width = width(columns[1]).unwrap();
    assert!((62.0..63.0).contains(&width), "{width}");
    let styles = part(&bytes, "xl/styles.xml");
    assert!(styles.contains("vertical=\"top\" wrapText=\"1\""), "{styles}");
}

fn text_cell(name: &str, text: &str) -> String {
    format!("<c r=\"{name}\" t=\"inlineStr\"><is><t>{text}</t></is></c>")
}

/// A piece of a workbook whose note, cell D3, stands as given.
fn with_note(cell: &str) -> Assessment {
    let head = ["sample", "mass_saturated [g]", "mass_oven_dry [g]", "note"];
    let head: String = ('A'..).zip(head).map(|(at, head)| text_cell(&format!("{at}2"), head)).collect();
    let masses = "<c r=\"B3\"><v>5</v></c><c r=\"C3\"><v>1</v></c>";
    let rows = format!("<row r=\"2\">{head}</row><row r=\"3\">{}{masses}{cell}</row>", text_cell("A3", "K1"));
    try_assess("d.xlsx", raw_book(&rows, ""), "[samples]\nheader_row = 2").unwrap()
}

#[test]
fn a_broken_text_cell_does_not_stop_a_good_water_content() {
    let error = with_note("<c r=\"D3\" t=\"e\"><v>#N/A</v></c>");
    let formula = with_note("<c r=\"D3\"><f>A3</f></c>");
    for (found, code) in [(error, FindingCode::CellError), (formula, FindingCode::FormulaNotCalculated)] {
        let finding = found.findings.iter().find(|finding| finding.code == code).unwrap();
        assert_eq!(finding.severity, Severity::Warning);
        assert!(finding.text.ends_with("; its value is unknown"), "{}", finding.text);
        assert_eq!(found.samples.get(0).unwrap().status, Status::Partial);
        assert_eq!(value(&found, Quantity::MaxWaterContent).value.to_string(), "400");
        assert_eq!(found.batch.samples.text("note", 0), None);
    }
}

#[test]
fn a_broken_name_is_not_assessed() {
    let masses = "<c r=\"B2\"><v>5</v></c><c r=\"C2\"><v>1</v></c>";
    let row = format!("<row r=\"2\"><c r=\"A2\" t=\"e\"><v>#N/A</v></c>{masses}</row>");
    let found = try_assess("d.xlsx", raw_book(&row, ""), "").unwrap();
    assert_eq!(found.samples.get(0).unwrap().status, Status::NotAssessed);
    assert!(found.findings.iter().any(|finding| finding.code == FindingCode::CellError));
}

#[test]
fn a_value_below_a_limit_makes_its_row_partial() {
    let found = assessed(&format!("{HEAD},ash_content [%]\nK1,5,1,<0.1\n"), "");
    assert_eq!(found.samples.get(0).unwrap().status, Status::Partial);
    let finding = found.findings.iter().find(|finding| finding.code == FindingCode::ValueBelowLimit).unwrap();
    assert_eq!(finding.severity, Severity::Warning);
}

#[test]
fn what_is_not_known_reads_unknown_and_what_is_not_there_none() {
    let csv = "sample,timber,core_id,mass_saturated [g],mass_oven_dry [g],depth_from [mm],depth_to [mm]\n\
               a,B1,C1,5,1,0,10\nb,B1,C1,4,1,10,20\nc,B2,C2,5,1,0,10\nd,B3,C3,5,1,,\ne,,,5,1,0,10\n";
    let shown = shown(&assessed(csv, ""));
    let line = |start: &str| {
        let line = shown.lines().find(|line| line.starts_with(start)).unwrap_or_else(|| panic!("{start}: {shown}"));
        line.split_whitespace().map(str::to_owned).collect::<Vec<_>>()
    };
    assert_eq!(line("d  ")[1..3], ["B3", "unknown"]);
    assert_eq!(line("e  ")[1..3], ["unknown", "0-10"]);
    let timber = |name: &str| line(&format!("{name}  "))[4..].join(" ");
    assert!(timber("B1").starts_with("400 ± unknown 300 ± unknown"), "{shown}");
    assert!(timber("B2").starts_with("400 ± unknown none"), "{shown}");
    assert!(timber("B3").starts_with("unknown unknown 400 - 400 d"), "{shown}");
}

#[test]
fn a_class_that_is_not_decided_says_why() {
    let unknown = assessed(&format!("{HEAD},taxon,pore_water_salinity [g/kg]\nK1,5,1,oak,0\n"), "");
    assert!(shown(&unknown).contains("I, not decided: the uncertainty is unknown"), "{}", shown(&unknown));
    // Saturated 5 g, dry 1 g: 4 cm3 of water and 0.67 cm3 of wall; a volume of 6 cm3 is not full.
    let csv = format!("{HEAD},taxon,volume_saturated [cm3]\nK1,5.5,1,oak,7\n");
    let found = assessed(&csv, "[instruments]\nbalance = \"0.01 g\"\nvolume_uncertainty = \"0.01 cm3\"");
    assert!(is_raised(&found, woodstate::error::CautionCode::NotSaturated));
    assert!(shown(&found).contains("I > 99 %, not decided: not saturated"), "{}", shown(&found));
}

#[test]
fn shares_stand_in_the_order_of_the_scheme_and_add_up_to_100() {
    let bands = "classes = [{ label = \"poor\", from = 500.0 }, { label = \"fair\", from = 300.0, to = 500.0 }, \
                 { label = \"good\", to = 300.0 }]";
    let study = format!(
        "[instruments]\nbalance = \"0.05 g\"\n[assess]\nscheme = \"mine\"\n[schemes.mine]\ntitle = \"t\"\n\
         source = \"s\"\nquantity = \"max_water_content\"\nscope = [\"Quercus robur\"]\n{bands}"
    );
    let found = assessed(&format!("{HEAD},taxon,pore_water_salinity [g/kg]\nK1,0.40,0.08,Quercus robur,0\n"), &study);
    let shown = shown(&found);
    let class = shown.split("not decided: ").nth(1).unwrap_or_else(|| panic!("{shown}"));
    let class = class.lines().next().unwrap().split("  ").next().unwrap();
    let labels: Vec<&str> = class.split(", ").map(|share| share.split(' ').next().unwrap()).collect();
    let mut expected = ["poor", "fair", "good"].to_vec();
    expected.retain(|label| labels.contains(label));
    assert_eq!(labels, expected);
    assert!(labels.len() > 1);
    let whole = class.split(", ").map(|share| share.split(' ').nth(1).unwrap().parse::<u32>().unwrap());
    assert_eq!(whole.sum::<u32>(), 100, "{class}");
}

/// Text and cure of the only unreadable number.
fn fault(cell: &str, decimal: &str) -> (String, String) {
    let csv = format!("sample;mass_saturated [g];mass_oven_dry [g]\nK1;5;{cell}\n");
    let found = assessed(&csv, &format!("[samples]\ndelimiter = \";\"\ndecimal = \"{decimal}\""));
    let finding = found.findings.iter().find(|finding| finding.code == FindingCode::NumberUnreadable).unwrap();
    (finding.text.clone(), finding.cure.clone())
}

#[test]
fn a_number_that_cannot_be_read_has_the_cure_for_its_fault() {
    for (cell, decimal, why) in [
        ("1.234,5", ",", "the decimal mark of this table is the comma"),
        ("1 234,5", ",", "the decimal mark of this table is the comma"),
        ("0.71", ",", "the decimal mark of this table is the comma"),
        ("4,71", ".", "the decimal mark of this table is the point"),
        ("1,234.5", ".", "the decimal mark of this table is the point"),
        ("0,71 g", ",", "the cell holds a unit"),
        ("12 %", ".", "the cell holds a unit"),
    ] {
        let (text, cure) = fault(cell, decimal);
        assert!(text.contains(why), "{cell}: {text}");
        assert!(!cure.contains("missing"), "{cell}: {cure}");
    }
    assert_eq!(fault("1 234", ".").1, "write it without spaces");
    assert!(fault("n.b.", ",").1.contains("missing"));
    for cell in ["1 2", "2024-05-31", "3 or 4"] {
        assert_eq!(fault(cell, ".").1, "write the number alone", "{cell}");
    }
}

#[test]
fn a_word_is_no_ambiguous_number() {
    let found = assessed(&format!("{HEAD}\nK1,5.001,n.b.\n"), "");
    let finding = found.findings.iter().find(|finding| finding.value.as_deref() == Some("n.b.")).unwrap();
    assert_eq!(finding.code, FindingCode::NumberUnreadable);
}

#[test]
fn many_rows_are_named_in_the_plural() {
    let found = assessed(&format!("{HEAD}\nK1,5,1\nK1,5,1\nK2,5,x\n"), "");
    let shown = shown(&found);
    assert!(shown.contains("see the findings of rows 2 and 3"), "{shown}");
    assert!(shown.contains("see the findings of row 4"), "{shown}");
}

#[test]
fn columns_that_mean_the_same_are_named_by_their_letters() {
    let found = assessed(&format!("{HEAD},taxon,taxon\nK1,5,1,oak,ash\n"), "");
    assert_eq!(said(&found, FindingCode::ColumnTwice)[0], "columns D and E both mean taxon; neither is used");
}

#[test]
fn an_empty_text_file_is_told_without_sheets_and_shows_no_table() {
    let ended = Folder::of(&[("d.csv", format!("{HEAD}\n").as_bytes())]).run("assess d.csv");
    assert!(ended.err.contains("table-empty") && !ended.err.contains("--sheet"), "{}", ended.err);
    assert!(ended.out.starts_with("± is one standard"), "{}", ended.out);
}

#[test]
fn a_fault_of_the_system_is_told_in_plain_words() {
    let folder = Folder::of(&[("d.csv", b"x")]);
    let ended = folder.run("assess nothing.csv");
    assert!(ended.err.contains("cannot read nothing.csv: there is no such file"), "{}", ended.err);
    assert!(!ended.err.contains("os error"), "{}", ended.err);
    let ended = folder.run("assess d.csv --seed -x");
    assert!(!ended.err.contains("digit"), "{}", ended.err);
    let ended = folder.run("assess d.csv --seed abc");
    assert!(ended.err.contains("a whole number from 0"), "{}", ended.err);
}

#[test]
fn the_last_line_of_a_check_has_a_word_that_can_be_explained() {
    let study = Study::unstated().unwrap();
    let silent = woodstate::numeric::Watch::silent();
    let shown = |csv: String| {
        let batch = batch_of(&SourceFile::from_bytes("d.csv", csv.into()), &study.read, &silent).unwrap();
        text(&checkup_view(&check(&study, batch, &silent).unwrap()), 300)
    };
    assert!(shown(format!("{HEAD},mine\nK1,5,x,1\n")).ends_with("woodstate explain number-unreadable\n"));
    assert!(shown(format!("{HEAD}\nK1,5,1\n")).ends_with("woodstate explain max_water_content\n"));
}

#[test]
fn a_table_without_known_headers_names_the_row_with_most_words() {
    let csv = "A title;;\n\nProbe;Nass;Trocken\nK1;5;1\n";
    let error = try_assess("d.csv", csv, "").unwrap_err();
    assert!(error.to_string().contains("row 3 has most words: Probe | Nass | Trocken"), "{error}");
    assert!(error.hint().unwrap().contains("say --header-row 3"), "{:?}", error.hint());
}

#[test]
fn a_row_of_means_is_assessed_and_pointed_out() {
    let found = assessed(&format!("{HEAD}\nK1,5,1\nMITTELWERT,5,1\nMean value,5,1\n"), "");
    assert_eq!(said(&found, FindingCode::SummaryRow), ["the row looks like a summary of others; if it is, delete it"]);
    assert_eq!(piece(&found, "MITTELWERT").status, Status::Assessed);
    assert!(findings(&found).contains(&FindingCode::SummaryRow));
    let view = text(&findings_view(&found.findings), 200);
    assert!(view.contains("summary-row (assessed all the same)"), "{view}");
}
