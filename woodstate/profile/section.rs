//! The cross-section of a timber, and how much of it lies deeper than a depth.

use std::f64::consts::PI;

use crate::error::Result;

use super::increment::range;
use super::outline::Outline;

/// The cross-section of a timber.
#[derive(Debug, Clone, PartialEq)]
pub enum Section {
    /// A circle.
    Round {
        /// Diameter, mm.
        diameter: f64,
    },
    /// A rectangle.
    Rectangular {
        /// Width, mm.
        width: f64,
        /// Height, mm.
        height: f64,
    },
    /// Any outline that does not cross itself.
    Polygon(Outline),
}

impl Section {
    /// A round section.
    ///
    /// # Errors
    /// A diameter that is not above 0.
    pub fn round(diameter: f64) -> Result<Self> {
        size("timber_diameter", diameter)?;
        Ok(Self::Round { diameter })
    }

    /// A rectangular section.
    ///
    /// # Errors
    /// A side that is not above 0.
    pub fn rectangular(width: f64, height: f64) -> Result<Self> {
        size("timber_width", width)?;
        size("timber_height", height)?;
        Ok(Self::Rectangular { width, height })
    }

    /// A section by the corners of its outline, mm, in order.
    ///
    /// # Errors
    /// As [`Outline::new`].
    pub fn polygon(corners: &[[f64; 2]]) -> Result<Self> {
        Ok(Self::Polygon(Outline::new(corners)?))
    }

    /// Its word.
    #[must_use]
    pub fn word(&self) -> &'static str {
        match self {
            Self::Round { .. } => "round",
            Self::Rectangular { .. } => "rectangular",
            Self::Polygon(_) => "polygon",
        }
    }

    /// Area, mm2.
    #[must_use]
    pub fn area(&self) -> f64 {
        match self {
            Self::Round { diameter } => PI / 4.0 * diameter * diameter,
            Self::Rectangular { width, height } => width * height,
            Self::Polygon(outline) => outline.area(),
        }
    }

    /// Depth of its deepest point below the surface, mm.
    #[must_use]
    pub fn deepest(&self) -> f64 {
        match self {
            Self::Round { diameter } => diameter / 2.0,
            Self::Rectangular { width, height } => width.min(*height) / 2.0,
            Self::Polygon(outline) => outline.deepest(),
        }
    }

    /// Longest way through it, mm: no core is deeper.
    #[must_use]
    pub fn longest(&self) -> f64 {
        match self {
            Self::Round { diameter } => *diameter,
            Self::Rectangular { width, height } => width.hypot(*height),
            Self::Polygon(outline) => outline.longest(),
        }
    }

    /// Share of the section that lies deeper below its surface than `depth`, mm; from 1 to 0.
    ///
    /// ```text
    /// round: (1 − 2 d/D)²      rectangular: (1 − 2 d/w)(1 − 2 d/h)
    /// ```
    /// The depth of a point is its distance to the nearest face. For a polygon with inward corners it is counted on a grid,
    /// to about 0.1 % of the section.
    ///
    /// # Example
    /// ```
    /// use woodstate::profile::Section;
    /// let plank = Section::rectangular(300.0, 60.0)?;
    /// assert!((plank.share_deeper(15.0) - 0.45).abs() < 1e-15);
    /// # Ok::<(), woodstate::error::Error>(())
    /// ```
    #[must_use]
    pub fn share_deeper(&self, depth: f64) -> f64 {
        let left = |size: f64| (1.0 - 2.0 * depth.max(0.0) / size).max(0.0);
        match self {
            Self::Round { diameter } => left(*diameter).powi(2),
            Self::Rectangular { width, height } => left(*width) * left(*height),
            Self::Polygon(outline) => outline.share_deeper(depth),
        }
    }

    /// Sizes of what lies deeper than `depth`, mm: one for a circle, two for a rectangle, none for a polygon.
    #[must_use]
    pub fn sizes_inside(&self, depth: f64) -> Vec<f64> {
        let left = |size: &f64| (size - 2.0 * depth).max(0.0);
        match self {
            Self::Round { diameter } => vec![left(diameter)],
            Self::Rectangular { width, height } => vec![left(width), left(height)],
            Self::Polygon(_) => Vec::new(),
        }
    }
}

fn size(name: &str, value: f64) -> Result<()> {
    if value > 0.0 && value.is_finite() { Ok(()) } else { Err(range(name, value, "a finite number of mm above 0")) }
}
