//! What a tape holds: steps with their values in the sample row, and what was decided on the way.

/// A step; numbers are places of earlier steps.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum Op {
    /// A column of the input.
    Column(u32),
    /// A number that is the same for all rows; the place tells causes of one value apart.
    One(u32),
    /// A constant of the formula, as bits.
    Constant(u64),
    Two(Two, u32, u32),
    Neg(u32),
    Sqrt(u32),
}

/// A step with two arguments.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum Two {
    Add,
    Sub,
    Mul,
    Div,
}

impl Two {
    /// Whether its arguments may change places.
    pub(super) fn commutes(self) -> bool {
        matches!(self, Self::Add | Self::Mul)
    }
}

/// A comparison and how it came out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Decision<T> {
    Above(T, T, bool),
    Finite(T, bool),
}

impl Decision<u32> {
    pub(super) fn arguments(&self) -> impl Iterator<Item = u32> + use<> {
        let (a, b) = match *self {
            Self::Above(a, b, _) => (a, Some(b)),
            Self::Finite(a, _) => (a, None),
        };
        std::iter::once(a).chain(b)
    }

    /// Place of its later argument.
    pub(super) fn decided_after(&self) -> usize {
        self.arguments().max().unwrap_or(0) as usize
    }
}

/// The steps of a formula.
#[derive(Default)]
pub(super) struct Record {
    pub(super) ops: Vec<Op>,
    pub(super) values: Vec<f64>,
    pub(super) is_column: Vec<bool>,
    pub(super) n_columns: u32,
    pub(super) decisions: Vec<Decision<u32>>,
}

impl Record {
    pub(super) fn push(&mut self, op: Op, value: f64) -> u32 {
        let is_column = match op {
            Op::Column(_) => true,
            Op::One(_) | Op::Constant(_) => false,
            Op::Two(_, a, b) => self.differs(a) || self.differs(b),
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

    /// Whether a number differs from row to row.
    pub(super) fn differs(&self, place: u32) -> bool {
        self.is_column[place as usize]
    }

    /// The number of which this one is the opposite, where both differ from row to row.
    pub(super) fn opposite(&self, place: u32) -> Option<u32> {
        match self.ops[place as usize] {
            Op::Neg(of) if self.differs(of) => Some(of),
            _ => None,
        }
    }
}
