//! Rows of cells from the centre of a piece to its surface, and one step of time in them.

use crate::numeric::Abreast;

/// The stage of the trapezoidal rule ends here, as a part of the step; then both stages solve the same equations.
const STAGE: f64 = 2.0 - std::f64::consts::SQRT_2;
/// 1/(γ(2 − γ)), with γ the stage.
const CARRIED: f64 = 1.0 / (STAGE * (2.0 - STAGE));
/// Factor of the third derivative in the error of one step.
const ERROR: f64 = (-3.0 * STAGE * STAGE + 4.0 * STAGE - 2.0) / (12.0 * (2.0 - STAGE));
/// Factors of the flows at the beginning, after the stage and at the end in the third derivative.
const FIRST: f64 = 1.0 / STAGE;
const MIDDLE: f64 = 1.0 / (STAGE * (1.0 - STAGE));
const LAST: f64 = 1.0 / (1.0 - STAGE);
/// How far beyond its bounds rounding may carry a value, relative to them.
const ROUNDING: f64 = 1e-14;

/// W cells side by side, each of its own row. What a cell holds is its store times its concentration; what passes between two
/// is the link times the difference.
#[derive(Debug, Clone, Copy)]
pub(super) struct Cell<const W: usize> {
    /// What it holds at a concentration of 1.
    pub(super) store: Abreast<W>,
    /// What passes from the next cell outwards in 1 s at a difference of 1; that of the last is the one to the bath.
    pub(super) link: Abreast<W>,
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
#[derive(Debug, Default)]
pub(super) struct Room<const W: usize>(Vec<Work<W>>);

/// What is known of a cell while a step is made.
#[derive(Debug, Clone, Copy)]
struct Work<const W: usize> {
    /// Net flow into it at the beginning and after the stage.
    flow: [Abreast<W>; 2],
    /// Right side of its equation, then by how much it changes.
    change: Abreast<W>,
    end: Abreast<W>,
    /// What is left of its equation on the way outwards, inverted.
    inverse: Abreast<W>,
    /// The share of the next cell in it on the way inwards.
    ratio: Abreast<W>,
}

/// Rows of cells from the centre outwards, W side by side, so that a processor advances them together.
#[derive(Debug, Clone, Copy)]
pub(super) struct Lines<'a, const W: usize>(pub(super) &'a [Cell<W>]);

impl<const W: usize> Lines<'_, W> {
    /// Advances the concentrations by a time in s; gives what came in from the bath, and estimates the error.
    pub(super) fn advance(&self, now: &mut [Abreast<W>], bath: f64, time: f64, room: &mut Room<W>) -> Stepped {
        let part = 0.5 * STAGE * time;
        let (entered, bent) = self.take(now, bath, time, room);
        let mut way = Outwards::default();
        for (place, (cell, work)) in self.0.iter().zip(&mut room.0).enumerate() {
            let last = way.net(cell.link * (next(now, place, bath) - now[place]));
            let [first, middle] = work.flow;
            let third = FIRST * first - MIDDLE * middle + LAST * last;
            way.eliminate(cell, part, work);
            way.carry(2.0 * time * ERROR * third, work);
        }
        let (mut change, mut largest) = (Abreast::all(0.0), Abreast::all(bent));
        for work in room.0.iter_mut().rev() {
            change = work.solve(change);
            largest = largest.with(change, |largest, error| largest.max(error.abs()));
        }
        Stepped { error: largest.0.into_iter().fold(0.0, f64::max), entered }
    }

    /// Advances the concentrations by a time in s; gives what came in from the bath, and by how much a value was held back.
    ///
    /// The trapezoidal rule and then the backward difference of second order: errors of short waves die out, unlike those of the
    /// trapezoidal rule alone. Where a value of a row would still leave the bounds that the row had at first, its step is the
    /// implicit one of first order, which cannot.
    ///
    /// Source: Bank RE et al. 1985, IEEE Trans. Electron Devices 32:1992; error of a step after Hosea ME, Shampine LF 1996, Appl.
    /// Numer. Math. 20:21 (both from memory).
    #[inline(always)]
    pub(super) fn take(&self, now: &mut [Abreast<W>], bath: f64, time: f64, room: &mut Room<W>) -> (f64, f64) {
        room.0.resize(self.0.len(), Work::default());
        let part = 0.5 * STAGE * time;
        let outmost = Abreast::all(bath);
        let (mut low, mut high) = (outmost, outmost);

        let mut way = Outwards::default();
        for (place, (cell, work)) in self.0.iter().zip(&mut room.0).enumerate() {
            let here = now[place];
            (low, high) = (low.least(here), high.most(here));
            work.flow[0] = way.net(cell.link * (next(now, place, bath) - here));
            way.eliminate(cell, part, work);
            way.carry(2.0 * part * work.flow[0], work);
        }
        let begun = way.inflow;
        let (mut change, mut outer) = (Abreast::all(0.0), outmost);
        for ((cell, work), begin) in self.0.iter().zip(&mut room.0).zip(&*now).rev() {
            change = work.solve(change);
            work.end = *begin + change;
            work.flow[1] = cell.link * (outer - work.end);
            outer = work.end;
        }

        let mut way = Outwards::default();
        for (cell, work) in self.0.iter().zip(&mut room.0) {
            work.flow[1] = way.net(work.flow[1]);
            way.pass(cell, part);
            way.carry((CARRIED - 1.0) * cell.store * work.change + part * work.flow[1], work);
        }
        let halfway = way.inflow;
        let slack = low.with(high, |low, high| ROUNDING * low.abs().max(high.abs()));
        let (low, high) = (low - slack, high + slack);
        let (mut change, mut is_within) = (Abreast::all(0.0), Abreast::all(1.0));
        for work in room.0.iter_mut().rev() {
            change = work.solve(change);
            work.end += change;
            is_within = is_within.where_within(work.end, low, high);
        }

        let mut entered = CARRIED * part * (begun + halfway) + part * self.bath_flow(outmost, room);
        let mut bent = 0.0;
        if is_within.0.contains(&0.0) {
            bent = self.hold(now, is_within, time, room);
            let held = time * self.bath_flow(outmost, room);
            for row in (0..W).filter(|row| is_within.0[*row] == 0.0) {
                entered.0[row] = held.0[row];
            }
        }
        for (now, work) in now.iter_mut().zip(&room.0) {
            *now = work.end;
        }
        (entered.sum(), bent)
    }

    /// Takes the implicit step of first order in the rows that left their bounds; gives what the two steps differ by, which is an
    /// error too.
    #[cold]
    fn hold(&self, now: &[Abreast<W>], is_within: Abreast<W>, time: f64, room: &mut Room<W>) -> f64 {
        let mut way = Outwards::default();
        for (cell, work) in self.0.iter().zip(&mut room.0) {
            way.eliminate(cell, time, work);
            way.carry(time * work.flow[0], work);
        }
        let (mut change, mut bent) = (Abreast::all(0.0), 0.0_f64);
        for (work, begin) in room.0.iter_mut().zip(now).rev() {
            change = work.solve(change);
            let held = *begin + change;
            for row in (0..W).filter(|row| is_within.0[*row] == 0.0) {
                bent = bent.max((work.end.0[row] - held.0[row]).abs());
                work.end.0[row] = held.0[row];
            }
        }
        bent
    }

    /// What passes from the bath in 1 s at the end of a step.
    #[inline(always)]
    fn bath_flow(&self, bath: Abreast<W>, room: &Room<W>) -> Abreast<W> {
        let last = self.0.last().zip(room.0.last());
        last.map_or(Abreast::all(0.0), |(cell, work)| cell.link * (bath - work.end))
    }
}

/// The next concentration outwards.
#[inline(always)]
fn next<const W: usize>(now: &[Abreast<W>], place: usize, bath: f64) -> Abreast<W> {
    now.get(place + 1).copied().unwrap_or(Abreast::all(bath))
}

/// What a cell hands to the next on the way outwards, where (store + part · links) x = right is eliminated.
struct Outwards<const W: usize> {
    inflow: Abreast<W>,
    /// Part times link of the cell before, and of this one.
    link: [Abreast<W>; 2],
    /// The share of its pivot that the cell before kept.
    kept: Abreast<W>,
    before: Abreast<W>,
}

impl<const W: usize> Outwards<W> {
    /// The net flow into a cell, by its flow from the next.
    #[inline(always)]
    fn net(&mut self, outer: Abreast<W>) -> Abreast<W> {
        let net = outer - self.inflow;
        self.inflow = outer;
        net
    }

    #[inline(always)]
    fn pass(&mut self, cell: &Cell<W>, part: f64) {
        self.link = [self.link[1], part * cell.link];
    }

    #[inline(always)]
    fn eliminate(&mut self, cell: &Cell<W>, part: f64, work: &mut Work<W>) {
        self.pass(cell, part);
        let [inner, outer] = self.link;
        // Every part is positive, so nothing cancels.
        let own = cell.store + inner * self.kept;
        work.inverse = (own + outer).map(|pivot| 1.0 / pivot);
        work.ratio = outer * work.inverse;
        self.kept = own * work.inverse;
    }

    /// Brings a right side outwards.
    #[inline(always)]
    fn carry(&mut self, right: Abreast<W>, work: &mut Work<W>) {
        self.before = (right + self.link[0] * self.before) * work.inverse;
        work.change = self.before;
    }
}

impl<const W: usize> Work<W> {
    /// Solves for a cell on the way inwards.
    #[inline(always)]
    fn solve(&mut self, next: Abreast<W>) -> Abreast<W> {
        self.change += self.ratio * next;
        self.change
    }
}

impl<const W: usize> Default for Outwards<W> {
    #[inline(always)]
    fn default() -> Self {
        let nothing = Abreast::all(0.0);
        Self { inflow: nothing, link: [nothing; 2], kept: Abreast::all(1.0), before: nothing }
    }
}

impl<const W: usize> Default for Work<W> {
    #[inline(always)]
    fn default() -> Self {
        let nothing = Abreast::all(0.0);
        Self { flow: [nothing; 2], change: nothing, end: nothing, inverse: nothing, ratio: nothing }
    }
}
