//! Washing, agents and bases.

use woodstate::reference::Reference;
use woodstate::study::{BathWood, bath_wash, bath_water_density};

use super::{beam, near, plan};

/// Source: 1 g of iron, mole for mole: disodium EDTA dihydrate 6.66559 g, DTPA 7.0436 g, triammonium citrate 4.35527 g; 1 g of sulfur
/// 3.05923 g of sulfuric acid; 1 g of acid 1.71305 g of sodium hydrogen carbonate (derived, with atomic weights of an older
/// table, so to four digits).
#[test]
fn stoichiometry_agrees_with_worked_examples() {
    let reference = Reference::shipped().unwrap();
    let iron = reference.iron_molar_mass();
    for (name, grams) in [("edta", 6.66559), ("DTPA", 7.0436), ("ammonium citrate", 4.35527)] {
        let agent = reference.chelating_agent(name).unwrap();
        near(woodstate::treatment::agent_for_iron(1.0, iron, agent.molar_mass, agent.takes), grams, 1e-4 * grams);
    }
    let acid = reference.sulfuric_acid_molar_mass();
    near(woodstate::treatment::acid_of_sulfur(1.0, reference.sulfur_molar_mass(), acid), 3.05923, 3e-4);
    let base = reference.base("NaHCO3").unwrap();
    near(woodstate::treatment::base_for_acid(1.0, acid, base.molar_mass, base.takes), 1.71305, 2e-4);
}

/// Source: c/c0 = 1/(1 + r)^n with r = 4: 0.2, 0.04, 0.008.
#[test]
fn each_bath_leaves_its_share() {
    let density = bath_water_density(20.0).unwrap();
    let wood = BathWood::stated(100.0, 80.0 * density / 1000.0, None, density).unwrap();
    let washed = bath_wash(&wood, &plan(&[("tank", "420 L"), ("salt_left", "4 %")])).unwrap();
    near(washed.ratio.value, 4.0, 1e-12);
    assert_eq!(washed.baths.unwrap().value, 2);
    near(washed.course[0].left.value, 20.0, 1e-9);
    near(washed.course[1].left.value, 4.0, 1e-9);
    near(washed.course[1].water.value, 640.0, 1e-9);
}

/// Nothing is a usual value: without a share no number of baths, without an agent no agent.
#[test]
fn what_is_not_asked_is_not_proposed() {
    let washed = bath_wash(&beam(20.0), &plan(&[("tank", "400 L")])).unwrap();
    assert!(washed.baths.is_none() && washed.agent.is_none() && washed.base.is_none());
    assert!(washed.notes.iter().any(|note| note.contains("give salt_left")));
    assert!(washed.notes.iter().any(|note| note.contains("No chelating agent and no base is proposed")));
}

/// Source: 3 mmol/L in 320 L bind 0.96 mol, 357.3 g of disodium EDTA dihydrate.
#[test]
fn hardness_binds_agent_too() {
    let texts = [("tank", "400 L"), ("agent", "EDTA"), ("hardness", "3 mmol/L")];
    let agent = bath_wash(&beam(20.0), &plan(&texts)).unwrap().agent.unwrap();
    near(agent.for_water.unwrap().value, 0.3573, 5e-5);
    // Iron of wood that was typed is unknown, not 0.
    assert_eq!(agent.for_iron, None);
}

/// Source: `molmass.Formula(formula).mass`, frozen by `tests/outside/freeze_treatment.py`; it takes 32.0648 for sulfur, the table of
/// five digits 32.06, which is 1e-4 of the mass of sulfur.
#[test]
fn molar_masses_are_those_of_a_general_package() {
    let frozen: serde_json::Value = serde_json::from_str(include_str!("../expected/outside/treatment.json")).unwrap();
    let mass = |name: &str| frozen["molar_masses"][name].as_f64().unwrap();
    let reference = Reference::shipped().unwrap();
    let agents = ["disodium EDTA", "DTPA", "triammonium citrate"];
    for (name, found) in agents.map(|name| (name, reference.chelating_agent(name).unwrap().molar_mass)) {
        near(found, mass(name), 2e-5 * mass(name));
    }
    let bases = ["sodium hydrogen carbonate", "sodium carbonate", "calcium hydroxide"];
    for (name, found) in bases.map(|name| (name, reference.base(name).unwrap().molar_mass)) {
        near(found, mass(name), 2e-5 * mass(name));
    }
    near(reference.iron_molar_mass(), mass("iron"), 1e-12);
    near(reference.sulfur_molar_mass(), mass("sulfur"), 2e-4 * mass("sulfur"));
    near(reference.sulfuric_acid_molar_mass(), mass("sulfuric acid"), 1e-4 * mass("sulfuric acid"));
}
