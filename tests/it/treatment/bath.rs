//! The numbers of baths: worked examples, laws, messages.

use proptest::prelude::*;
use woodstate::error::Result;
use woodstate::quantity::Jet;
use woodstate::treatment::{
    Ranged, Solution, Tank, VapourCurve, arrhenius_factor, bulking_need, concentration_to_hold, diffusivity_at,
    impregnant_held, mass_fraction, mass_fraction_at, mass_per_volume, solution_density, washing_baths, washing_left,
};

use super::{fixed, near};

/// Volume that 1 g of PEG takes up in water, cm³/g, and the density of water at 25 °C, kg/m³: both from memory.
const APPARENT: f64 = 0.837;
const WATER: f64 = 997.0;

/// Source: computed by hand from the two constants above, to 6 digits.
#[test]
fn densities_of_solutions_are_those_of_the_worked_example() {
    for (fraction, density) in [(0.1, 1013.78), (0.2, 1031.13), (0.3, 1049.09), (0.4, 1067.69), (0.5, 1086.95)] {
        near(solution_density(fraction, APPARENT, WATER), density, 6e-3);
    }
    near(mass_per_volume(0.4, solution_density(0.4, APPARENT, WATER)) / 10.0, 42.7, 0.05);
}

/// Source: as above, to 6 digits.
#[test]
fn impregnant_held_is_that_of_the_worked_example() {
    for (content, fraction, held) in
        [(200.0, 0.2, 0.413_694), (400.0, 0.4, 1.713_44), (600.0, 0.35, 2.229_13), (800.0, 0.3, 2.525_39)]
    {
        let density = solution_density(fraction, APPARENT, WATER);
        near(impregnant_held(content, 0.0, fraction, density, WATER), held, 6e-6 * held);
    }
}

/// Source: as above, to 6 digits; the need of 0.3375 kg/kg is 30 % of bound water at 1125 kg/m³ for the impregnant.
#[test]
fn strength_for_bulking_is_that_of_the_worked_example() {
    let need = bulking_need(30.0, 1125.0, 1000.0);
    for (content, fraction) in [(100.0, 0.319_645), (120.0, 0.268_74), (150.0, 0.216_922), (200.0, 0.164_165)] {
        let concentration = concentration_to_hold(need, content, 0.0, WATER);
        near(mass_fraction_at(concentration, APPARENT, WATER).unwrap(), fraction, 6e-7);
    }
}

/// Source: Arrhenius' law with energies of Masaro et al. 1998, Macromolecules 31:3880 (read), to 6 digits.
#[test]
fn warmth_speeds_diffusion_as_in_the_worked_example() {
    for (energy, warm, hot) in [(36_500.0, 2.602_35, 6.037_54), (39_000.0, 2.778_53, 6.828_79)] {
        near(arrhenius_factor(energy, 20.0, 40.0).unwrap(), warm, 6e-6);
        near(arrhenius_factor(energy, 20.0, 60.0).unwrap(), hot, 6e-6);
    }
}

#[test]
fn going_up_and_down_in_temperature_ends_where_it_began() {
    let cold = Ranged::new(1e-11, [5e-12, 2e-11]).unwrap();
    let energy = Ranged::exact(36_500.0).unwrap();
    let back = diffusivity_at(diffusivity_at(cold, energy, 20.0, 60.0).unwrap(), energy, 60.0, 20.0).unwrap();
    near(back.value(), cold.value(), 1e-24);
    near(back.interval()[0], cold.interval()[0], 1e-24);
    near(back.interval()[1], cold.interval()[1], 1e-24);
}

/// Source: log₁₀(p/Pa) = 12.537 − 2663.5/T, both numbers from memory; results to 4 and 5 digits.
#[test]
fn vapour_over_ice_is_that_of_the_worked_example() {
    let ice = VapourCurve::new(12.537, 2663.5).unwrap();
    for (temperature, pressure) in [(-30.0, 38.27), (-35.0, 22.536), (-20.0, 103.65)] {
        near(ice.pressure(temperature).unwrap(), pressure, 2e-4 * pressure);
    }
    for (pressure, temperature) in [(23.0, -34.811), (10.0, -42.284), (7.0, -45.343)] {
        near(ice.temperature(pressure).unwrap(), temperature, 6e-4);
    }
}

#[test]
fn formulas_carry_derivatives() {
    let held = impregnant_held(
        Jet::<1>::cause(400.0, 0),
        Jet::<1>::cause(0.0, 9),
        Jet::<1>::cause(0.4, 9),
        Jet::<1>::cause(1067.69, 9),
        Jet::<1>::cause(WATER, 9),
    );
    near(held.slope[0], held.value / 400.0, 1e-15);
}

proptest! {
    #![proptest_config(fixed(256))]
    #[test]
    fn a_strength_goes_to_volume_and_back(fraction in 0.0..0.95) {
        let density = solution_density(fraction, APPARENT, WATER);
        let concentration = mass_per_volume(fraction, density);
        prop_assert!((mass_fraction(concentration, density) - fraction).abs() < 1e-14);
        prop_assert!((mass_fraction_at(concentration, APPARENT, WATER).unwrap() - fraction).abs() < 1e-12);
    }

    #[test]
    fn bath_and_wood_come_to_the_target_and_keep_every_gram(
        volume in 200.0..5000.0, part in 0.05..0.7, porosity in 0.4..0.95, before in 0.0..0.2, rise in 0.05..0.4,
    ) {
        let (target, wood_volume) = (before + rise, volume * part);
        let wood_solution_density = solution_density(before, APPARENT, WATER);
        let mass = wood_volume * porosity * wood_solution_density / 1000.0;
        let wood = Solution::new(before * mass, (1.0 - before) * mass).unwrap();
        let tank = Tank { volume, wood_volume, wood, wood_solution_density };
        // A large piece in a small tank may hold more water than the target allows.
        if let Ok(mix) = tank.mix(target, solution_density(target, APPARENT, WATER)) {
            let all = mix.poured.joined(wood);
            prop_assert!((all.fraction().unwrap() - target).abs() < 1e-12);
            prop_assert!(mix.at_first > target - 1e-12);
            let left = all.mass() - mix.wood.mass();
            let free = (volume - wood_volume) * solution_density(target, APPARENT, WATER) / 1000.0;
            prop_assert!((left - free).abs() < 1e-9 * all.mass());
            prop_assert!((mix.wood.fraction().unwrap() - mix.at_last).abs() < 1e-12);
        }
    }

    #[test]
    fn additions_in_steps_are_one_addition(water in 10.0..5000.0, a in 0.01..0.3, b in 0.01..0.3, c in 0.01..0.3) {
        let solution = Solution::new(0.0, water).unwrap();
        let steps = solution.additions(&[a, a + b, a + b + c]).unwrap();
        let whole = solution.addition(a + b + c).unwrap();
        prop_assert!((steps.iter().sum::<f64>() - whole).abs() < 1e-12 * whole);
    }

    #[test]
    fn more_water_never_needs_more_baths(target in 1e-6..1.0_f64, ratio in 0.01..50.0_f64, more in 1.0..3.0_f64) {
        let baths = washing_baths(target, ratio).unwrap();
        prop_assert!(washing_baths(target, ratio * more).unwrap() <= baths);
        prop_assert!(washing_baths((target * more).min(1.0), ratio).unwrap() <= baths);
        prop_assert!(washing_left(baths, ratio).unwrap() <= target * (1.0 + 1e-11));
        prop_assert!(baths == 0 || washing_left(baths - 1, ratio).unwrap() > target);
    }
}

#[test]
fn what_cannot_be_is_said() {
    let said = |result: Result<f64>| result.unwrap_err().to_string();
    assert_eq!(
        said(mass_fraction_at(1500.0, 0.8, WATER)),
        "mass per volume is 1500; allowed is 0 to 1250 g/L, no water left"
    );
    assert_eq!(
        said(arrhenius_factor(36_500.0, 20.0, -300.0)),
        "temperature is -300; allowed is a finite number above -273.15 °C"
    );
    let solution = Solution::new(20.0, 80.0).unwrap();
    assert_eq!(
        said(solution.addition(0.1)),
        "target mass fraction is 0.1; allowed is at least 0.2, what is there; only water makes it weaker"
    );
    assert_eq!(said(solution.addition(1.0)), "target mass fraction is 1; allowed is a number from 0 to below 1");
    assert_eq!(
        Solution::new(0.0, 0.0).unwrap_err().to_string(),
        "mass of solution is 0; allowed is a finite number above 0"
    );
    assert_eq!(Solution { impregnant: 0.0, water: 0.0 }.fraction(), None);
    let wood = Solution::new(0.0, 90.0).unwrap();
    let tank = Tank { volume: 105.0, wood_volume: 100.0, wood, wood_solution_density: WATER };
    assert_eq!(
        said(tank.mix(0.5, 1086.95).map(|mix| mix.at_first)),
        "water to pour in is -38.22269521063189; allowed is 0 kg or more; the wood holds too much of it for this target and tank"
    );
    let full = Tank { volume: 80.0, ..tank };
    assert_eq!(
        said(full.mix(0.5, 1086.95).map(|mix| mix.at_first)),
        "volume of the wood is 100; allowed is below 80 L, the volume of the tank"
    );
    assert_eq!(said(washing_left(3, 0.0)), "bath water over wood water is 0; allowed is a finite number above 0");
    assert_eq!(
        said(washing_baths(0.0, 4.0).map(f64::from)),
        "share that may be left is 0; allowed is a number above 0 and up to 1"
    );
    assert_eq!(
        said(washing_baths(0.01, 1e-9).map(f64::from)),
        "bath water over wood water is 0.000000001; allowed is a number with which 1000000 baths are enough"
    );
    let ice = VapourCurve::new(12.537, 2663.5).unwrap();
    assert_eq!(
        said(ice.temperature(1e13)),
        "pressure is 10000000000000; allowed is a pressure below 10 to the power of 12.537 Pa"
    );
}
