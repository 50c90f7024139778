//! `explain`: the long story of a finding, a caution, a quantity, a column or a command.

use schemars::JsonSchema;
use serde::Serialize;

use crate::error::{self, CautionCode, Error, ErrorKind, FindingCode, Result, near};
use crate::quantity::Quantity;
use crate::state::Route;
use crate::table::TableKind;

use super::Program;

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
    /// What it is: finding, caution, quantity, column or command.
    pub what: &'static str,
    /// Name and text of each item.
    pub story: Vec<(String, String)>,
}

/// The commands and what each is for.
const COMMANDS: [(&str, &str); 3] = [
    (
        "assess",
        "Reads the measurements of a batch and gives, for every piece and every timber, maximum water content, \
                densities, losses, shrinkage and a degradation class, each with its uncertainty and its cautions.",
    ),
    (
        "check",
        "Reads a batch and says what was found in its files, each with its place and its cure; computes nothing \
               that is shown.",
    ),
    ("explain", "Tells the long story of a finding, a caution, a quantity, a column or a command."),
];

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
    let (what, story) = story(word).ok_or_else(|| unknown(word))?;
    let story = story.into_iter().map(|(name, text)| (name.to_owned(), text)).collect();
    Ok(Explanation { schema_version: 1, kind: "explain", program: Program::this(), word: word.to_owned(), what, story })
}

fn story(word: &str) -> Option<(&'static str, Vec<(&'static str, String)>)> {
    if let Some(story) = error::explain(word) {
        let is_caution = CautionCode::ALL.iter().any(|code| code.word() == word);
        let items = [
            ("in short", story.text),
            ("meaning", story.meaning),
            ("consequence", story.consequence),
            ("cause", story.cause),
            ("cure", story.cure),
        ];
        let what = if is_caution { "caution" } else { "finding" };
        return Some((what, items.map(|(name, text)| (name, text.to_owned())).to_vec()));
    }
    if let Some(quantity) = Quantity::of_name(word) {
        let spec = quantity.spec();
        let mut items = vec![
            ("meaning", spec.meaning.to_owned()),
            ("unit", spec.unit.to_owned()),
            ("formula", spec.formula.to_owned()),
        ];
        let routes: &[Route] = match quantity {
            Quantity::MaxWaterContent => &Route::TO_MAX_WATER_CONTENT,
            Quantity::BasicDensity => &Route::TO_BASIC_DENSITY,
            _ => &[],
        };
        if !routes.is_empty() {
            let words: Vec<&str> = routes.iter().map(|route| route.word()).collect();
            items.push(("routes, in the order of reporting", words.join(", ")));
        }
        return Some(("quantity", items));
    }
    let column = TableKind::ALL.into_iter().find_map(|kind| Some((kind, kind.column(word)?)));
    if let Some((kind, column)) = column {
        let items =
            [("table", kind.name().to_owned()), ("meaning", column.meaning.to_owned()), ("allowed", column.allowed())];
        return Some(("column", items.to_vec()));
    }
    let (_, text) = COMMANDS.iter().find(|(name, _)| *name == word)?;
    Some(("command", vec![("meaning", (*text).to_owned())]))
}

fn unknown(word: &str) -> Error {
    let codes = CautionCode::ALL.iter().map(|code| code.word());
    let codes = codes.chain(FindingCode::ALL.iter().map(|code| code.word()));
    let quantities = Quantity::ALL.iter().map(|quantity| quantity.name());
    let columns = TableKind::ALL.into_iter().flat_map(|kind| kind.columns().map(|column| column.name));
    let commands = COMMANDS.iter().map(|(name, _)| *name);
    let near: Vec<String> =
        near(word, codes.chain(quantities).chain(columns).chain(commands)).into_iter().map(str::to_owned).collect();
    let hint = near.first().map(|first| format!("woodstate explain {first}"));
    let kinds = "the words of findings and cautions, of quantities, columns and commands";
    let allowed = if near.is_empty() { vec![kinds.to_owned()] } else { near };
    let error = Error::new(ErrorKind::Name { what: "word", found: word.to_owned(), allowed });
    match hint {
        Some(hint) => error.with_hint(hint),
        None => error,
    }
}
