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

/// One value a quantity; `None` where unknown. What is unknown takes no room.
#[derive(Debug, Clone, PartialEq)]
pub struct ByQuantity<T>(Vec<(Quantity, T)>);

impl<T> Default for ByQuantity<T> {
    fn default() -> Self {
        Self(Vec::new())
    }
}

#[cfg(feature = "table")]
impl<T> ByQuantity<T> {
    /// The entries of these quantities, which stand in their order, as far as they are known.
    pub(super) fn gathered(
        all: &[Quantity],
        is_known: impl Fn(Quantity) -> bool,
        entry: impl Fn(Quantity) -> Option<T>,
    ) -> Self {
        let known = all.iter().filter(|quantity| is_known(**quantity)).count();
        let mut entries = Vec::with_capacity(known);
        entries.extend(all.iter().filter_map(|quantity| Some((*quantity, entry(*quantity)?))));
        Self(entries)
    }
}

impl<T: Copy> ByQuantity<T> {
    /// The entry of a quantity; `None` where unknown.
    #[must_use]
    pub fn of(&self, quantity: Quantity) -> Option<T> {
        self.0.iter().find(|(known, _)| *known == quantity).map(|(_, entry)| *entry)
    }

    /// Sets or clears the entry of a quantity.
    pub fn set(&mut self, quantity: Quantity, entry: Option<T>) {
        let place = self.0.partition_point(|(known, _)| (*known as usize) < quantity as usize);
        let is_known = self.0.get(place).is_some_and(|(known, _)| *known == quantity);
        match entry {
            Some(entry) if is_known => self.0[place].1 = entry,
            Some(entry) => self.0.insert(place, (quantity, entry)),
            None if is_known => drop(self.0.remove(place)),
            None => {}
        }
    }

    /// Whether every quantity is unknown.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

/// Written as a map from the name of each quantity to its entry, `null` where unknown.
impl<T: Copy + Serialize> Serialize for ByQuantity<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(Some(Quantity::COUNT))?;
        for quantity in Quantity::ALL {
            map.serialize_entry(quantity.name(), &self.of(*quantity))?;
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
