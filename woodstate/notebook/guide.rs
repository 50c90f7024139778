//! What each name of a cell is, from the docs that stand with the functions.

use std::collections::BTreeMap;

use starlark::docs::{DocItem, DocMember, DocParam, DocString};
use starlark::environment::{Globals, Methods};
use starlark::typing::Ty;

use super::listing::listing;
use crate::report::{Block, View};

/// A type of a cell and its methods.
pub(super) type TypeMethods = (&'static str, Option<&'static Methods>);

/// A function as a person reads of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Entry {
    /// `read(path, sheet=None)`.
    pub(super) signature: String,
    /// One sentence.
    pub(super) summary: String,
    /// Paragraphs below it.
    pub(super) details: Vec<String>,
    /// A line to try.
    pub(super) example: Option<String>,
    /// Arguments: name, as it is written in a call, meaning.
    pub(super) arguments: Vec<Argument>,
}

/// An argument of a function.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Argument {
    /// Its name.
    pub(super) name: String,
    /// Whether it is written with its name.
    pub(super) is_named: bool,
    /// What it takes where nothing is given; `None` where it must be given.
    pub(super) usual: Option<String>,
    /// What it means.
    pub(super) meaning: String,
}

/// What is known of every name.
#[derive(Debug, Default)]
pub(super) struct Guide {
    functions: BTreeMap<String, Entry>,
    /// Methods by the type that has them.
    methods: BTreeMap<(&'static str, String), Entry>,
}

impl Guide {
    /// Of all names that a cell begins with, and of the methods of its values.
    pub(super) fn of(globals: &Globals, methods: &[TypeMethods]) -> Self {
        let functions = globals.documentation().members.into_iter().filter_map(|(name, item)| {
            let entry = entry(&name, &item)?;
            (!name.starts_with('_')).then_some((name, entry))
        });
        let mut guide = Self { functions: functions.collect(), methods: BTreeMap::new() };
        methods.iter().for_each(|(kind, methods)| guide.add(kind, *methods));
        guide
    }

    fn add(&mut self, kind: &'static str, methods: Option<&'static Methods>) {
        let Some(docs) = methods.map(|methods| methods.documentation(Ty::any())) else { return };
        for (name, member) in docs.members {
            if let Some(entry) = entry(&name, &DocItem::Member(member)) {
                self.methods.insert((kind, name), entry);
            }
        }
    }

    /// A function by its name.
    pub(super) fn function(&self, name: &str) -> Option<&Entry> {
        self.functions.get(name)
    }

    /// A method of a type.
    pub(super) fn method(&self, kind: &str, name: &str) -> Option<&Entry> {
        self.methods.iter().find(|((of, other), _)| *of == kind && other == name).map(|(_, entry)| entry)
    }

    /// The methods of a type.
    pub(super) fn methods_of(&self, kind: &str) -> impl Iterator<Item = (&str, &Entry)> {
        self.methods.iter().filter(move |((of, _), _)| *of == kind).map(|((_, name), entry)| (name.as_str(), entry))
    }

    /// All functions.
    pub(super) fn functions(&self) -> impl Iterator<Item = (&str, &Entry)> {
        self.functions.iter().map(|(name, entry)| (name.as_str(), entry))
    }
}

impl Entry {
    /// The entry as a card.
    pub(super) fn view(&self) -> View {
        let mut blocks = vec![Block::Paragraph(self.signature.clone()), Block::Paragraph(self.summary.clone())];
        blocks.extend(self.details.iter().cloned().map(Block::Paragraph));
        if let Some(example) = &self.example {
            blocks.push(Block::Paragraph(format!("Example: {example}")));
        }
        if !self.arguments.is_empty() {
            let row = |argument: &Argument| {
                let usual = argument.usual.as_ref().filter(|usual| !matches!(usual.as_str(), "None" | "..."));
                let usual = usual.map(|usual| format!(" (usual: {usual})")).unwrap_or_default();
                [argument.name.clone(), format!("{}{usual}", argument.meaning)]
            };
            blocks.push(listing(["argument", "meaning"], self.arguments.iter().map(row)));
        }
        View { blocks }
    }
}

fn entry(name: &str, item: &DocItem) -> Option<Entry> {
    let DocItem::Member(DocMember::Function(function)) = item else { return None };
    let (summary, (details, example)) = match &function.docs {
        Some(docs) => (plain(&docs.summary), parts(docs)),
        None => (String::new(), (Vec::new(), None)),
    };
    let params = &function.params;
    let mut arguments: Vec<Argument> = Vec::new();
    let free = params.pos_only.iter().chain(&params.pos_or_named).map(|param| argument(param, false));
    arguments.extend(free);
    let starred = params.args.iter().map(|param| argument(param, false));
    let rest: Vec<Argument> = starred.map(|one| Argument { name: format!("*{}", one.name), ..one }).collect();
    arguments.extend(rest);
    arguments.extend(params.named_only.iter().map(|param| argument(param, true)));
    let written = arguments.iter().map(|argument| match (&argument.usual, argument.is_named) {
        (Some(usual), true) => format!("{}={usual}", argument.name),
        (None, true) => format!("{}=...", argument.name),
        (Some(_), false) => format!("[{}]", argument.name),
        (None, false) => argument.name.clone(),
    });
    let signature = format!("{name}({})", written.collect::<Vec<_>>().join(", "));
    Some(Entry { signature, summary, details, example, arguments })
}

fn argument(param: &DocParam, is_named: bool) -> Argument {
    let usual = param.default_value.as_ref().map(|usual| match usual.as_str() {
        "_" | "NoneOr::None" => "None".to_owned(),
        usual => usual.replace("\\\"", "\""),
    });
    let meaning = param.docs.as_ref().map(|docs| plain(&docs.summary)).unwrap_or_default();
    Argument { name: param.name.clone(), is_named, usual, meaning }
}

/// Paragraphs and the example of a doc.
fn parts(docs: &DocString) -> (Vec<String>, Option<String>) {
    let text = docs.details.iter().chain(&docs.examples).cloned().collect::<Vec<_>>().join("\n\n");
    let mut pieces = text.split("```");
    let before = pieces.next().unwrap_or_default();
    // The word behind the first fence says what the example is written in.
    let example = pieces.next().map(|example| example.trim_start_matches("text").trim().to_owned());
    let example = example.filter(|example| !example.is_empty());
    let is_code = |paragraph: &&str| paragraph.starts_with('`') && paragraph.ends_with('`');
    let paragraphs: Vec<&str> = before.split("\n\n").map(str::trim).filter(|text| !text.is_empty()).collect();
    let code = paragraphs.iter().find(|paragraph| is_code(paragraph)).map(|code| code.trim_matches('`').to_owned());
    let prose = paragraphs.iter().filter(|paragraph| !is_code(paragraph)).map(|text| plain(text)).collect();
    (prose, example.or(code))
}

/// A text without marks of code, in one line.
fn plain(text: &str) -> String {
    text.replace('`', "").split_whitespace().collect::<Vec<_>>().join(" ")
}
