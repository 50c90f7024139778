//! The share of the final uptake of a body, tabled once where a fit asks for it a hundred thousand times.

use super::series::share;
use super::{Body, check};

/// Nodes in the logarithm of time: the cubic between them leaves an error below 1e-9.
const NODES: usize = 2048;

/// E of a body with diffusivity 1, between two times.
#[derive(Debug)]
pub(super) struct UptakeTable<'a> {
    body: &'a Body,
    /// Logarithm of the first time, and from one node to the next.
    from: f64,
    step: f64,
    values: Vec<f64>,
}

impl<'a> UptakeTable<'a> {
    pub(super) fn new(body: &'a Body, [low, high]: [f64; 2]) -> Self {
        let from = low.ln();
        let step = (high.ln() - from) / check::real(NODES - 1);
        let of = |node: usize| share(1.0 - body.left_of_value((from + step * check::real(node)).exp()));
        Self { body, from, step, values: (0..NODES).map(of).collect() }
    }

    /// 1 − E; outside the table by the series themselves.
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "OK because the place lies inside the table"
    )]
    pub(super) fn left(&self, time: f64) -> f64 {
        let place = (time.ln() - self.from) / self.step;
        if !(place >= 1.0 && place < check::real(NODES - 2)) {
            return self.body.left_of_value(time);
        }
        let node = place.floor() as usize;
        let t = place - place.floor();
        let Some([a, b, c, d]) = self.values.get(node - 1..node + 3) else { return self.body.left_of_value(time) };
        // Through the four nodes around.
        let cubic = -t * (t - 1.0) * (t - 2.0) / 6.0 * a + (t + 1.0) * (t - 1.0) * (t - 2.0) / 2.0 * b
            - (t + 1.0) * t * (t - 2.0) / 2.0 * c
            + (t + 1.0) * t * (t - 1.0) / 6.0 * d;
        1.0 - cubic
    }
}
