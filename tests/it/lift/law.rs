//! Laws: superposition, mirror symmetry, scale, Archimedes.

use proptest::prelude::{Strategy, prop_assert, proptest};
use woodstate::lift::{
    Beam, Held, Load, LoadLine, Rim, Shape, Station, Stiffness, Support, Timber, piece_density, weight_partly_out,
};

use super::{GRAVITY, fixed, hung, line_of};

/// Three stations of rectangles.
fn timbers() -> impl Strategy<Value = Timber> {
    let size = || (0.05..0.5_f64, 0.05..0.5_f64);
    (1.0..12.0_f64, 0.2..0.8_f64, size(), size(), size()).prop_map(|(length, share, a, b, c)| {
        let station = |at, (width, height)| Station { at, shape: Shape::rectangle(width, height).unwrap() };
        Timber::of_stations(&[station(0.0, a), station(share * length, b), station(length, c)]).unwrap()
    })
}

/// Two slings on either side of the centre of weight, as shares of what is left on each side.
fn slings(line: &LoadLine, [a, b]: [f64; 2]) -> Support {
    let centre = line.centre();
    Support::Slings { first: centre * a, second: centre + (line.length() - centre) * b }
}

fn mirrored(timber: &Timber) -> Timber {
    let length = timber.length();
    let turned = timber.stations().iter().rev().map(|station| Station { at: length - station.at, ..*station });
    let turned: Vec<Station> = turned.collect();
    Timber::of_stations(&turned).unwrap()
}

proptest! {
    #![proptest_config(fixed(64))]

    /// Forces hold the load, and moments and shear forces end at 0 behind the last of them.
    #[test]
    fn forces_balance(timber in timbers(), a in 0.0..0.95_f64, b in 0.05..1.0_f64) {
        let line = line_of(&timber, 11_000.0);
        let support = slings(&line, [a, b]);
        hung(&timber, &line, &support, |beam| {
            let (length, force) = (timber.length(), line.force());
            assert!((beam.held.iter().map(|held| held.force).sum::<f64>() - force).abs() < 1e-9 * force);
            assert!(beam.moment(length).abs() < 1e-9 * force * length);
        });
    }

    /// Any number of equalised slings, each in the middle of its part, balances any timber.
    #[test]
    fn equalised_slings_balance(timber in timbers(), count in 1..9_usize) {
        let line = line_of(&timber, 11_000.0);
        hung(&timber, &line, &Support::Equalised { count }, |beam| {
            assert!(beam.moment(timber.length()).abs() < 1e-9 * line.force() * timber.length());
            assert!(beam.held.windows(2).all(|two| two[0].place < two[1].place));
        });
    }

    /// Moments of two loads add up.
    #[test]
    fn loads_superpose(timber in timbers(), place in 0.0..1.0_f64, look in 0.0..1.0_f64, force in 1.0..5000.0_f64) {
        let length = timber.length();
        let point = [Load::At { place: place * length, force }];
        let moment = |weight: f64, loads: &[Load]| {
            let line = LoadLine::new(&timber, Rim::NONE, [weight, weight], loads).unwrap();
            let far = line.force() * line.centre() / length;
            let held = [Held { place: 0.0, force: line.force() - far }, Held { place: length, force: far }];
            Beam { timber: &timber, rim: Rim::NONE, line: &line, held: &held }.moment(look * length)
        };
        let together = moment(9000.0, &point);
        let apart = moment(9000.0, &[]) + moment(1e-300, &point);
        prop_assert!((together - apart).abs() < 1e-9 * together.abs().max(1.0));
    }

    /// Turned end for end, a timber bears the same and sags the same.
    #[test]
    fn ends_may_be_exchanged(timber in timbers(), a in 0.1..0.9_f64, b in 0.1..0.9_f64) {
        let (line, turned) = (line_of(&timber, 11_000.0), mirrored(&timber));
        let back = line_of(&turned, 11_000.0);
        let support = slings(&line, [a, b]);
        let Support::Slings { first, second } = support else { unreachable!() };
        let mirror = Support::Slings { first: timber.length() - second, second: timber.length() - first };
        let wood = Stiffness { modulus: 8000.0, shear_modulus: Some(500.0) };
        let look = |beam: &Beam<'_>| (beam.peaks().unwrap(), beam.sag(wood).unwrap().unwrap().largest().value);
        let (here, sag) = hung(&timber, &line, &support, look);
        let (there, other) = hung(&turned, &back, &mirror, look);
        for (x, y) in [
            (here.core_bending.value, there.core_bending.value),
            (here.shear.value, there.shear.value),
            (here.moment().value, there.moment().value),
            (sag, other),
        ] {
            prop_assert!((x - y).abs() < 1e-8 * x.abs().max(1e-9), "{x} {y}");
        }
    }

    /// Twice as long is four times the bending stress and sixteen times the sag by bending.
    #[test]
    fn stress_goes_with_the_square_of_the_length(timber in timbers(), a in 0.1..0.9_f64, b in 0.1..0.9_f64) {
        let longer: Vec<Station> = timber.stations().iter().map(|one| Station { at: 2.0 * one.at, ..*one }).collect();
        let longer = Timber::of_stations(&longer).unwrap();
        let wood = Stiffness { modulus: 8000.0, shear_modulus: None };
        let look = |timber: &Timber| {
            let line = line_of(timber, 11_000.0);
            hung(timber, &line, &slings(&line, [a, b]), |beam| {
                [beam.peaks().unwrap().core_bending.value, beam.sag(wood).unwrap().unwrap().largest().value]
            })
        };
        let ([stress, sag], [four, sixteen]) = (look(&timber), look(&longer));
        prop_assert!((four / stress - 4.0).abs() < 1e-9);
        prop_assert!((sixteen / sag - 16.0).abs() < 1e-6);
    }

    /// Weight under water and the water it displaces are the weight in the air.
    #[test]
    fn weight_under_water_and_displaced_water_are_the_weight_in_the_air(
        basic in 50.0..1000.0_f64, water in 990.0..1040.0_f64, volume in 0.001..2.0_f64, filled in 0.0..1.0_f64,
    ) {
        let density = piece_density(basic, water, 1500.0, filled);
        let weight = |out: f64| weight_partly_out(density, water, volume, out, GRAVITY);
        prop_assert!((weight(0.0) + GRAVITY * water * volume - weight(1.0)).abs() < 1e-9 * weight(1.0));
    }

    /// A station more on a straight line changes nothing.
    #[test]
    fn a_station_more_changes_nothing(timber in timbers(), share in 0.05..0.95_f64, a in 0.1..0.9_f64, b in 0.1..0.9_f64) {
        let at = share * timber.length();
        let mut stations = timber.stations().to_vec();
        if stations.iter().all(|station| (station.at - at).abs() > 1e-3) {
            stations.push(Station { at, shape: timber.shape_at(at) });
            stations.sort_by(|a, b| a.at.total_cmp(&b.at));
        }
        let finer = Timber::of_stations(&stations).unwrap();
        let (line, other) = (line_of(&timber, 11_000.0), line_of(&finer, 11_000.0));
        let support = slings(&line, [a, b]);
        let moment = |timber: &Timber, line: &LoadLine| hung(timber, line, &support, |beam| beam.peaks().unwrap().moment().value);
        prop_assert!((moment(&timber, &line) / moment(&finer, &other) - 1.0).abs() < 1e-4);
        prop_assert!((line.force() - other.force()).abs() < 1e-9 * line.force());
    }
}
