//! Following a treatment: a board weighed every month in a bath made stronger, and when its centre will be done.
#![allow(clippy::print_stdout, reason = "an example shows its results")]
use woodstate::error::Result;
use woodstate::treatment::{BathHistory, Body, Ranged, Weighing, Whereabouts, fit_course, time_to_reach};

const DAY: f64 = 86_400.0;

fn main() -> Result<()> {
    // 50 mm thick; diffusivity 1 m²/s here, since it is what is asked.
    let board = Body::slab(0.025, Ranged::exact(1.0)?)?;
    // 102 g/L at first, 207 g/L after half a year: 10 and 20 % by mass of some impregnant.
    let bath = BathHistory::new(&[0.0, 183.0 * DAY], &[102.0, 207.0])?;
    // Invented masses after draining, kg.
    let masses = [30.50, 30.60, 30.65, 30.68, 30.71, 30.75, 30.77, 30.90, 30.97, 31.01, 31.05, 31.09];
    let weigh = |(month, mass): (u32, f64)| Weighing { time: 30.5 * DAY * f64::from(month), mass, u: Some(0.02) };
    let weighings: Vec<Weighing> = (0..).zip(masses).map(weigh).collect();

    let fit = fit_course(&board, &bath, &weighings, 0.95)?;
    println!("diffusivity {:.1e} m2/s, 95 %: {:?}", fit.diffusivity, fit.interval);
    for (name, place) in [("average", Whereabouts::Average), ("centre", Whereabouts::Centre)] {
        // A fast diffusivity is done early; an open end has no day.
        let day = |d: Option<f64>| -> Result<Option<f64>> {
            let time = d.map(|d| time_to_reach(&board, &bath, d, 0.9, place)).transpose()?;
            Ok(time.flatten().map(|time| (time / DAY).round()))
        };
        let [low, high] = fit.interval;
        println!("{name} at 90 %: day {:?}, from {:?} to {:?}", day(Some(fit.diffusivity))?, day(high)?, day(low)?);
    }
    println!(
        "Diffusion knows no collapse: the days say when the impregnant is there, not that the wood bears the way."
    );
    Ok(())
}
