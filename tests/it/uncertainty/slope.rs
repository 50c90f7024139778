//! Derivatives carried along against central differences, for pieces of which everything is known.

use woodstate::numeric::gradient;
use woodstate::quantity::{Jet, Quantity};
use woodstate::reference::Reference;
use woodstate::state::{Cause, Derived, Route, Rules, derive};

/// A piece of oak: every reading, every shared cause, every stated quantity. Invented.
fn full() -> [Option<f64>; Cause::COUNT] {
    let mut causes = [None; Cause::COUNT];
    let readings = [
        (Cause::MassSaturated, 42.37),
        (Cause::MassOvenDry, 7.516),
        (Cause::MassImmersed, 3.1),
        (Cause::MassDisplaced, 40.1),
        (Cause::MassSinkerImmersed, 0.5),
        (Cause::VolumeSaturated, 40.2),
        (Cause::VolumeOvenDry, 22.4),
        (Cause::PieceDiameter, 32.0),
        (Cause::PieceLength, 50.1),
        (Cause::PieceWidth, 31.4),
        (Cause::PieceThickness, 25.6),
        (Cause::WaterContentDryBasis, 430.0),
        (Cause::WaterContentWetBasis, 81.0),
        (Cause::Density12, 260.0),
        (Cause::ShrinkageCoefficient, 0.46),
        (Cause::FibreSaturation, 28.0),
        (Cause::RadialSaturated, 24.85),
        (Cause::RadialDry, 21.3),
        (Cause::TangentialSaturated, 31.4),
        (Cause::TangentialDry, 20.75),
        (Cause::LongitudinalSaturated, 50.1),
        (Cause::LongitudinalDry, 49.05),
        (Cause::AshContent, 3.2),
        (Cause::CellWallDensity, 1500.0),
        (Cause::SoundBasicDensity, 560.0),
        (Cause::WeighingTemperature, 17.0),
        (Cause::WeighingSalinity, 0.6),
        (Cause::PoreSalinity, 7.2),
        (Cause::BalanceCalibration, 0.001),
        (Cause::WaterDensity, 1001.0),
        (Cause::NormalShrinkageVolumetric, 16.3),
        (Cause::NormalShrinkageCrossSection, 15.5),
        (Cause::Density12Factor, 0.828),
    ];
    for (cause, value) in readings {
        causes[cause.index()] = Some(value);
    }
    for (place, &quantity) in (0_u8..).zip(Quantity::ALL) {
        causes[Cause::Stated(quantity).index()] = Some(40.0 + f64::from(place));
    }
    causes[Cause::Stated(Quantity::MaxWaterContent).index()] = Some(470.0);
    causes[Cause::Stated(Quantity::BasicDensity).index()] = Some(190.0);
    causes
}

/// Every number that a derived piece holds, by name.
fn results<N: woodstate::quantity::Number>(derived: &Derived<N>) -> Vec<(String, N)> {
    let named = |(route, value): (Route, N), of: &str| (format!("{of} {route}"), value);
    let reported = Quantity::ALL.iter().filter_map(|&of| Some((of.name().to_owned(), derived.value(of)?.0)));
    let contents = derived.water_contents().map(|route| named(route, "water content"));
    let densities = derived.densities().map(|route| named(route, "density"));
    reported.chain(contents).chain(densities).collect()
}

/// Each derivative of each result agrees with a central difference to 1e-6; tells how many are not 0.
fn check(causes: &[Option<f64>; Cause::COUNT], rules: &Rules<'_>) -> usize {
    let known: Vec<usize> = (0..Cause::COUNT).filter(|&index| causes[index].is_some()).collect();
    let x: Vec<f64> = known.iter().map(|&index| causes[index].unwrap()).collect();
    let step: Vec<f64> = x.iter().map(|x| 1e-4 * x).collect();
    let mut jets = [None; Cause::COUNT];
    for &index in &known {
        jets[index] = causes[index].map(|value| Jet::<{ Cause::COUNT }>::cause(value, index));
    }
    let mut compared = 0;
    let exact = results(&derive(&jets, rules));
    for (place, (name, jet)) in exact.iter().enumerate() {
        let f = |x: &[f64]| {
            let mut moved = [None; Cause::COUNT];
            for (&index, &x) in known.iter().zip(x) {
                moved[index] = Some(x);
            }
            results(&derive(&moved, rules))[place].1
        };
        assert!((f(&x) - jet.value).abs() <= 1e-12 * jet.value.abs(), "{name}");
        for ((&index, slope), x) in known.iter().zip(gradient(f, &x, &step).unwrap()).zip(&x) {
            let within = 1e-6 * jet.slope[index].abs() + 1e-9 * (jet.value / x).abs();
            assert!(
                (slope - jet.slope[index]).abs() <= within,
                "{name} by cause {index}: {slope} {}",
                jet.slope[index]
            );
            compared += usize::from(slope.abs() > within);
        }
    }
    compared
}

/// Source: central differences of `numeric::gradient`; every quantity, 4 routes to the water content, 7 to the density.
#[test]
fn derivatives_of_a_piece_of_which_everything_is_known() {
    let rules = Rules::plain(Reference::shipped().unwrap());
    assert_eq!(results(&derive(&full(), &rules)).len(), Quantity::COUNT + 4 + 7);
    assert!(check(&full(), &rules) >= 100);
}

/// Source: as above; the density of the water is computed, and the volume comes from the rise in a vessel.
#[test]
fn derivatives_through_the_equation_of_state_of_water() {
    let mut causes = full();
    for cause in [Cause::WaterDensity, Cause::VolumeSaturated, Cause::PieceWidth] {
        causes[cause.index()] = None;
    }
    let rules = Rules::plain(Reference::shipped().unwrap());
    assert!(check(&causes, &rules) >= 120);
}

/// Source: as above; a light conditioned piece with stated values first.
#[test]
fn derivatives_of_a_light_piece_with_stated_values_first() {
    let mut causes = full();
    for (cause, value) in [
        (Cause::MassSaturated, 41.2),
        (Cause::MassOvenDry, 3.9),
        (Cause::MassImmersed, 3.4),
        (Cause::CellWallDensity, 1420.0),
        (Cause::PoreSalinity, 34.0),
        (Cause::WeighingTemperature, 6.0),
    ] {
        causes[cause.index()] = Some(value);
    }
    causes[Cause::WaterDensity.index()] = None;
    let plain = Rules::plain(Reference::shipped().unwrap());
    let rules = Rules { stated_first: true, is_conditioned: true, ..plain };
    assert!(check(&causes, &rules) >= 60);
}
