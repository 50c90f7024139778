//! Recorded steps, made ready to run over blocks of rows.

/// Rows that are run at a time: their numbers stay in the cache of the processor.
pub const BLOCK: usize = 256;

/// A step; numbers are places of earlier steps.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum Op {
    /// A column of the input.
    Column(u32),
    /// A number that is the same for all rows; the place tells causes of one value apart.
    One(u32),
    /// A constant of the formula, as bits.
    Constant(u64),
    Add(u32, u32),
    Sub(u32, u32),
    Mul(u32, u32),
    Div(u32, u32),
    Neg(u32),
    Sqrt(u32),
}

/// What a tape holds: steps with their values in the sample row, and what was decided on the way.
#[derive(Default)]
pub(super) struct Recorded {
    pub(super) ops: Vec<Op>,
    pub(super) values: Vec<f64>,
    pub(super) is_column: Vec<bool>,
    pub(super) n_columns: u32,
    decisions: Vec<Decision<u32>>,
}

/// A comparison and how it came out.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Decision<T> {
    Above(T, T, bool),
    Finite(T, bool),
}

impl Recorded {
    pub(super) fn push(&mut self, op: Op, value: f64) -> u32 {
        let is_column = match op {
            Op::Column(_) => true,
            Op::One(_) | Op::Constant(_) => false,
            Op::Add(a, b) | Op::Sub(a, b) | Op::Mul(a, b) | Op::Div(a, b) => self.differs(a) || self.differs(b),
            Op::Neg(a) | Op::Sqrt(a) => self.differs(a),
        };
        self.ops.push(op);
        self.values.push(value);
        self.is_column.push(is_column);
        u32::try_from(self.ops.len() - 1).unwrap_or(u32::MAX)
    }

    pub(super) fn decide_above(&mut self, a: u32, b: u32, is_above: bool) {
        if self.differs(a) || self.differs(b) {
            self.keep(Decision::Above(a, b, is_above));
        }
    }

    pub(super) fn decide_finite(&mut self, a: u32, is_finite: bool) {
        if self.differs(a) {
            self.keep(Decision::Finite(a, is_finite));
        }
    }

    fn keep(&mut self, decision: Decision<u32>) {
        if !self.decisions.contains(&decision) {
            self.decisions.push(decision);
        }
    }

    fn differs(&self, place: u32) -> bool {
        self.is_column[place as usize]
    }
}

/// Where an argument comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Source {
    Register(usize),
    Input(usize),
    Known(f64),
}

/// One step of a program.
#[derive(Debug, Clone, Copy)]
enum Step {
    Two(Two, usize, Source, Source),
    Neg(usize, Source),
    Sqrt(usize, Source),
    Check(Decision<Source>),
}

#[derive(Debug, Clone, Copy)]
enum Two {
    Add,
    Sub,
    Mul,
    Div,
}

/// A formula as a list of steps over columns; see [`Tape`](super::Tape).
#[derive(Debug, Clone)]
pub struct Program {
    steps: Vec<Step>,
    outputs: Vec<Source>,
    n_registers: usize,
}

impl Program {
    pub(super) fn of(recorded: &Recorded, outputs: &[u32]) -> Self {
        Builder::of(recorded, outputs).build(recorded, outputs)
    }

    /// Room for a block of rows.
    #[must_use]
    pub fn start(&self) -> Run<'_> {
        Run { program: self, registers: vec![vec![0.0; BLOCK]; self.n_registers], inputs: Vec::new(), n_rows: 0 }
    }

    /// The same in room that another run gave back.
    #[must_use]
    pub fn start_in(&self, mut room: Vec<Vec<f64>>) -> Run<'_> {
        room.resize_with(room.len().max(self.n_registers), || vec![0.0; BLOCK]);
        Run { program: self, registers: room, inputs: Vec::new(), n_rows: 0 }
    }

    /// How many steps it takes a row.
    #[must_use]
    pub fn n_steps(&self) -> usize {
        self.steps.len()
    }
}

/// Which steps are needed, how long their results live, and which register each has.
struct Builder {
    /// The last step that needs a result, by its place; `None` where none does.
    last_use: Vec<Option<usize>>,
    register: Vec<Option<usize>>,
    free: Vec<usize>,
    n_registers: usize,
    steps: Vec<Step>,
}

impl Builder {
    fn of(recorded: &Recorded, outputs: &[u32]) -> Self {
        let n = recorded.ops.len();
        let mut last_use = vec![None; n];
        for output in outputs {
            last_use[*output as usize] = Some(usize::MAX);
        }
        for decision in &recorded.decisions {
            let at = decided_after(decision);
            for place in arguments(decision) {
                last_use[place as usize] = last_use[place as usize].max(Some(at));
            }
        }
        for place in (0..n).rev() {
            if last_use[place].is_some() && recorded.is_column[place] {
                for argument in operands(recorded.ops[place]) {
                    let used = &mut last_use[argument as usize];
                    *used = (*used).max(Some(place));
                }
            }
        }
        Self { last_use, register: vec![None; n], free: Vec::new(), n_registers: 0, steps: Vec::new() }
    }

    fn build(mut self, recorded: &Recorded, outputs: &[u32]) -> Program {
        let mut decisions = recorded.decisions.clone();
        decisions.sort_by_key(decided_after);
        let mut decisions = decisions.into_iter().peekable();
        for (place, op) in recorded.ops.iter().enumerate() {
            if self.last_use[place].is_some() && recorded.is_column[place] && !matches!(op, Op::Column(_)) {
                self.add(recorded, place, *op);
            }
            while let Some(decision) = decisions.next_if(|decision| decided_after(decision) == place) {
                let of = |place| self.source(recorded, place);
                let check = match decision {
                    Decision::Above(a, b, holds) => Decision::Above(of(a), of(b), holds),
                    Decision::Finite(a, holds) => Decision::Finite(of(a), holds),
                };
                self.steps.push(Step::Check(check));
                arguments(&decision).for_each(|argument| self.release(argument, place));
            }
        }
        let outputs = outputs.iter().map(|output| self.source(recorded, *output)).collect();
        Program { steps: self.steps, outputs, n_registers: self.n_registers }
    }

    fn add(&mut self, recorded: &Recorded, place: usize, op: Op) {
        let of = |place| self.source(recorded, place);
        let sources: Vec<Source> = operands(op).map(of).collect();
        // The result gets its register before those of its arguments are free: a step never writes where it reads.
        let into = self.free.pop().unwrap_or(self.n_registers);
        self.n_registers = self.n_registers.max(into + 1);
        self.register[place] = Some(into);
        let step = match (op, sources.as_slice()) {
            (Op::Add(..), [a, b]) => Step::Two(Two::Add, into, *a, *b),
            (Op::Sub(..), [a, b]) => Step::Two(Two::Sub, into, *a, *b),
            (Op::Mul(..), [a, b]) => Step::Two(Two::Mul, into, *a, *b),
            (Op::Div(..), [a, b]) => Step::Two(Two::Div, into, *a, *b),
            (Op::Sqrt(_), [a]) => Step::Sqrt(into, *a),
            (_, [a, ..]) => Step::Neg(into, *a),
            (_, []) => return,
        };
        self.steps.push(step);
        operands(op).for_each(|argument| self.release(argument, place));
    }

    fn release(&mut self, argument: u32, place: usize) {
        let argument = argument as usize;
        if self.last_use[argument] == Some(place)
            && let Some(register) = self.register[argument].take()
        {
            self.free.push(register);
        }
    }

    fn source(&self, recorded: &Recorded, place: u32) -> Source {
        let at = place as usize;
        match (recorded.ops[at], self.register[at]) {
            (Op::Column(column), _) => Source::Input(column as usize),
            (_, Some(register)) => Source::Register(register),
            (_, None) => Source::Known(recorded.values[at]),
        }
    }
}

fn operands(op: Op) -> impl Iterator<Item = u32> {
    let (a, b) = match op {
        Op::Column(_) | Op::One(_) | Op::Constant(_) => (None, None),
        Op::Add(a, b) | Op::Sub(a, b) | Op::Mul(a, b) | Op::Div(a, b) => (Some(a), Some(b)),
        Op::Neg(a) | Op::Sqrt(a) => (Some(a), None),
    };
    a.into_iter().chain(b)
}

fn arguments(decision: &Decision<u32>) -> impl Iterator<Item = u32> + use<> {
    let (a, b) = match *decision {
        Decision::Above(a, b, _) => (a, Some(b)),
        Decision::Finite(a, _) => (a, None),
    };
    std::iter::once(a).chain(b)
}

/// Place of the later argument of a decision.
fn decided_after(decision: &Decision<u32>) -> usize {
    arguments(decision).max().unwrap_or(0) as usize
}

/// A program at work on a block of rows.
#[derive(Debug)]
pub struct Run<'p> {
    program: &'p Program,
    registers: Vec<Vec<f64>>,
    inputs: Vec<Vec<f64>>,
    n_rows: usize,
}

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

impl Run<'_> {
    /// Runs up to [`BLOCK`] rows; `inputs` holds the columns in the order in which the tape made them. For each row, whether
    /// every decision of the formula came out as in the sample row: where not, its results mean nothing.
    pub fn rows(&mut self, inputs: &[&[f64]]) -> Vec<bool> {
        self.n_rows = inputs.iter().map(|input| input.len()).min().unwrap_or(1).min(BLOCK);
        self.inputs.resize_with(inputs.len(), Vec::new);
        for (own, input) in self.inputs.iter_mut().zip(inputs) {
            own.clear();
            own.extend_from_slice(&input[..self.n_rows]);
        }
        let mut holds = vec![true; self.n_rows];
        for step in &self.program.steps {
            match *step {
                Step::Two(two, into, a, b) => self.two(two, into, a, b),
                Step::Neg(into, a) => self.map(into, a, |x| -x),
                Step::Sqrt(into, a) => self.map(into, a, f64::sqrt),
                Step::Check(decision) => self.check(decision, &mut holds),
            }
        }
        holds
    }

    /// An output of the program, in the order in which they were asked for.
    #[must_use]
    pub fn output(&self, place: usize) -> Lane<'_> {
        self.program.outputs.get(place).map_or(Lane::One(f64::NAN), |source| self.lane(*source))
    }

    /// Gives the room back.
    #[must_use]
    pub fn into_room(self) -> Vec<Vec<f64>> {
        self.registers
    }

    fn lane(&self, source: Source) -> Lane<'_> {
        match source {
            Source::Register(register) => Lane::Each(&self.registers[register][..self.n_rows]),
            Source::Input(input) => Lane::Each(&self.inputs[input]),
            Source::Known(number) => Lane::One(number),
        }
    }

    fn two(&mut self, two: Two, into: usize, a: Source, b: Source) {
        let mut out = std::mem::take(&mut self.registers[into]);
        let (a, b) = (self.lane(a), self.lane(b));
        let rows = &mut out[..self.n_rows];
        match two {
            Two::Add => both(rows, a, b, |a, b| a + b),
            Two::Sub => both(rows, a, b, |a, b| a - b),
            Two::Mul => both(rows, a, b, |a, b| a * b),
            Two::Div => both(rows, a, b, |a, b| a / b),
        }
        self.registers[into] = out;
    }

    fn map(&mut self, into: usize, a: Source, f: impl Fn(f64) -> f64) {
        let mut out = std::mem::take(&mut self.registers[into]);
        both(&mut out[..self.n_rows], self.lane(a), Lane::One(0.0), |a, _| f(a));
        self.registers[into] = out;
    }

    fn check(&self, decision: Decision<Source>, holds: &mut [bool]) {
        let (a, b, wanted) = match decision {
            Decision::Above(a, b, wanted) => (self.lane(a), self.lane(b), wanted),
            Decision::Finite(a, wanted) => {
                let a = self.lane(a);
                for (row, holds) in holds.iter_mut().enumerate() {
                    *holds &= a.at(row).is_finite() == wanted;
                }
                return;
            }
        };
        for (row, holds) in holds.iter_mut().enumerate() {
            *holds &= (a.at(row) > b.at(row)) == wanted;
        }
    }
}

fn both(out: &mut [f64], a: Lane<'_>, b: Lane<'_>, f: impl Fn(f64, f64) -> f64) {
    match (a, b) {
        (Lane::Each(a), Lane::Each(b)) => out.iter_mut().zip(a).zip(b).for_each(|((out, a), b)| *out = f(*a, *b)),
        (Lane::Each(a), Lane::One(b)) => out.iter_mut().zip(a).for_each(|(out, a)| *out = f(*a, b)),
        (Lane::One(a), Lane::Each(b)) => out.iter_mut().zip(b).for_each(|(out, b)| *out = f(a, *b)),
        (Lane::One(a), Lane::One(b)) => out.fill(f(a, b)),
    }
}
