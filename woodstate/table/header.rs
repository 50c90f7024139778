//! Headers as people write them: `name [unit]`, `u(name) [unit]`.

use crate::error::near;

use super::{ColumnSpec, TableKind};

/// A header taken apart.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Header<'a> {
    /// The name, lower case with underscores.
    pub(super) name: String,
    /// The unit, if one is written.
    pub(super) unit: Option<&'a str>,
    /// Whether this is the uncertainty of the column named.
    pub(super) is_uncertainty: bool,
}

impl<'a> Header<'a> {
    /// Takes a header apart; never fails, an odd header is a name that no column has.
    pub(super) fn parse(text: &'a str) -> Self {
        let text = text.trim();
        let is_uncertainty = text.starts_with("u(");
        let (name, unit) = if is_uncertainty {
            let (name, rest) = text[2..].split_once(')').unwrap_or((&text[2..], ""));
            (name, bracketed(rest).map(|(_, unit)| unit))
        } else {
            bracketed(text).map_or((text, None), |(name, unit)| (name, Some(unit)))
        };
        let unit = unit.map(str::trim).filter(|unit| !unit.is_empty());
        Self { name: plain(name), unit, is_uncertainty }
    }

    /// The column that is meant, if there is one.
    pub(super) fn column(&self, kind: TableKind) -> Option<&'static ColumnSpec> {
        kind.column(&self.name)
    }

    /// Whether the name is a water content that does not say its basis.
    pub(super) fn lacks_basis(&self) -> bool {
        const BARE: [&str; 5] = ["water_content", "moisture_content", "moisture", "mc", "u_max"];
        BARE.contains(&self.name.as_str())
    }

    /// Known columns with a similar name. Strength properties are proposed for a slip of the pen only, never one for
    /// another.
    pub(super) fn near(&self, kind: TableKind) -> Vec<&'static str> {
        near(&self.name, kind.columns().map(|column| column.name))
            .into_iter()
            .filter(|name| {
                let is_mechanical = kind.column(name).is_some_and(|column| column.group == "mechanics");
                !is_mechanical || is_slip(&self.name, name)
            })
            .collect()
    }
}

/// The column that a header of the study file means.
///
/// # Errors
/// Columns with a similar name, if there is none with this one.
pub fn column_of(header: &str, kind: TableKind) -> Result<&'static ColumnSpec, Vec<&'static str>> {
    let header = Header::parse(header);
    header.column(kind).ok_or_else(|| header.near(kind))
}

/// One letter more, less or other.
fn is_slip(found: &str, name: &str) -> bool {
    let same_start = found.chars().zip(name.chars()).take_while(|(a, b)| a == b).count();
    let same_end = found.chars().rev().zip(name.chars().rev()).take_while(|(a, b)| a == b).count();
    same_start + same_end + 1 >= found.chars().count().max(name.chars().count())
}

/// `name [unit]` or `name (unit)`.
fn bracketed(text: &str) -> Option<(&str, &str)> {
    let text = text.trim();
    let open = match text.chars().last()? {
        ']' => text.rfind('[')?,
        ')' => text.rfind('(')?,
        _ => return None,
    };
    // [pH] is a unit that has brackets of its own.
    let inner = &text[open + 1..text.len() - 1];
    match inner {
        "pH" => Some((text[..open].trim_end_matches('['), "[pH]")),
        _ => Some((&text[..open], inner.trim_matches(['[', ']']))),
    }
}

fn plain(name: &str) -> String {
    name.trim().to_lowercase().split([' ', '-', '_']).filter(|part| !part.is_empty()).collect::<Vec<_>>().join("_")
}
