//! Operators of cells between numbers, values and columns.

use std::cmp::Ordering;

use starlark::environment::GlobalsBuilder;
use starlark::starlark_module;
use starlark::values::{Heap, Value};

use super::amount::{Amount, plain_unit};
use super::argument::{described, number};
use super::fault::{refuse, refused};
use super::value::{ColumnValue, Held, SingleValue};

/// The operators that carry uncertainty.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Operator {
    Plus,
    Minus,
    Times,
    Over,
}

impl Operator {
    fn sign(self) -> &'static str {
        match self {
            Self::Plus => "+",
            Self::Minus => "-",
            Self::Times => "*",
            Self::Over => "/",
        }
    }
}

/// What both sides come to where one of them is a value or a column; `None` where neither is.
pub(super) fn combined<'v>(
    operator: Operator,
    left: Value<'v>,
    right: Value<'v>,
    heap: Heap<'v>,
) -> Option<starlark::Result<Value<'v>>> {
    let of_ours = |value| amount(value).is_some() || ColumnValue::from_value(value).is_some();
    (of_ours(left) || of_ours(right)).then(|| combine(operator, left, right, heap))
}

fn combine<'v>(operator: Operator, left: Value<'v>, right: Value<'v>, heap: Heap<'v>) -> starlark::Result<Value<'v>> {
    let (a, b) = sides(operator, left, right)?;
    let made = match operator {
        Operator::Plus => a.plus(&b, 1.0),
        Operator::Minus => a.plus(&b, -1.0),
        Operator::Times => a.times(&b),
        Operator::Over => a.over(&b),
    }
    .map_err(refused)?;
    let column = ColumnValue::from_value(left).or_else(|| ColumnValue::from_value(right));
    match column {
        None => Ok(heap.alloc(SingleValue(made))),
        Some(column) => {
            let name = format!("{} {} {}", called(left), operator.sign(), called(right));
            Ok(heap.alloc(column.like(&name, Held::Numbers(made))?))
        }
    }
}

/// What a side is called in the name of a column that is made of it.
fn called(value: Value<'_>) -> String {
    match ColumnValue::from_value(value) {
        Some(column) if column.name.contains(' ') => format!("({})", column.name),
        Some(column) => column.name.clone(),
        None => value.to_str(),
    }
}

fn amount(value: Value<'_>) -> Option<&Amount> {
    SingleValue::from_value(value).map(|single| &single.0)
}

/// Both sides as amounts. A plain number beside + and - has the unit of the other side.
fn sides(operator: Operator, left: Value<'_>, right: Value<'_>) -> starlark::Result<(Amount, Amount)> {
    let of = |value: Value<'_>| -> starlark::Result<Option<Amount>> {
        match ColumnValue::from_value(value) {
            Some(column) => column.amount().cloned().map(Some),
            None => Ok(amount(value).cloned()),
        }
    };
    let plain = |value: Value<'_>, other: &Amount| -> starlark::Result<Amount> {
        let Some(number) = number(value) else {
            let text = format!("{} does not go with {}, {}", operator.sign(), value.to_repr(), described(value));
            return Err(refuse(text, "use a number, measured(value, u, unit) or a column of numbers"));
        };
        match operator {
            Operator::Plus | Operator::Minus => Ok(Amount::exact(number, other.unit)),
            Operator::Times | Operator::Over => Ok(Amount::exact(number, plain_unit().map_err(refused)?)),
        }
    };
    match (of(left)?, of(right)?) {
        (Some(a), Some(b)) => Ok((a, b)),
        (Some(a), None) => plain(right, &a).map(|b| (a, b)),
        (None, Some(b)) => plain(left, &b).map(|a| (a, b)),
        (None, None) => Err(refuse("neither side is a number", "use a number or measured(value, u, unit)")),
    }
}

/// Why a column is not compared, with the condition that was meant.
fn use_where(column: &ColumnValue, sign: &str, other: Value<'_>) -> starlark::Error {
    let other = other.unpack_str().map_or_else(|| other.to_str(), |text| format!("'{text}'"));
    let text = "a column is not compared as a whole; rows are chosen with text";
    refuse(text, format!("{}.where(\"{} {sign} {other}\")", column.owner.letter(), column.name))
}

/// The sign that says the same with the sides exchanged.
fn mirrored(sign: &str) -> &str {
    match sign {
        "<" => ">",
        "<=" => ">=",
        ">" => "<",
        ">=" => "<=",
        other => other,
    }
}

/// How two sides compare where one of them is a value of ours; a column is refused.
fn compared<'v>(sign: &str, left: Value<'v>, right: Value<'v>) -> starlark::Result<Option<Ordering>> {
    if let Some(column) = ColumnValue::from_value(left) {
        return Err(use_where(column, sign, right));
    }
    if let Some(column) = ColumnValue::from_value(right) {
        return Err(use_where(column, mirrored(sign), left));
    }
    if amount(left).is_none() && amount(right).is_none() {
        return Ok(None);
    }
    let is_equality = matches!(sign, "==" | "!=");
    if is_equality && [left, right].into_iter().any(|side| amount(side).is_none() && number(side).is_none()) {
        return Ok(Some(Ordering::Less));
    }
    let (a, b) = sides(Operator::Minus, left, right)?;
    let b = if a.unit == b.unit { b } else { b.to(a.unit).map_err(refused)? };
    match (a.value(0), b.value(0)) {
        (Some(a), Some(b)) => Ok(Some(a.total_cmp(&b))),
        _ if is_equality => Ok(Some(Ordering::Less)),
        _ => Err(refuse("a value that is unknown cannot be compared", "compare values that are known")),
    }
}

#[starlark_module]
pub(super) fn names(builder: &mut GlobalsBuilder) {
    fn _equal<'v>(
        #[starlark(require = pos)] a: Value<'v>,
        #[starlark(require = pos)] b: Value<'v>,
    ) -> starlark::Result<bool> {
        compared("==", a, b)?.map_or_else(|| a.equals(b), |order| Ok(order.is_eq()))
    }

    fn _unequal<'v>(
        #[starlark(require = pos)] a: Value<'v>,
        #[starlark(require = pos)] b: Value<'v>,
    ) -> starlark::Result<bool> {
        compared("!=", a, b)?.map_or_else(|| Ok(!a.equals(b)?), |order| Ok(order.is_ne()))
    }

    fn _below<'v>(
        #[starlark(require = pos)] a: Value<'v>,
        #[starlark(require = pos)] b: Value<'v>,
    ) -> starlark::Result<bool> {
        compared("<", a, b)?.map_or_else(|| a.compare(b), Ok).map(Ordering::is_lt)
    }

    fn _at_most<'v>(
        #[starlark(require = pos)] a: Value<'v>,
        #[starlark(require = pos)] b: Value<'v>,
    ) -> starlark::Result<bool> {
        compared("<=", a, b)?.map_or_else(|| a.compare(b), Ok).map(Ordering::is_le)
    }

    fn _above<'v>(
        #[starlark(require = pos)] a: Value<'v>,
        #[starlark(require = pos)] b: Value<'v>,
    ) -> starlark::Result<bool> {
        compared(">", a, b)?.map_or_else(|| a.compare(b), Ok).map(Ordering::is_gt)
    }

    fn _at_least<'v>(
        #[starlark(require = pos)] a: Value<'v>,
        #[starlark(require = pos)] b: Value<'v>,
    ) -> starlark::Result<bool> {
        compared(">=", a, b)?.map_or_else(|| a.compare(b), Ok).map(Ordering::is_ge)
    }

    fn _minus<'v>(
        #[starlark(require = pos)] a: Value<'v>,
        #[starlark(require = pos)] b: Value<'v>,
        heap: Heap<'v>,
    ) -> starlark::Result<Value<'v>> {
        combined(Operator::Minus, a, b, heap).unwrap_or_else(|| a.sub(b, heap))
    }

    fn _over<'v>(
        #[starlark(require = pos)] a: Value<'v>,
        #[starlark(require = pos)] b: Value<'v>,
        heap: Heap<'v>,
    ) -> starlark::Result<Value<'v>> {
        combined(Operator::Over, a, b, heap).unwrap_or_else(|| a.div(b, heap))
    }
}
