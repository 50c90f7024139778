//! What somebody types for an argument that is a quantity.

use starlark::values::Value;

use crate::notebook::argument::{described, number};
use crate::notebook::fault::refuse;
use crate::notebook::value::SingleValue;

/// An argument that is a quantity: nothing, a text such as `"40 ± 10 kg"`, or a value with its unit.
pub(super) type Typed<'v> = (&'static str, Option<Value<'v>>);

/// What was typed of a function's arguments, as texts.
pub(super) fn typed<'v>(all: impl IntoIterator<Item = Typed<'v>>) -> starlark::Result<Vec<(&'static str, String)>> {
    let mut found = Vec::new();
    for (name, value) in all {
        if let Some(value) = value.filter(|value| !value.is_none()) {
            found.push((name, text(name, value)?));
        }
    }
    Ok(found)
}

fn text(name: &str, value: Value<'_>) -> starlark::Result<String> {
    if let Some(text) = value.unpack_str() {
        return Ok(text.to_owned());
    }
    if let Some(SingleValue(amount)) = SingleValue::from_value(value) {
        let u = amount.u(0).filter(|u| *u > 0.0).map(|u| format!(" ± {u}")).unwrap_or_default();
        let unit = if amount.unit.code() == "1" { String::new() } else { format!(" {}", amount.unit) };
        return amount
            .value(0)
            .map(|value| format!("{value}{u}{unit}"))
            .ok_or_else(|| refuse(format!("{name} is unknown"), format!("leave {name} out, or state it")));
    }
    // Without a unit: whoever reads it says which one is missing.
    number(value).map(|number| number.to_string()).ok_or_else(|| {
        let text = format!("{name} is {}, and a quantity in quotes is needed", described(value));
        refuse(text, format!("{name}=\"...\" with its unit, or measured(value, u, unit)"))
    })
}
