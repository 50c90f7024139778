//! Recorded steps, made ready to run over blocks of rows.

use super::lane::{self, Argument, BLOCK, Block, Lane};
use super::record::{Decision, Two};
use super::widest::{Wide, widest};

/// Where an argument comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Source {
    Register(usize),
    Input(usize),
    Known(f64),
}

/// One step of a program; the first number is the register of its result.
#[derive(Debug, Clone, Copy)]
pub(super) enum Step {
    Two(Two, usize, Source, Source),
    /// a b + c, rounded twice
    MulAdd(usize, Source, Source, Source),
    /// (a b)² + c, rounded three times
    SquareAdd(usize, Source, Source, Source),
    Neg(usize, Source),
    Sqrt(usize, Source),
    Check(Decision<Source>),
}

/// A formula as a list of steps over columns; see [`Tape`](super::Tape).
#[derive(Debug, Clone)]
pub struct Program {
    pub(super) steps: Vec<Step>,
    pub(super) outputs: Vec<Source>,
    pub(super) n_registers: usize,
}

/// Numbers of a block, kept from one run to the next.
#[derive(Debug, Default)]
pub struct Room {
    registers: Vec<Block>,
    inputs: Vec<Block>,
}

impl Program {
    /// Room for a block of rows.
    #[must_use]
    pub fn start(&self) -> Run<'_> {
        self.start_in(Room::default())
    }

    /// The same in room that another run gave back.
    #[must_use]
    pub fn start_in(&self, mut room: Room) -> Run<'_> {
        room.registers.resize(room.registers.len().max(self.n_registers), [0.0; BLOCK]);
        Run { program: self, room, n_rows: 0 }
    }

    /// How many steps it takes a row.
    #[must_use]
    pub fn n_steps(&self) -> usize {
        self.steps.len()
    }
}

/// A program at work on a block of rows.
#[derive(Debug)]
pub struct Run<'p> {
    program: &'p Program,
    room: Room,
    n_rows: usize,
}

impl Run<'_> {
    /// Runs up to [`BLOCK`] rows; `inputs` holds the columns in the order in which the tape made them. For each row, whether
    /// every decision of the formula came out as in the sample row: where not, its results mean nothing.
    pub fn rows(&mut self, inputs: &[&[f64]]) -> Vec<bool> {
        self.n_rows = inputs.iter().map(|input| input.len()).min().unwrap_or(1).min(BLOCK);
        self.room.inputs.resize(inputs.len(), [0.0; BLOCK]);
        for (own, input) in self.room.inputs.iter_mut().zip(inputs) {
            own[..self.n_rows].copy_from_slice(&input[..self.n_rows]);
        }
        let mut holds = [u64::MAX; BLOCK];
        let work = Work { steps: &self.program.steps, room: &mut self.room, holds: &mut holds };
        widest(work);
        holds[..self.n_rows].iter().map(|holds| *holds != 0).collect()
    }

    /// An output of the program, in the order in which they were asked for.
    #[must_use]
    pub fn output(&self, place: usize) -> Lane<'_> {
        match self.program.outputs.get(place) {
            Some(Source::Register(register)) => Lane::Each(&self.room.registers[*register][..self.n_rows]),
            Some(Source::Input(input)) => Lane::Each(&self.room.inputs[*input][..self.n_rows]),
            Some(Source::Known(number)) => Lane::One(*number),
            None => Lane::One(f64::NAN),
        }
    }

    /// Gives the room back.
    #[must_use]
    pub fn into_room(self) -> Room {
        self.room
    }
}

/// The steps of a block.
struct Work<'w> {
    steps: &'w [Step],
    room: &'w mut Room,
    holds: &'w mut [u64; BLOCK],
}

impl Wide for Work<'_> {
    type Outcome = ();

    #[inline(always)]
    fn run(self) {
        run(self);
    }
}

#[inline(always)]
fn run(work: Work<'_>) {
    let Work { steps, room: Room { registers, inputs }, holds } = work;
    for step in steps {
        match *step {
            Step::Two(two, into, a, b) => {
                let (out, of) = open(registers, inputs, into);
                let (a, b) = (of(a), of(b));
                match two {
                    Two::Add => lane::two(out, a, b, |a, b| a + b),
                    Two::Sub => lane::two(out, a, b, |a, b| a - b),
                    Two::Mul => lane::two(out, a, b, |a, b| a * b),
                    Two::Div => lane::two(out, a, b, |a, b| a / b),
                }
            }
            Step::MulAdd(into, a, b, c) => {
                let (out, of) = open(registers, inputs, into);
                lane::three(out, of(a), of(b), of(c), |a, b, c| a * b + c);
            }
            Step::SquareAdd(into, a, b, c) => {
                let (out, of) = open(registers, inputs, into);
                lane::three(out, of(a), of(b), of(c), |a, b, c| (a * b) * (a * b) + c);
            }
            Step::Neg(into, a) => {
                let (out, of) = open(registers, inputs, into);
                lane::map(out, of(a), |a| -a);
            }
            Step::Sqrt(into, a) => {
                let (out, of) = open(registers, inputs, into);
                lane::map(out, of(a), f64::sqrt);
            }
            Step::Check(Decision::Above(a, b, wanted)) => {
                let of = reader(registers, inputs);
                lane::keep(holds, of(a), of(b), wanted, |a, b| a > b);
            }
            Step::Check(Decision::Finite(a, wanted)) => {
                let of = reader(registers, inputs);
                lane::keep(holds, of(a), Argument::One(f64::INFINITY), wanted, |a, b| a.abs() < b);
            }
        }
    }
}

/// The register that a step writes, and a way to read all others.
#[inline(always)]
fn open<'r>(
    registers: &'r mut [Block],
    inputs: &'r [Block],
    into: usize,
) -> (&'r mut Block, impl Fn(Source) -> Argument<'r> + Copy) {
    let (before, rest) = registers.split_at_mut(into);
    let (out, after) = rest.split_at_mut(1);
    let (before, after): (&[Block], &[Block]) = (before, after);
    let of = move |source| match source {
        Source::Register(register) if register < into => Argument::Each(&before[register]),
        Source::Register(register) => Argument::Each(&after[register - into - 1]),
        Source::Input(input) => Argument::Each(&inputs[input]),
        Source::Known(number) => Argument::One(number),
    };
    (&mut out[0], of)
}

#[inline(always)]
fn reader<'r>(registers: &'r [Block], inputs: &'r [Block]) -> impl Fn(Source) -> Argument<'r> + Copy {
    move |source| match source {
        Source::Register(register) => Argument::Each(&registers[register]),
        Source::Input(input) => Argument::Each(&inputs[input]),
        Source::Known(number) => Argument::One(number),
    }
}
