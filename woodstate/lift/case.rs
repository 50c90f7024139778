//! One timber that is to be lifted: all that is known of it, and of how it will be handled.

use crate::error::Result;
use crate::quantity::Measured;

use super::bearing::check_angle;
use super::{Load, Rim, Timber, Wood, check};

/// Where something hangs on a timber; places in m from its start.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Spot {
    /// Evenly over the whole length.
    Whole,
    /// At one place.
    At(f64),
    /// Evenly from one place to another.
    Between(f64, f64),
}

/// Something that hangs on a timber.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Attached {
    /// Its mass, kg.
    pub mass: Measured,
    /// Its density, kg/m3: water pushes it up by mass over density.
    pub density: f64,
    /// Where it is.
    pub spot: Spot,
}

/// How sure the sizes of a timber are: relative standard uncertainties, `None` where unknown.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct SizeDoubt {
    /// Of its length.
    pub length: Option<f64>,
    /// Of its width, or of its diameters.
    pub width: Option<f64>,
    /// Of its height; a round timber has none of its own.
    pub height: Option<f64>,
}

/// How a timber will be handled: what people decide and state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Handling {
    /// Width of each sling along the timber, m; without it no pressure is known.
    pub sling_width: Option<f64>,
    /// Angle between slings and level, degrees; 90 hangs upright.
    pub sling_angle: f64,
    /// By which the weight is multiplied for jerk and swell; `None` where none is stated: a still load.
    pub dynamic: Option<Measured>,
    /// Standard uncertainty of the place of a sling, m; `None` where none is stated: slings exactly in their places.
    pub placing: Option<f64>,
}

impl Handling {
    /// Upright slings of unknown width, a still load, slings in their places.
    pub const STILL: Self = Self { sling_width: None, sling_angle: 90.0, dynamic: None, placing: None };
}

/// Densities of the water in and around a timber and of its cell wall, kg/m3.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Waters {
    /// Of the water in the pores, with its salt; `None` for the same water as around.
    pub pore: Option<Measured>,
    /// Of the water around.
    pub surrounding: Measured,
    /// Of the cell wall.
    pub cell_wall: Measured,
    /// Share of the pores that water fills, 0 to 1.
    pub saturation: Measured,
}

/// A timber that is to be lifted.
#[derive(Debug, Clone, PartialEq)]
pub struct Case {
    /// Its name, which keys its own random draws.
    pub name: String,
    /// Its sizes.
    pub timber: Timber,
    /// How sure they are.
    pub sizes: SizeDoubt,
    /// Its rim.
    pub rim: Rim,
    /// Standard uncertainty of the depth of the rim, m; `None` where unknown.
    pub rim_u: Option<f64>,
    /// Basic density of the core, kg/m3.
    pub core_density: Measured,
    /// Basic density of the rim, kg/m3; not read without a rim.
    pub rim_density: Measured,
    /// Waters and cell wall.
    pub waters: Waters,
    /// What hangs on it.
    pub attached: Vec<Attached>,
    /// Whether a hollow holds its water in the air; it weighs nothing under water.
    pub hollow_holds_water: bool,
    /// Strength of the core.
    pub core: Wood,
    /// Strength of the rim: its bearing strength decides under slings; without a rim that of the core.
    pub rim_wood: Wood,
    /// Handling.
    pub handling: Handling,
    /// Shear modulus over modulus of elasticity, for the part of a sag that is shear.
    pub shear_ratio: f64,
    /// Standard gravity, m/s2.
    pub gravity: f64,
}

impl Case {
    /// Whether all its numbers can be used.
    ///
    /// # Errors
    /// A density that is not above 0 or lies above that of the cell wall, a saturation outside 0 to 1, loads outside the
    /// timber, factors and widths that are not above 0, a leaning of slings outside 0 to 90 degrees, uncertainties below 0.
    pub fn check(&self) -> Result<()> {
        let Waters { pore, surrounding, cell_wall, saturation } = self.waters;
        check::positive("density of the cell wall (kg/m3)", cell_wall.value)?;
        let zones = [("basic density of the core (kg/m3)", self.core_density)];
        let rim = [("basic density of the rim (kg/m3)", self.rim_density)];
        for (name, density) in zones.iter().chain(rim.iter().filter(|_| self.has_rim())) {
            check::positive(name, density.value)?;
            if density.value >= cell_wall.value {
                let allowed = format!("a number below the density of the cell wall, {} kg/m3", cell_wall.value);
                return Err(check::range(*name, density.value, allowed));
            }
            check::uncertainty(name, density.u)?;
        }
        pore.map_or(Ok(()), |pore| check::positive("density of the water in the pores (kg/m3)", pore.value))?;
        check::positive("density of the water around (kg/m3)", surrounding.value)?;
        check::share("saturation of the pores", saturation.value)?;
        check::not_negative("depth of the rim (m)", self.rim.depth)?;
        check::positive("standard gravity (m/s2)", self.gravity)?;
        check::positive("shear modulus over modulus of elasticity", self.shear_ratio)?;
        for u in [pore.and_then(|pore| pore.u), surrounding.u, cell_wall.u, saturation.u, self.rim_u] {
            check::uncertainty("water, cell wall or rim", u)?;
        }
        for u in [self.sizes.length, self.sizes.width, self.sizes.height] {
            check::uncertainty("size of the timber", u)?;
        }
        for attached in &self.attached {
            check::not_negative("mass of what is attached (kg)", attached.mass.value)?;
            check::uncertainty("mass of what is attached (kg)", attached.mass.u)?;
            check::positive("density of what is attached (kg/m3)", attached.density)?;
            attached.load(0.0, self.timber.length()).check(self.timber.length())?;
        }
        self.handling.sling_width.map_or(Ok(()), |width| check::positive("width of a sling (m)", width))?;
        check_angle(self.handling.sling_angle)?;
        if let Some(dynamic) = self.handling.dynamic {
            check::positive("dynamic factor", dynamic.value)?;
            check::uncertainty("dynamic factor", dynamic.u)?;
        }
        check::uncertainty("place of a sling (m)", self.handling.placing)?;
        self.core.check()?;
        self.rim_wood.check()
    }

    /// Whether it has a rim.
    #[must_use]
    pub fn has_rim(&self) -> bool {
        self.rim.depth > 0.0
    }

    /// The wood on which slings press.
    pub(super) fn surface(&self) -> &Wood {
        if self.has_rim() { &self.rim_wood } else { &self.core }
    }

    /// Which of its measured inputs have no known uncertainty, so that nothing that rests on them has one.
    #[must_use]
    pub fn unsure(&self) -> Vec<&'static str> {
        let stations = self.timber.stations();
        let is_flat = stations.iter().all(|station| matches!(station.shape, super::Shape::Rectangle { .. }));
        let all = [
            ("length", self.sizes.length.is_none()),
            (if is_flat { "width" } else { "diameter" }, self.sizes.width.is_none()),
            ("height", is_flat && self.sizes.height.is_none()),
            ("depth of the rim", self.has_rim() && self.rim_u.is_none()),
            ("basic density", self.core_density.u.is_none()),
            ("basic density of the rim", self.has_rim() && self.rim_density.u.is_none()),
            ("density of the cell wall", self.waters.cell_wall.u.is_none()),
            (
                "density of water",
                self.waters.surrounding.u.is_none() || self.waters.pore.is_some_and(|pore| pore.u.is_none()),
            ),
            ("saturation", self.waters.saturation.u.is_none()),
            ("attached mass", self.attached.iter().any(|attached| attached.mass.u.is_none())),
        ];
        all.into_iter().filter_map(|(name, is_unknown)| is_unknown.then_some(name)).collect()
    }
}

impl Attached {
    /// The load it is with a force, on a timber of a length.
    pub(super) fn load(&self, force: f64, length: f64) -> Load {
        match self.spot {
            Spot::Whole => Load::Over { from: 0.0, to: length, force },
            Spot::At(place) => Load::At { place, force },
            Spot::Between(from, to) => Load::Over { from, to, force },
        }
    }
}
