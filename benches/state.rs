//! Times the state of a batch in memory; `benches/run` compares it with peers. `cargo bench --bench state -- columns|assess FILE
//! THREADS ROUNDS` reads a batch and prints one JSON object; without arguments it does nothing but say so.
#![allow(clippy::print_stdout, reason = "OK because a bench shows its results")]

use std::hint::black_box;
use std::path::Path;
use std::time::Instant;

use woodstate::error::Result;
use woodstate::numeric::Watch;
use woodstate::quantity::Measured;
use woodstate::reference::Reference;
use woodstate::state::{
    Cause, ColumnUncertainty, PieceColumns, Reading, ReadingColumn, Readings, Rules, Shape, StateOptions, assess,
    propagate_columns,
};
use woodstate::study::Study;
use woodstate::table::{Batch, read_batch};

fn main() -> Result<()> {
    // Cargo adds --bench.
    let words: Vec<String> = std::env::args().skip(1).filter(|word| !word.starts_with("--")).collect();
    let [what, file, threads, rounds] = words.as_slice() else {
        println!("usage: state columns|assess FILE THREADS ROUNDS; benches/run does it for you");
        return Ok(());
    };
    let (threads, rounds): (usize, usize) = (threads.parse().unwrap_or(1), rounds.parse().unwrap_or(5));
    let file = Path::new(file);
    let mut study = Study::beside(file)?.map_or_else(Study::unstated, Ok)?;
    study.read.max_cells = Some(usize::MAX);
    let batch = read_batch(file, &study.read, &Watch::silent())?;
    let mut seconds = Vec::new();
    for _ in 0..rounds {
        let taken = if what == "columns" { columns(&batch, &study, threads)? } else { whole(&batch, &study, threads)? };
        seconds.push(taken);
    }
    println!("{{\"rows\": {}, \"threads\": {threads}, \"seconds\": {seconds:?}}}", batch.samples.n_rows());
    Ok(())
}

/// Every row looked at, with cautions and timbers: what the program does between reading and writing.
fn whole(batch: &Batch, study: &Study, threads: usize) -> Result<f64> {
    let options = StateOptions { threads: Some(threads), ..study.options.clone() };
    let reference = Reference::shipped()?;
    let start = Instant::now();
    let state = assess(black_box(batch), &options, reference, &Watch::silent())?;
    let seconds = start.elapsed().as_secs_f64();
    // Its end is not timed, as that of the arrays of the peers is not.
    drop(black_box(state));
    Ok(seconds)
}

/// Three columns of masses to every quantity and the probabilities of the classes: what the peers do.
fn columns(batch: &Batch, study: &Study, threads: usize) -> Result<f64> {
    let (options, reference) = (&study.options, Reference::shipped()?);
    let mut common = Readings::default();
    let sound = options.references.first().map(|stated| stated.density);
    let stated = [
        (Cause::CellWallDensity, Some(options.cell_wall_density)),
        (Cause::SoundBasicDensity, sound),
        (Cause::WeighingTemperature, options.waters.weighing_temperature),
        (Cause::WeighingSalinity, Some(Measured { value: 0.0, u: Some(0.0) })),
        (Cause::PoreSalinity, options.waters.pore_salinity),
    ];
    for (cause, measured) in stated {
        if let Some(measured) = measured {
            common.set(cause, Reading::normal(measured.value, measured.u));
        }
    }
    let calibration = options.instruments.balance_calibration.map(|percent| percent / 100.0);
    common.set(Cause::BalanceCalibration, Reading::normal(0.0, calibration));
    let u = options
        .instruments
        .balance
        .map_or(ColumnUncertainty::Unknown, |width| ColumnUncertainty::Same(width / 12.0_f64.sqrt()));
    let masses = [
        (Cause::MassSaturated, "mass_saturated"),
        (Cause::MassOvenDry, "mass_oven_dry"),
        (Cause::MassImmersed, "mass_immersed"),
    ];
    let values: Vec<(Cause, Vec<f64>)> = masses
        .iter()
        .filter_map(|(cause, name)| {
            let numbers = batch.samples.numbers(name)?;
            Some((*cause, (0..numbers.len()).map(|row| numbers.value(row).unwrap_or(f64::NAN)).collect()))
        })
        .collect();
    let columns: Vec<ReadingColumn<'_>> = values
        .iter()
        .map(|(cause, value)| ReadingColumn { cause: *cause, value, u, shape: Shape::Rectangular })
        .collect();
    let pieces = PieceColumns { common: &common, columns: &columns, names: &|row| row.to_string(), taxon: "" };
    let (rules, how) = (Rules::plain(reference), &options.propagation);
    let start = Instant::now();
    let results = propagate_columns(black_box(&pieces), &rules, how, Some(&options.scheme), threads, &Watch::silent())?;
    let seconds = start.elapsed().as_secs_f64();
    drop(black_box(results));
    Ok(seconds)
}
