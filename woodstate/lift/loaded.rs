//! A timber with one set of numbers, and what pulls it down.

use super::numbers::Numbers;
use super::weight::{attached_weight, piece_density};
use super::{Case, Load, LoadLine, Rim, Timber};

/// A timber with one set of numbers, and what pulls it down. Its rooms are used again from draw to draw.
#[derive(Debug)]
pub(super) struct Loaded {
    pub(super) timber: Timber,
    pub(super) rim: Rim,
    pub(super) line: LoadLine,
    /// Weight without what jerks add, N.
    pub(super) weight: f64,
    loads: Vec<Load>,
}

impl Loaded {
    pub(super) fn room(case: &Case) -> Self {
        let line = LoadLine::default();
        Self { timber: case.timber.clone(), rim: case.rim, line, weight: 0.0, loads: Vec::new() }
    }

    /// Fills the rooms: a timber of which a share is out of the water, multiplied by the dynamic factor.
    pub(super) fn fill(&mut self, case: &Case, numbers: &Numbers, share_out: f64) {
        case.timber.scale_into(numbers.sizes, &mut self.timber);
        self.rim.depth = numbers.rim_depth;
        let buoyancy = (1.0 - share_out) * numbers.surrounding;
        let of_zone = |density: f64| {
            let wet = piece_density(density, numbers.pore, numbers.cell_wall, numbers.saturation);
            (wet - buoyancy) * case.gravity * numbers.dynamic
        };
        let core = of_zone(numbers.core_density);
        let rim = if case.has_rim() { of_zone(numbers.rim_density) } else { core };
        self.loads.clear();
        for (attached, factor) in case.attached.iter().zip(&numbers.attached) {
            let mass = attached.mass.value * factor;
            let force = attached_weight(mass, attached.density, numbers.surrounding, share_out, case.gravity);
            self.loads.push(attached.load(force * numbers.dynamic, case.timber.length()));
        }
        if case.hollow_holds_water {
            let volume = self.timber.hollow_volume();
            let mass = volume * numbers.surrounding;
            let force = attached_weight(mass, numbers.surrounding, numbers.surrounding, share_out, case.gravity);
            self.loads.push(Load::Over { from: 0.0, to: case.timber.length(), force: force * numbers.dynamic });
        }
        self.line.fill(&self.timber, self.rim.depth, [rim, core], &self.loads, numbers.sizes[0]);
        self.weight = self.line.force() / numbers.dynamic;
    }
}
