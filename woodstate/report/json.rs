//! Outcomes as JSON, and the JSON schema of each kind.

use serde::Serialize;

use crate::error::{Error, ErrorKind, Result};
use crate::study::{Assessment, Checkup, Explanation};

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
        "assess" => schemars::schema_for!(Assessment),
        "check" => schemars::schema_for!(Checkup),
        "explain" => schemars::schema_for!(Explanation),
        found => {
            let allowed = ["assess", "check", "explain"].map(str::to_owned).to_vec();
            return Err(Error::new(ErrorKind::Name { what: "kind of outcome", found: found.to_owned(), allowed }));
        }
    };
    json(&schema)
}

fn unwritable(error: serde_json::Error) -> Error {
    Error::file("JSON", "write", error.to_string()).with_source(error)
}
