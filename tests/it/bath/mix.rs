//! What to weigh for a tank.

use woodstate::reference::Reference;
use woodstate::study::{BathStrength, BathWood, bath_mix, bath_water_density};
use woodstate::treatment::{Solution, Tank, solution_density};

use super::{beam, near, plan};

const PEG: [(&str, &str); 4] =
    [("tank", "300 L"), ("impregnant", "PEG 2000"), ("temperature", "25 Cel"), ("apparent_volume", "0.837 cm3/g")];

fn with(steps: &str) -> woodstate::study::BathPlan {
    let mut plan = plan(&PEG);
    plan.set("steps", steps).unwrap();
    plan
}

/// Source: the balance of masses of [`Tank::mix`], done by hand for each step.
#[test]
fn steps_keep_the_balance_of_masses() {
    let wood = beam(25.0);
    let mixed = bath_mix(&wood, &with("10 % by mass, 20 % by mass, 40 % by mass")).unwrap();
    let density = bath_water_density(25.0).unwrap();
    let tank = Tank {
        volume: 300.0,
        wood_volume: 80.0,
        wood: Solution::new(0.0, 68.571).unwrap(),
        wood_solution_density: density,
    };
    let first = tank.mix(0.1, solution_density(0.1, 0.837, density)).unwrap();
    near(mixed.steps[0].impregnant.value, first.poured.impregnant, 1e-9);
    near(mixed.steps[0].water.unwrap().value, first.poured.water, 1e-9);
    // All impregnant over all water is the strength that was asked for.
    let mut impregnant = 0.0;
    let water = mixed.steps[0].water.unwrap().value + 68.571;
    for (step, fraction) in mixed.steps.iter().zip([0.1, 0.2, 0.4]) {
        impregnant += step.impregnant.value;
        near(impregnant / (impregnant + water), fraction, 1e-12);
        // A fresh bath is stronger than what it comes to, and one that is made so comes to less.
        assert!(step.fresh.value > 100.0 * fraction && step.comes_to_if_made_so.value < 100.0 * fraction);
    }
}

/// A bath made with the strength asked for, and what it comes to with the wood: by hand.
#[test]
fn a_later_bath_made_so_comes_to_less() {
    let mixed = bath_mix(&beam(25.0), &with("10 % by mass, 20 % by mass")).unwrap();
    let poured = mixed.steps[0].impregnant.value + mixed.steps[0].water.unwrap().value;
    // Outside the wood stand `poured` kg of 10 %; to make them 20 % alone takes an eighth of their mass.
    let added = poured * 0.1 / 0.8;
    let all = mixed.steps[0].impregnant.value + added;
    let whole = poured + 68.571 + added;
    near(mixed.steps[1].comes_to_if_made_so.value, 100.0 * all / whole, 1e-9);
}

/// Source: 40 % by mass of PEG at 25 °C is 42.7 g/100 mL (derived from v = 0.837 cm³/g, from memory).
#[test]
fn forty_percent_by_mass_is_more_by_volume() {
    let mixed = bath_mix(&beam(25.0), &with("40 % by mass")).unwrap();
    near(mixed.steps[0].mass_per_volume.value, 427.1, 0.05);
    // And the same bath by volume.
    let again = bath_mix(&beam(25.0), &with("427.1 g/L")).unwrap();
    near(again.steps[0].mass_fraction.value, 40.0, 0.005);
}

/// Source: PEG held at 400 % and 40 % by mass, 1.71344 kg/kg (derived from constants from memory, water of 997.0 kg/m³).
#[test]
fn held_in_the_wood_is_what_the_balance_says() {
    let density = 997.0;
    let wood = BathWood::stated(80.0, 4.0 * 17.143, Some(17.143), density).unwrap();
    let mixed = bath_mix(&wood, &with("40 % by mass")).unwrap();
    let held = mixed.held.unwrap();
    near(held.per_dry_mass.unwrap().value, 1.713_44, 5e-6);
}

/// Source: 30 % of bound water and a density of 1125 kg/m³ need 0.3375 kg/kg (derived; water of 1000 kg/m³).
#[test]
fn cell_walls_need_what_takes_the_place_of_their_water() {
    let wood = BathWood::stated(80.0, 68.571, Some(17.143), 1000.0).unwrap();
    let mut plan = with("10 % by mass");
    plan.set("bound_water", "30 %").unwrap();
    plan.set("impregnant_density", "1125 kg/m3").unwrap();
    let held = bath_mix(&wood, &plan).unwrap().held.unwrap();
    near(held.bulking_need.unwrap().value, 0.3375, 1e-12);
}

/// What molecules do not reach is not filled.
#[test]
fn excluded_water_holds_nothing() {
    let mut plan = with("40 % by mass");
    let all = bath_mix(&beam(25.0), &plan).unwrap().held.unwrap().impregnant.value;
    plan.set("excluded_water", "100 %").unwrap();
    let less = bath_mix(&beam(25.0), &plan).unwrap().held.unwrap().impregnant.value;
    near(less / all, (68.571 - 17.143) / 68.571, 1e-9);
}

/// Source: CRC Handbook of Chemistry and Physics, 102nd ed., densities of sucrose solutions at 20 °C \[copy].
#[test]
fn sucrose_solutions_have_the_density_of_the_handbook() {
    let range = Reference::shipped().unwrap().impregnant("sucrose").unwrap().volume.clone().unwrap();
    let water = bath_water_density(20.0).unwrap();
    let table =
        [(10.0, 1.0381), (20.0, 1.081), (30.0, 1.127), (40.0, 1.1765), (50.0, 1.2295), (60.0, 1.2864), (70.0, 1.3472)];
    for (percent, density) in table {
        let of = |volume: f64| solution_density(percent / 100.0, volume, water) / 1000.0;
        // More volume is less density; the table has four decimals.
        assert!(of(range.high) <= density + 5e-5 && of(range.low) >= density - 5e-5, "{percent} %");
    }
}

/// The interval of the wood's water goes into what is weighed.
#[test]
fn what_is_not_sure_gives_an_interval() {
    let mut plan = with("20 % by mass");
    plan.set("apparent_volume", "0.837 ± 0.003 cm3/g").unwrap();
    let mixed = bath_mix(&beam(25.0), &plan).unwrap();
    let [low, high] = mixed.steps[0].impregnant.interval.unwrap();
    assert!(low < mixed.steps[0].impregnant.value && mixed.steps[0].impregnant.value < high);
    // Without any uncertainty stated there is none to give.
    let exact = bath_mix(&beam(25.0), &with("20 % by mass")).unwrap();
    assert_eq!(exact.steps[0].impregnant.interval, None);
}

#[test]
fn a_strength_keeps_its_basis() {
    assert_eq!(BathStrength::parse("10 % w/w").unwrap(), BathStrength::parse("10 % by mass").unwrap());
    near(BathStrength::parse("42.7 g/100 mL").unwrap().value, 427.0, 1e-12);
}
