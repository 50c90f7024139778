//! For each finding: a smallest file in which it fires, and the same file mended.

use woodstate::error::FindingCode;

use crate::support::book::{book, raw_book};

/// File name, content, study file.
pub(crate) type Input = (&'static str, Vec<u8>, &'static str);

const HEAD: &str = "sample,mass_saturated [g],mass_oven_dry [g]";

fn csv(text: &str) -> Input {
    ("d.csv", text.as_bytes().to_vec(), "")
}

/// One piece whose row has one more column.
fn with(header: &str, cell: &str) -> Input {
    csv(&format!("{HEAD},{header}\nK1,5.00,1.00,{cell}\n"))
}

fn rows(rows: &str) -> Input {
    csv(&format!("{HEAD}\n{rows}\n"))
}

fn raw(row: &str, behind: &str) -> Input {
    let row = format!("<row r=\"2\"><c r=\"A2\" t=\"inlineStr\"><is><t>K1</t></is></c>{row}</row>");
    ("d.xlsx", raw_book(&row, behind), "")
}

fn books(sheets: &[(&str, &str)]) -> Input {
    ("d.xlsx", book(sheets), "")
}

fn studied(text: &str, study: &'static str) -> Input {
    ("d.csv", text.as_bytes().to_vec(), study)
}

const OF_MASSES: [&str; 2] = ["<c r=\"B2\"><v>5</v></c>", "<c r=\"C2\"><v>1</v></c>"];

/// Where it fires, and where it is quiet.
pub(crate) fn beside(code: FindingCode) -> (Input, Input) {
    let [wet, dry] = OF_MASSES;
    let whole = format!("{wet}{dry}");
    let masses = || rows("K1,5.00,1.00");
    match code {
        FindingCode::TableEmpty => (csv(&format!("{HEAD}\n")), masses()),
        FindingCode::ColumnUnknown => (with("deth_from [mm]", "0"), with("depth_from [mm]", "0")),
        FindingCode::ColumnTwice => (with("mass_oven_dry [kg]", "0.001"), with("mass_air_dry [kg]", "0.001")),
        FindingCode::UnitMissing => (csv("sample,mass_saturated [g],mass_oven_dry\nK1,5.00,1.00\n"), masses()),
        FindingCode::UnitUnknown => (csv("sample,mass_saturated [g],mass_oven_dry [mm]\nK1,5.00,1.00\n"), masses()),
        FindingCode::UnitOverridden => {
            let study = "[samples.columns]\n\"Tiefe von [cm]\" = \"depth_from [mm]\"\n";
            let same = "[samples.columns]\n\"Tiefe von [cm]\" = \"depth_from [cm]\"\n";
            let text = format!("{HEAD},Tiefe von [cm]\nK1,5.00,1.00,10\n");
            (studied(&text, study), studied(&text, same))
        }
        FindingCode::BasisMissing => (with("water content [%]", "400"), with("water content dry basis [%]", "400")),
        FindingCode::NumberUnreadable => {
            let fires = rows("K1,5.00,n.b.");
            (fires, ("d.csv", format!("{HEAD}\nK1,5.00,n.b.\n").into_bytes(), "missing = [\"n.b.\"]"))
        }
        FindingCode::NumberAmbiguous => (rows("K1,5.001,1.001"), rows("K1,5.001,1.01")),
        FindingCode::ValueBelowLimit => (rows("K1,5.00,<0.1"), rows("K1,5.00,0.1")),
        FindingCode::ValueOutOfRange => (with("borer_damage [%]", "150"), with("borer_damage [%]", "100")),
        FindingCode::WordUnknown => (with("charring", "partal"), with("charring", "Partial")),
        FindingCode::DateUnreadable => (with("date_sampled", "01/05/2024"), with("date_sampled", "2024-05-01")),
        FindingCode::CellError => {
            (raw(&format!("{wet}<c r=\"C2\" t=\"e\"><f>1/0</f><v>#DIV/0!</v></c>"), ""), raw(&whole, ""))
        }
        FindingCode::FormulaNotCalculated => (
            raw(&format!("{wet}<c r=\"C2\"><f>B2/5</f></c>"), ""),
            raw(&format!("{wet}<c r=\"C2\"><f>B2/5</f><v>1</v></c>"), ""),
        ),
        FindingCode::CellsMerged => {
            (raw(&whole, "<mergeCells><mergeCell ref=\"B2:C2\"/></mergeCells>"), raw(&whole, ""))
        }
        FindingCode::PercentFormat => (raw(&format!("{wet}<c r=\"C2\" s=\"1\"><v>1</v></c>"), ""), raw(&whole, "")),
        FindingCode::NumberAsText => {
            (raw(&format!("{wet}<c r=\"C2\" t=\"inlineStr\"><is><t>1.00</t></is></c>"), ""), raw(&whole, ""))
        }
        FindingCode::RowRagged => (rows("K1,5.00,1.00,2"), rows("K1,5.00,\"1.00\"")),
        FindingCode::SampleMissing => (rows(",5.00,1.00"), masses()),
        FindingCode::SampleTwice => {
            let twice = |first: &str, second: &str| {
                csv(&format!("{HEAD},replicate\nK1,5.00,1.00,{first}\nK1,5.01,1.00,{second}\n"))
            };
            (twice("1", "1"), twice("1", "2"))
        }
        FindingCode::SummaryRow => (rows("Mittelwert,5.00,1.00"), rows("Mittelwert 1,5.00,1.00")),
        FindingCode::PairImpossible => (rows("K1,5.00,5.00"), rows("K1,5.00,4.99")),
        FindingCode::DepthOrder => {
            (with("depth_from [mm],depth_to [mm]", "10,10"), with("depth_from [mm],depth_to [mm]", "10,11"))
        }
        FindingCode::MassMissing => (rows("K1,5.00,"), masses()),
        FindingCode::TaxonUnknown => (with("taxon", "Quercus roburr"), with("taxon", "Quercus robur")),
        FindingCode::TimberUnknown => {
            let samples = format!("{HEAD},timber\nK1,5,1,B11");
            let listed = |name: &str| books(&[("samples", samples.as_str()), ("timbers", &format!("timber\n{name}"))]);
            (listed("B12"), listed("B11"))
        }
        FindingCode::TimberDisagrees => {
            let two = |other: &str| csv(&format!("{HEAD},timber,taxon\nK1,5,1,B1,oak\nK2,5,1,B1,{other}\n"));
            (two("ash"), two("Quercus"))
        }
        FindingCode::ColumnMissing => (
            csv("sample,mass_saturatd [g],mass_oven_dry [g]\nK1,5.00,1.00\n"),
            csv("sample,weight [g],mass_oven_dry [g]\nK1,5.00,1.00\n"),
        ),
        FindingCode::UnitReadAs => (with("pore_water_salinity [psu]", "7"), with("pore_water_salinity [g/kg]", "7")),
        FindingCode::TimberTwice => {
            let samples = format!("{HEAD},timber\nK1,5,1,B1");
            let listed =
                |other: &str| books(&[("samples", samples.as_str()), ("timbers", &format!("timber\nB1\n{other}"))]);
            (listed("B1"), listed("B2"))
        }
        FindingCode::OutlineUnreadable => {
            (with("section_outline", "0 0; 9 9; 9 0; 0 9"), with("section_outline", "0 0; 9 0; 9 9; 0 9"))
        }
        FindingCode::UncertaintyInvalid => {
            (with("u(mass_saturated) [g]", "-0.01"), with("u(mass_saturated) [g]", "0.01"))
        }
    }
}
