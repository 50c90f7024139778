//! A row of cells from the centre of a piece to its surface, and one step of time in it.

/// The stage of the trapezoidal rule ends here, as a part of the step; then both stages solve the same equations.
const STAGE: f64 = 2.0 - std::f64::consts::SQRT_2;
/// 1/(γ(2 − γ)), with γ the stage.
const CARRIED: f64 = 1.0 / (STAGE * (2.0 - STAGE));
/// Factor of the third derivative in the error of one step.
const ERROR: f64 = (-3.0 * STAGE * STAGE + 4.0 * STAGE - 2.0) / (12.0 * (2.0 - STAGE));
/// How far beyond its bounds rounding may carry a value, relative to them.
const ROUNDING: f64 = 1e-14;

/// Cells in a row. What one holds is its store times its concentration; what passes between two is the link times the difference.
#[derive(Debug, Clone, Copy)]
pub(super) struct Line<'a> {
    /// What a cell holds at a concentration of 1.
    pub(super) store: &'a [f64],
    /// What passes from the next cell outwards in 1 s at a difference of 1; the last is the one to the bath.
    pub(super) link: &'a [f64],
}

/// What a step of time did.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stepped {
    /// Largest error of a concentration, estimated.
    pub(super) error: f64,
    /// What came in from the bath.
    pub(super) entered: f64,
}

/// Room for the work of one line, kept from step to step.
#[derive(Debug, Clone, Default)]
pub(super) struct Room {
    flow: [Vec<f64>; 3],
    stage: Vec<f64>,
    end: Vec<f64>,
    pivot: Vec<f64>,
}

impl Line<'_> {
    /// Advances the concentrations by a time in s.
    ///
    /// The trapezoidal rule and then the backward difference of second order: errors of short waves die out, unlike those of the
    /// trapezoidal rule alone. Where a value would still leave the bounds that it had at first, the step is the implicit one
    /// of first order, which cannot.
    ///
    /// Source: Bank RE et al. 1985, IEEE Trans. Electron Devices 32:1992; error of a step after Hosea ME, Shampine LF 1996, Appl.
    /// Numer. Math. 20:21 (both from memory).
    pub(super) fn advance(&self, concentration: &mut [f64], bath: f64, time: f64, room: &mut Room) -> Stepped {
        let Room { flow: [first, middle, last], stage, end, pivot } = room;
        let part = 0.5 * STAGE * time;
        let mut inflow = [0.0; 3];

        inflow[0] = self.flows(concentration, bath, first);
        set(stage, first.iter().map(|flow| 2.0 * part * flow));
        self.solve(part, stage, pivot);
        set(end, concentration.iter().zip(stage.iter()).map(|(c, change)| c + change));
        inflow[1] = self.flows(end, bath, middle);

        let carried = self.store.iter().zip(stage.iter()).map(|(store, change)| (CARRIED - 1.0) * store * change);
        set(last, carried.zip(middle.iter()).map(|(carried, flow)| carried + part * flow));
        self.solve(part, last, pivot);
        end.iter_mut().zip(last.iter()).for_each(|(c, change)| *c += change);
        inflow[2] = self.flows(end, bath, last);

        let flows = first.iter().zip(middle.iter()).zip(last.iter());
        let bend = flows.map(|((a, b), c)| a / STAGE - b / (STAGE * (1.0 - STAGE)) + c / (1.0 - STAGE));
        set(stage, bend.map(|bend| 2.0 * time * ERROR * bend));
        self.solve(part, stage, pivot);
        let mut error = stage.iter().fold(0.0_f64, |most, error| most.max(error.abs()));
        let mut entered = CARRIED * part * (inflow[0] + inflow[1]) + part * inflow[2];

        if !is_within(end, concentration, bath) {
            set(stage, first.iter().map(|flow| time * flow));
            self.solve(time, stage, pivot);
            // What the two steps differ by is an error too.
            for ((end, c), change) in end.iter_mut().zip(concentration.iter()).zip(stage.iter()) {
                error = error.max((*end - (c + change)).abs());
                *end = c + change;
            }
            entered = time * self.flows(end, bath, last);
        }
        concentration.copy_from_slice(end);
        Stepped { error, entered }
    }

    /// Net flow into each cell; gives the flow from the bath.
    fn flows(&self, concentration: &[f64], bath: f64, flow: &mut Vec<f64>) -> f64 {
        flow.clear();
        let mut inner = 0.0;
        let outwards = concentration.iter().skip(1).chain(std::iter::once(&bath));
        for ((c, next), link) in concentration.iter().zip(outwards).zip(self.link) {
            let outer = link * (next - c);
            flow.push(outer - inner);
            inner = outer;
        }
        inner
    }

    /// Solves (store + part · links) x = right; the right side becomes x.
    fn solve(&self, part: f64, right: &mut [f64], pivot: &mut Vec<f64>) {
        pivot.clear();
        let (mut inner, mut kept, mut before) = (0.0, 1.0, 0.0);
        for ((store, link), x) in self.store.iter().zip(self.link).zip(right.iter_mut()) {
            let outer = part * link;
            // Every part is positive, so nothing cancels.
            let own = store + inner * kept;
            let lead = own + outer;
            *x = (*x + inner * before) / lead;
            pivot.push(outer / lead);
            kept = own / lead;
            before = *x;
            inner = outer;
        }
        let mut next = 0.0;
        for (x, ratio) in right.iter_mut().zip(pivot.iter()).rev() {
            *x += ratio * next;
            next = *x;
        }
    }
}

fn set(target: &mut Vec<f64>, values: impl Iterator<Item = f64>) {
    target.clear();
    target.extend(values);
}

/// Whether the new values lie between the least and the largest of the old ones and the bath.
fn is_within(new: &[f64], old: &[f64], bath: f64) -> bool {
    let low = old.iter().copied().fold(bath, f64::min);
    let high = old.iter().copied().fold(bath, f64::max);
    let slack = ROUNDING * low.abs().max(high.abs());
    new.iter().all(|c| (low - slack..=high + slack).contains(c))
}
