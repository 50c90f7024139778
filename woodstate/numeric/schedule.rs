//! From recorded steps to a program: which are needed, which are done in one go, and where each result is kept.

use super::program::{Program, Source, Step};
use super::record::{Decision, Op, Record, Two};

/// How the number of a place is made.
#[derive(Clone, Copy)]
enum Recipe {
    /// Not needed, known beforehand, an input, or made on the way to another.
    None,
    Plain(Op),
    /// a b + c
    MulAdd([u32; 3]),
    /// (a b)² + c
    SquareAdd([u32; 3]),
}

impl Recipe {
    fn arguments(self) -> impl Iterator<Item = u32> {
        let of = match self {
            Self::None | Self::Plain(Op::Column(_) | Op::One(_) | Op::Constant(_)) => [None; 3],
            Self::Plain(Op::Two(_, a, b)) => [Some(a), Some(b), None],
            Self::Plain(Op::Neg(a) | Op::Sqrt(a)) => [Some(a), None, None],
            Self::MulAdd(of) | Self::SquareAdd(of) => of.map(Some),
        };
        of.into_iter().flatten()
    }
}

/// The program for some outputs.
pub(super) fn program(record: &Record, outputs: &[u32]) -> Program {
    let recipes = recipes(record, outputs);
    let mut decisions = record.decisions.clone();
    decisions.sort_by_key(Decision::decided_after);
    let mut keeper = Keeper::of(record, &recipes, &decisions, outputs);
    let mut decisions = decisions.into_iter().peekable();
    for (place, recipe) in recipes.iter().enumerate() {
        keeper.add(place, *recipe);
        while let Some(decision) = decisions.next_if(|decision| decision.decided_after() == place) {
            let check = match decision {
                Decision::Above(a, b, holds) => Decision::Above(keeper.source(a), keeper.source(b), holds),
                Decision::Finite(a, holds) => Decision::Finite(keeper.source(a), holds),
            };
            keeper.steps.push(Step::Check(check));
            decision.arguments().for_each(|argument| keeper.release(argument, place));
        }
    }
    let outputs = outputs.iter().map(|output| keeper.source(*output)).collect();
    Program { steps: keeper.steps, outputs, n_registers: keeper.n_registers }
}

/// The recipe of each place. A product that only one sum needs is made with it: no number is stored between them.
fn recipes(record: &Record, outputs: &[u32]) -> Vec<Recipe> {
    let mut uses = vec![0_usize; record.ops.len()];
    // What is wanted for itself is kept, as if two steps needed it.
    let wanted = record.decisions.iter().flat_map(Decision::arguments).chain(outputs.iter().copied());
    wanted.for_each(|place| uses[place as usize] += 2);
    for place in (0..uses.len()).rev() {
        if uses[place] > 0 && record.is_column[place] {
            Recipe::Plain(record.ops[place]).arguments().for_each(|argument| uses[argument as usize] += 1);
        }
    }
    let plain = |place: usize| match record.ops[place] {
        Op::Column(_) => Recipe::None,
        op if uses[place] > 0 && record.is_column[place] => Recipe::Plain(op),
        _ => Recipe::None,
    };
    let mut recipes: Vec<Recipe> = (0..uses.len()).map(plain).collect();
    for place in 0..recipes.len() {
        let Recipe::Plain(Op::Two(Two::Add, a, b)) = recipes[place] else { continue };
        let product = |sum: u32, other: u32| match recipes[sum as usize] {
            Recipe::Plain(Op::Two(Two::Mul, x, y)) if uses[sum as usize] == 1 => Some((sum, [x, y, other])),
            _ => None,
        };
        let Some((sum, [x, y, other])) = product(b, a).or_else(|| product(a, b)) else { continue };
        let factor = recipes[x as usize];
        recipes[sum as usize] = Recipe::None;
        recipes[place] = match factor {
            Recipe::Plain(Op::Two(Two::Mul, u, v)) if x == y && uses[x as usize] == 2 => {
                recipes[x as usize] = Recipe::None;
                Recipe::SquareAdd([u, v, other])
            }
            _ => Recipe::MulAdd([x, y, other]),
        };
    }
    recipes
}

/// How long results live, and which register each has.
struct Keeper<'r> {
    record: &'r Record,
    /// The last step that needs a result, by its place; `None` where none does.
    last_use: Vec<Option<usize>>,
    register: Vec<Option<usize>>,
    free: Vec<usize>,
    n_registers: usize,
    steps: Vec<Step>,
}

impl<'r> Keeper<'r> {
    fn of(record: &'r Record, recipes: &[Recipe], decisions: &[Decision<u32>], outputs: &[u32]) -> Self {
        let n = recipes.len();
        let mut last_use = vec![None; n];
        let mut use_at = |place: u32, at: usize| {
            let used = &mut last_use[place as usize];
            *used = (*used).max(Some(at));
        };
        outputs.iter().for_each(|output| use_at(*output, usize::MAX));
        for decision in decisions {
            decision.arguments().for_each(|place| use_at(place, decision.decided_after()));
        }
        for (place, recipe) in recipes.iter().enumerate() {
            recipe.arguments().for_each(|argument| use_at(argument, place));
        }
        Self { record, last_use, register: vec![None; n], free: Vec::new(), n_registers: 0, steps: Vec::new() }
    }

    fn add(&mut self, place: usize, recipe: Recipe) {
        if matches!(recipe, Recipe::None) {
            return;
        }
        // The result gets its register before those of its arguments are free: a step never writes where it reads.
        let into = self.free.pop().unwrap_or(self.n_registers);
        self.n_registers = self.n_registers.max(into + 1);
        self.register[place] = Some(into);
        let of = |place| self.source(place);
        let step = match recipe {
            Recipe::Plain(Op::Two(two, a, b)) => Step::Two(two, into, of(a), of(b)),
            Recipe::Plain(Op::Neg(a)) => Step::Neg(into, of(a)),
            Recipe::Plain(Op::Sqrt(a)) => Step::Sqrt(into, of(a)),
            Recipe::MulAdd([a, b, c]) => Step::MulAdd(into, of(a), of(b), of(c)),
            Recipe::SquareAdd([a, b, c]) => Step::SquareAdd(into, of(a), of(b), of(c)),
            Recipe::None | Recipe::Plain(Op::Column(_) | Op::One(_) | Op::Constant(_)) => return,
        };
        self.steps.push(step);
        recipe.arguments().for_each(|argument| self.release(argument, place));
    }

    fn release(&mut self, argument: u32, place: usize) {
        let argument = argument as usize;
        if self.last_use[argument] == Some(place)
            && let Some(register) = self.register[argument].take()
        {
            self.free.push(register);
        }
    }

    fn source(&self, place: u32) -> Source {
        let at = place as usize;
        match (self.record.ops[at], self.register[at]) {
            (Op::Column(column), _) => Source::Input(column as usize),
            (_, Some(register)) => Source::Register(register),
            (_, None) => Source::Known(self.record.values[at]),
        }
    }
}
