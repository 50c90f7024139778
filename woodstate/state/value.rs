//! A result as it is reported.

use schemars::JsonSchema;
use serde::ser::SerializeMap;
use serde::{Serialize, Serializer};

use crate::quantity::{Quantity, shown};

use super::Route;

/// A result: value, one standard uncertainty, interval, unit, route.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Value {
    /// The value, in `unit`.
    pub value: f64,
    /// One standard uncertainty, in `unit`; `None` where unknown.
    pub u: Option<f64>,
    /// Interval of the stated coverage, symmetric in probability; `None` where the uncertainty is unknown.
    pub interval: Option<[f64; 2]>,
    /// UCUM code.
    pub unit: &'static str,
    /// How it was reached.
    pub route: Route,
}

impl Value {
    /// Value ± standard uncertainty, rounded for people.
    #[must_use]
    pub fn shown(&self) -> String {
        shown(self.value, self.u)
    }
}

/// One value a quantity; `None` where unknown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ByQuantity<T>([Option<T>; Quantity::COUNT]);

impl<T: Copy> Default for ByQuantity<T> {
    fn default() -> Self {
        Self([None; Quantity::COUNT])
    }
}

impl<T: Copy> ByQuantity<T> {
    /// The entry of a quantity; `None` where unknown.
    #[must_use]
    pub fn of(&self, quantity: Quantity) -> Option<T> {
        self.0[quantity as usize]
    }

    /// Sets or clears the entry of a quantity.
    pub fn set(&mut self, quantity: Quantity, entry: Option<T>) {
        self.0[quantity as usize] = entry;
    }

    /// Whether every quantity is unknown.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.iter().all(Option::is_none)
    }
}

/// Written as a map from the name of each quantity to its entry, `null` where unknown.
impl<T: Serialize> Serialize for ByQuantity<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(Some(Quantity::COUNT))?;
        for (quantity, entry) in Quantity::ALL.iter().zip(&self.0) {
            map.serialize_entry(quantity.name(), entry)?;
        }
        map.end()
    }
}

impl<T: JsonSchema> JsonSchema for ByQuantity<T> {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        format!("{}ByQuantity", T::schema_name()).into()
    }

    fn json_schema(generator: &mut schemars::SchemaGenerator) -> schemars::Schema {
        let entry = generator.subschema_for::<Option<T>>();
        let names = Quantity::ALL.iter().map(|quantity| quantity.name());
        let properties: std::collections::BTreeMap<&str, schemars::Schema> =
            names.clone().map(|name| (name, entry.clone())).collect();
        let required: Vec<&str> = names.collect();
        schemars::json_schema!({
            "type": "object", "properties": properties, "required": required, "additionalProperties": false
        })
    }
}
