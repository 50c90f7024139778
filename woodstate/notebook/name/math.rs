//! Mathematics of cells: for numbers, values and columns alike.

use starlark::environment::GlobalsBuilder;
use starlark::starlark_module;
use starlark::values::tuple::UnpackTuple;
use starlark::values::{Heap, Value};

use crate::notebook::amount::{Amount, plain_unit, unit};
use crate::notebook::argument::{needed_number, number, whole};
use crate::notebook::fault::{refuse, refused};
use crate::notebook::value::{ColumnValue, Held, SingleValue};
use crate::numeric::{median as median_of, sd as sd_of};
use crate::quantity::{Dimension, Unit};

#[starlark_module]
pub(super) fn names(builder: &mut GlobalsBuilder) {
    /// Natural logarithm of a number, or of a value or column without a unit.
    fn log<'v>(#[starlark(require = pos)] x: Value<'v>, heap: Heap<'v>) -> starlark::Result<Value<'v>> {
        of_plain("log", x, heap, |x| [x.ln(), 1.0 / x])
    }

    /// Exponential of a number, or of a value or column without a unit.
    fn exp<'v>(#[starlark(require = pos)] x: Value<'v>, heap: Heap<'v>) -> starlark::Result<Value<'v>> {
        of_plain("exp", x, heap, |x| [x.exp(), x.exp()])
    }

    /// Square root of a number, or of a value or column without a unit.
    fn sqrt<'v>(#[starlark(require = pos)] x: Value<'v>, heap: Heap<'v>) -> starlark::Result<Value<'v>> {
        of_plain("sqrt", x, heap, |x| [x.sqrt(), 0.5 / x.sqrt()])
    }

    /// A number without its sign.
    fn abs<'v>(#[starlark(require = pos)] x: Value<'v>, heap: Heap<'v>) -> starlark::Result<Value<'v>> {
        if let Some(whole) = x.unpack_i32().and_then(i32::checked_abs) {
            return Ok(heap.alloc(whole));
        }
        mapped(x, heap, |x| [x.abs(), x.signum()], |amount| Ok(amount.unit))
    }

    /// A power. Of a length the third power is a volume; other units have none here.
    ///
    /// # Arguments
    /// * `x`: number, value or column
    /// * `n`: the exponent
    fn pow<'v>(
        #[starlark(require = pos)] x: Value<'v>,
        #[starlark(require = pos)] n: Value<'v>,
        heap: Heap<'v>,
    ) -> starlark::Result<Value<'v>> {
        raised(x, needed_number(n, "n")?, heap)
    }

    /// A number with so many digits after the point.
    ///
    /// # Arguments
    /// * `x`: the number
    /// * `digits`: digits after the point
    fn round<'v>(
        #[starlark(require = pos)] x: Value<'v>,
        #[starlark(require = pos)] digits: Option<Value<'v>>,
        heap: Heap<'v>,
    ) -> starlark::Result<Value<'v>> {
        let digits = digits.map(|digits| whole(digits, "digits", [0, 15])).transpose()?.unwrap_or(0);
        let step = 10_f64.powi(i32::try_from(digits).unwrap_or(0));
        match number(x) {
            Some(x) => Ok(heap.alloc((x * step).round() / step)),
            None => Err(refuse("round takes a plain number", "a value is rounded by its uncertainty: fmt(x)")),
        }
    }

    /// The smallest of a column, a list or several numbers; what is unknown is passed over.
    fn min<'v>(#[starlark(args)] values: UnpackTuple<Value<'v>>, heap: Heap<'v>) -> starlark::Result<Value<'v>> {
        extreme("min", &values.items, heap, |a, b| a < b)
    }

    /// The largest of a column, a list or several numbers; what is unknown is passed over.
    fn max<'v>(#[starlark(args)] values: UnpackTuple<Value<'v>>, heap: Heap<'v>) -> starlark::Result<Value<'v>> {
        extreme("max", &values.items, heap, |a, b| a > b)
    }

    /// The sum of measurements or of a list; what is unknown is passed over.
    fn sum<'v>(#[starlark(require = pos)] values: Value<'v>, heap: Heap<'v>) -> starlark::Result<Value<'v>> {
        match ColumnValue::from_value(values) {
            Some(column) => Ok(or_unknown(column.measurements("a sum")?.sum(), heap)),
            None => {
                let all = numbers("sum", values, heap)?;
                let is_whole = values.iterate(heap)?.all(|value| value.unpack_i32().is_some());
                let total: f64 = all.iter().sum();
                let small = is_whole.then(|| format!("{total:.0}").parse::<i32>().ok()).flatten();
                Ok(small.map_or_else(|| heap.alloc(total), |total| heap.alloc(total)))
            }
        }
    }

    /// The mean of measurements or of a list; what is unknown is passed over. Means of results are what `summary` gives.
    fn mean<'v>(#[starlark(require = pos)] values: Value<'v>, heap: Heap<'v>) -> starlark::Result<Value<'v>> {
        match ColumnValue::from_value(values) {
            Some(column) => Ok(or_unknown(column.measurements("a mean")?.mean(), heap)),
            None => {
                let all = numbers("mean", values, heap)?;
                Ok(crate::numeric::mean(&all).map_or_else(Value::new_none, |mean| heap.alloc(mean)))
            }
        }
    }

    /// The median of a column or a list; what is unknown is passed over.
    fn median<'v>(#[starlark(require = pos)] values: Value<'v>, heap: Heap<'v>) -> starlark::Result<Value<'v>> {
        spread("median", values, heap, median_of)
    }

    /// The standard deviation of a column or a list, with n - 1; what is unknown is passed over.
    fn sd<'v>(#[starlark(require = pos)] values: Value<'v>, heap: Heap<'v>) -> starlark::Result<Value<'v>> {
        spread("sd", values, heap, sd_of)
    }
}

fn or_unknown<'v>(amount: Option<Amount>, heap: Heap<'v>) -> Value<'v> {
    amount.map_or_else(Value::new_none, |amount| heap.alloc(SingleValue(amount)))
}

/// A function with its slope, of a number, a value or a column, in a unit that may refuse.
fn mapped<'v>(
    x: Value<'v>,
    heap: Heap<'v>,
    of: impl Fn(f64) -> [f64; 2],
    to: impl Fn(&Amount) -> starlark::Result<Unit>,
) -> starlark::Result<Value<'v>> {
    if let Some(column) = ColumnValue::from_value(x) {
        let amount = column.amount()?;
        let made = Held::Numbers(amount.map(to(amount)?, of));
        return Ok(heap.alloc(column.like(&format!("of {}", column.name), made)?));
    }
    if let Some(SingleValue(amount)) = SingleValue::from_value(x) {
        return Ok(heap.alloc(SingleValue(amount.map(to(amount)?, of))));
    }
    Ok(heap.alloc(of(needed_number(x, "x")?)[0]))
}

fn of_plain<'v>(name: &str, x: Value<'v>, heap: Heap<'v>, of: impl Fn(f64) -> [f64; 2]) -> starlark::Result<Value<'v>> {
    mapped(x, heap, of, |amount| match amount.unit.code() {
        "1" => plain_unit().map_err(refused),
        other => {
            let cure = format!("divide first: {name}(x / measured(1, 0, \"{other}\"))");
            Err(refuse(format!("{name} of a value in {other} has no meaning"), cure))
        }
    })
}

fn raised<'v>(x: Value<'v>, n: f64, heap: Heap<'v>) -> starlark::Result<Value<'v>> {
    let power = |x: f64| [x.powf(n), n * x.powf(n - 1.0)];
    let is_cube = (n - 3.0).abs() < f64::EPSILON;
    let length = |amount: &Amount| is_cube && amount.unit.dimension() == Dimension::Length;
    let in_mm = |amount: &Amount| amount.to(unit("mm")?);
    let cube = |amount: &Amount| Ok(in_mm(amount)?.map(unit("mm3")?, power));
    if let Some(column) = ColumnValue::from_value(x)
        && length(column.amount()?)
    {
        let made = Held::Numbers(cube(column.amount()?).map_err(refused)?);
        return Ok(heap.alloc(column.like(&format!("{} to the power {n}", column.name), made)?));
    }
    if let Some(SingleValue(amount)) = SingleValue::from_value(x)
        && length(amount)
    {
        return Ok(heap.alloc(SingleValue(cube(amount).map_err(refused)?)));
    }
    of_plain("pow", x, heap, power)
}

/// The known numbers of a list.
fn numbers<'v>(name: &str, values: Value<'v>, heap: Heap<'v>) -> starlark::Result<Vec<f64>> {
    let mut known = Vec::new();
    for value in values.iterate(heap)? {
        match (number(value), value.is_none()) {
            (Some(number), _) => known.push(number),
            (None, true) => {}
            (None, false) => {
                let text = format!("{name} takes a column or a list of numbers, and {} is none", value.to_repr());
                return Err(refuse(text, format!("{name}(c) of a column, or {name}([1, 2.5])")));
            }
        }
    }
    Ok(known)
}

/// The value that comes before all others; it stays the value it was.
fn extreme<'v>(
    name: &str,
    values: &[Value<'v>],
    heap: Heap<'v>,
    is_before: impl Fn(f64, f64) -> bool,
) -> starlark::Result<Value<'v>> {
    let all: Vec<Value<'v>> = match values {
        [] => Vec::new(),
        [one] if number(*one).is_none() => one.iterate(heap)?.collect(),
        several => several.to_vec(),
    };
    let mut best: Option<Value<'v>> = None;
    for value in all.into_iter().filter(|value| !value.is_none()) {
        let found = single(name, value)?;
        let known = best.map(|best| single(name, best)).transpose()?;
        // Values are compared in one unit.
        let is_better = match known {
            None => true,
            Some(known) => match (found.to(known.unit).map_err(refused)?.value(0), known.value(0)) {
                (Some(found), Some(known)) => is_before(found, known),
                (found, _) => found.is_some(),
            },
        };
        if is_better {
            best = Some(value);
        }
    }
    Ok(best.unwrap_or_else(Value::new_none))
}

/// A number or a value as an amount.
fn single(name: &str, value: Value<'_>) -> starlark::Result<Amount> {
    match (SingleValue::from_value(value), number(value)) {
        (Some(single), _) => Ok(single.0.clone()),
        (None, Some(number)) => Ok(Amount::exact(number, plain_unit().map_err(refused)?)),
        (None, None) => {
            let text = format!("{name} takes a column or numbers, and {} is none", value.to_repr());
            Err(refuse(text, format!("{name}(c) of a column, or {name}(1, 2.5)")))
        }
    }
}

/// A measure of a column or a list. It has the unit of the column; its uncertainty is unknown.
fn spread<'v>(
    name: &str,
    values: Value<'v>,
    heap: Heap<'v>,
    of: impl Fn(&[f64]) -> Option<f64>,
) -> starlark::Result<Value<'v>> {
    let Some(column) = ColumnValue::from_value(values) else {
        return Ok(of(&numbers(name, values, heap)?).map_or_else(Value::new_none, |found| heap.alloc(found)));
    };
    let amount = column.amount()?;
    let known: Vec<f64> = (0..amount.len()).filter_map(|row| amount.value(row)).collect();
    Ok(or_unknown(of(&known).map(|found| Amount::new(vec![found], [None], amount.unit)), heap))
}
