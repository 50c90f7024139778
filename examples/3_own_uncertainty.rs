//! Readings made in a program: one piece with stated uncertainties, its results and how two of them depend on each other.
#![allow(clippy::print_stdout, reason = "an example shows its results")]

use woodstate::error::Result;
use woodstate::quantity::Quantity;
use woodstate::reference::Reference;
use woodstate::state::{Cause, Propagation, Reading, Readings, Rules, propagate};

fn main() -> Result<()> {
    let mut piece = Readings::default();
    piece.set(Cause::MassSaturated, Reading::normal(5.66, Some(0.02)));
    piece.set(Cause::MassOvenDry, Reading::normal(1.16, Some(0.01)));
    piece.set(Cause::MassImmersed, Reading::normal(0.37, Some(0.01)));
    piece.set(Cause::PoreSalinity, Reading::normal(35.0, Some(1.0)));
    piece.set(Cause::CellWallDensity, Reading::normal(1500.0, Some(30.0)));
    let rules = Rules::plain(Reference::shipped()?);
    let results = propagate(&piece, &rules, &Propagation::usual(), "piece 1", "")?;
    for quantity in Quantity::ALL {
        if let Some(value) = results.values.of(*quantity) {
            println!("{} {} {} ({})", quantity.name(), value.shown(), value.unit, value.route);
        }
    }
    Ok(())
}
