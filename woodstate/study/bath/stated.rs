//! `[bath]` of the study file.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::fmt;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::{SeqAccess, Visitor};
use serde::{Deserialize, Deserializer, Serialize};

use super::plan::BathPlan;
use crate::study::origin::Spanned;

/// `[bath]` as it was written: its keys are those of [`BathPlan::set`].
#[derive(Debug, Default, Deserialize)]
#[serde(transparent)]
pub(in crate::study) struct BathText(pub(in crate::study) BTreeMap<Spanned<String>, Spanned<BathValue>>);

/// A text, or a list of texts, which stands for one with commas between. A bare number is taken too, so that its fault can be told with
/// the unit it needs.
#[derive(Debug)]
pub(in crate::study) struct BathValue(pub(in crate::study) String);

impl<'de> Deserialize<'de> for BathValue {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Texts;

        impl<'de> Visitor<'de> for Texts {
            type Value = BathValue;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a text such as \"2400 L\", or a list of texts")
            }

            fn visit_str<E>(self, text: &str) -> Result<BathValue, E> {
                Ok(BathValue(text.to_owned()))
            }

            fn visit_f64<E>(self, number: f64) -> Result<BathValue, E> {
                Ok(BathValue(number.to_string()))
            }

            fn visit_i64<E>(self, number: i64) -> Result<BathValue, E> {
                Ok(BathValue(number.to_string()))
            }

            fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<BathValue, A::Error> {
                let mut texts: Vec<String> = Vec::new();
                while let Some(text) = list.next_element()? {
                    texts.push(text);
                }
                Ok(BathValue(texts.join(", ")))
            }
        }

        deserializer.deserialize_any(Texts)
    }
}

impl JsonSchema for BathText {
    fn schema_name() -> Cow<'static, str> {
        "Bath".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        let property = |(key, meaning)| (key, Property { kind: ["string", "array"], description: meaning });
        let properties: BTreeMap<&str, Property> = BathPlan::KEYS.into_iter().map(property).collect();
        json_schema!({
            "type": "object",
            "description": "What is stated of a bath; the same keys as the options of woodstate bath.",
            "properties": properties,
            "additionalProperties": false,
        })
    }
}

/// A key in the schema.
#[derive(Serialize)]
struct Property {
    #[serde(rename = "type")]
    kind: [&'static str; 2],
    description: &'static str,
}
