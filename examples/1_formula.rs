//! A formula alone: maximum water content and basic density of one piece, with and without derivatives.
#![allow(clippy::print_stdout, reason = "an example shows its results")]

use woodstate::quantity::{Jet, Number};
use woodstate::state::{basic_density, max_water_content, volume_immersed};

fn main() {
    let (saturated, oven_dry, immersed) = (5.00, 1.00, 0.333);
    let volume = volume_immersed(saturated, immersed, 998.6);
    println!("maximum water content {:.0} %", max_water_content(saturated, oven_dry, 0.0));
    println!("basic density {:.1} kg/m3", basic_density(oven_dry, volume));

    // The same formula with jets: what a hundredth of a gram in each mass does to the result.
    let content = max_water_content(Jet::<2>::cause(saturated, 0), Jet::cause(oven_dry, 1), Jet::exact(0.0));
    println!("± {:.1} % for 0.01 g in each mass", content.variance(&[0.01, 0.01]).sqrt());
}
