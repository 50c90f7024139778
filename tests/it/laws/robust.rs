//! Nothing that a person can put in makes a formula panic or lets a number through that is none.

use proptest::option;
use proptest::prelude::{Just, Strategy, any, prop_oneof};
use proptest::proptest;

use woodstate::quantity::{Jet, Measured, Quantity, Unit, shown, shown_value};
use woodstate::state::{
    Cause, Propagation, Reading, Readings, Rules, Shape, cell_wall_density_with_ash, derive, propagate,
};

use crate::laws::{fixed, rules};

/// Any number at all, with the awkward ones often.
fn number() -> impl Strategy<Value = f64> {
    prop_oneof![
        3 => 0.0..2000.0,
        1 => -100.0..100.0,
        1 => any::<f64>(),
        1 => prop_oneof![
            Just(0.0), Just(-0.0), Just(1.0), Just(100.0), Just(1000.0), Just(1500.0), Just(1e300), Just(-1e300),
            Just(5e-324), Just(f64::MAX), Just(f64::INFINITY), Just(f64::NEG_INFINITY), Just(f64::NAN),
        ],
    ]
}

/// Any causes at all; most present.
fn causes() -> impl Strategy<Value = Vec<Option<f64>>> {
    proptest::collection::vec(option::weighted(0.7, number()), Cause::COUNT)
}

fn any_rules(stated_first: bool, is_conditioned: bool) -> Rules<'static> {
    Rules { stated_first, is_conditioned, ..rules() }
}

/// What was derived is finite and possible.
fn check(causes: &[Option<f64>; Cause::COUNT], rules: &Rules<'_>) {
    let derived = derive(causes, rules);
    for &quantity in Quantity::ALL {
        if let Some((value, route)) = derived.value(quantity) {
            assert!(value.is_finite(), "{} {route}: {value}", quantity.name());
        }
    }
    let of = |cause: Cause| causes[cause.index()];
    let clean = of(Cause::CellWallDensity);
    let ash = of(Cause::AshDensity).zip(of(Cause::AshContent));
    let with_ash = clean.zip(ash).map(|(clean, (density, ash))| cell_wall_density_with_ash(clean, density, ash));
    let wall = with_ash.or(clean).unwrap_or(f64::INFINITY);
    for (route, density) in derived.densities() {
        assert!(density.is_finite() && density > 0.0 && density < wall, "{route}: {density}");
    }
    for (route, content) in derived.water_contents() {
        assert!(content.is_finite() && content >= 0.0, "{route}: {content}");
    }
    // Derivatives do not change values.
    let jets = causes.map(|cause| cause.map(|value| Jet::<1>::cause(value, 0)));
    let with_slopes = derive(&jets, rules);
    for &quantity in Quantity::ALL {
        let plain = |value: f64| value.to_bits();
        let one = derived.value(quantity).map(|(value, route)| (plain(value), route));
        let other = with_slopes.value(quantity).map(|(jet, route)| (plain(jet.value), route));
        assert_eq!(one, other, "{}", quantity.name());
    }
}

proptest! {
    #![proptest_config(fixed(4000))]

    /// Source: the rule that a result is finite and possible, or unknown.
    #[test]
    fn derived_values_are_finite_and_possible_for_any_input(
        causes in causes(), stated_first in any::<bool>(), is_conditioned in any::<bool>(),
    ) {
        check(&causes.try_into().unwrap(), &any_rules(stated_first, is_conditioned));
    }

    /// Source: the rule that readings never make a program panic; `propagate` refuses with an error at most.
    #[test]
    fn propagated_values_are_finite_for_any_input_and_uncertainty(
        causes in causes(), u in proptest::collection::vec(option::weighted(0.8, number()), Cause::COUNT),
        rectangular in any::<bool>(),
    ) {
        let shape = if rectangular { Shape::Rectangular } else { Shape::Normal };
        let mut readings = Readings::default();
        let all = Cause::READINGS.map(|(cause, _)| cause).into_iter();
        let shared = [
            Cause::CellWallDensity, Cause::SoundBasicDensity, Cause::WeighingTemperature, Cause::PoreSalinity,
            Cause::BalanceCalibration, Cause::WaterDensity,
        ];
        for cause in all.chain(shared).chain(Quantity::ALL.iter().map(|&quantity| Cause::Stated(quantity))) {
            if let Some(value) = causes[cause.index()] {
                readings.set(cause, Reading { value, u: u[cause.index()].map(f64::abs), shape });
            }
        }
        let how = Propagation { draws: 50, ..Propagation::usual() };
        if let Ok(results) = propagate(&readings, &rules(), &how, "A-1", "Quercus") {
            for &quantity in Quantity::ALL {
                if let Some(value) = results.values.of(quantity) {
                    assert!(value.value.is_finite(), "{}: {value:?}", quantity.name());
                    assert!(value.u.is_none_or(|u| u.is_finite() && u >= 0.0), "{}: {value:?}", quantity.name());
                }
            }
        }
    }

    /// Source: the rule that bad input is an error, never a panic.
    #[test]
    fn no_text_makes_a_reader_of_quantities_panic(text in "\\PC*", near in "[-+ ]?[0-9.,eE±µ%°/<> -]{0,12}[a-zA-Zµ³%°/]{0,6}") {
        for text in [&text, &near] {
            let spelling = Unit::parse(text);
            for unit in ["kg/m3", "%", "Cel", "mg/kg", "1"].map(|code| Unit::parse(code).unwrap()) {
                if let Ok(measured) = Measured::parse(text, unit) {
                    assert!(measured.value.is_finite() && measured.u.is_none_or(|u| u.is_finite() && u >= 0.0), "{text}");
                }
            }
            assert!(spelling.is_err() || spelling.unwrap().code().len() <= 6);
        }
    }

    /// Source: as above; also for numbers that are none.
    #[test]
    fn every_number_can_be_shown(value in number(), u in option::of(number())) {
        assert!(shown(value, u).contains('±'));
        assert!(!shown_value(value).is_empty());
    }
}

/// Source: the rule that a number is finite; the conversion of a finite one can overflow.
#[test]
fn quantity_too_large_for_its_unit_is_refused() {
    let kg_m3 = Unit::parse("kg/m3").unwrap();
    for text in ["1e308 g/cm3", "1 ± 1e308 g/cm3"] {
        let measured = Measured::parse(text, kg_m3);
        assert!(measured.is_err(), "{text}: {measured:?}");
    }
}

#[cfg(feature = "table")]
proptest! {
    #![proptest_config(fixed(4000))]

    /// Source: the grammar of numbers in tables: a finite number, a limit, or unreadable.
    #[test]
    fn no_cell_makes_the_reader_of_numbers_panic(text in "\\PC*", near in "[<−-]?[0-9.,' \u{a0}\u{202f}eE+]{0,14}%?") {
        use woodstate::table::{Decimal, NumberText, parse_number};
        for text in [&text, &near] {
            for decimal in [Decimal::Point, Decimal::Comma] {
                match parse_number(text, decimal) {
                    NumberText::Value(value) | NumberText::BelowLimit(value) => assert!(value.is_finite(), "{text}"),
                    NumberText::Unreadable => {}
                }
            }
        }
    }
}
