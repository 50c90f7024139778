//! Times `advise`: `cargo bench --bench advice -- TIMBERS DRAWS` prints, as JSON, the seconds for judging every route for every
//! timber of an invented batch, after its assessment, and how many verdicts came out.
#![allow(clippy::print_stdout, reason = "OK because a bench shows its results")]

use std::fmt::Write;
use std::time::Instant;

use woodstate::error::Result;
use woodstate::numeric::Watch;
use woodstate::study::{AdviseQuestion, Study, advise_assessed, assess};
use woodstate::table::{SourceFile, batch_of};

fn main() -> Result<()> {
    // Cargo adds --bench.
    let words: Vec<String> = std::env::args().skip(1).filter(|word| !word.starts_with("--")).collect();
    let number = |place: usize, usual: usize| words.get(place).and_then(|word| word.parse().ok()).unwrap_or(usual);
    let (timbers, draws) = (number(0, 10_000), number(1, 1000));
    let study = Study::parse("[instruments]\nbalance = \"0.01 g\"\n", "woodstate.toml")?;
    let batch =
        batch_of(&SourceFile::from_bytes("invented.csv", invented(timbers).into()), &study.read, &Watch::silent())?;
    let assessment = assess(&study, batch, &Watch::silent())?;
    let question = AdviseQuestion { draws, ..AdviseQuestion::usual(&study) };
    let start = Instant::now();
    let advice = advise_assessed(&study, &assessment, &question, &Watch::silent())?;
    let seconds = start.elapsed().as_secs_f64();
    let verdicts: usize = advice.timbers.iter().map(|timber| timber.routes.len()).sum();
    println!("{{\"timbers\": {timbers}, \"draws\": {draws}, \"seconds\": {seconds}, \"verdicts\": {verdicts}}}");
    Ok(())
}

/// Two pieces a timber, a rim and a core, of four woods in many states.
fn invented(timbers: usize) -> String {
    const WOODS: [&str; 4] = ["Quercus robur", "Pinus sylvestris", "Fraxinus excelsior", "Alnus glutinosa"];
    let mut csv = "sample,timber,core_id,taxon,depth_from [mm],depth_to [mm],mass_saturated [g],mass_oven_dry [g],metal,charring\n".to_owned();
    for timber in 0..timbers {
        let wood = WOODS[timber % WOODS.len()];
        let metal = ["none", "iron", ""][timber % 3];
        for (zone, from, dry) in [("a", 0, 100 + timber % 130), ("b", 40, 230 + timber % 120)] {
            let to = from + 10;
            // A String takes all that is written to it.
            let _ = writeln!(
                csv,
                "T{timber}{zone},T{timber},K{timber},{wood},{from},{to},10.00,{}.{:02},{metal},none",
                dry / 100,
                dry % 100
            );
        }
    }
    csv
}
