//! The outline of a timber's section, and what it does against bending and shear.

use std::f64::consts::PI;

use crate::error::Result;

use super::check;

/// The outline of a section, upright as it hangs or lies; sizes in m.
///
/// A plank lying flat is a rectangle that is wider than high; on edge, higher than wide.
///
/// # Example
/// ```
/// use woodstate::lift::Shape;
/// let [flat, edge] = [Shape::rectangle(0.3, 0.05)?, Shape::rectangle(0.05, 0.3)?];
/// // On edge a plank is six times as strong against bending as flat, and 36 times as stiff.
/// let ratio = edge.second_moment() / flat.second_moment();
/// assert!((ratio - 36.0).abs() < 1e-9);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shape {
    /// A rectangle.
    Rectangle {
        /// Width, across, m.
        width: f64,
        /// Height, up, m.
        height: f64,
    },
    /// A full circle.
    Round {
        /// Diameter, m.
        diameter: f64,
    },
    /// A tube, such as a hollow log.
    Hollow {
        /// Diameter outside, m.
        diameter: f64,
        /// Diameter of the hollow, m.
        bore: f64,
    },
}

impl Shape {
    /// A rectangle, sizes in m.
    ///
    /// # Errors
    /// A side that is not above 0.
    pub fn rectangle(width: f64, height: f64) -> Result<Self> {
        check::positive("width of the timber (m)", width)?;
        check::positive("height of the timber (m)", height)?;
        Ok(Self::Rectangle { width, height })
    }

    /// A full circle, m.
    ///
    /// # Errors
    /// A diameter that is not above 0.
    pub fn round(diameter: f64) -> Result<Self> {
        check::positive("diameter of the timber (m)", diameter)?;
        Ok(Self::Round { diameter })
    }

    /// A tube, sizes in m.
    ///
    /// # Errors
    /// A diameter that is not above 0, a hollow that is not inside it.
    pub fn hollow(diameter: f64, bore: f64) -> Result<Self> {
        check::positive("diameter of the timber (m)", diameter)?;
        if bore > 0.0 && bore < diameter {
            return Ok(Self::Hollow { diameter, bore });
        }
        Err(check::range("diameter of the hollow (m)", bore, format!("above 0 and below the diameter, {diameter} m")))
    }

    /// Width across, m.
    #[must_use]
    pub fn width(&self) -> f64 {
        match *self {
            Self::Rectangle { width, .. } => width,
            Self::Round { diameter } | Self::Hollow { diameter, .. } => diameter,
        }
    }

    /// Height, m.
    #[must_use]
    pub fn height(&self) -> f64 {
        match *self {
            Self::Rectangle { height, .. } => height,
            Self::Round { diameter } | Self::Hollow { diameter, .. } => diameter,
        }
    }

    /// Area of the wood, m2.
    #[must_use]
    pub fn area(&self) -> f64 {
        match *self {
            Self::Rectangle { width, height } => width * height,
            Self::Round { diameter } => PI / 4.0 * diameter * diameter,
            Self::Hollow { diameter, bore } => PI / 4.0 * (diameter * diameter - bore * bore),
        }
    }

    /// Area of the hollow, m2; 0 for a solid shape.
    #[must_use]
    pub fn hollow_area(&self) -> f64 {
        match *self {
            Self::Hollow { bore, .. } => PI / 4.0 * bore * bore,
            Self::Rectangle { .. } | Self::Round { .. } => 0.0,
        }
    }

    /// Second moment of area about the level axis through the middle, m4.
    ///
    /// ```text
    /// b h³/12,   π D⁴/64,   π (D⁴ - d⁴)/64
    /// ```
    #[must_use]
    pub fn second_moment(&self) -> f64 {
        match *self {
            Self::Rectangle { width, height } => width * height * height * height / 12.0,
            Self::Round { diameter } => PI / 64.0 * fourth(diameter),
            Self::Hollow { diameter, bore } => PI / 64.0 * (fourth(diameter) - fourth(bore)),
        }
    }

    /// First moment of the upper half about that axis, m3.
    ///
    /// ```text
    /// b h²/8,   D³/12,   (D³ - d³)/12
    /// ```
    #[must_use]
    pub fn first_moment(&self) -> f64 {
        match *self {
            Self::Rectangle { width, height } => width * height * height / 8.0,
            Self::Round { diameter } => diameter * diameter * diameter / 12.0,
            Self::Hollow { diameter, bore } => (diameter * diameter * diameter - bore * bore * bore) / 12.0,
        }
    }

    /// Width of the wood at that axis, m.
    #[must_use]
    pub fn breadth(&self) -> f64 {
        match *self {
            Self::Hollow { diameter, bore } => diameter - bore,
            Self::Rectangle { .. } | Self::Round { .. } => self.width(),
        }
    }

    /// Share of the area that resists the bending by shear: A'/A.
    ///
    /// ```text
    /// 5/6 for a rectangle,   9/10 for a circle,   1/2 for a tube
    /// ```
    /// That of a tube is right for a thin wall and too small for a thick one, so that a tube is taken as too soft in shear.
    ///
    /// # Source
    /// Forest Products Laboratory 2021, Wood Handbook, FPL-GTR-282, Eq. 9-2 (read in a transcription); tube: derived.
    #[must_use]
    pub fn shear_share(&self) -> f64 {
        match *self {
            Self::Rectangle { .. } => 5.0 / 6.0,
            Self::Round { .. } => 9.0 / 10.0,
            Self::Hollow { .. } => 1.0 / 2.0,
        }
    }

    /// What lies deeper than `depth` below each surface, that of a hollow too, m; `None` where nothing does.
    ///
    /// # Example
    /// ```
    /// use woodstate::lift::Shape;
    /// let log = Shape::round(0.3)?;
    /// assert_eq!(log.inside(0.1).map(|core| core.width() < 0.11), Some(true));
    /// assert_eq!(log.inside(0.15), None);
    /// # Ok::<(), woodstate::error::Error>(())
    /// ```
    #[must_use]
    pub fn inside(&self, depth: f64) -> Option<Self> {
        let less = 2.0 * depth;
        match *self {
            Self::Rectangle { width, height } => (less < width && less < height)
                .then_some(Self::Rectangle { width: width - less, height: height - less }),
            Self::Round { diameter } => (less < diameter).then_some(Self::Round { diameter: diameter - less }),
            Self::Hollow { diameter, bore } => {
                (2.0 * less < diameter - bore).then_some(Self::Hollow { diameter: diameter - less, bore: bore + less })
            }
        }
    }

    /// The same shape with its width and height multiplied; a circle by the factor of its width.
    pub(super) fn scaled(&self, width_factor: f64, height_factor: f64) -> Self {
        match *self {
            Self::Rectangle { width, height } => {
                Self::Rectangle { width: width * width_factor, height: height * height_factor }
            }
            Self::Round { diameter } => Self::Round { diameter: diameter * width_factor },
            Self::Hollow { diameter, bore } => {
                Self::Hollow { diameter: diameter * width_factor, bore: bore * width_factor }
            }
        }
    }

    /// The shape at a share of the way to another one of its kind; itself where the kinds differ.
    pub(super) fn towards(&self, other: &Self, share: f64) -> Self {
        let between = |from: f64, to: f64| from + (to - from) * share;
        match (*self, *other) {
            (Self::Rectangle { width, height }, Self::Rectangle { width: w, height: h }) => {
                Self::Rectangle { width: between(width, w), height: between(height, h) }
            }
            (Self::Round { diameter }, Self::Round { diameter: d }) => Self::Round { diameter: between(diameter, d) },
            (Self::Hollow { diameter, bore }, Self::Hollow { diameter: d, bore: b }) => {
                Self::Hollow { diameter: between(diameter, d), bore: between(bore, b) }
            }
            _ => *self,
        }
    }

    /// Areas of the wood over the way to another shape of its kind, as a polynomial of the share of the way.
    pub(super) fn area_polynomial(&self, other: &Self) -> [f64; 3] {
        let product = |[a, to_a]: [f64; 2], [b, to_b]: [f64; 2]| {
            let (da, db) = (to_a - a, to_b - b);
            [a * b, a * db + b * da, da * db]
        };
        match (*self, *other) {
            (Self::Rectangle { width, height }, Self::Rectangle { width: w, height: h }) => {
                product([width, w], [height, h])
            }
            (Self::Round { diameter }, Self::Round { diameter: d }) => {
                product([diameter, d], [diameter, d]).map(|part| PI / 4.0 * part)
            }
            (Self::Hollow { diameter, bore }, Self::Hollow { diameter: d, bore: b }) => {
                let [outside, hollow] = [product([diameter, d], [diameter, d]), product([bore, b], [bore, b])];
                [0, 1, 2].map(|power| PI / 4.0 * (outside[power] - hollow[power]))
            }
            _ => [self.area(), 0.0, 0.0],
        }
    }

    pub(super) fn is_like(&self, other: &Self) -> bool {
        std::mem::discriminant(self) == std::mem::discriminant(other)
    }
}

fn fourth(x: f64) -> f64 {
    x * x * x * x
}
