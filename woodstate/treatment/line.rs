//! Rows of cells from the centre of a piece to its surface, and one step of time in them.

use std::array::from_fn;

/// The stage of the trapezoidal rule ends here, as a part of the step; then both stages solve the same equations.
const STAGE: f64 = 2.0 - std::f64::consts::SQRT_2;
/// 1/(γ(2 − γ)), with γ the stage.
const CARRIED: f64 = 1.0 / (STAGE * (2.0 - STAGE));
/// Factor of the third derivative in the error of one step.
const ERROR: f64 = (-3.0 * STAGE * STAGE + 4.0 * STAGE - 2.0) / (12.0 * (2.0 - STAGE));
/// How far beyond its bounds rounding may carry a value, relative to them.
const ROUNDING: f64 = 1e-14;

/// W rows of cells side by side, so that a processor advances them together. What a cell holds is its store times its
/// concentration; what passes between two is the link times the difference.
#[derive(Debug, Clone, Copy)]
pub(super) struct Lines<'a, const W: usize> {
    /// What a cell of each row holds at a concentration of 1.
    pub(super) store: &'a [[f64; W]],
    /// What passes from the next cell outwards in 1 s at a difference of 1; the last is the one to the bath.
    pub(super) link: &'a [[f64; W]],
}

/// What a step of time did.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stepped {
    /// Largest error of a concentration, estimated.
    pub(super) error: f64,
    /// What came in from the bath.
    pub(super) entered: f64,
}

/// Room for the work of some rows, kept from step to step.
#[derive(Debug, Clone)]
pub(super) struct Room<const W: usize> {
    flow: [Vec<[f64; W]>; 3],
    stage: Vec<[f64; W]>,
    end: Vec<[f64; W]>,
    pivot: Vec<[f64; W]>,
}

impl<const W: usize> Default for Room<W> {
    fn default() -> Self {
        let none = Vec::new;
        Self { flow: [none(), none(), none()], stage: none(), end: none(), pivot: none() }
    }
}

impl<const W: usize> Lines<'_, W> {
    /// Advances the concentrations by a time in s; gives what came in from the bath, and estimates the error.
    pub(super) fn advance(&self, concentration: &mut [[f64; W]], bath: f64, time: f64, room: &mut Room<W>) -> Stepped {
        let part = 0.5 * STAGE * time;
        let (entered, bent) = self.take(concentration, bath, time, room);
        let Room { flow: [first, middle, last], stage, pivot, .. } = room;
        set(stage, first.len(), |cell| {
            from_fn(|row| {
                let [a, b, c] = [first[cell][row], middle[cell][row], last[cell][row]];
                2.0 * time * ERROR * (a / STAGE - b / (STAGE * (1.0 - STAGE)) + c / (1.0 - STAGE))
            })
        });
        self.solve(part, stage, pivot);
        let error = stage.iter().flatten().fold(bent, |most, error| most.max(error.abs()));
        Stepped { error, entered }
    }

    /// Advances the concentrations by a time in s; gives what came in from the bath, and by how much a value was held back.
    ///
    /// The trapezoidal rule and then the backward difference of second order: errors of short waves die out, unlike those of the
    /// trapezoidal rule alone. Where a value of a row would still leave the bounds that the row had at first, its step is the
    /// implicit one of first order, which cannot.
    ///
    /// Source: Bank RE et al. 1985, IEEE Trans. Electron Devices 32:1992; error of a step after Hosea ME, Shampine LF 1996, Appl.
    /// Numer. Math. 20:21 (both from memory).
    pub(super) fn take(&self, concentration: &mut [[f64; W]], bath: f64, time: f64, room: &mut Room<W>) -> (f64, f64) {
        let Room { flow: [first, middle, last], stage, end, pivot } = room;
        let (part, count) = (0.5 * STAGE * time, concentration.len());

        let begun = self.flows(concentration, bath, first);
        set(stage, count, |cell| first[cell].map(|flow| 2.0 * part * flow));
        self.solve(part, stage, pivot);
        set(end, count, |cell| from_fn(|row| concentration[cell][row] + stage[cell][row]));
        let halfway = self.flows(end, bath, middle);

        set(last, count, |cell| {
            from_fn(|row| (CARRIED - 1.0) * self.store[cell][row] * stage[cell][row] + part * middle[cell][row])
        });
        self.solve(part, last, pivot);
        for (end, change) in end.iter_mut().zip(last.iter()) {
            for row in 0..W {
                end[row] += change[row];
            }
        }
        let ended = self.flows(end, bath, last);
        let mut entered: [f64; W] = from_fn(|row| CARRIED * part * (begun[row] + halfway[row]) + part * ended[row]);

        let mut bent = 0.0_f64;
        let is_out = beyond(end, concentration, bath);
        if is_out.contains(&true) {
            set(stage, count, |cell| first[cell].map(|flow| time * flow));
            self.solve(time, stage, pivot);
            for (cell, end) in end.iter_mut().enumerate() {
                for row in (0..W).filter(|row| is_out[*row]) {
                    let held = concentration[cell][row] + stage[cell][row];
                    // What the two steps differ by is an error too.
                    bent = bent.max((end[row] - held).abs());
                    end[row] = held;
                }
            }
            let held = self.flows(end, bath, last);
            for row in (0..W).filter(|row| is_out[*row]) {
                entered[row] = time * held[row];
            }
        }
        concentration.copy_from_slice(end);
        (entered.iter().sum(), bent)
    }

    /// Net flow into each cell; gives the flow from the bath.
    fn flows(&self, concentration: &[[f64; W]], bath: f64, flow: &mut Vec<[f64; W]>) -> [f64; W] {
        let mut inner = [0.0; W];
        let outmost = [bath; W];
        set(flow, concentration.len(), |cell| {
            let next = concentration.get(cell + 1).unwrap_or(&outmost);
            let outer: [f64; W] = from_fn(|row| self.link[cell][row] * (next[row] - concentration[cell][row]));
            let net = from_fn(|row| outer[row] - inner[row]);
            inner = outer;
            net
        });
        inner
    }

    /// Solves (store + part · links) x = right; the right side becomes x.
    fn solve(&self, part: f64, right: &mut [[f64; W]], pivot: &mut Vec<[f64; W]>) {
        let (mut inner, mut kept, mut before) = ([0.0; W], [1.0; W], [0.0; W]);
        set(pivot, right.len(), |cell| {
            let outer: [f64; W] = self.link[cell].map(|link| part * link);
            // Every part is positive, so nothing cancels.
            let own: [f64; W] = from_fn(|row| self.store[cell][row] + inner[row] * kept[row]);
            let inverse: [f64; W] = from_fn(|row| 1.0 / (own[row] + outer[row]));
            before = from_fn(|row| (right[cell][row] + inner[row] * before[row]) * inverse[row]);
            right[cell] = before;
            kept = from_fn(|row| own[row] * inverse[row]);
            inner = outer;
            from_fn(|row| outer[row] * inverse[row])
        });
        let mut next = [0.0; W];
        for (x, ratio) in right.iter_mut().zip(pivot.iter()).rev() {
            for row in 0..W {
                x[row] += ratio[row] * next[row];
            }
            next = *x;
        }
    }
}

/// Fills a list anew with so many values.
fn set<const W: usize>(target: &mut Vec<[f64; W]>, count: usize, value: impl FnMut(usize) -> [f64; W]) {
    target.clear();
    target.extend((0..count).map(value));
}

/// In which rows a new value lies outside the least and the largest of the old ones and the bath.
fn beyond<const W: usize>(new: &[[f64; W]], old: &[[f64; W]], bath: f64) -> [bool; W] {
    let (mut low, mut high) = ([bath; W], [bath; W]);
    for old in old {
        for row in 0..W {
            low[row] = low[row].min(old[row]);
            high[row] = high[row].max(old[row]);
        }
    }
    let slack: [f64; W] = from_fn(|row| ROUNDING * low[row].abs().max(high[row].abs()));
    let (mut least, mut most) = ([f64::INFINITY; W], [f64::NEG_INFINITY; W]);
    let mut is_number = [true; W];
    for new in new {
        for row in 0..W {
            least[row] = least[row].min(new[row]);
            most[row] = most[row].max(new[row]);
            is_number[row] &= new[row].is_finite();
        }
    }
    from_fn(|row| !is_number[row] || least[row] < low[row] - slack[row] || most[row] > high[row] + slack[row])
}
