//! A number for each row of a block, and what is done with such numbers.

/// Rows that are run at a time: their numbers stay in the cache of the processor.
pub const BLOCK: usize = 256;

/// The numbers of a block.
pub(super) type Block = [f64; BLOCK];

/// A result of a block of rows.
#[derive(Debug, Clone, Copy)]
pub enum Lane<'a> {
    /// One number a row.
    Each(&'a [f64]),
    /// The same number for every row.
    One(f64),
}

impl Lane<'_> {
    /// The number of a row; not a number beyond the last.
    #[must_use]
    pub fn at(&self, row: usize) -> f64 {
        match self {
            Self::Each(numbers) => numbers.get(row).copied().unwrap_or(f64::NAN),
            Self::One(number) => *number,
        }
    }
}

/// An argument of a step.
#[derive(Clone, Copy)]
pub(super) enum Argument<'a> {
    Each(&'a Block),
    One(f64),
}

/// A number for each row, known when a loop is compiled.
trait Row: Copy {
    fn row(self, row: usize) -> f64;
}

impl Row for &Block {
    #[inline(always)]
    fn row(self, row: usize) -> f64 {
        self[row]
    }
}

impl Row for f64 {
    #[inline(always)]
    fn row(self, _: usize) -> f64 {
        self
    }
}

/// `out = f(a)`.
#[inline(always)]
pub(super) fn map(out: &mut Block, a: Argument<'_>, f: impl Fn(f64) -> f64) {
    match a {
        Argument::Each(a) => out.iter_mut().zip(a).for_each(|(out, a)| *out = f(*a)),
        Argument::One(a) => out.fill(f(a)),
    }
}

/// `out = f(a, b)`.
#[inline(always)]
pub(super) fn two(out: &mut Block, a: Argument<'_>, b: Argument<'_>, f: impl Fn(f64, f64) -> f64) {
    #[inline(always)]
    fn run(out: &mut Block, a: impl Row, b: impl Row, f: impl Fn(f64, f64) -> f64) {
        for (row, out) in out.iter_mut().enumerate() {
            *out = f(a.row(row), b.row(row));
        }
    }
    match (a, b) {
        (Argument::Each(a), Argument::Each(b)) => run(out, a, b, f),
        (Argument::Each(a), Argument::One(b)) => run(out, a, b, f),
        (Argument::One(a), Argument::Each(b)) => run(out, a, b, f),
        (Argument::One(a), Argument::One(b)) => out.fill(f(a, b)),
    }
}

/// `out = f(a, b, c)`.
#[inline(always)]
pub(super) fn three(
    out: &mut Block,
    a: Argument<'_>,
    b: Argument<'_>,
    c: Argument<'_>,
    f: impl Fn(f64, f64, f64) -> f64,
) {
    match (a, b) {
        (Argument::Each(a), Argument::Each(b)) => of_three(out, a, b, c, f),
        (Argument::Each(a), Argument::One(b)) => of_three(out, a, b, c, f),
        (Argument::One(a), Argument::Each(b)) => of_three(out, a, b, c, f),
        (Argument::One(a), Argument::One(b)) => of_three(out, a, b, c, f),
    }
}

#[inline(always)]
fn of_three(out: &mut Block, a: impl Row, b: impl Row, c: Argument<'_>, f: impl Fn(f64, f64, f64) -> f64) {
    match c {
        Argument::Each(c) => out.iter_mut().enumerate().for_each(|(row, out)| *out = f(a.row(row), b.row(row), c[row])),
        Argument::One(c) => out.iter_mut().enumerate().for_each(|(row, out)| *out = f(a.row(row), b.row(row), c)),
    }
}

/// Takes the rows out of `holds` where a comparison does not come out as wanted.
#[inline(always)]
pub(super) fn keep(
    holds: &mut [u64; BLOCK],
    a: Argument<'_>,
    b: Argument<'_>,
    wanted: bool,
    is: impl Fn(f64, f64) -> bool,
) {
    #[inline(always)]
    fn run(holds: &mut [u64; BLOCK], a: impl Row, b: impl Row, wanted: bool, is: impl Fn(f64, f64) -> bool) {
        let flip = if wanted { 0 } else { u64::MAX };
        for (row, holds) in holds.iter_mut().enumerate() {
            let mask = if is(a.row(row), b.row(row)) { u64::MAX } else { 0 };
            *holds &= mask ^ flip;
        }
    }
    match (a, b) {
        (Argument::Each(a), Argument::Each(b)) => run(holds, a, b, wanted, is),
        (Argument::Each(a), Argument::One(b)) => run(holds, a, b, wanted, is),
        (Argument::One(a), Argument::Each(b)) => run(holds, a, b, wanted, is),
        (Argument::One(a), Argument::One(b)) => run(holds, a, b, wanted, is),
    }
}
