//! One value with its uncertainty and its unit.

use std::fmt;

use starlark::environment::{Methods, MethodsBuilder};
use starlark::starlark_module;
use starlark::values::{Heap, NoSerialize, ProvidesStaticType, StarlarkValue, Value, starlark_value};

use crate::notebook::amount::{Amount, unit};
use crate::notebook::fault::refused;
use crate::notebook::operator::{Operator, combined};
use crate::notebook::truth::no_truth;
use crate::quantity::shown;

use super::a_value;

/// One value with its uncertainty and its unit.
#[derive(Debug, ProvidesStaticType, NoSerialize)]
pub(in crate::notebook) struct SingleValue(pub(in crate::notebook) Amount);
a_value!(SingleValue);

impl fmt::Display for SingleValue {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let unit = if self.0.unit.code() == "1" { String::new() } else { format!(" {}", self.0.unit) };
        match self.0.value(0) {
            Some(value) => write!(f, "{}{unit}", shown(value, self.0.u(0))),
            None => f.write_str("unknown"),
        }
    }
}

#[starlark_value(type = "value")]
impl<'v> StarlarkValue<'v> for SingleValue {
    fn get_methods() -> Option<&'static Methods> {
        starlark::methods_static!(METHODS = methods);
        Some(METHODS.methods())
    }

    fn get_attr(&self, name: &str, heap: Heap<'v>) -> Option<Value<'v>> {
        match name {
            "value" => Some(heap.alloc(self.0.value(0).map_or(Value::new_none(), |value| heap.alloc(value)))),
            "u" => Some(self.0.u(0).map_or(Value::new_none(), |u| heap.alloc(u))),
            "unit" => Some(heap.alloc(self.0.unit.code())),
            _ => None,
        }
    }

    fn dir_attr(&self) -> Vec<String> {
        ["value", "u", "unit"].map(str::to_owned).to_vec()
    }

    fn to_bool(&self) -> bool {
        no_truth(&format!("the value {self}"), "compare it: v > 0; an unknown one is None")
    }

    fn minus(&self, heap: Heap<'v>) -> starlark::Result<Value<'v>> {
        Ok(heap.alloc(Self(self.0.map(self.0.unit, |value| [-value, -1.0]))))
    }

    fn add(&self, other: Value<'v>, heap: Heap<'v>) -> Option<starlark::Result<Value<'v>>> {
        combined(Operator::Plus, heap.alloc(Self(self.0.clone())), other, heap)
    }

    fn radd(&self, other: Value<'v>, heap: Heap<'v>) -> Option<starlark::Result<Value<'v>>> {
        combined(Operator::Plus, other, heap.alloc(Self(self.0.clone())), heap)
    }

    fn mul(&self, other: Value<'v>, heap: Heap<'v>) -> Option<starlark::Result<Value<'v>>> {
        combined(Operator::Times, heap.alloc(Self(self.0.clone())), other, heap)
    }

    fn rmul(&self, other: Value<'v>, heap: Heap<'v>) -> Option<starlark::Result<Value<'v>>> {
        combined(Operator::Times, other, heap.alloc(Self(self.0.clone())), heap)
    }
}

#[starlark_module]
fn methods(builder: &mut MethodsBuilder) {
    /// The same value in another unit.
    ///
    /// # Arguments
    /// * `unit`: UCUM code such as `"kg"`
    fn to<'v>(
        this: &SingleValue,
        #[starlark(require = pos)] unit: &str,
        heap: Heap<'v>,
    ) -> starlark::Result<Value<'v>> {
        in_unit(this, unit, heap)
    }
}

fn in_unit<'v>(single: &SingleValue, code: &str, heap: Heap<'v>) -> starlark::Result<Value<'v>> {
    let to = unit(code).map_err(refused)?;
    Ok(heap.alloc(SingleValue(single.0.to(to).map_err(refused)?)))
}
