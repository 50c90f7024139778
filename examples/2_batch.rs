//! A batch: the state of every timber of the demonstration harbour.
#![allow(clippy::print_stdout, reason = "an example shows its results")]

use std::path::Path;

use woodstate::error::Result;
use woodstate::numeric::Watch;
use woodstate::quantity::Quantity;
use woodstate::study::{Study, assess};
use woodstate::table::read_batch;

fn main() -> Result<()> {
    let file = Path::new("datasets-demo/harbour/harbour.xlsx");
    let study = Study::beside(file)?.map_or_else(Study::unstated, Ok)?;
    let batch = read_batch(file, &study.read, &Watch::silent())?;
    let outcome = assess(&study, batch, &Watch::silent())?;
    for timber in &outcome.timbers {
        let outer = timber.outer.as_ref().and_then(|zone| zone.values.of(Quantity::MaxWaterContent));
        let outer = outer.map_or_else(|| "unknown".to_owned(), |content| content.shown());
        let class = timber.degradation_class.most_likely.as_deref().unwrap_or("no class");
        println!("{}: outer water content {outer} %, {class}", timber.timber);
    }
    Ok(())
}
