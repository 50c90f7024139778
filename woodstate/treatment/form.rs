//! The shapes that have one depth.

/// A shape in which depth is all that matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// Two faces; the centre is the middle of the thickness.
    Slab,
    /// A round timber without end; the centre is its axis.
    Cylinder,
    /// A sphere.
    Sphere,
}

impl Form {
    /// Area at a distance from the centre: per area of a slab, per length and angle of a cylinder, per solid angle of a sphere.
    pub(super) fn area(self, r: f64) -> f64 {
        match self {
            Self::Slab => 1.0,
            Self::Cylinder => r,
            Self::Sphere => r * r,
        }
    }

    /// Volume between two distances from the centre, per the same.
    pub(super) fn volume(self, low: f64, high: f64) -> f64 {
        match self {
            Self::Slab => high - low,
            Self::Cylinder => 0.5 * (high - low) * (high + low),
            Self::Sphere => (high - low) * (high * high + high * low + low * low) / 3.0,
        }
    }

    /// The part of the difference of the two innermost cells that lies between the first and the centre: their means are those of a
    /// parabola.
    pub(super) fn inwards(self) -> f64 {
        match self {
            Self::Slab => 1.0 / 6.0,
            Self::Cylinder => 1.0 / 4.0,
            Self::Sphere => 7.0 / 24.0,
        }
    }
}
