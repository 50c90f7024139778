//! The values of a cell: what each can do, and what it looks like.
#![allow(
    unsafe_code,
    unused_qualifications,
    reason = "OK because the derives of the cell language implement its marker trait, and nothing else here needs it"
)]

mod column;
mod drawing;
mod outcome;
mod part;
mod single;
mod state;
mod table;

pub(super) use column::{ColumnValue, Held};
pub(super) use drawing::DrawingValue;
pub(super) use outcome::{Outcome, OutcomeValue, in_cells};
pub(super) use single::SingleValue;
pub(super) use state::StateValue;
pub(super) use table::{TableValue, bytes};

use starlark::values::dict::DictRef;
use starlark::values::list::ListRef;
use starlark::values::tuple::TupleRef;
use starlark::values::{StarlarkValue, Value};

use super::Shown;
use super::guide::TypeMethods;

/// The types with methods of their own.
pub(super) fn type_methods() -> [TypeMethods; 3] {
    [("table", TableValue::get_methods()), ("state", StateValue::get_methods()), ("value", SingleValue::get_methods())]
}

/// What a value looks like; `None` for nothing.
pub(super) fn shown(value: Value<'_>) -> Option<Shown> {
    if value.is_none() {
        return None;
    }
    let rich = TableValue::from_value(value).map(|value| value.shown(USUAL));
    let rich = rich.or_else(|| StateValue::from_value(value).map(|value| value.shown(USUAL)));
    let rich = rich.or_else(|| OutcomeValue::from_value(value).map(OutcomeValue::shown));
    let rich = rich.or_else(|| DrawingValue::from_value(value).map(DrawingValue::shown));
    let rich = rich.or_else(|| ColumnValue::from_value(value).map(ColumnValue::shown));
    Some(rich.unwrap_or_else(|| Shown::of_text(written(value, 0))))
}

/// A value as a cell writes it; letters of every language stay as they are.
fn written(value: Value<'_>, depth: usize) -> String {
    const DEEPEST: usize = 20;
    let inner = |value: Value<'_>| written(value, depth + 1);
    let joined = |values: &mut dyn Iterator<Item = Value<'_>>| values.map(inner).collect::<Vec<_>>().join(", ");
    if let Some(text) = value.unpack_str() {
        return format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\"").replace('\n', "\\n"));
    }
    if depth > DEEPEST {
        return "...".to_owned();
    }
    if let Some(list) = ListRef::from_value(value) {
        return format!("[{}]", joined(&mut list.iter()));
    }
    match (TupleRef::from_value(value), DictRef::from_value(value)) {
        (Some(tuple), _) if tuple.len() == 1 => format!("({},)", joined(&mut tuple.iter())),
        (Some(tuple), _) => format!("({})", joined(&mut tuple.iter())),
        (_, Some(dict)) => {
            let entries = dict.iter().map(|(name, value)| format!("{}: {}", inner(name), inner(value)));
            format!("{{{}}}", entries.collect::<Vec<_>>().join(", "))
        }
        (None, None) => value.to_repr(),
    }
}

/// Rows of a table that are shown unasked.
pub(super) const USUAL: usize = 15;

/// What every value of ours has: a short form for error texts, the long one for `print`, and that it holds no values of
/// the cell language itself.
macro_rules! a_value {
    ($name:ident) => {
        starlark::starlark_simple_value!($name);

        impl allocative::Allocative for $name {
            // Memory is counted by the ledger of the session.
            fn visit<'a, 'b: 'a>(&self, visitor: &'a mut allocative::Visitor<'b>) {
                visitor.enter_self_sized::<Self>().exit();
            }
        }
    };
}
pub(super) use a_value;
