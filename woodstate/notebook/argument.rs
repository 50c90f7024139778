//! What functions of a cell take: numbers, conditions.

use starlark::values::float::UnpackFloat;
use starlark::values::list_or_tuple::UnpackListOrTuple;
use starlark::values::{UnpackValue, Value};

use super::fault::refuse;

/// A condition on rows. A truth is refused: it comes of a comparison that was meant as a condition.
pub(super) fn condition<'v>(value: Value<'v>, owner: &str) -> starlark::Result<&'v str> {
    if let Some(text) = value.unpack_str() {
        return Ok(text);
    }
    let found = match value.unpack_bool() {
        Some(_) => "a truth",
        None if value.get_type() == "column" => "a column",
        None => "no text",
    };
    let cure = format!("{owner}.where(\"depth_from == 20\")");
    Err(refuse(format!("a condition is a text in quotes, and this is {found}"), cure))
}

/// What a value is, in plain words: `a whole number`.
pub(super) fn described(value: Value<'_>) -> String {
    kind(value.get_type())
}

/// A type of the cell language in plain words.
pub(super) fn kind(name: &str) -> String {
    let one = |name: &str| match name.trim() {
        "str" | "string" => "a text in quotes".to_owned(),
        "int" => "a whole number".to_owned(),
        "float" => "a number".to_owned(),
        "bool" => "True or False".to_owned(),
        "NoneType" | "None" => "None".to_owned(),
        other if other.starts_with(['a', 'e', 'i', 'o', 'u']) => format!("an {other}"),
        other => format!("a {other}"),
    };
    name.split('|').map(one).collect::<Vec<_>>().join(" or ")
}

/// A plain number of a cell; a truth is none.
pub(super) fn number(value: Value<'_>) -> Option<f64> {
    if value.unpack_bool().is_some() {
        return None;
    }
    UnpackFloat::unpack_value(value).ok().flatten().map(|UnpackFloat(number)| number)
}

/// A number, or nothing.
pub(super) fn optional_number(value: Value<'_>, name: &str) -> starlark::Result<Option<f64>> {
    if value.is_none() { Ok(None) } else { needed_number(value, name).map(Some) }
}

/// A number.
pub(super) fn needed_number(value: Value<'_>, name: &str) -> starlark::Result<f64> {
    if let Some(number) = number(value) {
        return Ok(number);
    }
    // 0,2 is two numbers.
    let pair = UnpackListOrTuple::<Value<'_>>::unpack_value(value).ok().flatten().map(|list| list.items);
    if let Some([whole, part]) = pair.as_deref()
        && let (Some(whole), Some(part)) = (whole.unpack_i32(), part.unpack_i32())
    {
        let text = format!("{name} is {whole},{part}, which is two numbers, {whole} and {part}");
        return Err(refuse(text, format!("the decimal mark in cells is the point: {whole}.{part}")));
    }
    Err(refuse(format!("{name} is {}, and a number is needed", value.to_repr()), format!("{name}=1.5")))
}

/// A whole number within limits.
pub(super) fn whole(value: Value<'_>, name: &str, [low, high]: [u64; 2]) -> starlark::Result<u64> {
    let found = value.unpack_i32().and_then(|number| u64::try_from(number).ok());
    let found = found.or_else(|| value.to_str().parse().ok());
    found.filter(|number| (low..=high).contains(number)).ok_or_else(|| {
        let text = format!("{name} is {}, and a whole number from {low} to {high} is needed", value.to_repr());
        refuse(text, format!("{name}={low}"))
    })
}
