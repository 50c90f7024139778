//! `explain`: the long story of a word of woodstate.

use schemars::JsonSchema;
use serde::Serialize;

use crate::error::{Error, ErrorKind, Result, near};
use crate::reference::Reference;

use super::Program;
use super::word::{known, stories};

/// The outcome of `explain`: a word and its story, item by item.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Explanation {
    /// Version of this form.
    pub schema_version: u32,
    /// `explain`.
    pub kind: &'static str,
    /// The program.
    pub program: Program,
    /// The word.
    pub word: String,
    /// What it is: finding, caution, strength model, quantity, column, route, status, severity, scheme or command; joined with "and"
    /// where it is more than one.
    pub what: String,
    /// Name and text of each item.
    pub story: Vec<(String, String)>,
}

/// The story of a word.
///
/// # Errors
/// [`ErrorKind::Name`] with the nearest words, or with all kinds of words there are.
///
/// # Example
/// ```
/// let story = woodstate::study::explain("max_water_content").unwrap();
/// assert_eq!(story.what, "quantity");
/// ```
pub fn explain(word: &str) -> Result<Explanation> {
    let reference = Reference::shipped()?;
    let stories = stories(word, reference);
    if stories.is_empty() {
        return Err(unknown(word, reference));
    }
    let is_one = stories.len() == 1;
    let what = stories.iter().map(|(what, _)| *what).collect::<Vec<_>>().join(" and ");
    let named = |what: &str, name: &str| if is_one { name.to_owned() } else { format!("{what}: {name}") };
    let items =
        stories.into_iter().flat_map(|(what, items)| items.into_iter().map(move |(name, text)| (what, name, text)));
    let story = items.map(|(what, name, text)| (named(what, name), text)).collect();
    Ok(Explanation { schema_version: 1, kind: "explain", program: Program::this(), word: word.to_owned(), what, story })
}

fn unknown(word: &str, reference: &Reference) -> Error {
    let near: Vec<String> = near(word, known(reference)).into_iter().map(str::to_owned).collect();
    let hint = near.first().map(|first| format!("woodstate explain {first}"));
    let kinds = "the words of findings and cautions, of quantities, columns, routes, statuses, severities, schemes, \
                 commands, verdicts, routes of treatment and dangers";
    let allowed = if near.is_empty() { vec![kinds.to_owned()] } else { near };
    let error = Error::new(ErrorKind::Name { what: "word", found: word.to_owned(), allowed });
    match hint {
        Some(hint) => error.with_hint(hint),
        None => error,
    }
}
