//! A section by its corners.

use crate::error::Result;

use super::increment::{range, real};

/// Points of the grid along the longer side of an outline with inward corners.
const GRID: u32 = 400;

/// The outline of a section.
#[derive(Debug, Clone, PartialEq)]
pub struct Outline {
    /// Corners, mm, anticlockwise.
    corners: Vec<[f64; 2]>,
    area: f64,
    /// Depths of the points of a grid, ascending; empty where no corner turns inwards.
    depths: Vec<f64>,
}

impl Outline {
    /// An outline from its corners, mm, in either direction of turning; the last joins the first.
    ///
    /// # Errors
    /// Fewer than three corners, corners that are not finite, an outline that crosses itself or encloses nothing.
    ///
    /// # Example
    /// ```
    /// use woodstate::profile::Outline;
    /// let triangle = Outline::new(&[[0.0, 0.0], [30.0, 0.0], [0.0, 40.0]])?;
    /// assert_eq!((triangle.area(), triangle.deepest()), (600.0, 10.0));
    /// # Ok::<(), woodstate::error::Error>(())
    /// ```
    pub fn new(corners: &[[f64; 2]]) -> Result<Self> {
        let mut corners = corners.to_vec();
        corners.dedup();
        if corners.len() > 1 && corners.first() == corners.last() {
            corners.pop();
        }
        if corners.len() < 3 {
            return Err(range("number of corners of a section", real(corners.len()), "at least 3"));
        }
        if let Some(wrong) = corners.iter().flatten().find(|number| !number.is_finite()) {
            return Err(range("corner of a section", *wrong, "a finite number of mm"));
        }
        let signed = signed_area(&corners);
        if signed < 0.0 {
            corners.reverse();
        }
        if crosses_itself(&corners) {
            return Err(range("crossings of the outline of a section", 1.0, "0: write the corners in their order"));
        }
        let area = signed.abs();
        if area <= 0.0 {
            return Err(range("area of a section", area, "above 0 mm2"));
        }
        let depths = if is_convex(&corners) { Vec::new() } else { depths(&corners) };
        Ok(Self { corners, area, depths })
    }

    /// Area, mm2.
    #[must_use]
    pub fn area(&self) -> f64 {
        self.area
    }

    /// Its corners, mm, anticlockwise.
    #[must_use]
    pub fn corners(&self) -> &[[f64; 2]] {
        &self.corners
    }

    /// Depth of its deepest point, mm, to seven digits.
    #[must_use]
    pub fn deepest(&self) -> f64 {
        if let Some(deepest) = self.depths.last() {
            return *deepest;
        }
        let (mut low, mut high) = (0.0, self.longest());
        for _ in 0..80 {
            let middle = f64::midpoint(low, high);
            if self.shrunk(middle) > 0.0 { low = middle } else { high = middle }
        }
        // The area that is left vanishes as a square, so the depth is known to seven digits.
        let unit = 10_f64.powf(high.log10().floor() - 6.0);
        (f64::midpoint(low, high) / unit).round() * unit
    }

    /// The longest distance between corners, mm.
    pub(super) fn longest(&self) -> f64 {
        let from = |a: &[f64; 2]| self.corners.iter().map(|b| (a[0] - b[0]).hypot(a[1] - b[1])).fold(0.0, f64::max);
        self.corners.iter().map(from).fold(0.0, f64::max)
    }

    pub(super) fn share_deeper(&self, depth: f64) -> f64 {
        if self.depths.is_empty() {
            return self.shrunk(depth.max(0.0)) / self.area;
        }
        let shallower = self.depths.partition_point(|of_point| *of_point <= depth);
        real(self.depths.len() - shallower) / real(self.depths.len())
    }

    /// Area of what lies deeper, where no corner turns inwards: the outline cut by every side moved inwards.
    fn shrunk(&self, depth: f64) -> f64 {
        let mut left = self.corners.clone();
        for (a, b) in sides(&self.corners) {
            let length = (b[0] - a[0]).hypot(b[1] - a[1]);
            let inwards = [-(b[1] - a[1]) / length, (b[0] - a[0]) / length];
            let above = |p: &[f64; 2]| inwards[0] * (p[0] - a[0]) + inwards[1] * (p[1] - a[1]) - depth;
            left = cut(&left, &above);
            if left.len() < 3 {
                return 0.0;
            }
        }
        signed_area(&left).max(0.0)
    }
}

/// The sides of an outline.
fn sides(corners: &[[f64; 2]]) -> impl Iterator<Item = ([f64; 2], [f64; 2])> {
    corners.iter().copied().zip(corners.iter().copied().cycle().skip(1))
}

/// The part of an outline on which a distance is not below 0.
///
/// Source: I. E. Sutherland, G. W. Hodgman 1974, Reentrant polygon clipping, Communications of the ACM 17, 32-42,
/// doi:10.1145/360767.360802 \[memory].
fn cut(corners: &[[f64; 2]], above: &dyn Fn(&[f64; 2]) -> f64) -> Vec<[f64; 2]> {
    let mut kept = Vec::with_capacity(corners.len() + 1);
    for (a, b) in sides(corners) {
        let (at_a, at_b) = (above(&a), above(&b));
        if at_a >= 0.0 {
            kept.push(a);
        }
        if (at_a < 0.0) != (at_b < 0.0) {
            let share = at_a / (at_a - at_b);
            kept.push([a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])]);
        }
    }
    kept
}

fn signed_area(corners: &[[f64; 2]]) -> f64 {
    sides(corners).map(|(a, b)| a[0] * b[1] - b[0] * a[1]).sum::<f64>() / 2.0
}

/// Twice the area of the triangle of three points: above 0 where they turn left.
fn turn(a: [f64; 2], b: [f64; 2], c: [f64; 2]) -> f64 {
    (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
}

fn is_convex(corners: &[[f64; 2]]) -> bool {
    let n = corners.len();
    (0..n).all(|k| turn(corners[k], corners[(k + 1) % n], corners[(k + 2) % n]) >= 0.0)
}

/// Whether two sides that are no neighbours meet.
fn crosses_itself(corners: &[[f64; 2]]) -> bool {
    let all: Vec<_> = sides(corners).collect();
    let n = all.len();
    let meet = |i: usize, j: usize| {
        let ((a, b), (c, d)) = (all[i], all[j]);
        let divides = |a, b, c, d| turn(a, b, c) * turn(a, b, d) <= 0.0;
        divides(a, b, c, d) && divides(c, d, a, b)
    };
    (0..n).any(|i| (i + 2..n).any(|j| !(i == 0 && j == n - 1) && meet(i, j)))
}

/// Depths of the points of a grid inside an outline, ascending.
fn depths(corners: &[[f64; 2]]) -> Vec<f64> {
    let ends = |axis: usize| {
        let of_axis = || corners.iter().map(move |corner| corner[axis]);
        [of_axis().fold(f64::INFINITY, f64::min), of_axis().fold(f64::NEG_INFINITY, f64::max)]
    };
    let [[left, right], [bottom, top]] = [ends(0), ends(1)];
    let step = (right - left).max(top - bottom) / f64::from(GRID);
    let centres = |low: f64, high: f64| {
        let along = (0..GRID).map(move |k| low + (f64::from(k) + 0.5) * step);
        along.take_while(move |centre| *centre < high)
    };
    let mut depths: Vec<f64> = centres(left, right)
        .flat_map(|x| centres(bottom, top).map(move |y| [x, y]))
        .filter(|point| is_inside(*point, corners))
        .map(|point| sides(corners).map(|(a, b)| distance(point, a, b)).fold(f64::INFINITY, f64::min))
        .collect();
    depths.sort_by(f64::total_cmp);
    depths
}

/// Whether a ray to the right passes the outline an odd number of times.
fn is_inside([x, y]: [f64; 2], corners: &[[f64; 2]]) -> bool {
    let passes = |(a, b): &([f64; 2], [f64; 2])| {
        (a[1] > y) != (b[1] > y) && x < a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0])
    };
    sides(corners).filter(passes).count() % 2 == 1
}

/// Distance of a point from a side.
fn distance([x, y]: [f64; 2], a: [f64; 2], b: [f64; 2]) -> f64 {
    let (u, v) = (b[0] - a[0], b[1] - a[1]);
    let share = (((x - a[0]) * u + (y - a[1]) * v) / (u * u + v * v)).clamp(0.0, 1.0);
    (x - a[0] - share * u).hypot(y - a[1] - share * v)
}
