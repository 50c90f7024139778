//! Laws of a followed treatment: warmth, size, what is stated, what is asked.

use woodstate::study::{CourseNumber, Following, TimberCourse};
use woodstate::treatment::arrhenius_factor;

use super::{codes, followed};

const TIMBERS: &str = "timber,timber_length [m],timber_width [mm],timber_height [mm]\nT1,0.4,200,40\n";

/// Invented masses in two baths, at one temperature.
fn log(temperature: f64, scale: f64) -> String {
    let masses = [20.000, 20.402, 20.571, 20.690, 20.798, 20.871, 21.292, 21.480, 21.611, 21.714, 21.801, 21.866];
    let head = "date,tank,timber,mass_drained [kg],concentration_mass_per_volume [g/L],bath_temperature [Cel]\n";
    let mut log = format!("{head}2024-01-01,P1,,,100,{temperature}\n2024-06-01,P1,,,200,{temperature}\n");
    for (month, mass) in masses.iter().enumerate() {
        log.push_str(&format!("2024-{:02}-01,P1,T1,{:.4},,\n", month + 1, scale * mass));
    }
    log
}

fn timber(following: &Following) -> &TimberCourse {
    &following.timbers[0]
}

fn diffusivity(following: &Following) -> &CourseNumber {
    timber(following).diffusivity.as_ref().unwrap()
}

/// Source: Arrhenius' law: in a warm bath the same course is that of a smaller diffusivity at the reference temperature.
#[test]
fn a_warm_bath_is_brought_to_the_reference_temperature() {
    let plain = followed(&log(30.0, 1.0), TIMBERS, "");
    let study = "[follow]\nactivation_energy = \"36.5 kJ/mol\"\nreference_temperature = \"20 Cel\"\n";
    let corrected = followed(&log(30.0, 1.0), TIMBERS, study);
    let gain = arrhenius_factor(36_500.0, 20.0, 30.0).unwrap();
    let ratio = diffusivity(&plain).value / diffusivity(&corrected).value;
    assert!((ratio / gain - 1.0).abs() < 1e-5, "{ratio}, expected {gain}");
    let share = |following: &Following| timber(following).average_now.as_ref().unwrap().value;
    assert!((share(&plain) - share(&corrected)).abs() < 1e-4, "where the timber stands is the same");
}

#[test]
fn time_goes_with_the_square_of_the_size_and_not_with_the_mass() {
    let small = followed(&log(18.0, 1.0), TIMBERS, "");
    let large = followed(&log(18.0, 1.0), &TIMBERS.replace("200,40", "400,80"), "");
    assert!((diffusivity(&large).value / diffusivity(&small).value - 4.0).abs() < 1e-5);
    let heavy = followed(&log(18.0, 3.0), TIMBERS, "");
    assert!((diffusivity(&heavy).value / diffusivity(&small).value - 1.0).abs() < 1e-5);
}

#[test]
fn ends_of_a_timber_count_where_their_ratio_is_stated() {
    let without = followed(&log(18.0, 1.0), TIMBERS, "");
    let with = followed(&log(18.0, 1.0), TIMBERS, "[follow]\ngrain_ratio = 5\n");
    assert!(diffusivity(&with).value < diffusivity(&without).value, "the ends let in a part");
    assert_eq!(timber(&with).shape.as_deref(), Some("200 x 40 mm, 0.4 m long"));
    assert!(without.notes.iter().any(|note| note.contains("grain_ratio is not stated")));
}

#[test]
fn without_a_target_no_day_is_foretold_and_it_is_asked() {
    let following = followed(&log(18.0, 1.0), TIMBERS, "");
    assert_eq!((&timber(&following).average_target, &timber(&following).centre_target), (&None, &None));
    let keys: Vec<&str> = following.questions.iter().map(|ask| ask.key).collect();
    assert!(keys.contains(&"target") && keys.contains(&"step") && keys.contains(&"impregnant"), "{keys:?}");
    let asked = followed(
        &log(18.0, 1.0),
        TIMBERS,
        "[follow]\ntarget = \"90 %\"\nimpregnant = \"PEG 2000\"\nstep = \"100 g/L\"\n",
    );
    assert_eq!(asked.questions, []);
    assert!(timber(&asked).average_target.is_some());
    assert!(asked.notes.iter().any(|note| note.starts_with("Diffusion knows no collapse")));
}

#[test]
fn a_stated_interval_serves_where_the_masses_do_not_tell() {
    let short: String = log(18.0, 1.0).lines().take(5).fold(String::new(), |log, line| log + line + "\n");
    let study = "[follow]\ntarget = \"90 %\"\ndiffusivity = [\"1e-12 m2/s\", \"1e-10 m2/s\"]\n";
    let following = followed(&short, TIMBERS, study);
    let found = timber(&following);
    assert_eq!((found.diffusivity_from, codes(&following)), (Some("stated"), vec!["course-too-short"]));
    let number = diffusivity(&following);
    assert!((number.value / 1e-11 - 1.0).abs() < 1e-12 && number.interval == [Some(1e-12), Some(1e-10)]);
    let target = found.average_target.as_ref().unwrap();
    assert!(target.interval[0] < target.day && target.day < target.interval[1]);
    assert!(following.sources.iter().any(|cited| cited.used_for.starts_with("diffusivity of 1 timber")));
    let silent = followed(&short, TIMBERS, "[follow]\ntarget = \"90 %\"\n");
    assert_eq!((&timber(&silent).diffusivity, &timber(&silent).average_now), (&None, &None));
}

#[test]
fn a_rinsed_timber_has_no_share_of_an_empty_bath() {
    let rinsed = log(18.0, 1.0) + "2024-12-15,P1,,,0,18\n";
    let following = followed(&rinsed, TIMBERS, "[follow]\ntarget = \"90 %\"\n");
    assert_eq!(timber(&following).average_now, None);
    assert!(timber(&following).no_fit.as_ref().unwrap().contains("none of the impregnant"));
}

#[test]
fn mass_fraction_and_mass_per_volume_tell_the_same() {
    // 1 g takes up 0.84 cm³; water at 18 °C has 998.595 kg/m³ (Tanaka et al. 2001): 10 and 20 % by mass.
    let density = |fraction: f64| 1000.0 / (fraction * 0.84 + (1.0 - fraction) / 0.998_595);
    let by_volume = log(18.0, 1.0)
        .replace(",100,18", &format!(",{},18", 0.1 * density(0.1)))
        .replace(",200,18", &format!(",{},18", 0.2 * density(0.2)));
    let by_mass = log(18.0, 1.0)
        .replace("mass_per_volume [g/L]", "mass_fraction [%]")
        .replace(",100,18", ",10,18")
        .replace(",200,18", ",20,18");
    let one = followed(&by_volume, TIMBERS, "");
    let other = followed(&by_mass, TIMBERS, "[follow]\napparent_volume = \"0.84 cm3/g\"\n");
    assert!((diffusivity(&one).value / diffusivity(&other).value - 1.0).abs() < 1e-5);
}
