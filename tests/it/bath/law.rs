//! Laws that hold whatever the numbers.

use proptest::prelude::*;
use woodstate::numeric::Watch;
use woodstate::study::{BathPiece, BathWood, bath_mix, bath_time, bath_wash, bath_water_density};

use super::plan;
use crate::treatment::fixed;

proptest! {
    #![proptest_config(fixed(64))]

    /// More clean water never needs more baths.
    #[test]
    fn a_larger_tank_never_needs_more_baths(tank in 120.0..5000.0_f64, more in 1.0..4.0_f64, left in 0.01..50.0_f64) {
        let density = bath_water_density(20.0).unwrap();
        let wood = BathWood::stated(100.0, 80.0, None, density).unwrap();
        let baths = |tank: f64| {
            let texts = [("tank", format!("{tank} L")), ("salt_left", format!("{left} %"))];
            let plan = plan(&texts.each_ref().map(|(key, text)| (*key, text.as_str())));
            bath_wash(&wood, &plan).unwrap().baths.unwrap().value
        };
        prop_assert!(baths(tank * more) <= baths(tank));
    }

    /// What is poured and what the wood holds is all there is: nothing is lost, nothing is made.
    #[test]
    fn masses_are_kept(tank in 150.0..5000.0_f64, water in 20.0..90.0_f64, percent in 1.0..60.0_f64) {
        let density = bath_water_density(20.0).unwrap();
        let wood = BathWood::stated(100.0, water, None, density).unwrap();
        let texts = [
            ("tank", format!("{tank} L")),
            ("temperature", "20 Cel".to_owned()),
            ("impregnant", "sucrose".to_owned()),
            ("apparent_volume", "0.62 cm3/g".to_owned()),
            ("steps", format!("{percent} % by mass")),
        ];
        let plan = plan(&texts.each_ref().map(|(key, text)| (*key, text.as_str())));
        if let Ok(mixed) = bath_mix(&wood, &plan) {
            let step = &mixed.steps[0];
            let all = step.impregnant.value + step.water.unwrap().value + water;
            prop_assert!((100.0 * step.impregnant.value / all - percent).abs() < 1e-9);
        }
    }

    /// Time rises with the share, and the centre is never ahead of the average.
    #[test]
    fn time_rises_and_the_centre_lags(width in 10.0..600.0_f64, height in 10.0..600.0_f64, power in -13.0..-9.0_f64) {
        let plan = plan(&[("diffusivity", format!("{:e} m2/s", 10_f64.powf(power)).as_str())]);
        let piece = BathPiece::stated(None, [Some(width), Some(height)], None, None).unwrap();
        let timing = bath_time(&[piece], None, &plan, 1, &Watch::silent()).unwrap();
        let endless = &timing.timbers[0].endless;
        for pair in endless.windows(2) {
            prop_assert!(pair[0].average.value < pair[1].average.value);
        }
        for times in endless {
            prop_assert!(times.centre.unwrap().value > times.average.value);
        }
    }
}
