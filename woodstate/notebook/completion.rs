//! Completion at the cursor, and what stands there.

use starlark::values::Value;

use crate::figure::figure_list;
use crate::reference::Reference;
use crate::report::{Block, View};
use crate::table::file_names;

use super::guide::Entry;
use super::name::help_of;
use super::scan::{Open, Spot, is_word, spot};
use super::session::Session;
use super::shown::Shown;
use super::value::{StateValue, TableValue, in_cells, shown};

/// What a person may be writing.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Completion {
    /// First character that a proposal replaces, counted from 0.
    pub start: usize,
    /// The character behind the last one that it replaces.
    pub end: usize,
    /// The proposals, the likeliest first.
    pub proposals: Vec<Proposal>,
}

/// A proposal.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Proposal {
    /// What is written.
    pub text: String,
    /// What it is: function, name, argument, column, wood, file, figure, word.
    pub kind: &'static str,
    /// What a function takes, or what an argument means.
    pub signature: String,
}

impl Proposal {
    fn new(text: impl Into<String>, kind: &'static str) -> Self {
        Self { text: text.into(), kind, signature: String::new() }
    }

    fn described(text: impl Into<String>, kind: &'static str, signature: impl Into<String>) -> Self {
        Self { signature: signature.into(), ..Self::new(text, kind) }
    }
}

impl Session<'_> {
    /// What a person may be writing where the cursor stands, counted in characters.
    #[must_use]
    pub fn complete(&self, code: &str, cursor: usize) -> Completion {
        complete(self, code, cursor)
    }

    /// What stands at the cursor, counted in characters: a function, a value or a word; `None` where nothing is known.
    /// With `in_full` its long story.
    #[must_use]
    pub fn inspect(&self, code: &str, cursor: usize, in_full: bool) -> Option<Shown> {
        inspected(self, code, cursor, in_full)
    }
}

/// Words that begin a line of the cell language.
const WORDS: [&str; 14] =
    ["and", "def", "elif", "else", "False", "for", "if", "in", "lambda", "None", "not", "or", "return", "True"];

fn complete(session: &Session<'_>, code: &str, cursor: usize) -> Completion {
    let before: String = code.chars().take(cursor).collect();
    let at = spot(&before);
    if at.is_remark {
        return Completion { start: cursor, end: cursor, proposals: Vec::new() };
    }
    let (written, found) = match &at.quoted {
        Some(text) => in_quotes(session, &at, text),
        None => outside_quotes(session, &at),
    };
    let plain = written.to_lowercase();
    let mut proposals: Vec<Proposal> =
        found.into_iter().filter(|one| one.text.to_lowercase().starts_with(&plain)).collect();
    proposals.dedup_by(|a, b| a.text == b.text);
    Completion { start: cursor.saturating_sub(written.chars().count()), end: cursor, proposals }
}

fn value<'v>(session: &Session<'v>, path: &[String]) -> Option<Value<'v>> {
    let mut value = session.module.get(path.first()?)?;
    for name in &path[1..] {
        value = value.get_attr(name, session.module.heap()).ok().flatten()?;
    }
    Some(value)
}

/// What stands outside quotes: after a dot, or a name.
fn outside_quotes(session: &Session<'_>, at: &Spot) -> (String, Vec<Proposal>) {
    let written = at.path.last().cloned().unwrap_or_default();
    let guide = &session.context.guide;
    if let [owner @ .., _] = at.path.as_slice()
        && !owner.is_empty()
    {
        let Some(value) = value(session, owner) else { return (written, Vec::new()) };
        let methods = guide.methods_of(value.get_type());
        let methods = methods.map(|(name, entry)| Proposal::described(name, "function", &entry.signature));
        let mut all: Vec<Proposal> = methods.collect();
        let is_new = |name: &String| guide.method(value.get_type(), name).is_none();
        all.extend(value.dir_attr().into_iter().filter(is_new).map(|name| Proposal::new(name, "column")));
        all.sort_by(|a, b| a.text.cmp(&b.text));
        return (written, all);
    }
    let mut all = Vec::new();
    if let Some(entry) = at.open.last().filter(|open| open.bracket == '(').and_then(|open| called(session, open)) {
        let arguments = entry.arguments.iter().filter(|argument| argument.is_named);
        all.extend(arguments.map(|one| Proposal::described(format!("{}=", one.name), "argument", &one.meaning)));
    }
    let mut names = session.names();
    names.sort();
    all.extend(names.into_iter().filter(|name| !name.starts_with('_')).map(|name| Proposal::new(name, "name")));
    all.extend(guide.functions().map(|(name, entry)| Proposal::described(name, "function", &entry.signature)));
    all.extend(WORDS.map(|word| Proposal::new(word, "word")));
    (written, all)
}

/// The function whose bracket is open.
fn called<'a>(session: &'a Session<'_>, open: &Open) -> Option<&'a Entry> {
    match open.path.as_slice() {
        [name] => session.context.guide.function(name),
        [owner @ .., name] => session.context.guide.method(value(session, owner)?.get_type(), name),
        [] => None,
    }
}

/// What stands in quotes: a column, a word of a condition, a kind of figure, a wood, a file.
fn in_quotes(session: &Session<'_>, at: &Spot, text: &str) -> (String, Vec<Proposal>) {
    let Some(open) = at.open.iter().rev().find(|open| !open.path.iter().all(String::is_empty)) else {
        return (text.to_owned(), Vec::new());
    };
    let whole = |all: Vec<Proposal>| (text.to_owned(), all);
    if open.bracket == '[' {
        return whole(columns(session, &open.path));
    }
    let name = open.path.last().map(String::as_str).unwrap_or_default();
    let owner = &open.path[..open.path.len() - 1];
    let first = || open.inside.split(',').next().unwrap_or_default().trim().to_owned();
    match (name, at.argument.as_deref()) {
        ("where", _) => in_condition(session, owner, text),
        ("sort", _) => whole(columns(session, owner)),
        (_, Some("value" | "by" | "against" | "panels")) => {
            let last = text.rsplit(',').next().unwrap_or_default().trim_start().to_owned();
            let of = if name == "figure" { second(&open.inside) } else { first() };
            (last, columns(session, &of.split('.').map(str::to_owned).collect::<Vec<_>>()))
        }
        ("figure", None) => {
            let kinds = figure_list().kinds;
            whole(kinds.iter().map(|kind| Proposal::described(kind.kind, "figure", kind.shows)).collect())
        }
        ("taxon", None) => whole(woods()),
        ("help", None) => {
            let quantities = crate::quantity::Quantity::ALL.iter().map(|quantity| quantity.name());
            let cautions = crate::error::CautionCode::ALL.iter().map(|code| code.word());
            whole(quantities.chain(cautions).map(|word| Proposal::new(word, "word")).collect())
        }
        ("read" | "study" | "save" | "report", _) => files(session, text),
        _ => whole(Vec::new()),
    }
}

/// The second argument of a call that is being written.
fn second(inside: &str) -> String {
    inside.split(',').nth(1).unwrap_or_default().trim().trim_end_matches(')').to_owned()
}

fn columns(session: &Session<'_>, path: &[String]) -> Vec<Proposal> {
    let Some(value) = value(session, path) else { return Vec::new() };
    let mut names: Vec<String> = match (TableValue::from_value(value), StateValue::from_value(value)) {
        (Some(table), _) => table.columns().map(str::to_owned).collect(),
        (_, Some(state)) => state.names().to_vec(),
        _ => Vec::new(),
    };
    names.sort();
    names.into_iter().map(|name| Proposal::new(name, "column")).collect()
}

/// The last word of a condition: a column, or a wood behind `taxon ==`.
fn in_condition(session: &Session<'_>, owner: &[String], text: &str) -> (String, Vec<Proposal>) {
    let quote = text.rfind(['\'', '`']).filter(|at| text[..=*at].matches(&text[*at..=*at]).count() % 2 == 1);
    if let Some(at) = quote {
        let before = text[..at].trim_end();
        let is_wood = before.trim_end_matches(['=', '!', ' ']).ends_with("taxon");
        return (text[at + 1..].to_owned(), if is_wood { woods() } else { Vec::new() });
    }
    let last: String = text.chars().rev().take_while(|c| is_word(*c)).collect();
    let mut all = columns(session, owner);
    all.extend(["and", "not", "or", "unknown("].map(|word| Proposal::new(word, "word")));
    (last.chars().rev().collect(), all)
}

fn woods() -> Vec<Proposal> {
    let Ok(reference) = Reference::shipped() else { return Vec::new() };
    let english = reference.taxa().iter().filter_map(|taxon| taxon.names.get("en")).flatten();
    let mut names: Vec<String> =
        reference.taxa().iter().map(|taxon| taxon.name.clone()).chain(english.cloned()).collect();
    names.sort();
    names.into_iter().map(|name| Proposal::new(name, "wood")).collect()
}

/// Files of the folder that is being written.
fn files(session: &Session<'_>, text: &str) -> (String, Vec<Proposal>) {
    let (folder, name) = text.rsplit_once('/').map_or(("", text), |(folder, name)| (folder, name));
    let place = if folder.is_empty() {
        Ok(session.context.folder.base().to_owned())
    } else {
        session.context.folder.path(folder)
    };
    let names = place.and_then(|place| file_names(&place)).unwrap_or_default();
    (name.to_owned(), names.into_iter().map(|name| Proposal::new(name, "file")).collect())
}

/// What stands at the cursor.
fn inspected(session: &Session<'_>, code: &str, cursor: usize, in_full: bool) -> Option<Shown> {
    let letters: Vec<char> = code.chars().collect();
    let cursor = cursor.min(letters.len());
    let end = (cursor..letters.len()).find(|at| !is_word(letters[*at])).unwrap_or(letters.len());
    let at = spot(&letters[..end].iter().collect::<String>());
    let path: Vec<String> = match (&at.quoted, at.path.last().is_some_and(|name| !name.is_empty())) {
        (Some(text), _) => return word_view(session, text.rsplit(|c: char| !is_word(c) && c != '-').next()?),
        (None, true) => at.path.clone(),
        // Inside a call it is the function that is asked for.
        (None, false) => at.open.iter().rev().find(|open| open.bracket == '(')?.path.clone(),
    };
    let view = |view: View| Some(Shown::of_view(&in_cells(view)));
    let guide = &session.context.guide;
    if let [owner @ .., name] = path.as_slice()
        && let Some(entry) = value(session, owner).and_then(|owner| guide.method(owner.get_type(), name))
    {
        return view(entry.view());
    }
    if let Some(found) = value(session, &path) {
        if in_full || !matches!(found.get_type(), "table" | "state" | "outcome" | "figure" | "column") {
            return shown(found);
        }
        let methods =
            guide.methods_of(found.get_type()).map(|(_, entry)| format!(".{}: {}", entry.signature, entry.summary));
        let lines = std::iter::once(found.to_repr()).chain(methods).map(Block::Paragraph);
        return view(View { blocks: lines.collect() });
    }
    match path.as_slice() {
        [name] => match guide.function(name) {
            Some(entry) if !in_full => view(entry.view()),
            _ => word_view(session, name),
        },
        _ => None,
    }
}

/// The story of a word, where it has one.
fn word_view(session: &Session<'_>, word: &str) -> Option<Shown> {
    help_of(word, &session.context.guide).ok().map(|view| Shown::of_view(&in_cells(view)))
}
