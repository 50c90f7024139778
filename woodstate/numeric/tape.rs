//! A formula recorded once, differentiated, and run over columns of numbers.

use std::cell::RefCell;
use std::collections::HashMap;
use std::fmt;
use std::ops::{Add, Div, Mul, Neg, Sub};

use super::program::Program;
use super::record::{Op, Record, Two};
use super::schedule;
use crate::quantity::Number;

/// A record of what a formula did with its arguments.
///
/// A formula that is generic over [`Number`] is called once with the numbers of a sample row. The tape keeps each step, and
/// each comparison that the formula made on the way. It can be differentiated, and made into a [`Program`] that does the
/// same steps for many rows at once: to the last bit what the formula gives for each of them alone. A row whose
/// comparisons come out differently would have gone another way; the program says which rows these are.
///
/// # Example
/// ```
/// use woodstate::numeric::Tape;
/// use woodstate::quantity::Number;
/// fn basic_density<N: Number>(mass: N, volume: N) -> N { mass / volume * 1000.0 }
///
/// let tape = Tape::new();
/// let (mass, volume) = (tape.column(1.0), tape.column(4.0));
/// let density = basic_density(mass, volume);
/// let slopes = &tape.slopes(&[density])[0];
/// let program = tape.program(&[density, slopes[0].unwrap()]);
/// let mut run = program.start();
/// run.rows(&[&[1.0, 2.0], &[4.0, 5.0]]);
/// assert_eq!((run.output(0).at(0), run.output(0).at(1)), (250.0, 400.0));
/// assert_eq!((run.output(1).at(0), run.output(1).at(1)), (250.0, 200.0));
/// ```
#[derive(Default)]
pub struct Tape {
    record: RefCell<Record>,
    known: RefCell<HashMap<Op, u32>>,
    causes: RefCell<Vec<u32>>,
}

/// A number on a tape.
#[derive(Clone, Copy)]
pub struct Traced<'t> {
    /// No tape: a constant that no step has used yet.
    tape: Option<&'t Tape>,
    place: u32,
    value: f64,
}

impl fmt::Debug for Tape {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Tape({} steps)", self.record.borrow().ops.len())
    }
}

impl fmt::Debug for Traced<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Traced({})", self.value)
    }
}

impl Tape {
    /// An empty tape.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// A cause that differs from row to row; its value in the sample row. Columns are numbered as they are made.
    #[must_use]
    pub fn column(&self, value: f64) -> Traced<'_> {
        let column = self.plain_column(value);
        self.causes.borrow_mut().push(column.place);
        column
    }

    /// A column that is no cause: nothing is differentiated by it.
    #[must_use]
    pub fn plain_column(&self, value: f64) -> Traced<'_> {
        let mut record = self.record.borrow_mut();
        let op = Op::Column(record.n_columns);
        record.n_columns += 1;
        drop(record);
        self.push(op, value)
    }

    /// A cause that is the same for all rows.
    #[must_use]
    pub fn one(&self, value: f64) -> Traced<'_> {
        let place = u32::try_from(self.record.borrow().ops.len()).unwrap_or(u32::MAX);
        let one = self.push(Op::One(place), value);
        self.causes.borrow_mut().push(one.place);
        one
    }

    /// Partial derivatives of some numbers: for each, one entry a cause in the order in which the causes were made; `None`
    /// where it does not depend on the cause.
    #[must_use]
    pub fn slopes(&self, of: &[Traced<'_>]) -> Vec<Vec<Option<Traced<'_>>>> {
        let ops = self.record.borrow().ops.clone();
        let causes = self.causes.borrow().clone();
        let mut slopes: Vec<Vec<(usize, Traced<'_>)>> = Vec::with_capacity(ops.len());
        for (place, op) in ops.iter().enumerate() {
            let own = |place: u32| slopes.get(place as usize).map_or(&[][..], Vec::as_slice);
            let number = |place: u32| self.at(place);
            let this = u32::try_from(place).unwrap_or(u32::MAX);
            let found = match *op {
                Op::Column(_) | Op::One(_) => causes
                    .iter()
                    .position(|cause| *cause == this)
                    .map(|cause| (cause, Number::exact(1.0)))
                    .into_iter()
                    .collect(),
                Op::Constant(_) => Vec::new(),
                Op::Two(Two::Add, a, b) => merged(own(a), own(b), Some, Some),
                Op::Two(Two::Sub, a, b) => merged(own(a), own(b), Some, |slope| Some(-slope)),
                Op::Two(Two::Mul, a, b) => {
                    merged(own(a), own(b), |slope| times(slope, number(b)), |slope| times(slope, number(a)))
                }
                Op::Two(Two::Div, a, b) => {
                    let inverse = Traced::exact(1.0) / number(b);
                    let falling = -number(this) / number(b);
                    merged(own(a), own(b), |slope| times(slope, inverse), |slope| times(slope, falling))
                }
                Op::Neg(a) => merged(own(a), &[], |slope| Some(-slope), Some),
                Op::Sqrt(a) => {
                    let half = Traced::exact(0.5) / number(this);
                    merged(own(a), &[], |slope| times(slope, half), Some)
                }
            };
            slopes.push(found);
        }
        let of_one = |number: &Traced<'_>| {
            let mut row = vec![None; causes.len()];
            let found = number.tape.and_then(|_| slopes.get(number.place as usize));
            for (cause, slope) in found.into_iter().flatten() {
                row[*cause] = Some(*slope);
            }
            row
        };
        of.iter().map(of_one).collect()
    }

    /// Whether a number differs from row to row.
    #[must_use]
    pub fn is_column(&self, number: Traced<'_>) -> bool {
        number.tape.is_some() && self.record.borrow().is_column[number.place as usize]
    }

    /// The steps that lead to some numbers, ready to run.
    #[must_use]
    pub fn program(&self, outputs: &[Traced<'_>]) -> Program {
        let places: Vec<u32> = outputs.iter().map(|output| self.place_of(*output)).collect();
        schedule::program(&self.record.borrow(), &places)
    }

    fn at(&self, place: u32) -> Traced<'_> {
        Traced { tape: Some(self), place, value: self.record.borrow().values[place as usize] }
    }

    fn place_of(&self, number: Traced<'_>) -> u32 {
        match number.tape {
            Some(_) => number.place,
            None => self.push(Op::Constant(number.value.to_bits()), number.value).place,
        }
    }

    fn push(&self, op: Op, value: f64) -> Traced<'_> {
        let op = match op {
            Op::Two(two, a, b) if two.commutes() && a > b => Op::Two(two, b, a),
            op => op,
        };
        let place = *self.known.borrow_mut().entry(op).or_insert_with(|| self.record.borrow_mut().push(op, value));
        Traced { tape: Some(self), place, value }
    }

    /// A step with two arguments. A sign is carried past products, into sums: it changes no other bit there, and ends in a
    /// square.
    fn step(&self, two: Two, a: Traced<'_>, b: Traced<'_>, value: f64) -> Traced<'_> {
        let (a, b) = (self.place_of(a), self.place_of(b));
        let opposite = |place| self.record.borrow().opposite(place);
        match (two, opposite(a), opposite(b)) {
            (Two::Add, _, Some(b)) => self.push(Op::Two(Two::Sub, a, b), value),
            (Two::Add, Some(a), None) => self.push(Op::Two(Two::Sub, b, a), value),
            (Two::Sub, _, Some(b)) => self.push(Op::Two(Two::Add, a, b), value),
            (Two::Mul | Two::Div, Some(a), Some(b)) => self.push(Op::Two(two, a, b), value),
            (Two::Mul | Two::Div, Some(a), None) => -self.push(Op::Two(two, a, b), -value),
            (Two::Mul | Two::Div, None, Some(b)) => -self.push(Op::Two(two, a, b), -value),
            _ => self.push(Op::Two(two, a, b), value),
        }
    }
}

/// A slope times a number; nothing where the number is 0 for every row.
fn times<'t>(slope: Traced<'t>, number: Traced<'t>) -> Option<Traced<'t>> {
    let is_constant = number.tape.is_none_or(|tape| !tape.is_column(number));
    (!(is_constant && number.value.abs() <= 0.0)).then(|| slope * number)
}

/// Slopes of a result from those of its two arguments.
fn merged<'t>(
    a: &[(usize, Traced<'t>)],
    b: &[(usize, Traced<'t>)],
    of_a: impl Fn(Traced<'t>) -> Option<Traced<'t>>,
    of_b: impl Fn(Traced<'t>) -> Option<Traced<'t>>,
) -> Vec<(usize, Traced<'t>)> {
    let mut slopes: Vec<(usize, Traced<'t>)> =
        a.iter().filter_map(|(cause, slope)| Some((*cause, of_a(*slope)?))).collect();
    for (cause, slope) in b {
        let Some(slope) = of_b(*slope) else { continue };
        match slopes.iter_mut().find(|(known, _)| known == cause) {
            Some((_, sum)) => *sum = *sum + slope,
            None => slopes.push((*cause, slope)),
        }
    }
    slopes
}

impl<'t> Traced<'t> {
    fn join(self, other: Self, value: f64, two: Two) -> Self {
        match self.tape.or(other.tape) {
            Some(tape) => tape.step(two, self, other, value),
            None => Self::exact(value),
        }
    }

    fn is_plain(self, value: f64) -> bool {
        self.tape.is_none() && self.value.to_bits() == value.to_bits()
    }
}

impl Number for Traced<'_> {
    fn exact(value: f64) -> Self {
        Self { tape: None, place: 0, value }
    }

    fn value(self) -> f64 {
        self.value
    }

    fn is_above(self, other: Self) -> bool {
        let is_above = self.value > other.value;
        if let Some(tape) = self.tape.or(other.tape) {
            let (a, b) = (tape.place_of(self), tape.place_of(other));
            tape.record.borrow_mut().decide_above(a, b, is_above);
        }
        is_above
    }

    fn is_finite(self) -> bool {
        let is_finite = self.value.is_finite();
        if let Some(tape) = self.tape {
            tape.record.borrow_mut().decide_finite(self.place, is_finite);
        }
        is_finite
    }

    fn sqrt(self) -> Self {
        let root = self.value.sqrt();
        self.tape.map_or(Self::exact(root), |tape| tape.push(Op::Sqrt(self.place), root))
    }
}

impl Add for Traced<'_> {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        self.join(other, self.value + other.value, Two::Add)
    }
}

impl Sub for Traced<'_> {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        self.join(other, self.value - other.value, Two::Sub)
    }
}

impl Mul for Traced<'_> {
    type Output = Self;
    fn mul(self, other: Self) -> Self {
        match () {
            () if other.is_plain(1.0) => self,
            () if self.is_plain(1.0) => other,
            () => self.join(other, self.value * other.value, Two::Mul),
        }
    }
}

impl Div for Traced<'_> {
    type Output = Self;
    fn div(self, other: Self) -> Self {
        self.join(other, self.value / other.value, Two::Div)
    }
}

impl Neg for Traced<'_> {
    type Output = Self;
    fn neg(self) -> Self {
        let Some(tape) = self.tape else { return Self::exact(-self.value) };
        let opposite = tape.record.borrow().opposite(self.place);
        match opposite {
            Some(place) => Self { place, value: -self.value, ..self },
            None => tape.push(Op::Neg(self.place), -self.value),
        }
    }
}

impl Add<f64> for Traced<'_> {
    type Output = Self;
    fn add(self, other: f64) -> Self {
        self + Self::exact(other)
    }
}

impl Sub<f64> for Traced<'_> {
    type Output = Self;
    fn sub(self, other: f64) -> Self {
        self - Self::exact(other)
    }
}

impl Mul<f64> for Traced<'_> {
    type Output = Self;
    fn mul(self, other: f64) -> Self {
        self * Self::exact(other)
    }
}

impl Div<f64> for Traced<'_> {
    type Output = Self;
    fn div(self, other: f64) -> Self {
        self / Self::exact(other)
    }
}
