//! Probabilities of classes, and random draws.

use proptest::proptest;

use woodstate::numeric::Sample;
use woodstate::quantity::{Evidence, Quantity};
use woodstate::reference::{Boundary, ClassBand, Reference, Scheme};
use woodstate::state::{Cause, ClassReading, Doubt, Propagated, Propagation, Reading, Readings, propagate};

use crate::laws::{agrees, fixed, rules};

fn oak() -> &'static Scheme {
    Reference::shipped().unwrap().scheme("oak-water-content").unwrap()
}

fn class(scheme: &Scheme, value: f64, doubt: Doubt<'_>) -> ClassReading {
    ClassReading::of(scheme, value, doubt, Boundary::Worse, 0.8).unwrap()
}

/// Two classes that meet at `limit`.
fn halves(limit: f64) -> Scheme {
    let band = |label: &str, from, to| ClassBand { label: label.to_owned(), from, to };
    let scheme = Scheme {
        id: "halves".to_owned(),
        title: String::new(),
        quantity: "max_water_content".to_owned(),
        scope: Vec::new(),
        classes: vec![band("above", Some(limit), None), band("below", None, Some(limit))],
        source: String::new(),
        place: String::new(),
        evidence: Evidence::Stated,
    };
    scheme.check().unwrap();
    scheme
}

fn of(reading: &ClassReading, label: &str) -> f64 {
    reading.probability.as_ref().unwrap()[label]
}

proptest! {
    #![proptest_config(fixed(256))]

    /// Source: classes without gap or overlap hold the whole probability; the class named has the largest share.
    #[test]
    fn class_probabilities_sum_to_one(
        value in 0.0..1500.0, u in 1e-3..500.0, nu in 1.0..50.0, draws in proptest::collection::vec(0.0..900.0, 2..300),
    ) {
        let sample = Sample::new(draws).unwrap();
        for doubt in [Doubt::Normal(u), Doubt::Student(u, nu), Doubt::Drawn(&sample)] {
            let reading = class(oak(), value, doubt);
            let shares = reading.probability.clone().unwrap();
            agrees(shares.values().sum(), 1.0, 12, 0.0);
            assert!(shares.values().all(|share| (0.0..=1.0).contains(share)));
            let largest = shares.values().copied().fold(0.0, f64::max);
            agrees(of(&reading, reading.most_likely.as_deref().unwrap()), largest, 15, 0.0);
            assert_eq!(reading.decided, largest >= 0.8);
            assert_eq!(reading.decided, reading.reason.is_none());
        }
    }

    /// Source: both distributions are symmetric: as far above a limit as below gives the mirrored probabilities.
    #[test]
    fn class_probability_is_symmetric_about_a_limit(
        limit in 100.0..600.0, distance in 0.0..300.0, u in 0.1..200.0, nu in 1.0..50.0,
    ) {
        let scheme = halves(limit);
        for doubt in [Doubt::Normal(u), Doubt::Student(u, nu)] {
            let (above, below) = (class(&scheme, limit + distance, doubt), class(&scheme, limit - distance, doubt));
            agrees(of(&above, "above"), of(&below, "below"), 9, 1.0);
            assert!(of(&above, "above") >= 0.5 - 1e-9);
        }
    }
}

/// Source: `ClassReading::of`, errors: an uncertainty that is not a number.
#[test]
fn uncertainty_that_is_not_a_number_gives_no_class() {
    for doubt in [Doubt::Normal(f64::NAN), Doubt::Student(f64::NAN, 4.0), Doubt::Student(10.0, f64::NAN)] {
        let reading = ClassReading::of(oak(), 450.0, doubt, Boundary::Worse, 0.8);
        assert!(reading.is_err(), "{doubt:?}: {reading:?}");
    }
}

/// A piece so small that it is drawn.
fn drawn(name: &str, taxon: &str, seed: u64, uncertain: &[Cause]) -> Propagated {
    let mut piece = Readings::default();
    for (cause, value, u) in [
        (Cause::CellWallDensity, 1500.0, 30.0),
        (Cause::MassOvenDry, 0.1, 0.02),
        (Cause::MassSaturated, 0.6, 0.03),
        (Cause::SoundBasicDensity, 560.0, 50.0),
        (Cause::WaterDensity, 998.2, 0.2),
    ] {
        let u = if uncertain.contains(&cause) { u } else { 0.0 };
        piece.set(cause, Reading::normal(value, Some(u)));
    }
    let how = Propagation {
        seed,
        draws: 2000,
        second_order_share: 0.0,
        second_order_share_compared: 0.0,
        ..Propagation::usual()
    };
    propagate(&piece, &rules(), &how, name, taxon).unwrap()
}

const ALL: [Cause; 5] =
    [Cause::MassSaturated, Cause::MassOvenDry, Cause::CellWallDensity, Cause::SoundBasicDensity, Cause::WaterDensity];

fn bits(results: &Propagated, quantity: Quantity) -> Vec<u64> {
    let sample = results.drawn.as_ref().expect("not drawn")[quantity as usize].as_ref().expect("unknown");
    sample.values().iter().map(|value| value.to_bits()).collect()
}

/// Source: the rule of determinism: same input and seed, same bytes; another seed or another piece, other draws.
#[test]
fn same_seed_draws_the_same_bytes_and_another_seed_does_not() {
    let one = drawn("A-1", "Quercus", 1, &ALL);
    for quantity in [Quantity::MaxWaterContent, Quantity::BasicDensity, Quantity::ResidualBasicDensity] {
        let first = bits(&one, quantity);
        assert_eq!(first, bits(&drawn("A-1", "Quercus", 1, &ALL), quantity));
        assert_ne!(first, bits(&drawn("A-1", "Quercus", 2, &ALL), quantity));
        assert_ne!(first, bits(&drawn("A-2", "Quercus", 1, &ALL), quantity));
    }
}

/// Source: a shared cause is one number: it is drawn alike for all pieces, the density of sound wood alike within a taxon.
#[test]
fn shared_causes_are_drawn_alike_for_all_pieces() {
    let shared = [Cause::CellWallDensity, Cause::SoundBasicDensity, Cause::WaterDensity];
    let of = |name: &str, taxon: &str, uncertain: &[Cause]| {
        let mut piece = Readings::default();
        for (cause, value, u) in [
            (Cause::MassSaturated, 106.4, 0.0),
            (Cause::MassImmersed, 6.4, 0.0),
            (Cause::CellWallDensity, 1500.0, 120.0),
            (Cause::SoundBasicDensity, 560.0, 50.0),
            (Cause::WaterDensity, 998.2, 0.2),
        ] {
            let u = if uncertain.contains(&cause) { u } else { 0.0 };
            piece.set(cause, Reading::normal(value, Some(u)));
        }
        let how = Propagation { draws: 500, second_order_share: 1e-6, ..Propagation::usual() };
        bits(&propagate(&piece, &rules(), &how, name, taxon).unwrap(), Quantity::ResidualBasicDensity)
    };
    assert_eq!(of("A-1", "Quercus", &shared), of("B-7", "Quercus", &shared));
    assert_ne!(of("A-1", "Quercus", &shared), of("A-1", "Alnus", &shared));
    let without_taxon = [Cause::CellWallDensity, Cause::WaterDensity];
    assert_eq!(of("A-1", "Quercus", &without_taxon), of("A-1", "Alnus", &without_taxon));
}
