//! What decides an assessment: limits, references, schemes, seed.

use woodstate::error::CautionCode;
use woodstate::quantity::{Evidence, Quantity};
use woodstate::study::Assessment;

use crate::support::batch::{assessed, is_raised, piece, value};

use super::{agrees, label, number, u};

/// An oak piece of exactly 400 % water content.
const OAK: &str = "sample,taxon,mass_saturated [g],mass_oven_dry [g]\nK1,oak,5,1\n";

const BALANCE: &str = "[instruments]\nbalance = \"0.01 g\"\n[water]\npore_salinity = \"0 g/kg\"\n";

fn check(study: &str) -> Assessment {
    assessed(OAK, study)
}

#[test]
fn cell_wall_density_decides_the_porosity() {
    let csv = "sample,mass_saturated [g],mass_oven_dry [g],volume_saturated [cm3]\nK1,33,10,30\n";
    // 100 (1 - 333.33 / 1400)
    agrees(number(csv, "[assess]\ncell_wall_density = \"1400 kg/m3\"\n", Quantity::Porosity), 76.1905, 5e-5);
    agrees(number(csv, "", Quantity::Porosity), 77.7778, 5e-5);
}

#[test]
fn boundary_owns_a_value_exactly_on_it() {
    assert_eq!(label(&check(""), 0), Some("I"));
    assert_eq!(label(&check("[assess]\nboundary = \"worse\"\n"), 0), Some("I"));
    assert_eq!(label(&check("[assess]\nboundary = \"better\"\n"), 0), Some("II"));
}

#[test]
fn decided_at_is_the_least_probability_of_a_decision() {
    // Half of the probability lies on each side of 400 %.
    let decided = |at: &str| {
        check(&format!("{BALANCE}[assess]\ndecided_at = {at}\n")).samples.get(0).unwrap().degradation_class.decided
    };
    assert_eq!((decided("0.49"), decided("0.51")), (true, false));
}

#[test]
fn outside_scope_classifies_only_where_it_is_asked() {
    let csv = OAK.replace("oak", "Populus");
    assert_eq!(label(&assessed(&csv, "[assess]\noutside_scope = \"no_class\"\n"), 0), None);
    let asked = assessed(&csv, "[assess]\noutside_scope = \"classify\"\n");
    assert_eq!(label(&asked, 0), Some("I"));
    assert!(is_raised(&asked, CautionCode::ClassedOutOfScope));
}

#[test]
fn stated_first_puts_a_stated_value_before_a_measured_one() {
    let csv = "sample,mass_saturated [g],mass_oven_dry [g],max_water_content [%]\nK1,5,1,300\n";
    agrees(number(csv, "[assess]\nstated_first = true\n", Quantity::MaxWaterContent), 300.0, 0.0);
    agrees(number(csv, "[assess]\nstated_first = false\n", Quantity::MaxWaterContent), 400.0, 1e-9);
}

#[test]
fn limits_of_borers_and_ash_are_those_that_are_stated() {
    let csv = "sample,taxon,mass_saturated [g],mass_oven_dry [g],borer_damage [%],ash_content [%]\nK1,oak,5,1,20,8\n";
    let raised = |study: &str| {
        let outcome = assessed(csv, study);
        [CautionCode::BorerDamage, CautionCode::Mineralised].map(|code| is_raised(&outcome, code))
    };
    assert_eq!(raised(""), [true, true]);
    assert_eq!(raised("[assess]\nborer_damage_limit = \"20 %\"\nash_limit = \"7.9 %\"\n"), [false, true]);
    assert_eq!(raised("[assess]\nborer_damage_limit = \"19.9 %\"\nash_limit = \"8 %\"\n"), [true, false]);
}

/// Source: [memory] two-sided normal quantile of 0.5 is 0.67449, of 0.95 is 1.95996.
#[test]
fn coverage_is_that_of_every_interval() {
    for (coverage, quantile) in [("0.5", 0.67449), ("0.95", 1.95996)] {
        let outcome = check(&format!("{BALANCE}[assess]\ncoverage = {coverage}\n"));
        let content = value(&outcome, Quantity::MaxWaterContent);
        let [low, high] = content.interval.unwrap();
        agrees((high - low) / 2.0 / content.u.unwrap(), quantile, 5e-6);
    }
}

#[test]
fn seed_changes_drawn_pieces_only_and_never_a_value() {
    let csv = "sample,mass_saturated [g],mass_oven_dry [g]\nlight,0.10,0.02\nheavy,50,10\n";
    let of = |seed: &str| assessed(csv, &format!("{BALANCE}[assess]\nseed = {seed}\n"));
    let (one, same, other) = (of("1"), of("1"), of("2"));
    assert_eq!(one.counts.drawn, 1);
    assert_eq!(one.samples, same.samples);
    assert_eq!(piece(&one, "heavy"), piece(&other, "heavy"));
    let content = |outcome| piece(outcome, "light").value(Quantity::MaxWaterContent).unwrap();
    let (one, other) = (content(&one), content(&other));
    assert_eq!(one.value.to_bits(), other.value.to_bits());
    assert_ne!(one.u, other.u);
}

#[test]
fn an_own_reference_is_used_and_cited_as_stated() {
    let study = "[references.\"Quercus\"]\nbasic_density = \"500 ± 25 kg/m3\"\nsource = \"12 sound timbers of ours\"\n";
    let csv = "sample,taxon,mass_saturated [g],mass_oven_dry [g],volume_saturated [cm3]\nK1,oak,26,10,40\n";
    agrees(number(csv, study, Quantity::ResidualBasicDensity), 50.0, 1e-9);
    let cited = assessed(csv, study).sources.into_iter().find(|source| source.id == "stated: Quercus").unwrap();
    assert_eq!((cited.citation.as_str(), cited.evidence), ("12 sound timbers of ours", Evidence::Stated));
}

#[test]
fn the_uncertainty_of_an_own_reference_enters_the_loss() {
    let csv = "sample,taxon,mass_saturated [g],u(mass_saturated) [g],mass_oven_dry [g],u(mass_oven_dry) [g],\
               volume_saturated [cm3],u(volume_saturated) [cm3]\nK1,oak,26,0,10,0,40,0\n";
    let study = format!("{BALANCE}[references.\"Quercus\"]\nbasic_density = \"500 ± 25 kg/m3\"\nsource = \"ours\"\n");
    // 50 % * 25 / 500
    agrees(u(csv, &study, Quantity::LossOfWoodSubstance), 2.5, 1e-9);
}

const POPLAR: &str = "[assess]\nscheme = \"my-poplar\"\n[schemes.my-poplar]\ntitle = \"Poplar of ours\"\n\
                      quantity = \"max_water_content\"\nscope = [\"Populus\"]\nsource = \"own collection\"\n\
                      classes = [{ label = \"bad\", from = 300.0 }, { label = \"good\", to = 300.0 }]\n";

#[test]
fn an_own_scheme_is_used_inside_its_scope_and_cited_as_stated() {
    let csv = "sample,taxon,mass_saturated [g],mass_oven_dry [g]\nK1,poplar,5,1\nK2,Populus sp.,3,1\nK3,oak,5,1\n";
    let outcome = assessed(csv, POPLAR);
    assert_eq!([0, 1, 2].map(|piece| label(&outcome, piece)), [Some("bad"), Some("good"), None]);
    assert_eq!(
        (outcome.settings.scheme.as_str(), outcome.settings.scheme_title.as_str()),
        ("my-poplar", "Poplar of ours")
    );
    let cited = outcome.sources.iter().find(|source| source.place == "study file").unwrap();
    assert_eq!((cited.citation.as_str(), cited.evidence), ("own collection", Evidence::Stated));
}

#[test]
fn a_shipped_scheme_is_named_by_its_short_name() {
    let outcome = check("[assess]\nscheme = \"oak-water-content\"\n");
    assert_eq!(outcome.samples.get(0).unwrap().degradation_class.scheme, "oak-water-content");
}
