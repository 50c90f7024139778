//! How much pieces have taken up after a time, tabled once and then looked up.

use super::Body;
use super::series::share;

/// Steps of the table, in the root of time: uptake rises with that root at first.
const STEPS: usize = 512;
const STEPS_F: f64 = 512.0;

/// The share of the final uptake of several pieces together, E(t), and its integral from 0 to t, at a diffusivity.
#[derive(Debug)]
pub(super) struct Response {
    step: f64,
    /// E at each node.
    uptake: Vec<f64>,
    /// ∫ E dt up to each node.
    integral: Vec<f64>,
}

impl Response {
    /// * `bodies`: each with diffusivity 1, and its share of the water in the wood; `end`: longest time, s
    pub(super) fn new(bodies: &[(Body, f64)], diffusivity: f64, end: f64) -> Self {
        let whole: f64 = bodies.iter().map(|(_, weight)| weight).sum();
        let of = |root: f64| {
            let scaled = diffusivity * root * root;
            let left: f64 = bodies.iter().map(|(body, weight)| weight * body.left_of_value(scaled)).sum();
            share(1.0 - left / whole)
        };
        let step = end.sqrt() / STEPS_F;
        let mut uptake = Vec::with_capacity(STEPS + 1);
        let mut integral = Vec::with_capacity(STEPS + 1);
        let (mut root, mut sum) = (0.0, 0.0);
        for _ in 0..=STEPS {
            let next = of(root);
            if let Some(last) = uptake.last() {
                // Simpson of 2 r E(r), from the node before.
                let before: f64 = root - step;
                let middle = root - 0.5 * step;
                sum += step / 6.0 * 2.0 * (before * last + 4.0 * middle * of(middle) + root * next);
            }
            uptake.push(next);
            integral.push(sum);
            root += step;
        }
        Self { step, uptake, integral }
    }

    /// E(t).
    pub(super) fn uptake(&self, time: f64) -> f64 {
        let (k, part, _) = self.place(time);
        let [a, b] = [k, k + 1].map(|node| self.uptake.get(node).copied().unwrap_or(1.0));
        a + part * (b - a)
    }

    /// ∫ E dt from 0 to t; cubic between nodes, where the slope in r is 2 r E.
    pub(super) fn integral(&self, time: f64) -> f64 {
        let (k, s, root) = self.place(time);
        let node = |k: usize| super::check::real(k) * self.step;
        let [a, b] = [k, k + 1].map(|k| self.integral.get(k).copied().unwrap_or(0.0));
        let [da, db] = [k, k + 1].map(|k| 2.0 * node(k) * self.uptake.get(k).copied().unwrap_or(1.0) * self.step);
        if root <= 0.0 {
            return 0.0;
        }
        let (s2, s3) = (s * s, s * s * s);
        (2.0 * s3 - 3.0 * s2 + 1.0) * a + (s3 - 2.0 * s2 + s) * da + (3.0 * s2 - 2.0 * s3) * b + (s3 - s2) * db
    }

    /// The node below a time, the part of the way to the next, the root of the time.
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "OK because the place is from 0 to the last node"
    )]
    fn place(&self, time: f64) -> (usize, f64, f64) {
        let root = time.max(0.0).sqrt();
        let place = (root / self.step).clamp(0.0, STEPS_F);
        let k = (place.floor() as usize).min(STEPS - 1);
        (k, place - super::check::real(k), root)
    }
}
