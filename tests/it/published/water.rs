//! Density of water against printed check values and against general-purpose packages (frozen, with their versions).

use woodstate::reference::Reference;
use woodstate::state::{fresh_water_density, water_density};

use crate::published::agrees;

fn frozen() -> serde_json::Value {
    serde_json::from_str(include_str!("../expected/outside/water.json")).unwrap()
}

/// Rows of a list of the frozen file: two columns of input or the first alone, and the density.
fn rows(part: &str, list: &str, columns: &[&str]) -> Vec<Vec<f64>> {
    let frozen = frozen();
    let of = |row: &serde_json::Value| columns.iter().map(|name| row[*name].as_f64().unwrap()).collect();
    frozen[part][list].as_array().unwrap().iter().map(of).collect()
}

fn sea(temperature: f64, salinity: f64) -> f64 {
    water_density(temperature, salinity, Reference::shipped().unwrap().water())
}

fn fresh(temperature: f64) -> f64 {
    fresh_water_density(temperature, Reference::shipped().unwrap().water())
}

/// Source: Tanaka et al. 2001, Metrologia 38:301, coefficients \[memory]: 20, 15 and 4 °C \[derived].
#[test]
fn fresh_water_at_usual_temperatures() {
    agrees(fresh(20.0), 998.2067, 4);
    agrees(fresh(15.0), 999.1026, 4);
    agrees(fresh(4.0), 999.9749, 4);
}

/// Source: the same formula in exact fractions, Python 3.11.7, nine temperatures from 0 to 40 °C.
#[test]
fn fresh_water_agrees_with_exact_fractions() {
    let rows = rows("tanaka2001", "values", &["temperature", "density"]);
    assert_eq!(rows.len(), 9);
    for row in rows {
        agrees(fresh(row[0]), row[1], 9);
    }
}

/// Source: Fofonoff and Millard 1983, UNESCO Tech. Pap. Mar. Sci. 44 (EOS-80), check values \[read] and \[memory], t on
/// IPTS-68. DIFFERENCE below 0.002 kg/m3: the fresh-water part is that of Tanaka et al. 2001, as the standard of
/// weighing, instead of that of EOS-80.
#[test]
fn printed_check_values_of_eos_80() {
    let printed = [
        (0.0, 0.0, 999.842_594),
        (0.0, 30.0, 995.651_133_74),
        (35.0, 0.0, 1_028.106_331_41),
        (35.0, 30.0, 1_021.728_639_49),
        (35.0, 5.0, 1027.675),
        (35.0, 25.0, 1023.343),
        (0.0, 5.0, 999.967),
    ];
    for (salinity, on_ipts_68, printed) in printed {
        let actual = sea(on_ipts_68 / 1.000_24, salinity);
        assert!((actual - printed).abs() <= 0.002, "{actual} instead of {printed}");
    }
}

/// Source: seawater 3.3.5, `dens0` (EOS-80), 24 points, S 0 to 35, 4 to 30 °C. DIFFERENCE as above; without the
/// fresh-water part the two agree to 1e-9 kg/m3.
#[test]
fn eos_80_of_a_package_differs_only_in_its_fresh_water() {
    let rows = rows("eos80", "values", &["practical_salinity", "temperature", "density"]);
    assert_eq!(rows.len(), 24);
    for row in &rows {
        assert!((sea(row[1], row[0]) - row[2]).abs() <= 0.002, "{row:?}: {}", sea(row[1], row[0]));
        let pure = rows.iter().find(|other| other[0] < 0.5 && (other[1] - row[1]).abs() < 1e-9).unwrap();
        let salt = sea(row[1], row[0]) - fresh(row[1]);
        assert!((salt - (row[2] - pure[2])).abs() < 1e-9, "{row:?}: {salt}");
    }
}

/// Source: TEOS-10 by gsw 3.6.23, `rho_t_exact` at 0 dbar, 24 points. DIFFERENCE: EOS-80 takes practical salinity, TEOS-10
/// absolute salinity, which is 35.165 where the other is 35: read with one number, EOS-80 is denser, and at most by
/// 0.1305 kg/m3, or 0.00013 of the density.
#[test]
fn teos_10_is_lighter_by_the_two_scales_of_salinity() {
    let rows = rows("teos10", "values", &["absolute_salinity", "temperature", "density"]);
    assert_eq!(rows.len(), 24);
    let differences: Vec<f64> = rows.iter().map(|row| sea(row[1], row[0]) - row[2]).collect();
    agrees(differences.iter().copied().fold(0.0, f64::max), 0.1305, 4);
    for (row, difference) in rows.iter().zip(&differences) {
        if row[0] > 0.5 {
            assert!(*difference > 0.0, "{row:?}: {difference}");
        } else {
            assert!(difference.abs() < 0.001, "{row:?}: {difference}");
        }
        // With the salinity taken to the other scale the two agree to 0.003 kg/m3.
        let same_water = sea(row[1], row[0] * 35.0 / 35.165_04);
        assert!((same_water - row[2]).abs() < 0.003, "{row:?}: {}", same_water - row[2]);
    }
}
