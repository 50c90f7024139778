//! A model with its parameters: its value at a depth, and its mean over an interval.

use super::DepthModel;
use crate::numeric::Model;

/// A model with its parameters.
#[derive(Debug, Clone, PartialEq)]
pub struct Shape {
    /// The model.
    pub model: DepthModel,
    /// Its parameters, in the order of [`DepthModel::parameters`].
    pub parameters: Vec<f64>,
}

impl Shape {
    /// Its value at a depth, mm.
    ///
    /// # Example
    /// ```
    /// use woodstate::profile::{DepthModel, Shape};
    /// let step = Shape { model: DepthModel::Step, parameters: vec![40.0, 90.0, 15.0] };
    /// assert_eq!((step.at(10.0), step.at(20.0)), (40.0, 90.0));
    /// ```
    #[must_use]
    pub fn at(&self, depth: f64) -> f64 {
        self.mean([depth, depth])
    }

    /// Its mean over an interval of depth, mm: what an increment holds.
    ///
    /// ```text
    /// (1/(b − a)) ∫ y(x) dx  from a to b
    /// ```
    /// # Example
    /// ```
    /// use woodstate::profile::{DepthModel, Shape};
    /// let step = Shape { model: DepthModel::Step, parameters: vec![40.0, 90.0, 15.0] };
    /// assert_eq!(step.mean([10.0, 20.0]), 65.0);
    /// ```
    #[must_use]
    pub fn mean(&self, depth: [f64; 2]) -> f64 {
        let mut slope = [0.0; 4];
        let p = self.parameters.len().min(4);
        self.model.at(&depth, &self.parameters, &mut slope[..p])
    }
}

impl Model for DepthModel {
    fn at(&self, x: &[f64], b: &[f64], slope: &mut [f64]) -> f64 {
        let &[from, to] = x else { return f64::NAN };
        let middle = f64::midpoint(from, to);
        match (self, b, slope) {
            (Self::Constant, &[level], [s]) => {
                *s = 1.0;
                level
            }
            (Self::Linear, &[surface, change], [s0, s1]) => {
                (*s0, *s1) = (1.0, middle);
                surface + change * middle
            }
            (Self::BrokenStick, &[surface, change, bend, at], [s0, s1, s2, s3]) => {
                (*s0, *s1, *s2) = (1.0, middle, hinge(from, to, at));
                *s3 = -bend * beyond(from, to, at);
                surface + change * middle + bend * *s2
            }
            (Self::Step, &[outside, inside, at], [s0, s1, s2]) => {
                let share = beyond(from, to, at);
                (*s0, *s1) = (1.0 - share, share);
                let cuts = share > 0.0 && share < 1.0;
                *s2 = if cuts { (outside - inside) / (to - from) } else { 0.0 };
                outside + (inside - outside) * share
            }
            (Self::Logistic, &[outside, inside, at, width], [s0, s1, s2, s3]) => {
                let (share, by_at, by_width) = sigmoid(from, to, at, width / TEN_TO_NINETY);
                (*s0, *s1) = (share, 1.0 - share);
                (*s2, *s3) = ((outside - inside) * by_at, (outside - inside) * by_width / TEN_TO_NINETY);
                inside + (outside - inside) * share
            }
            (Self::Exponential, &[surface, inside, length], [s0, s1, s2]) => {
                let (share, by_length) = decay(from, to, length);
                (*s0, *s1) = (share, 1.0 - share);
                *s2 = (surface - inside) * by_length;
                inside + (surface - inside) * share
            }
            _ => f64::NAN,
        }
    }
}

/// Share of an interval that lies beyond a depth.
pub(super) fn beyond(from: f64, to: f64, at: f64) -> f64 {
    if at <= from {
        1.0
    } else if at >= to {
        0.0
    } else {
        (to - at) / (to - from)
    }
}

/// Mean of max(x − at, 0).
pub(super) fn hinge(from: f64, to: f64, at: f64) -> f64 {
    if at <= from {
        f64::midpoint(from, to) - at
    } else if at >= to {
        0.0
    } else {
        (to - at).powi(2) / (2.0 * (to - from))
    }
}

/// Width of 1/(1 + e^t) from 90 to 10 %: 2 ln 9.
pub(super) const TEN_TO_NINETY: f64 = 4.394_449_154_672_439;

/// Mean of 1/(1 + e^t), t = (x − at)/width, and its derivatives by `at` and `width`.
pub(super) fn sigmoid(from: f64, to: f64, at: f64, width: f64) -> (f64, f64, f64) {
    let (t, v) = ((from - at) / width, (to - at) / width);
    let thickness = to - from;
    if thickness <= 0.0 {
        let share = falling(t);
        let steep = share * (1.0 - share) / width;
        return (share, steep, t * steep);
    }
    // The integral of 1/(1 + e^t) is −ln(1 + e^−t).
    let integral = softplus(-t) - softplus(-v);
    let (near, far) = (falling(t), falling(v));
    let share = width * integral / thickness;
    (share, (near - far) / thickness, (integral + t * near - v * far) / thickness)
}

/// Mean of e^(−x/length) and its derivative by `length`.
pub(super) fn decay(from: f64, to: f64, length: f64) -> (f64, f64) {
    let near = (-from / length).exp();
    let thickness = to - from;
    if thickness <= 0.0 {
        return (near, near * from / (length * length));
    }
    let far = (-to / length).exp();
    let share = -length * near * (-thickness / length).exp_m1() / thickness;
    (share, (near * (1.0 + from / length) - far * (1.0 + to / length)) / thickness)
}

/// 1/(1 + e^t) without overflow.
fn falling(t: f64) -> f64 {
    if t > 0.0 {
        let e = (-t).exp();
        e / (1.0 + e)
    } else {
        1.0 / (1.0 + t.exp())
    }
}

/// ln(1 + e^t) without overflow.
fn softplus(t: f64) -> f64 {
    if t > 0.0 { t + (-t).exp().ln_1p() } else { t.exp().ln_1p() }
}
