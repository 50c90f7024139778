//! `[follow]` of the study file.

use woodstate::study::{ConcentrationStep, Study};

fn fault(text: &str) -> String {
    Study::parse(text, "woodstate.toml").unwrap_err().to_string()
}

#[test]
fn every_key_is_read_in_its_unit() {
    let text = "[follow]\ntarget = \"90 %\"\nimpregnant = \"PEG 2000\"\napparent_volume = \"0.84 cm3/g\"\nstep = \"100 g/L\"\n\
                diffusivity = [\"1e-12 m2/s\", \"1e-10 m2/s\"]\ngrain_ratio = 3\nactivation_energy = \"36.5 kJ/mol\"\n\
                reference_temperature = \"20 Cel\"\nconductivity_per_kelvin = \"2 %\"\nflat_conductivity = \"10 uS/cm\"\n\
                flat_chloride = \"2 mg/L\"\nflat_readings = 3\nconductivity_limit = \"0.1 mS/cm\"\nchloride_limit = \"50 mg/L\"\n\
                iron_limit = \"15 mg/L\"\nvolume_loss_limit = \"2 %\"\nph_fall_limit = \"0.5 pH\"\naccepted_efficiency = \"75 %\"\n\
                [follow.tanks.S1]\nimpregnant = \"sucrose\"\nstep = \"10 %\"\n";
    let follow = Study::parse(text, "woodstate.toml").unwrap().follow;
    assert_eq!((follow.target, follow.diffusivity), (Some(0.9), Some([1e-12, 1e-10])));
    assert_eq!((follow.activation_energy, follow.reference_temperature), (Some(36_500.0), Some(20.0)));
    assert_eq!((follow.conductivity_limit, follow.flat_readings), (Some(100.0), Some(3)));
    assert_eq!(follow.tank.step, Some(ConcentrationStep::MassPerVolume(100.0)));
    assert_eq!(follow.tanks["S1"].step, Some(ConcentrationStep::MassFraction(10.0)));
    assert_eq!(follow.tanks["S1"].apparent_volume, None);
}

#[test]
fn nothing_is_stated_unless_it_is_written() {
    let unstated = Study::parse("", "woodstate.toml").unwrap().follow;
    assert_eq!(unstated, woodstate::study::FollowOptions::default());
    assert_eq!((unstated.target, unstated.accepted_efficiency, unstated.flat_chloride), (None, None, None));
}

#[test]
fn a_fault_says_line_and_what_is_allowed() {
    assert_eq!(
        fault("[follow]\ntarget = \"100 %\""),
        "woodstate.toml:2:10: a target lies between 0 % and 100 %; the last per cent takes for ever"
    );
    assert!(fault("[follow]\ntarget = 0.9").contains("with its unit"));
    assert!(fault("[follow]\nactivation_energy = \"36.5 kJ/mol\"").contains("needs reference_temperature"));
    assert!(fault("[follow]\ndiffusivity = [\"1e-10 m2/s\", \"1e-12 m2/s\"]").contains("not below the second"));
    assert!(fault("[follow]\ngrain_ratio = 0.5").contains("allowed is a number from 1 to 100"));
    assert!(fault("[follow]\nflat_readings = 0").contains("at least 1"));
    assert!(fault("[follow]\ntargt = \"90 %\"").contains("Did you mean target?"));
    assert!(fault("[follow]\nstep = \"10\"").contains("g/L"));
}
