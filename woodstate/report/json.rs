//! Outcomes as JSON, and the JSON schema of each kind.

use schemars::generate::SchemaSettings;
use schemars::transform::RecursiveTransform;
use schemars::{JsonSchema, Schema};
use serde::Serialize;

use crate::error::{Error, ErrorKind, Result};
use crate::study::{Assessment, Checkup, Explanation, Summary};

/// An outcome as JSON: one object with full precision, `null` where unknown.
///
/// # Errors
/// None for the outcomes of `study`; the serializer's own words otherwise.
pub fn json<T: Serialize>(outcome: &T) -> Result<String> {
    let text = serde_json::to_string_pretty(outcome).map_err(unwritable)?;
    Ok(text + "\n")
}

/// The JSON schema of a kind of outcome.
///
/// # Errors
/// [`ErrorKind::Name`] with the kinds there are.
pub fn json_schema(kind: &str) -> Result<String> {
    let schema = match kind {
        "assess" => strict::<Assessment>(),
        "check" => strict::<Checkup>(),
        "explain" => strict::<Explanation>(),
        "summary" => strict::<Summary>(),
        found => {
            let allowed = ["assess", "check", "explain", "summary"].map(str::to_owned).to_vec();
            return Err(Error::new(ErrorKind::Name { what: "kind of outcome", found: found.to_owned(), allowed }));
        }
    };
    json(&schema)
}

/// What is written, no more and no less: every key is there, `null` where unknown, and there are no others.
fn strict<T: JsonSchema>() -> Schema {
    let settings = SchemaSettings::draft2020_12().for_serialize().with_transform(RecursiveTransform(close));
    settings.into_generator().into_root_schema_for::<T>()
}

fn close(schema: &mut Schema) {
    let is_open = schema.get("properties").is_some() && schema.get("additionalProperties").is_none();
    if is_open {
        schema.insert("additionalProperties".to_owned(), false.into());
    }
}

fn unwritable(error: serde_json::Error) -> Error {
    Error::file("JSON", "write", error.to_string()).with_source(error)
}
