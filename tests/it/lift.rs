//! Lifting: weight, beams, slings, margins.

mod beam;
#[cfg(feature = "table")]
mod caution;
mod effect;
mod fault;
mod law;
mod margin;
#[cfg(feature = "report")]
mod outside;
#[cfg(feature = "cli")]
mod program;
mod section;
mod slings;
#[cfg(feature = "cli")]
mod stated;
mod weight;

use proptest::prelude::ProptestConfig;
use proptest::test_runner::RngSeed;
use woodstate::lift::{Beam, Case, Handling, Held, LoadLine, Rim, Shape, SizeDoubt, Support, Timber, Waters, Wood};
use woodstate::quantity::Measured;

/// Same numbers on every run and machine.
pub(crate) fn fixed(cases: u32) -> ProptestConfig {
    ProptestConfig { cases, rng_seed: RngSeed::Fixed(1), failure_persistence: None, ..ProptestConfig::default() }
}

#[track_caller]
pub(crate) fn near(actual: f64, expected: f64, tolerance: f64) {
    assert!((actual - expected).abs() <= tolerance, "{actual}, expected {expected} within {tolerance}");
}

/// m/s2, exact by definition.
pub(crate) const GRAVITY: f64 = 9.80665;

/// Weight per volume of the worked beam, N/m3: basic density 560 kg/m3, cell wall 1500, water 1000.
pub(crate) fn worked_weight() -> f64 {
    GRAVITY * woodstate::lift::piece_density(560.0, 1000.0, 1500.0, 1.0)
}

/// The worked beam: 6 m, 250 mm by 250 mm.
pub(crate) fn worked_beam() -> Timber {
    Timber::prismatic(6.0, Shape::rectangle(0.25, 0.25).unwrap()).unwrap()
}

pub(crate) fn line_of(timber: &Timber, weight: f64) -> LoadLine {
    LoadLine::new(timber, Rim::NONE, [weight, weight], &[]).unwrap()
}

/// Looks at a timber of one wood under a support that gives one set of forces.
pub(crate) fn hung<R>(timber: &Timber, line: &LoadLine, support: &Support, look: impl Fn(&Beam<'_>) -> R) -> R {
    let held: Vec<Held> = support.held(line).unwrap().remove(0);
    look(&Beam { timber, rim: Rim::NONE, line, held: &held })
}

pub(crate) fn exactly(value: f64) -> Measured {
    Measured::new(value, 0.0)
}

/// The worked beam without any doubt and without a strength.
pub(crate) fn worked_case() -> Case {
    Case {
        name: "B07".to_owned(),
        timber: worked_beam(),
        sizes: SizeDoubt { length: Some(0.0), width: Some(0.0), height: Some(0.0) },
        rim: Rim::NONE,
        rim_u: None,
        core_density: exactly(560.0),
        rim_density: exactly(560.0),
        waters: Waters {
            pore: None,
            surrounding: exactly(1000.0),
            cell_wall: exactly(1500.0),
            saturation: exactly(1.0),
        },
        attached: Vec::new(),
        hollow_holds_water: false,
        core: Wood::default(),
        rim_wood: Wood::default(),
        handling: Handling::STILL,
        shear_ratio: 0.0625,
        gravity: GRAVITY,
    }
}
