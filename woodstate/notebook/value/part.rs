//! A part of an outcome: what stands behind a dot.

use std::fmt;

use serde_json::{Map, Value as Json};
use starlark::values::list::AllocList;
use starlark::values::{Heap, NoSerialize, ProvidesStaticType, StarlarkValue, Value, starlark_value};

use crate::notebook::amount::{Amount, unit};
use crate::notebook::fault::refuse;
use crate::quantity::Unit;

use super::{SingleValue, a_value};

/// A part of an outcome that has names of its own.
#[derive(Debug, ProvidesStaticType, NoSerialize)]
struct PartValue(Map<String, Json>);
a_value!(PartValue);

/// A part of an outcome as a value of a cell; what is unknown is `None`.
pub(in crate::notebook) fn of_json<'v>(json: &Json, heap: Heap<'v>) -> Value<'v> {
    match json {
        Json::Null => Value::new_none(),
        Json::Bool(truth) => Value::new_bool(*truth),
        Json::Number(number) => match number.as_i64().and_then(|number| i32::try_from(number).ok()) {
            Some(whole) => heap.alloc(whole),
            None => heap.alloc(number.as_f64().unwrap_or(f64::NAN)),
        },
        Json::String(text) => heap.alloc(text.as_str()),
        Json::Array(list) => heap.alloc(AllocList(list.iter().map(|item| of_json(item, heap)))),
        Json::Object(map) => match measured(map) {
            Some(single) => heap.alloc(single),
            None => heap.alloc(PartValue(map.clone())),
        },
    }
}

/// A value with its uncertainty and unit, where a part is one.
fn measured(map: &Map<String, Json>) -> Option<SingleValue> {
    let (value, u) = (map.get("value")?.as_f64()?, map.get("u")?.as_f64());
    let found: Unit = unit(map.get("unit")?.as_str()?).ok()?;
    Some(SingleValue(Amount::new(vec![value], [u], found).of_results()))
}

impl fmt::Display for PartValue {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let names: Vec<&str> = self.0.keys().map(String::as_str).collect();
        write!(f, "part with {}", names.join(", "))
    }
}

#[starlark_value(type = "part")]
impl<'v> StarlarkValue<'v> for PartValue {
    fn get_attr(&self, name: &str, heap: Heap<'v>) -> Option<Value<'v>> {
        self.0.get(name).map(|json| of_json(json, heap))
    }

    fn dir_attr(&self) -> Vec<String> {
        self.0.keys().cloned().collect()
    }

    fn at(&self, index: Value<'v>, heap: Heap<'v>) -> starlark::Result<Value<'v>> {
        let found = index.unpack_str().and_then(|name| self.0.get(name));
        found.map(|json| of_json(json, heap)).ok_or_else(|| {
            let names: Vec<&str> = self.0.keys().map(String::as_str).collect();
            refuse(format!("there is no {} here", index.to_repr()), format!("there are: {}", names.join(", ")))
        })
    }
}
