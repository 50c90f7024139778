//! A figure: one line from a result to plain data, then changed, then drawn.
#![allow(clippy::print_stdout, reason = "an example shows its results")]

use std::path::Path;

use woodstate::error::Result;
use woodstate::figure::{FigureChoice, Sheet, SheetSize, box_points};
use woodstate::numeric::Watch;
use woodstate::study::{Study, assess};
use woodstate::table::{Overwrite, read_batch, write_file};

fn main() -> Result<()> {
    let file = Path::new("datasets-demo/harbour/harbour.xlsx");
    let study = Study::beside(file)?.map_or_else(Study::unstated, Ok)?;
    let batch = read_batch(file, &study.read, &Watch::silent())?;
    let assessment = assess(&study, batch, &Watch::silent())?;
    let choice = FigureChoice { value: vec!["basic_density".to_owned()], ..FigureChoice::default() };
    let mut figure = box_points(&assessment, &choice)?;
    figure.panels[0].x.title = "Basic density of the harbour finds (kg m^{-3})".to_owned();
    let figure = figure.with_x_range([0.0, 500.0]);
    println!("{}", figure.caption);
    let svg = figure.svg(&Sheet::of(SheetSize::Single, None))?;
    write_file("target/example/boxes.svg", svg.as_bytes(), Overwrite::Force)
}
