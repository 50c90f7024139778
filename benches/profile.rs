//! Times depth profiles; `benches/run` compares them with a peer. `cargo bench --bench profile -- FILE THREADS REPLICATES` prints,
//! as JSON, the seconds for all timbers of FILE and the depth of the soft rim of each. FILE: timber,core,from,to,value a line.
#![allow(clippy::print_stdout, reason = "OK because a bench shows its results")]

use std::path::Path;
use std::time::Instant;

use woodstate::error::{Error, Result};
use woodstate::numeric::{Watch, map_ordered};
use woodstate::profile::{Degraded, Increment, ProfileOptions, RimDepth, depth_profile};

/// The threshold that the peer takes too.
const SOUND: f64 = 70.0;

fn main() -> Result<()> {
    // Cargo adds --bench.
    let words: Vec<String> = std::env::args().skip(1).filter(|word| !word.starts_with("--")).collect();
    let [file, threads, replicates] = words.as_slice() else {
        println!("usage: profile FILE THREADS REPLICATES; benches/run does it for you");
        return Ok(());
    };
    let number = |word: &String| word.parse().unwrap_or(1);
    let timbers = read(Path::new(file))?;
    let options = ProfileOptions {
        replicates: number(replicates),
        ..ProfileOptions::plain(Degraded::Below).with_threshold(SOUND)
    };
    let start = Instant::now();
    let profiles = map_ordered(number(threads), timbers, |timber| depth_profile(&timber, &options, &Watch::silent()))?;
    let seconds = start.elapsed().as_secs_f64();
    let mut rims = Vec::with_capacity(profiles.len());
    for profile in profiles {
        let profile = profile?;
        let depth = profile.fit().zip(profile.rim.as_ref()).and_then(|(_, rim)| rim.depth.or(rim.disagrees));
        rims.push(match depth {
            Some(RimDepth::At(depth)) => depth.to_string(),
            Some(RimDepth::NoRim) => "0".to_owned(),
            Some(RimDepth::Beyond(_)) | None => "null".to_owned(),
        });
    }
    println!("{{\"seconds\": {seconds}, \"rims\": [{}]}}", rims.join(", "));
    Ok(())
}

fn read(path: &Path) -> Result<Vec<Vec<Increment>>> {
    let text = std::fs::read_to_string(path).map_err(|error| Error::file(path, "read", error))?;
    let mut timbers: Vec<Vec<Increment>> = Vec::new();
    for line in text.lines() {
        let cells: Vec<f64> = line.split(',').map(|cell| cell.parse().unwrap_or(f64::NAN)).collect();
        let &[timber, core, from, to, value] = cells.as_slice() else { continue };
        let (timber, core) = (count(timber), count(core));
        timbers.resize(timbers.len().max(timber + 1), Vec::new());
        timbers[timber].push(Increment::new(from, to, value).in_core(core));
    }
    Ok(timbers)
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "OK because the file holds small counts")]
fn count(number: f64) -> usize {
    number as usize
}
