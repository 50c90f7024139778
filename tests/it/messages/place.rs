//! Places are those of the file: rows as its editor counts them, cells, and headers as they are written.

use woodstate::error::Place;
use woodstate::state::PieceView;

use crate::support::batch::assessed;

fn check(csv: &str) -> Vec<Place> {
    assessed(csv, "").findings.into_iter().map(|finding| finding.place).collect()
}

fn place(row: usize, cell: &str, column: &str) -> Place {
    let (row, cell, column) = (Some(row), Some(cell.to_owned()), Some(column.to_owned()));
    Place { file: "d.csv".to_owned(), sheet: None, row, cell, column }
}

#[test]
fn a_title_a_blank_line_and_a_line_end_in_quotes_do_not_shift_rows() {
    let csv = "Drowned harbour;;;\n\nsample;note;mass_saturated [g];mass_oven_dry [g]\n\
               K1;\"two\nlines\";5,00;1,00\n\nK2;;5,00;abc\nK3;;5,00;6,00\n";
    let found = check(csv);
    assert_eq!(found, [place(7, "D7", "mass_oven_dry [g]"), place(8, "D8", "mass_oven_dry [g]")]);
}

#[test]
fn a_place_is_shown_as_file_row_cell_and_column() {
    assert_eq!(place(7, "D7", "dry [g]").to_string(), "d.csv:7 (D7), column \"dry [g]\"");
    let sheet = Place { sheet: Some("Proben".to_owned()), ..place(7, "D7", "dry [g]") };
    assert_eq!(sheet.to_string(), "d.csv Proben!D7, column \"dry [g]\"");
}

#[test]
fn rows_of_an_outcome_are_those_of_the_file() {
    let outcome = assessed("title\n\nsample,mass_saturated [g],mass_oven_dry [g]\n\nK1,5,1\nK2,5,1\n", "");
    let rows: Vec<&[usize]> = outcome.samples.views().map(PieceView::rows).collect();
    assert_eq!(rows, [[5], [6]]);
}

#[test]
fn a_finding_about_the_header_stands_at_the_header() {
    let found = check("a title\nsample,mass_saturated [g],mass_oven_dry [g],Kern\nK1,5,1,x\n");
    assert_eq!(found, [place(2, "D2", "Kern")]);
}
