//! `[laboratory]` of the study file: what is read, and the exact fault of what is not.

use woodstate::reference::{Demand, Room, Substance};
use woodstate::study::{LaboratoryLimits, Study};

fn check(text: &str) -> Result<LaboratoryLimits, String> {
    let study = Study::parse(&format!("[laboratory]\n{text}"), "woodstate.toml");
    study.map(|study| study.laboratory).map_err(|error| error.to_string())
}

#[test]
fn every_key_is_read() {
    let text = "largest_tank = [\"80 cm\", \"6 m\", \"1 m\"]\nlargest_freeze_dryer = [\"2 m\"]\n\
                largest_solvent_tank = [\"30 cm\", \"20 cm\"]\nlargest_pressure_vessel = [\"100 mm\"]\n\
                solvents = [\"acetone\"]\nformaldehyde_work = false\nretreatability = true\nlater_analysis = true\n\
                burial_monitored = false\ndisplay_humidity = \"55 %\"\niron_limit = \"0.1 %\"\nchloride_limit = \"50 mg/kg\"\n\
                reduced_sulfur_limit = \"5 mg/kg\"\nheavily_degraded = \"40 %\"\nslightly_degraded = \"80 %\"\n";
    let found = check(&text.replace("0.1 %", "1000 mg/kg")).unwrap();
    let limits = &found.limits;
    assert_eq!(limits.room(Room::Tank), Some(&[6000.0, 1000.0, 800.0][..]));
    assert_eq!(limits.room(Room::FreezeDryer), Some(&[2000.0][..]));
    assert_eq!(limits.room(Room::SolventTank), Some(&[300.0, 200.0][..]));
    assert_eq!(limits.room(Room::PressureVessel), Some(&[100.0][..]));
    assert_eq!(limits.solvents.as_deref(), Some(&["acetone".to_owned()][..]));
    assert_eq!(limits.says(Demand::FormaldehydeWork), Some(false));
    assert_eq!(limits.says(Demand::Retreatability), Some(true));
    assert_eq!(limits.says(Demand::LaterAnalysis), Some(true));
    assert_eq!(limits.says(Demand::BurialMonitored), Some(false));
    assert_eq!(limits.display_humidity, Some(55.0));
    assert_eq!(limits.limit(Substance::Iron), Some(1000.0));
    assert_eq!(limits.limit(Substance::Chloride), Some(50.0));
    assert_eq!(limits.limit(Substance::ReducedSulfur), Some(5.0));
    assert!(found.grading.is_some());
    let stated: Vec<&str> = found.lines.iter().filter_map(|line| line.stated.as_deref()).collect();
    assert_eq!(stated.len(), found.lines.len());
    assert_eq!(stated[0], "80 cm x 6 m x 1 m");
    // Nothing stated is not "none".
    assert!(check("").unwrap().lines.iter().all(|line| line.stated.is_none()));
}

#[test]
fn wrong_keys_and_units_are_told_with_place_and_what_is_allowed() {
    for (text, expected) in [
        ("largest_tnk = [\"6 m\"]", "woodstate.toml:2:1: unknown field `largest_tnk`"),
        ("largest_tank = [\"6\"]", "woodstate.toml:2:17: "),
        ("largest_tank = [\"6 kg\"]", "woodstate.toml:2:17: "),
        ("largest_tank = [\"0 m\"]", "woodstate.toml:2:17: 0 mm is not above 0"),
        (
            "largest_tank = [\"1 m\", \"1 m\", \"1 m\", \"1 m\"]",
            "woodstate.toml:2:17: 4 sizes are given; allowed are one to three",
        ),
        (
            "solvents = [\"ether\"]",
            "woodstate.toml:2:13: \"ether\" is not one of acetone, diethyl ether, ethanol, methanol",
        ),
        ("display_humidity = \"101 %\"", "woodstate.toml:2:20: 101 % is outside 0 to 100 %"),
        ("iron_limit = \"-1 mg/kg\"", "woodstate.toml:2:14: -1 mg/kg is outside 0 to 1000000 mg/kg"),
        (
            "heavily_degraded = \"40 %\"",
            "woodstate.toml:2:20: slightly_degraded is missing beside it; state both or none",
        ),
        (
            "slightly_degraded = \"80 %\"",
            "woodstate.toml:2:21: heavily_degraded is missing beside it; state both or none",
        ),
        ("heavily_degraded = \"80 %\"\nslightly_degraded = \"40 %\"", "woodstate.toml:2:20: "),
        ("retreatability = \"yes\"", "woodstate.toml:2:18: "),
    ] {
        let error = check(text).unwrap_err();
        assert!(error.starts_with(expected), "{text}: {error}");
    }
}
