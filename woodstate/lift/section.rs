//! A section with a soft rim over a core, and the stresses in it.

use crate::error::Result;

use super::{Shape, check};

/// Pa in one `MPa`.
pub(super) const PASCAL: f64 = 1e6;

/// The soft rim of a timber.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rim {
    /// How deep it goes below each surface, m; 0 for none.
    pub depth: f64,
    /// Modulus of elasticity of the rim over that of the core, where the rim is to count as strength; `None` lets it count as
    /// weight only, the careful choice.
    pub stiffness: Option<f64>,
}

impl Rim {
    /// No rim: one wood right through.
    pub const NONE: Self = Self { depth: 0.0, stiffness: None };

    /// A rim that counts as weight and not as strength.
    ///
    /// # Errors
    /// A depth below 0.
    pub fn weight_only(depth: f64) -> Result<Self> {
        check::not_negative("depth of the rim (m)", depth)?;
        Ok(Self { depth, stiffness: None })
    }

    /// A rim that also carries, as its modulus over that of the core allows.
    ///
    /// # Errors
    /// A depth below 0, a ratio that is not above 0.
    pub fn carrying(depth: f64, stiffness: f64) -> Result<Self> {
        check::not_negative("depth of the rim (m)", depth)?;
        check::positive("modulus of the rim over that of the core", stiffness)?;
        Ok(Self { depth, stiffness: Some(stiffness) })
    }
}

/// What a section does against bending and shear; the modulus of the core counts as 1.
///
/// ```text
/// I = I_core + n (I_whole - I_core),   Q likewise,   n = E_rim / E_core, 0 where the rim only weighs
/// ```
///
/// # Example
/// ```
/// use woodstate::lift::{LayeredSection, Rim, Shape};
/// let beam = Shape::rectangle(0.25, 0.25)?;
/// let section = LayeredSection::of(&beam, Rim::weight_only(0.025)?).unwrap();
/// // A moment of 1000 N.m on the core of 200 mm by 200 mm that is left.
/// assert!((section.core_bending(1000.0) - 0.75).abs() < 1e-12);
/// assert_eq!(section.rim_bending(1000.0), None);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
///
/// # Source
/// Standard mechanics of layered beams: plane sections stay plane.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LayeredSection {
    /// Second moment of area that counts, m4.
    pub second_moment: f64,
    /// First moment of the upper half that counts, m3.
    pub first_moment: f64,
    /// Width at mid-height that counts, m.
    pub breadth: f64,
    /// Area that counts against a force along the timber, m2.
    pub area: f64,
    /// Area that counts against shear, m2.
    pub shear_area: f64,
    /// Distance of the edge of the core from mid-height, m.
    pub core_edge: f64,
    /// Distance of the surface from mid-height, m, and stiffness over that of the core, of a rim that counts.
    pub rim: Option<[f64; 2]>,
}

impl LayeredSection {
    /// The section of a shape with a rim; `None` where the rim goes right through and does not count: nothing carries.
    #[must_use]
    pub fn of(shape: &Shape, rim: Rim) -> Option<Self> {
        let core = shape.inside(rim.depth);
        let counted = rim.stiffness.filter(|_| rim.depth > 0.0);
        let of = |part: fn(&Shape) -> f64| {
            let inside = core.as_ref().map_or(0.0, part);
            counted.map_or(inside, |n| inside + n * (part(shape) - inside))
        };
        if core.is_none() && counted.is_none() {
            return None;
        }
        Some(Self {
            second_moment: of(Shape::second_moment),
            first_moment: of(Shape::first_moment),
            breadth: counted.map_or_else(|| core.map_or(0.0, |core| core.breadth()), |_| shape.breadth()),
            area: of(Shape::area),
            shear_area: shape.shear_share() * of(Shape::area),
            core_edge: core.map_or(0.0, |core| core.height() / 2.0),
            rim: counted.map(|n| [shape.height() / 2.0, n]),
        })
    }

    /// Bending stress at the edge of the core, `MPa`, of a moment in N.m.
    ///
    /// ```text
    /// σ = M c / I
    /// ```
    ///
    /// # Source
    /// Forest Products Laboratory 2021, Wood Handbook, FPL-GTR-282, Eq. 9-13 (read in a transcription).
    #[must_use]
    pub fn core_bending(&self, moment: f64) -> f64 {
        moment * self.core_edge / self.second_moment / PASCAL
    }

    /// Bending stress at the surface of a rim that counts, `MPa`; `None` where it does not.
    ///
    /// ```text
    /// σ = n M c / I
    /// ```
    #[must_use]
    pub fn rim_bending(&self, moment: f64) -> Option<f64> {
        self.rim.map(|[edge, n]| n * moment * edge / self.second_moment / PASCAL)
    }

    /// Largest shear stress, `MPa`, of a shear force in N: that at mid-height.
    ///
    /// ```text
    /// τ = V Q / (I b)
    /// ```
    ///
    /// # Source
    /// Forest Products Laboratory 2021, Wood Handbook, FPL-GTR-282, Eq. 9-14 (read in a transcription): 3/2 V/A for a rectangle,
    /// 4/3 V/A for a circle.
    #[must_use]
    pub fn shear(&self, force: f64) -> f64 {
        force * self.first_moment / (self.second_moment * self.breadth) / PASCAL
    }

    /// Stress of a force along the timber, `MPa`, in the core.
    #[must_use]
    pub fn along(&self, force: f64) -> f64 {
        force / self.area / PASCAL
    }
}
