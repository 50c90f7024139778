//! Laws that hold for any input: they need no table, only the definitions. Random inputs with a fixed seed.

mod chance;
mod robust;

use proptest::prelude::ProptestConfig;
use proptest::proptest;
use proptest::test_runner::RngSeed;

use woodstate::quantity::{Quantity, Unit, decimals, shown};
use woodstate::reference::Reference;
use woodstate::state::{
    Cause, Derived, Rules, basic_density_of_water_content, derive, mass_without_salt, max_water_content,
    max_water_content_of_density, shrinkage, shrinkage_cross_section, shrinkage_volumetric, water_density,
};

/// Same numbers on every run and machine.
fn fixed(cases: u32) -> ProptestConfig {
    ProptestConfig { cases, rng_seed: RngSeed::Fixed(1), failure_persistence: None, ..ProptestConfig::default() }
}

/// Agrees to this many digits, or to that part of `scale`.
#[track_caller]
fn agrees(actual: f64, expected: f64, digits: i32, scale: f64) {
    let within = 10_f64.powi(-digits) * expected.abs().max(scale);
    assert!((actual - expected).abs() <= within, "{actual} instead of {expected} ± {within}");
}

fn check(readings: &[(Cause, f64)], rules: &Rules<'_>) -> Derived<f64> {
    let mut causes = [None; Cause::COUNT];
    for (cause, value) in readings {
        causes[cause.index()] = Some(*value);
    }
    derive(&causes, rules)
}

fn rules() -> Rules<'static> {
    Rules::plain(Reference::shipped().unwrap())
}

const CODES: [&str; 35] = [
    "g", "mg", "kg", "t", "mm", "um", "cm", "m", "cm3", "mm3", "mL", "L", "m3", "kg/m3", "g/cm3", "g/L", "mg/L", "1",
    "%", "g/kg", "mg/kg", "Cel", "K", "MPa", "kPa", "GPa", "N", "kN", "d", "h", "min", "wk", "uS/cm", "mS/cm", "[pH]",
];

/// Source: the definition of a conversion: there and back is where it began, for every pair of units of a dimension.
#[test]
fn units_of_one_dimension_convert_there_and_back_and_others_are_refused() {
    let units = CODES.map(|code| Unit::parse(code).unwrap());
    let mut pairs = 0;
    for from in units {
        for to in units {
            if from.dimension() != to.dimension() {
                assert!(from.convert(1.0, to).is_err() && from.convert_difference(1.0, to).is_err());
                continue;
            }
            for value in [0.0, 0.1034, -12.5, 998.2067, 3e7] {
                agrees(to.convert(from.convert(value, to).unwrap(), from).unwrap(), value, 14, 300.0);
                let difference = from.convert_difference(value, to).unwrap();
                agrees(to.convert_difference(difference, from).unwrap(), value, 14, 1e-9);
                // A difference converts as the distance of two values does.
                let distance = from.convert(value + 1.0, to).unwrap() - from.convert(1.0, to).unwrap();
                agrees(distance, difference, 12, 300.0);
            }
            pairs += 1;
        }
    }
    assert_eq!(pairs, 4 * 4 + 4 * 4 + 5 * 5 + 4 * 4 + 4 * 4 + 2 * 2 + 3 * 3 + 2 * 2 + 4 * 4 + 2 * 2 + 1);
}

proptest! {
    #![proptest_config(fixed(256))]

    /// Source: Eq. 4-3 of FPL-GTR-282 \[copy] and its inverse, with the share of salt in the pores \[derived].
    #[test]
    fn density_and_water_content_of_a_saturated_piece_invert_each_other(
        density in 40.0..1300.0, salinity in 0.0..40.0, wall in 1350.0..1620.0, temperature in 0.0..40.0,
    ) {
        let water = water_density(temperature, salinity, Reference::shipped().unwrap().water());
        let content = max_water_content_of_density(density, water, wall, salinity);
        agrees(basic_density_of_water_content(content, water, wall, salinity), density, 12, 0.0);
        let content = 20.0 + density;
        let of_content = basic_density_of_water_content(content, water, wall, salinity);
        agrees(max_water_content_of_density(of_content, water, wall, salinity), content, 12, 100.0);
    }

    /// Source: mass balance of wood, water and salt \[derived].
    #[test]
    fn salt_correction_finds_the_wood_that_was_put_in(
        wood in 0.05..500.0, content in 50.0..1500.0, salinity in 0.0..40.0,
    ) {
        let water = wood * content / 100.0;
        let salt = water * salinity / (1000.0 - salinity);
        let dry = mass_without_salt(wood + salt, wood + water + salt, salinity);
        agrees(dry, wood, 12, 0.0);
        agrees(max_water_content(wood + water + salt, dry, salinity), content, 12, 0.0);
    }

    /// Source: ratios have no size: a piece `k` times heavier and larger is in the same state.
    #[test]
    fn size_of_the_piece_leaves_its_state_unchanged(k in 1e-3..1e3_f64, dry in 4.0..20.0_f64, water in 20.0..100.0_f64) {
        let volume = dry / 1.5 + water;
        let piece = |k: f64| {
            let side = 10.0 * (k * volume).cbrt();
            check(&[
                (Cause::MassSaturated, k * (dry + water)),
                (Cause::MassOvenDry, k * dry),
                (Cause::MassImmersed, k * (dry - dry / 1.5)),
                (Cause::VolumeSaturated, k * volume),
                (Cause::VolumeOvenDry, k * volume * 0.6),
                (Cause::PieceLength, side),
                (Cause::PieceWidth, side),
                (Cause::PieceThickness, side),
                (Cause::CellWallDensity, 1500.0),
                (Cause::SoundBasicDensity, 560.0),
                (Cause::PoreSalinity, 1.0),
                (Cause::AshContent, 2.0),
            ], &rules())
        };
        let (one, other) = (piece(1.0), piece(k));
        let mut known = 0;
        for &quantity in Quantity::ALL {
            if let (Some((one, route)), Some((other, other_route))) = (one.value(quantity), other.value(quantity)) {
                agrees(other, one, 11, 1.0);
                assert_eq!(route, other_route);
                known += 1;
            }
        }
        assert!(known >= 9, "{known}");
        assert_eq!((one.densities().count(), one.water_contents().count()), (5, 3));
        for ((_, one), (_, other)) in one.densities().zip(other.densities()) {
            agrees(other, one, 11, 1.0);
        }
    }

    /// Source: the definitions: what is left of the area is what is left of each side, multiplied.
    #[test]
    fn shrinkage_of_area_and_volume_is_that_of_the_sizes(
        sides in proptest::array::uniform3(1.0..500.0), left in proptest::array::uniform3(0.2..1.1),
    ) {
        let [radial, tangential, longitudinal] = [0, 1, 2].map(|i| shrinkage(sides[i], sides[i] * left[i]));
        let area = shrinkage(sides[0] * sides[1], sides[0] * left[0] * sides[1] * left[1]);
        agrees(shrinkage_cross_section(radial, tangential), area, 12, 100.0);
        agrees(shrinkage_volumetric(radial, tangential, longitudinal), 100.0 * (1.0 - left[0] * left[1] * left[2]), 12, 100.0);
    }

    /// Source: JCGM 100:2008, 7.2.6 \[memory]: rounding moves value and uncertainty by half the last digit at most.
    #[test]
    fn shown_value_and_uncertainty_are_within_half_the_last_digit(value in -1e6..1e6, exponent in -6.0..6.0) {
        let u = 10_f64.powf(exponent);
        let text = shown(value, Some(u));
        let (shown_value, shown_u) = text.split_once(" ± ").unwrap();
        let half = 0.5 * 10_f64.powi(-decimals(u));
        for (text, exact) in [(shown_value, value), (shown_u, u)] {
            let read: f64 = text.parse().unwrap();
            assert!((read - exact).abs() <= half * (1.0 + 1e-6) + 1e-9 * exact.abs(), "{text} for {exact} ± {u}");
        }
        let digits = shown_u.trim_start_matches(['0', '.']).chars().filter(char::is_ascii_digit).count();
        assert!(digits >= 2 && half <= 0.051 * u, "{text}");
    }
}

/// Source: the rule of `Rules::stated_first`: without it a stated value stands only where nothing was measured.
#[test]
fn stated_values_yield_to_measured_ones_unless_they_come_first() {
    let measured = [
        (Cause::MassSaturated, 50.0),
        (Cause::MassOvenDry, 10.0),
        (Cause::VolumeSaturated, 47.0),
        (Cause::VolumeOvenDry, 26.0),
        (Cause::CellWallDensity, 1500.0),
        (Cause::SoundBasicDensity, 560.0),
        (Cause::AshContent, 2.0),
    ];
    let stated: Vec<_> = Quantity::ALL.iter().map(|&quantity| (Cause::Stated(quantity), 42.0)).collect();
    let all = [&measured[..], &stated].concat();
    let (alone, both) = (check(&measured, &rules()), check(&all, &rules()));
    let first = check(&all, &Rules { stated_first: true, ..rules() });
    for &quantity in Quantity::ALL {
        if let Some(alone) = alone.value(quantity) {
            assert_eq!(both.value(quantity), Some(alone), "{}", quantity.name());
        }
        agrees(first.value(quantity).unwrap().0, 42.0, 15, 0.0);
    }
}
