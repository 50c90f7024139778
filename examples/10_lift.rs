//! A timber out of the water: its weight, the best places of two slings, and the margin with its probability.
#![allow(clippy::print_stdout, reason = "an example shows its results")]
use woodstate::lift::{
    Case, Handling, LiftOptions, Rim, Shape, SizeDoubt, Strength, Support, Timber, Waters, Wood, best_places, lift,
};
use woodstate::numeric::Watch;
use woodstate::quantity::Measured;

fn main() -> woodstate::error::Result<()> {
    // An invented beam with a soft rim of 25 mm, and strengths as if they had been tested.
    let tested = |value: f64| Strength::measured(value, Some(0.25 * value)).map(Some);
    let core = Wood { bending: tested(20.0)?, compression: tested(9.0)?, shear: tested(3.0)?, ..Wood::default() };
    let case = Case {
        name: "B07".to_owned(),
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
        core,
        rim_wood: Wood { bearing: tested(0.4)?, ..Wood::default() },
        handling: Handling { sling_width: Some(0.1), placing: Some(0.05), ..Handling::STILL },
        shear_ratio: 0.0625,
        gravity: 9.80665,
    };
    let places = best_places(&case)?[0].map_or([0.0, 6.0], |best| best.places);
    let slings = Support::Slings { first: places[0], second: places[1] };
    // The margin of 4 is a number of this example, not one to take over: none has been published.
    let options = LiftOptions { required_margin: Some(4.0), ..LiftOptions::usual() };
    let found = lift(&case, &[slings], &options, &Watch::silent())?;

    println!(
        "in the air {:.0} kg, under water {:.0} kg",
        found.weight_in_air.value / 9.81,
        found.weight_submerged.value / 9.81
    );
    println!("slings {:.2} m from the start and {:.2} m from the end", places[0], 6.0 - places[1]);
    let support = &found.supports[0];
    if let (Some(margin), Some(check), Some(below)) = (support.margin, support.governing, support.probability_below) {
        println!(
            "margin {:.1} against {}; below 4 in {:.1} % of the draws",
            margin.value,
            check.title(),
            100.0 * below.value
        );
    }
    println!("A screening estimate: the lift needs a competent lifting person.");
    Ok(())
}
