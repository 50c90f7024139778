//! Times lifts; `benches/run` compares them with a peer. `cargo bench --bench lift -- TIMBERS DRAWS THREADS` prints, as JSON, the seconds
//! for invented timbers with a soft rim in three ways of support, and weight and probability of the first.
#![allow(clippy::print_stdout, reason = "OK because a bench shows its results")]

use std::time::Instant;

use woodstate::error::Result;
use woodstate::lift::{
    Case, Handling, LiftOptions, Rim, Shape, SizeDoubt, Strength, Support, Timber, Waters, Wood, lift,
};
use woodstate::numeric::{Watch, map_ordered};
use woodstate::quantity::Measured;

/// The margin that the peer takes too.
const REQUIRED: f64 = 4.0;

fn main() -> Result<()> {
    // Cargo adds --bench.
    let words: Vec<String> = std::env::args().skip(1).filter(|word| !word.starts_with("--")).collect();
    let [timbers, draws, threads] = words.as_slice() else {
        println!("usage: lift TIMBERS DRAWS THREADS; benches/run does it for you");
        return Ok(());
    };
    let number = |word: &String| word.parse::<usize>().unwrap_or(1);
    let cases: Vec<Case> = (0..number(timbers)).map(case).collect::<Result<_>>()?;
    let options = LiftOptions { required_margin: Some(REQUIRED), draws: number(draws), ..LiftOptions::usual() };
    let supports = [
        Support::Slings { first: 0.207 * 6.0, second: 0.793 * 6.0 },
        Support::Slings { first: 0.0, second: 6.0 },
        Support::EndOnGround { sling: 0.707 * 6.0 },
    ];
    let start = Instant::now();
    let found = map_ordered(number(threads), cases, |case| lift(&case, &supports, &options, &Watch::silent()))?;
    let seconds = start.elapsed().as_secs_f64();
    let found = found.into_iter().collect::<Result<Vec<_>>>()?;
    let Some(first) = found.first() else { return Ok(()) };
    let below: Vec<String> = first
        .supports
        .iter()
        .map(|support| support.probability_below.map_or_else(|| "null".to_owned(), |share| share.value.to_string()))
        .collect();
    let u = first.weight_in_air.u.map_or_else(|| "null".to_owned(), |u| u.to_string());
    println!(
        "{{\"seconds\": {seconds}, \"weight\": {}, \"u\": {u}, \"below\": [{}]}}",
        first.weight_in_air.value,
        below.join(", ")
    );
    Ok(())
}

/// A squared timber of 6 m, 250 mm wide and 200 mm high, with a rim of 25 mm; only its name changes.
fn case(place: usize) -> Result<Case> {
    let tested = |value: f64| Strength::measured(value, Some(0.25 * value)).map(Some);
    Ok(Case {
        name: format!("T{place}"),
        timber: Timber::prismatic(6.0, Shape::rectangle(0.25, 0.20)?)?,
        sizes: SizeDoubt { length: Some(0.005), width: Some(0.02), height: Some(0.02) },
        rim: Rim::weight_only(0.025)?,
        rim_u: Some(0.003),
        core_density: Measured::new(480.0, 25.0),
        rim_density: Measured::new(190.0, 20.0),
        waters: Waters {
            pore: None,
            surrounding: Measured::new(1005.0, 1.0),
            cell_wall: Measured::new(1500.0, 30.0),
            saturation: Measured::new(1.0, 0.0),
        },
        attached: Vec::new(),
        hollow_holds_water: false,
        core: Wood { bending: tested(20.0)?, compression: tested(9.0)?, shear: tested(3.0)?, ..Wood::default() },
        rim_wood: Wood { bearing: tested(0.4)?, ..Wood::default() },
        handling: Handling {
            sling_width: Some(0.1),
            dynamic: Some(Measured::new(1.2, 0.05)),
            placing: Some(0.05),
            ..Handling::STILL
        },
        shear_ratio: 0.0625,
        gravity: 9.80665,
    })
}
