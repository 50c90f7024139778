//! A core in depth: how deep the soft rim is, and what is left of the log.
#![allow(clippy::print_stdout, reason = "an example shows its results")]
use woodstate::numeric::Watch;
use woodstate::profile::{Degraded, Increment, ProfileOptions, RimDepth, Section, depth_profile};

fn main() -> woodstate::error::Result<()> {
    // Residual basic density, %, of increments of an invented core.
    let ends = [0.0, 5.0, 10.0, 15.0, 20.0, 30.0, 40.0, 60.0];
    let values = [29.0, 31.0, 36.0, 58.0, 84.0, 90.0, 92.0];
    let core: Vec<Increment> =
        ends.windows(2).zip(values).map(|(ends, value)| Increment::new(ends[0], ends[1], value).with_u(2.0)).collect();

    let log = Section::round(240.0)?;
    let options = ProfileOptions::plain(Degraded::Below).with_threshold(70.0).with_section(log.clone());
    let profile = depth_profile(&core, &options, &Watch::silent())?;

    let rim = profile.rim.as_ref();
    if let Some((rim, Some(RimDepth::At(depth)))) = rim.map(|rim| (rim, rim.depth)) {
        let interval = rim.drawn.map_or([None; 2], |drawn| drawn.interval);
        println!("soft rim {depth:.1} mm deep, 95 %: {interval:.1?}; by the increments alone {:?}", rim.between);
        println!("sound inside it: {:.0} % of the section", 100.0 * log.share_deeper(depth));
    }
    for caution in &profile.cautions {
        println!("{}: {}", caution.code, caution.text);
    }
    Ok(())
}
