//! Strength against state: from a table of tests to a curve with its band.
#![allow(clippy::print_stdout, reason = "an example shows its results")]

use std::path::Path;

use woodstate::error::Result;
use woodstate::numeric::Watch;
use woodstate::study::{FitQuestion, Study, fit};
use woodstate::table::read_batch;

fn main() -> Result<()> {
    let file = Path::new("datasets-demo/strength/mechanics.csv");
    let study = Study::beside(file)?.map_or_else(Study::unstated, Ok)?;
    let batch = read_batch(file, &study.read, &Watch::silent())?;
    let mut question = FitQuestion::of("compression_parallel", "residual_basic_density");
    question.condition = Some("taxon == 'oak'".to_owned());
    let curves = fit(&study, batch, &question, &Watch::silent())?;
    let curve = &curves.fits[0];
    println!("{}", curve.meaning);
    for point in curve.curve.iter().step_by(10) {
        if let Some([low, high]) = point.prediction {
            println!("{:5.1} %  {:5.2} MPa, a new piece {low:.2} to {high:.2}", point.x, point.fit);
        }
    }
    Ok(())
}
