//! The numbers of one look at a timber: those that are stated, or those of one random draw.

use crate::numeric::Stream;
use crate::quantity::Measured;

use super::{Case, Wood};

/// One set of numbers for all that is uncertain in a case.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Numbers {
    /// Factors of length, width and height.
    pub(super) sizes: [f64; 3],
    pub(super) rim_depth: f64,
    pub(super) core_density: f64,
    pub(super) rim_density: f64,
    pub(super) pore: f64,
    pub(super) surrounding: f64,
    pub(super) cell_wall: f64,
    pub(super) saturation: f64,
    /// Factor of the masses that are attached.
    pub(super) attached: Vec<f64>,
    pub(super) dynamic: f64,
    /// Shared and own standard normal numbers of each strength: core, then the wood on which slings press.
    pub(super) strengths: [[[f64; 2]; 5]; 2],
}

impl Numbers {
    /// Those that are stated.
    pub(super) fn stated(case: &Case) -> Self {
        Self {
            sizes: [1.0; 3],
            rim_depth: case.rim.depth,
            core_density: case.core_density.value,
            rim_density: case.rim_density.value,
            pore: case.waters.pore.unwrap_or(case.waters.surrounding).value,
            surrounding: case.waters.surrounding.value,
            cell_wall: case.waters.cell_wall.value,
            saturation: case.waters.saturation.value,
            attached: vec![1.0; case.attached.len()],
            dynamic: case.handling.dynamic.map_or(1.0, |dynamic| dynamic.value),
            strengths: [[[0.0; 2]; 5]; 2],
        }
    }

    /// Whether a timber of these numbers can be: sizes above 0, wood lighter than its cell wall.
    pub(super) fn is_possible(&self) -> bool {
        let is_wood = |density: f64| density > 0.0 && density < self.cell_wall;
        let sizes = self.sizes.iter().all(|size| *size > 0.0);
        sizes && is_wood(self.core_density) && is_wood(self.rim_density) && self.dynamic > 0.0 && self.pore > 0.0
    }
}

/// Streams of random numbers: one a cause, so that neither the order of timbers nor what else is uncertain moves a draw.
#[derive(Debug)]
pub(super) struct Streams {
    sizes: [Stream; 3],
    rim_depth: Stream,
    core_density: Stream,
    rim_density: Stream,
    pore: Stream,
    surrounding: Stream,
    cell_wall: Stream,
    saturation: Stream,
    attached: Stream,
    dynamic: Stream,
    strengths: [[[Stream; 2]; 5]; 2],
}

const PROPERTIES: [&str; 5] = ["bending", "compression", "shear", "bearing", "modulus"];

impl Streams {
    /// The streams of a case. Water and cell wall are shared by all timbers, and so is the error of a curve of strength.
    pub(super) fn of(case: &Case, seed: u64) -> Self {
        let own = |cause: &str| Stream::keyed(seed, &["lift", &case.name, cause]);
        let all = |cause: &str| Stream::keyed(seed, &["lift of all", cause]);
        let of_wood = |zone: &str, wood: &Wood| {
            let strengths = wood.all();
            std::array::from_fn(|row| {
                let (property, cause) =
                    (PROPERTIES[row], strengths[row].map_or("", |strength| strength.cause.as_str()));
                [Stream::keyed(seed, &["lift of all", property, cause]), own(&format!("{zone} {property}"))]
            })
        };
        Self {
            sizes: ["length", "width", "height"].map(own),
            rim_depth: own("rim depth"),
            core_density: own("core density"),
            rim_density: own("rim density"),
            pore: all("pore water"),
            surrounding: all("surrounding water"),
            cell_wall: all("cell wall"),
            saturation: own("saturation"),
            attached: own("attached"),
            dynamic: own("dynamic"),
            strengths: [of_wood("core", &case.core), of_wood("surface", case.surface())],
        }
    }

    /// The next draw. Every cause takes the same count of numbers in each draw.
    pub(super) fn draw(&mut self, case: &Case, into: &mut Numbers) {
        let doubts = [case.sizes.length, case.sizes.width, case.sizes.height];
        for ((size, stream), u) in into.sizes.iter_mut().zip(&mut self.sizes).zip(doubts) {
            *size = 1.0 + u.unwrap_or(0.0) * stream.normal();
        }
        let of = |measured: Measured, stream: &mut Stream| measured.value + measured.u.unwrap_or(0.0) * stream.normal();
        into.rim_depth = of(Measured { value: case.rim.depth, u: case.rim_u }, &mut self.rim_depth).max(0.0);
        into.core_density = of(case.core_density, &mut self.core_density);
        into.rim_density = of(case.rim_density, &mut self.rim_density);
        into.surrounding = of(case.waters.surrounding, &mut self.surrounding);
        into.pore = case.waters.pore.map_or(into.surrounding, |pore| of(pore, &mut self.pore));
        into.cell_wall = of(case.waters.cell_wall, &mut self.cell_wall);
        into.saturation = of(case.waters.saturation, &mut self.saturation).clamp(0.0, 1.0);
        for (factor, attached) in into.attached.iter_mut().zip(&case.attached) {
            let mass = of(attached.mass, &mut self.attached).max(0.0);
            *factor = if attached.mass.value > 0.0 { mass / attached.mass.value } else { 1.0 };
        }
        into.dynamic = case.handling.dynamic.map_or(1.0, |dynamic| of(dynamic, &mut self.dynamic));
        for (zone, streams) in into.strengths.iter_mut().zip(&mut self.strengths) {
            for (pair, streams) in zone.iter_mut().zip(streams) {
                for (number, stream) in pair.iter_mut().zip(streams) {
                    *number = stream.normal();
                }
            }
        }
    }
}
