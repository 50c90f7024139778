//! Beams and boxes: the solver against products of series, against itself, its laws.

use proptest::prelude::*;
use woodstate::numeric::Watch;
use woodstate::treatment::{
    BathStep, Block, Body, Form, Grain, Layer, Layered, Moment, Ranged, SoakOptions, slab_uptake, slab_value,
};

use super::{fixed, near};

fn wood<const N: usize>(diffusivity: [f64; N]) -> Grain<N> {
    Grain { diffusivity, porosity: 0.7 }
}

fn soaked<const N: usize>(block: &Block<N>, cells: usize, tolerance: f64, time: f64) -> Moment {
    let options = SoakOptions { cells, tolerance, ..SoakOptions::at(&[time]) };
    let bath = BathStep { duration: time, concentration: 1.0 };
    block.soak(&[bath], &options, &Watch::silent()).unwrap().moments.remove(0)
}

#[test]
fn errors_of_a_beam_fall_as_the_square_of_the_cells() {
    let beam = Block::new([1.0, 0.8], &[], wood([1.0, 0.5])).unwrap();
    let across = [Ranged::exact(1.0).unwrap(), Ranged::exact(0.5).unwrap()];
    let series = Body::beam([1.0, 0.8], across).unwrap();
    let error = |cells: usize| {
        let moment = soaked(&beam, cells, 1e-6, 0.3);
        [moment.mean - series.uptake(0.3).unwrap().value(), moment.centre - series.centre(0.3).unwrap().value()]
    };
    let (coarse, fine) = (error(10), error(20));
    for (coarse, fine) in coarse.into_iter().zip(fine) {
        near((coarse / fine).log2(), 2.0, 0.1);
        assert!(fine.abs() < 2e-3, "{fine}");
    }
}

#[test]
fn a_box_is_the_product_of_its_ways() {
    let block = Block::new([1.0, 0.5, 2.0], &[], wood([1.0, 0.4, 3.0])).unwrap();
    let ways = [(0.15, 1.0), (0.15 * 0.4 / 0.25, 1.0), (0.15 * 3.0 / 4.0, 1.0)];
    let moment = soaked(&block, 16, 1e-4, 0.15);
    let left: f64 = ways.iter().map(|(reduced, _)| 1.0 - slab_uptake(*reduced).unwrap()).product();
    let left_centre: f64 = ways.iter().map(|(reduced, _)| 1.0 - slab_value(*reduced, 0.0).unwrap()).product();
    near(moment.mean, 1.0 - left, 2e-3);
    near(moment.centre, 1.0 - left_centre, 4e-3);
}

/// A way so slow that nothing comes in by it leaves the other one: the layers of a slab.
#[test]
fn a_rim_in_a_wide_beam_is_the_rim_of_a_slab() {
    let rim = Grain { diffusivity: [5.0, 1e-9], porosity: 0.9 };
    let core = Grain { diffusivity: [1.0, 1e-9], porosity: 0.5 };
    let beam = Block::new([1.0, 1000.0], &[(0.25, rim)], core).unwrap();
    let layers = [(0.25, 5.0, 0.9), (0.75, 1.0, 0.5)].map(|(thickness, diffusivity, porosity)| Layer {
        thickness,
        diffusivity,
        porosity,
    });
    let slab = Layered::new(Form::Slab, &layers).unwrap();
    let options = SoakOptions { cells: 40, ..SoakOptions::at(&[0.2]) };
    let bath = BathStep { duration: 0.2, concentration: 1.0 };
    let slab = slab.soak(&[bath], &options, &Watch::silent()).unwrap().moments.remove(0);
    let beam = soaked(&beam, 40, 1e-6, 0.2);
    near(beam.centre, slab.centre, 2e-5);
    // The rim at the far ends, 0.025 % of the length, is of the other porosity.
    near(beam.mean, slab.mean, 5e-4);
}

/// Directions are taken one after the other, in an order that must not be seen.
#[test]
fn a_turned_beam_is_the_same_beam() {
    let rim = |[a, b]: [f64; 2]| Grain { diffusivity: [20.0 * a, 10.0 * b], porosity: 0.9 };
    let upright = Block::new([1.0, 0.6], &[(0.2, rim([1.0, 1.0]))], wood([2.0, 0.5])).unwrap();
    let turned = Block::new([0.6, 1.0], &[(0.2, rim([0.5, 2.0]))], wood([0.5, 2.0])).unwrap();
    let (upright, turned) = (soaked(&upright, 15, 1e-6, 0.1), soaked(&turned, 15, 1e-6, 0.1));
    near(upright.mean, turned.mean, 1e-5);
    near(upright.centre, turned.centre, 1e-5);
}

proptest! {
    #![proptest_config(fixed(24))]

    #[test]
    fn what_came_in_is_what_is_there_and_nothing_overshoots(
        half in prop::array::uniform2(0.02..0.2), part in 0.1..0.8, rim in prop::array::uniform2(-12.0..-9.0_f64),
        core in prop::array::uniform2(-13.0..-10.0_f64), initial in 0.0..300.0, strengths in prop::array::uniform2(0.0..600.0),
        duration in 3.0..8.0_f64,
    ) {
        let grain = |powers: [f64; 2]| Grain { diffusivity: powers.map(|power| 10.0_f64.powf(power)), porosity: 0.8 };
        let block = Block::new(half, &[(part * half[0].min(half[1]), grain(rim))], grain(core)).unwrap();
        let duration = 10.0_f64.powf(duration);
        let baths = strengths.map(|concentration| BathStep { duration, concentration });
        let options = SoakOptions { initial, cells: 8, tolerance: 1e-3, ..SoakOptions::at(&[0.3 * duration, 2.0 * duration]) };
        let found = block.soak(&baths, &options, &Watch::silent()).unwrap();
        let (low, high) = (strengths.into_iter().fold(initial, f64::min), strengths.into_iter().fold(initial, f64::max));
        for moment in &found.moments {
            prop_assert!((moment.mean - initial - moment.entered).abs() <= 1e-11 * high);
            for c in moment.concentration.iter().chain([&moment.centre, &moment.mean]) {
                prop_assert!((low - 1e-11 * high..=high * (1.0 + 1e-11)).contains(c), "{c} outside {low} to {high}");
            }
        }
    }
}

#[test]
fn each_fault_is_named() {
    let plain = wood([1.0, 1.0]);
    let said = |half: [f64; 2], rims: &[(f64, Grain<2>)]| Block::new(half, rims, plain).unwrap_err().to_string();
    assert_eq!(said([0.0, 1.0], &[]), "half size of the block is 0; allowed is a number from 1e-30 to 1e30");
    assert_eq!(
        said([1.0, 0.5], &[(0.3, plain), (0.2, plain)]),
        "thickness of all rims is 0.5; allowed is below 0.5 m, the shortest half size, so that a core is left"
    );
    assert_eq!(
        said([1.0, 1.0], &[(-0.1, plain)]),
        "thickness of a rim is -0.1; allowed is a number from 1e-30 to 1e30"
    );
    let still = wood([1.0, 0.0]);
    assert_eq!(
        said([1.0, 1.0], &[(0.1, still)]),
        "diffusivity of a block is 0; allowed is a number from 1e-30 to 1e30"
    );
    let line = Block::new([1.0], &[], wood([1.0])).unwrap_err().to_string();
    assert_eq!(line, "number of directions is 1; allowed is 2 or 3");
    let bath = BathStep { duration: 1.0, concentration: 1.0 };
    let many = SoakOptions { cells: 3000, ..SoakOptions::at(&[1.0]) };
    let square = Block::new([1.0, 1.0], &[], plain).unwrap();
    assert_eq!(
        square.soak(&[bath], &many, &Watch::silent()).unwrap_err().to_string(),
        "number of cells in a direction is 3000; allowed is so many that there are up to 4000000 in all directions together, \
         not 9000000"
    );
}
