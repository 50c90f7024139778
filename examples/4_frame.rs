//! A data frame in, a data frame out: two invented pieces of a fish trap.
#![allow(clippy::print_stdout, reason = "an example shows its results")]

use std::error::Error;

use polars::prelude::{DataFrame, df};
use woodstate::numeric::Watch;
use woodstate::report::result_sheet;
use woodstate::study::{Study, assess};
use woodstate::table::{Batch, TableKind, frame_of_rows, table_of_frame};

fn main() -> Result<(), Box<dyn Error>> {
    let frame = df!(
        "sample" => ["T1", "T2"],
        "taxon" => ["Quercus robur", "Quercus robur"],
        // No unit in a name: the unit in which woodstate keeps the column.
        "mass_saturated" => [31.20, 28.40],
        "u(mass_saturated) [mg]" => [20.0, 20.0],
        // Unknown is null, or NaN as NumPy writes it.
        "mass_oven_dry [g]" => [Some(10.40), None],
    )?;
    let study = Study::unstated()?;
    let (table, findings) = table_of_frame(&frame, TableKind::Samples, &study.read, &Watch::silent())?;
    assert!(findings.is_empty(), "{findings:?}");
    let outcome = assess(&study, Batch::of_samples(table), &Watch::silent())?;

    let sheet = result_sheet(&outcome);
    let rows = (0..sheet.n_rows).map(|row| sheet.cells(row));
    let results: DataFrame = frame_of_rows(&sheet.columns, rows)?;
    let water = results.column("max_water_content [%]")?.f64()?;
    // (31.20 g - 10.40 g) / 10.40 g
    assert!(water.get(0).is_some_and(|content| (content - 200.0).abs() < 1e-9));
    assert_eq!(water.get(1), None);
    for (sample, content) in results.column("sample")?.str()?.iter().zip(water.iter()) {
        let content = content.map_or_else(|| "unknown".to_owned(), |content| format!("{content:.0} %"));
        println!("{}: {content}", sample.unwrap_or("unnamed"));
    }
    Ok(())
}
