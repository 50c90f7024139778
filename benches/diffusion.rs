//! Times diffusion in a section and in a box; `benches/run` compares them with a peer. `cargo bench --bench diffusion -- KIND CELLS
//! TOLERANCE` prints, as JSON, seconds, steps of time, the mean at the end and what the product of series gives for it. KIND: section
//! or box; CELLS: from the surface to the centre, so that a section of 200 × 200 cells is one of 100.
#![allow(clippy::print_stdout, reason = "OK because a bench shows its results")]

use std::time::Instant;

use woodstate::error::Result;
use woodstate::numeric::Watch;
use woodstate::treatment::{BathStep, Block, Body, Grain, Ranged, SoakOptions};

/// Half the sizes, m, and the diffusivity along each, m²/s; the peer takes them too.
const HALF: [f64; 3] = [0.10, 0.06, 0.15];
const DIFFUSIVITY: [f64; 3] = [2e-11, 1e-11, 5e-11];
/// How long the bath is, s.
const TIME: f64 = 1e8;

fn main() -> Result<()> {
    // Cargo adds --bench.
    let words: Vec<String> = std::env::args().skip(1).filter(|word| !word.starts_with("--")).collect();
    let [kind, cells, tolerance] = words.as_slice() else {
        println!("usage: diffusion section|box CELLS TOLERANCE; benches/run does it for you");
        return Ok(());
    };
    let options = SoakOptions {
        cells: cells.parse().unwrap_or(100),
        tolerance: tolerance.parse().unwrap_or(1e-4),
        ..SoakOptions::at(&[TIME])
    };
    let bath = BathStep { duration: TIME, concentration: 1.0 };
    let [a, b, c] = DIFFUSIVITY;
    let start = Instant::now();
    let (found, series) = if kind == "box" {
        let wood = Grain { diffusivity: DIFFUSIVITY, porosity: 0.8 };
        let found = Block::new(HALF, &[], wood)?.soak(&[bath], &options, &Watch::silent())?;
        (found, Body::prism(HALF, [Ranged::exact(a)?, Ranged::exact(b)?, Ranged::exact(c)?])?)
    } else {
        let half = [HALF[0], HALF[1]];
        let wood = Grain { diffusivity: [a, b], porosity: 0.8 };
        let found = Block::new(half, &[], wood)?.soak(&[bath], &options, &Watch::silent())?;
        (found, Body::beam(half, [Ranged::exact(a)?, Ranged::exact(b)?])?)
    };
    let seconds = start.elapsed().as_secs_f64();
    let mean = found.moments.first().map_or(f64::NAN, |moment| moment.mean);
    let exact = series.uptake(TIME)?.value();
    println!("{{\"seconds\": {seconds}, \"steps\": {}, \"mean\": {mean}, \"exact\": {exact}}}", found.n_steps);
    Ok(())
}
