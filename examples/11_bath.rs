//! A bath around a beam: what to weigh, what the wood will hold, how long it takes.
//!
//! `cargo run --example 11_bath`
#![allow(clippy::print_stdout, reason = "OK because an example shows its results")]

use woodstate::error::Result;
use woodstate::numeric::Watch;
use woodstate::study::{BathPiece, BathPlan, BathWood, bath_mix, bath_time, bath_water_density};

fn main() -> Result<()> {
    // What the laboratory states; a bare "20 %" would be two different baths.
    let mut plan = BathPlan::default();
    for (key, text) in [
        ("tank", "300 L"),
        ("temperature", "20 Cel"),
        ("impregnant", "PEG 2000"),
        ("steps", "10 % by mass for 90 d, 20 % by mass for 90 d"),
        ("diffusivity", "1e-12 to 1e-10 m2/s"),
    ] {
        plan.set(key, text)?;
    }

    // A beam of 2.0 x 0.2 x 0.2 m: 80 L, of which 68.6 kg are water. That water counts.
    let wood = BathWood::stated(80.0, 68.6, Some(17.1), bath_water_density(20.0)?)?;
    for bath in bath_mix(&wood, &plan)?.steps {
        let (add, fresh) = (bath.impregnant.value, bath.fresh.value);
        println!(
            "bath {}: add {add:.1} kg; fresh it has {fresh:.1} %, with the wood {:.1} %",
            bath.bath, bath.mass_fraction.value
        );
    }

    // Nobody has published how fast whole timbers take up an impregnant: the answer is an interval.
    let beam = BathPiece::stated(None, [Some(200.0), Some(200.0)], None, None)?;
    let timing = bath_time(&[beam], None, &plan, 1, &Watch::silent())?;
    for times in &timing.timbers[0].endless {
        let [low, high] = times.average.interval.unwrap_or([times.average.value; 2]);
        println!("{} % on average after {low:.0} to {high:.0} days", times.share);
    }
    Ok(())
}
