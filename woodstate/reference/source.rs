//! The works that are cited.

use serde::Deserialize;

/// A work that numbers of this build come from.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Source {
    /// Short name, such as `wood-handbook-2021`.
    pub id: String,
    /// Author, year, title, number.
    pub citation: String,
    /// Terms of use, where known.
    pub licence: Option<String>,
    /// What to know about the work.
    pub note: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    source: Vec<Source>,
}

pub(super) fn read() -> Result<Vec<Source>, (&'static str, String)> {
    let file: File = parse("sources.toml", include_str!("sources.toml"))?;
    Ok(file.source)
}

/// Parses a file that is compiled in.
pub(super) fn parse<T: serde::de::DeserializeOwned>(
    name: &'static str,
    text: &str,
) -> Result<T, (&'static str, String)> {
    toml::from_str(text).map_err(|error| (name, error.to_string()))
}
