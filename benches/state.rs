//! Times the state of a batch in memory; `benches/run` compares it with peers. `cargo bench --bench state -- FILE THREADS
//! ROUNDS` reads a batch and prints one JSON object; without arguments it does nothing but say so.
#![allow(clippy::print_stdout, reason = "OK because a bench shows its results")]

use std::hint::black_box;
use std::path::Path;
use std::time::Instant;

use woodstate::error::Result;
use woodstate::numeric::Watch;
use woodstate::reference::Reference;
use woodstate::state::assess;
use woodstate::study::Study;
use woodstate::table::read_batch;

fn main() -> Result<()> {
    // Cargo adds --bench.
    let words: Vec<String> = std::env::args().skip(1).filter(|word| !word.starts_with("--")).collect();
    let [file, threads, rounds] = words.as_slice() else {
        println!("usage: state FILE THREADS ROUNDS; benches/run does it for you");
        return Ok(());
    };
    let (threads, rounds): (usize, usize) = (threads.parse().unwrap_or(1), rounds.parse().unwrap_or(5));
    let file = Path::new(file);
    let mut study = Study::beside(file)?.map_or_else(Study::unstated, Ok)?;
    study.read.max_cells = Some(usize::MAX);
    let mut options = study.options.clone();
    options.threads = Some(threads);
    let batch = read_batch(file, &study.read, &Watch::silent())?;
    let reference = Reference::shipped()?;
    let mut seconds = Vec::new();
    for _ in 0..rounds {
        let start = Instant::now();
        let state = assess(black_box(&batch), &options, reference, &Watch::silent())?;
        seconds.push(start.elapsed().as_secs_f64());
        // Its end is not timed, as that of the arrays of the peers is not.
        drop(black_box(state));
    }
    println!("{{\"rows\": {}, \"threads\": {threads}, \"seconds\": {seconds:?}}}", batch.samples.n_rows());
    Ok(())
}
