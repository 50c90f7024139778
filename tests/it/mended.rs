//! Faults that a reviewer found, each as the claim that it is mended.

mod again;
mod plain;
mod stated;

use woodstate::error::{FindingCode, Severity};
use woodstate::quantity::{Quantity, Unit};
use woodstate::report::{assessment_files, checkup_view, findings_view, text};
use woodstate::study::{Assessment, Study, check};
use woodstate::table::{Decimal, SourceFile, TextStyle, batch_of};

use crate::support::batch::{assessed, findings, try_assess, value};
use crate::support::book::book;
use crate::support::program::Folder;

const HEAD: &str = "sample,mass_saturated [g],mass_oven_dry [g]";

/// A file of the results as text.
fn written(assessment: &Assessment, name: &str) -> String {
    let style = TextStyle { delimiter: ',', decimal: Decimal::Point };
    let files = assessment_files(assessment, style).unwrap();
    String::from_utf8(files.into_iter().find(|file| file.name == name).unwrap().bytes().unwrap()).unwrap()
}

fn said(assessment: &Assessment, code: FindingCode) -> Vec<String> {
    assessment.findings.iter().filter(|finding| finding.code == code).map(|finding| finding.text.clone()).collect()
}

#[test]
fn a_column_that_stands_twice_is_used_by_no_formula_and_echoed() {
    let found = assessed(&format!("{HEAD},taxon,taxon\nK1,5,1,oak,pine\n"), "");
    assert_eq!(found.samples.get(0).unwrap().taxon, None);
    assert!(found.samples.get(0).unwrap().value(Quantity::ResidualBasicDensity).is_none());
    assert_eq!(written(&found, "input.csv").lines().last(), Some("2,K1,5,1,oak,pine"));
    let composed =
        assessed("sample,depth_from [mm],depth_from [mm],mass_saturated [g],mass_oven_dry [g]\nA,1,2,5,1\n", "");
    assert_eq!(composed.samples.get(0).unwrap().depth_from, None);
}

#[test]
fn a_column_without_unit_does_not_hide_the_one_with_a_unit() {
    let found = assessed("sample,mass_oven_dry,mass_saturated [g],mass_oven_dry [g]\nK1,7,5,1\n", "");
    assert_eq!(value(&found, Quantity::MaxWaterContent).value.to_string(), "400");
}

#[test]
fn a_composed_name_wins_over_a_column_called_sample() {
    let csv = "sample,core_id,mass_saturated [g],mass_oven_dry [g]\nx,A1,5,1\n";
    let found = assessed(csv, "[samples]\nsample = [\"core_id\"]");
    assert_eq!(found.samples.get(0).unwrap().sample.as_deref(), Some("A1"));
    let echo = written(&found, "input.csv");
    assert!(echo.starts_with("row,sample (as in the file),core_id,"), "{echo}");
    assert!(echo.contains("2,x,A1,5,1,A1"), "{echo}");
}

#[test]
fn a_refused_column_names_no_sample() {
    let csv = "core_id,core_id,mass_saturated [g],mass_oven_dry [g]\nA,B,5,1\n";
    let error = try_assess("d.csv", csv, "[samples]\nsample = [\"core_id\"]").unwrap_err();
    assert!(error.to_string().contains("\"core_id\", which is not a column"), "{error}");
}

#[test]
fn the_only_sheet_of_a_file_named_after_a_table_is_that_table() {
    let samples = format!("{HEAD},timber\nK1,5,1,B1\n");
    let one = book(&[("Balken", "timber,metal\nB1,iron")]);
    let folder = Folder::of(&[("d/samples.csv", samples.as_bytes()), ("d/timbers.xlsx", &one)]);
    assert_eq!(folder.json("assess d")["source"][1]["sheet"], "Balken");
    let two = book(&[("Balken", "timber,metal\nB1,iron"), ("Bretter", "timber\nB2")]);
    let folder = Folder::of(&[("d/samples.csv", samples.as_bytes()), ("d/timbers.xlsx", &two)]);
    let ended = folder.run("assess d");
    assert_eq!(ended.code, 5);
    assert!(ended.err.contains("none is called timbers: Balken, Bretter"), "{}", ended.err);
    assert!(ended.err.contains("sheet = \"Balken\" under [timbers]"), "{}", ended.err);
}

#[test]
fn the_sheet_that_is_meant_is_proposed_first() {
    let text = format!("{HEAD}\nK1,5,1\n");
    let bytes = book(&[("notes", "nothing"), ("samples 2024", &text)]);
    let error = try_assess("d.xlsx", bytes.clone(), "").unwrap_err();
    let hint = "say which one holds the pieces: --sheet \"samples 2024\"; or let woodstate look at the file and propose how to \
                read it: woodstate study d.xlsx";
    assert_eq!(error.hint(), Some(hint));
    let error = try_assess("d.xlsx", bytes, "[samples]\nsheet = \"Samples\"").unwrap_err();
    assert_eq!(error.hint(), Some("did you mean \"samples 2024\"?"));
}

#[test]
fn a_sheet_of_a_text_file_is_an_error() {
    let error = try_assess("d.csv", format!("{HEAD}\nK1,5,1\n"), "[samples]\nsheet = \"x\"").unwrap_err();
    assert_eq!(error.to_string(), "d.csv: is a text file and has no sheets; the sheet \"x\" was named");
}

#[test]
fn the_echo_holds_what_could_not_be_used_as_it_stands_in_the_file() {
    let csv = format!(
        "{HEAD},u(mass_oven_dry) [g],borer_damage [1],ash_content [%],charring\n\
         K1,5,1 g,0.01,0.5,<0.1,partal\nK2,5,1,-1,1.5,2,none\n"
    );
    let echo = written(&assessed(&csv, ""), "input.csv");
    let lines: Vec<&str> = echo.lines().collect();
    assert_eq!(
        lines,
        [
            "row,sample,mass_saturated [g],mass_oven_dry [g],u(mass_oven_dry) [g],borer_damage [%],ash_content [%],charring",
            "2,K1,5,1 g,0.01,50,<0.1,partal",
            "3,K2,5,1,'-1,1.5 1,2,none",
        ]
    );
}

#[test]
fn timbers_and_log_are_echoed_beside_the_samples() {
    let samples = format!("{HEAD},timber\nK1,5,1,B1");
    let sheets = [("samples", samples.as_str()), ("timbers", "timber,mine\nB1,7"), ("log", "date,tank\n2024-05-01,T1")];
    let found = try_assess("d.xlsx", book(&sheets), "").unwrap();
    assert_eq!(written(&found, "input_timbers.csv"), "row,timber,mine\n2,B1,7\n");
    assert_eq!(written(&found, "input_log.csv"), "row,date,tank\n2,2024-05-01,T1\n");
}

/// Source: 291 K - 273.15 K, and 1.005 in percent; arithmetic.
#[test]
fn converted_values_have_no_digits_of_the_machine() {
    let convert = |value: f64, from: &str, to: &str| {
        Unit::parse(from).unwrap().convert(value, Unit::parse(to).unwrap()).unwrap().to_string()
    };
    assert_eq!(convert(291.0, "K", "Cel"), "17.85");
    assert_eq!(convert(1.005, "1", "%"), "100.5");
    assert_eq!(convert(0.1034, "g/cm3", "kg/m3"), "103.4");
    let csv = format!("{HEAD},weighing_water_temperature [K]\nK1,5,1,291\n");
    let found = assessed(&csv, "");
    assert!(written(&found, "input.csv").ends_with("2,K1,5,1,17.85\n"));
    assert!(found.source[0].reading.contains(&"weighing_water_temperature converted from K to Cel".to_owned()));
}

#[test]
fn an_impossible_value_is_told_as_typed_with_the_unit_of_its_header() {
    let found = assessed(&format!("{HEAD},borer_damage [1]\nK1,5,1,1.50\n"), "");
    let texts = said(&found, FindingCode::ValueOutOfRange);
    assert_eq!(texts, ["1.50 1 is impossible for borer_damage; the value is not used"]);
}

#[test]
fn results_have_intervals_and_every_route_and_numbers_are_numbers() {
    let csv =
        format!("{HEAD},u(mass_saturated) [g],u(mass_oven_dry) [g],volume_saturated [cm3]\nK1,5,1,0.01,0.01,4.6\n");
    let found = assessed(&csv, "");
    let results = written(&found, "results.csv");
    let heads: Vec<&str> = results.lines().next().unwrap().split(',').collect();
    let at = heads.iter().position(|head| *head == "u(max_water_content) [%]").unwrap();
    assert_eq!(heads[at + 1..at + 3], ["low(max_water_content) [%]", "high(max_water_content) [%]"]);
    let [low, high] = value(&found, Quantity::MaxWaterContent).interval.unwrap();
    let cells: Vec<&str> = results.lines().nth(1).unwrap().split(',').collect();
    assert_eq!((cells[at + 1], cells[at + 2]), (low.to_string().as_str(), high.to_string().as_str()));
    let routes = written(&found, "routes.csv");
    assert!(routes.starts_with("sample,quantity,route,value,u,unit\nK1,max_water_content,weighed,400,"), "{routes}");
    let n = found.samples.get(0).unwrap().routes.max_water_content.len()
        + found.samples.get(0).unwrap().routes.basic_density.len();
    assert_eq!(routes.lines().count(), n + 1);
}

#[test]
fn counts_and_row_numbers_are_numbers_in_the_workbook() {
    use woodstate::table::{Cell, Limits, read_sheet};
    let csv = format!("{HEAD},timber,charring\nK1,5,1,B1,partal\n");
    let style = TextStyle { delimiter: ',', decimal: Decimal::Point };
    let assessment = assessed(&csv, "");
    let files = assessment_files(&assessment, style).unwrap();
    let book = &files.iter().find(|file| file.name == "assess.xlsx").unwrap().bytes().unwrap();
    for (sheet, heads) in [
        ("timbers", ["pieces", "cores"].as_slice()),
        ("findings", ["row", "count"].as_slice()),
        ("input", ["row"].as_slice()),
        ("results", ["rows"].as_slice()),
    ] {
        let grid = read_sheet(book, "assess.xlsx", Some(sheet), &Limits::default()).unwrap();
        for head in heads {
            let column = (0..grid.n_columns()).find(|column| grid.cell(0, *column) == Cell::Text(head)).unwrap();
            assert!(matches!(grid.cell(1, column), Cell::Number(_)), "{sheet}: {head}");
        }
    }
}

#[test]
fn a_misspelt_column_of_masses_is_told_once_and_shown_by_assess() {
    let csv = "sample,mas_saturated [g],mass_oven_dry [g]\nK1,5,1\nK2,5,1\n";
    let found = assessed(csv, "");
    let texts = said(&found, FindingCode::ColumnMissing);
    assert_eq!(texts, ["there is no column mass_saturated. Did you mean it by \"mas_saturated [g]\"?"]);
    let ended = Folder::of(&[("d.csv", csv.as_bytes())]).run("assess d.csv");
    for word in ["column-missing (assessed without it)", "column-unknown (assessed without it)"] {
        assert!(ended.err.contains(word), "{}", ended.err);
    }
    let severity = |header: &str| {
        let found = assessed(&format!("{HEAD},{header}\nK1,5,1,x\n"), "");
        found.findings.iter().find(|finding| finding.code == FindingCode::ColumnUnknown).unwrap().severity
    };
    assert_eq!((severity("charing"), severity("Bemerkung")), (Severity::Warning, Severity::Note));
}

#[test]
fn empty_cells_at_the_end_of_a_row_do_not_count() {
    let csv = "sample;taxon;mass_saturated [g];mass_oven_dry [g]\nA;Eiche;5,00;1,00;;\nB;Eiche;5,00;1,25;;\n";
    let found = assessed(csv, "");
    assert!(found.source[0].reading.contains(&"delimiter \";\" found".to_owned()), "{:?}", found.source);
    assert_eq!(found.counts.assessed, 2);
    assert!(!findings(&found).contains(&FindingCode::RowRagged));
    let ragged = assessed("sample;mass_saturated [g];mass_oven_dry [g]\nA;5,00;1,00;;7\n", "");
    assert_eq!(
        said(&ragged, FindingCode::RowRagged),
        ["the row has 5 cells and the table 3 headers; it is not assessed"]
    );
}

#[test]
fn a_unit_that_is_only_taken_for_another_is_noted() {
    let of = |unit: &str| {
        let found = assessed(&format!("{HEAD},pore_water_salinity [{unit}]\nK1,5,1,7\n"), "");
        said(&found, FindingCode::UnitReadAs)
    };
    assert_eq!(of("psu"), ["psu is read as g/kg"]);
    assert_eq!(of("ppm"), ["ppm is read as mg/kg"]);
    assert_eq!(of("g/kg"), [""; 0]);
    let same = assessed(&format!("{HEAD},volume_saturated [cm³],weighing_water_temperature [°C]\nK1,5,1,4.6,18\n"), "");
    assert_eq!(said(&same, FindingCode::UnitReadAs), [""; 0]);
}

#[test]
fn an_unknown_unit_lists_those_of_its_dimension_and_the_nearest() {
    let found = assessed("sample,mass_saturated [gramms],mass_oven_dry [g]\nK1,5,1\n", "");
    let texts = said(&found, FindingCode::UnitUnknown);
    assert_eq!(texts, ["the unit \"gramms\" is not known here; the column is not used. Did you mean gramm?"]);
}

#[test]
fn an_uncertainty_without_its_column_says_so() {
    let found = assessed("sample,mass_saturated [g],u(mass_oven_dry) [g]\nK1,5,0.01\n", "");
    let texts = said(&found, FindingCode::UncertaintyInvalid);
    assert_eq!(texts, ["no column mass_oven_dry for this uncertainty; it is not used"]);
    assert!(written(&found, "input.csv").contains("2,K1,5,0.01"));
}

#[test]
fn one_is_counted_in_the_singular_and_no_sentence_ends_twice() {
    let csv = "sample,mass_saturated [g],volume_saturated [cm3],charring\nK1,5,4.6,partal\n";
    let study = Study::unstated().unwrap();
    let batch =
        batch_of(&SourceFile::from_bytes("d.csv", csv.into()), &study.read, &woodstate::numeric::Watch::silent());
    let shown = text(&checkup_view(&check(&study, batch.unwrap(), &woodstate::numeric::Watch::silent()).unwrap()), 200);
    assert!(shown.contains("1 row:") && shown.contains("1 piece without drying"), "{shown}");
    assert!(!shown.contains("1 rows") && !shown.contains("1 pieces") && !shown.contains("1 cells"), "{shown}");
    let shown = text(&findings_view(&assessed(csv, "").findings), 200);
    assert!(!shown.contains("..") && !shown.contains("?."), "{shown}");
}

#[test]
fn the_limit_of_cells_can_be_set() {
    let text = format!("{HEAD}\nK1,5,1\nK2,5,1\n");
    let folder = Folder::of(&[("d.csv", text.as_bytes()), ("d.xlsx", &book(&[("samples", &text)]))]);
    for file in ["d.csv", "d.xlsx"] {
        assert_eq!(folder.run(&format!("assess {file} --max-cells 9")).code, 0, "{file}");
        let ended = folder.run(&format!("assess {file} --max-cells 8"));
        assert_eq!(ended.code, 5, "{file}");
        assert!(ended.err.contains("--max-cells"), "{}", ended.err);
    }
    assert_eq!(folder.run("assess d.csv --max-cells 0").code, 2);
}
