//! `help`: the tour, a function, a value, or a word of woodstate.

use starlark::environment::GlobalsBuilder;
use starlark::eval::Evaluator;
use starlark::starlark_module;
use starlark::values::Value;
use starlark::values::none::NoneOr;

use crate::error::{Result, near};
use crate::notebook::context::context;
use crate::notebook::fault::failed;
use crate::notebook::guide::Guide;
use crate::notebook::listing::listing;
use crate::notebook::value::OutcomeValue;
use crate::report::{Block, View, explanation_view};
use crate::study::explain;

use super::assessing::or_none;

#[starlark_module]
pub(super) fn names(builder: &mut GlobalsBuilder) {
    /// Help: the tour; with a name, a value or a word of woodstate what it is.
    ///
    /// ```text
    /// help("mass_saturated")
    /// ```
    ///
    /// # Arguments
    /// * `of`: a function, a value, or a word in quotes: a quantity, a column, a caution, a finding
    fn help<'v>(
        #[starlark(require = pos, default = NoneOr::None)] of: NoneOr<Value<'v>>,
        eval: &mut Evaluator<'v, '_, '_>,
    ) -> starlark::Result<OutcomeValue> {
        let guide = &context(eval)?.guide;
        let of = or_none(of);
        let view = if of.is_none() {
            tour(guide)
        } else if let Some(word) = of.unpack_str() {
            help_of(word, guide).map_err(failed)?
        } else if matches!(of.get_type(), "function" | "native_function") {
            help_of(function_name(&of.to_str()), guide).map_err(failed)?
        } else {
            value_view(of, guide)
        };
        Ok(OutcomeValue::card("help", view))
    }
}

/// The name of a function from how it shows itself.
fn function_name(shown: &str) -> &str {
    shown.rsplit('.').next().unwrap_or(shown)
}

/// What a name or a word is.
pub(in crate::notebook) fn help_of(word: &str, guide: &Guide) -> Result<View> {
    let entry = guide.function(word);
    match (entry, explain(word)) {
        (Some(entry), Ok(explanation)) if explanation.what != "command" => {
            let mut view = entry.view();
            view.blocks.extend(explanation_view(&explanation).blocks);
            Ok(view)
        }
        (Some(entry), _) => Ok(entry.view()),
        (None, Ok(explanation)) => Ok(explanation_view(&explanation)),
        (None, Err(error)) => {
            let near = near(word, guide.functions().map(|(name, _)| name));
            match near.first().and_then(|near| guide.function(near)) {
                Some(entry) => Ok(entry.view()),
                None => Err(error),
            }
        }
    }
}

fn value_view(value: Value<'_>, guide: &Guide) -> View {
    let kind = value.get_type();
    let mut blocks = vec![Block::Paragraph(format!("{} ({kind})", value.to_repr()))];
    let methods: Vec<[String; 2]> =
        guide.methods_of(kind).map(|(_, entry)| [format!(".{}", entry.signature), entry.summary.clone()]).collect();
    if !methods.is_empty() {
        blocks.push(listing(["method", "what it gives"], methods));
    }
    let is_method = |name: &String| guide.method(kind, name).is_some();
    let names: Vec<String> = value.dir_attr().into_iter().filter(|name| !is_method(name)).collect();
    if !names.is_empty() {
        blocks.push(Block::Paragraph(format!("After a dot: {}.", names.join(", "))));
    }
    View { blocks }
}

/// The ten first names, and where the others are.
fn tour(guide: &Guide) -> View {
    const FIRST: [(&str, &str); 10] = [
        ("t = read(\"samples.csv\")", "a table: workbook, text or folder"),
        ("check(t)", "what was found in it, cell by cell"),
        ("s = assess(t)", "water content, densities, losses, class, each with its uncertainty"),
        ("s.where(\"depth_from < 20 mm and taxon == 'oak'\")", "the pieces that you mean; also t.where(...)"),
        ("summary(s, by=\"context\")", "groups: counts, spread, shares of classes"),
        ("figure(\"density-water\", s)", "a figure; figure() lists the kinds"),
        ("fit(s, value=\"bending_modulus\", against=\"basic_density\")", "how strength falls as wood is lost"),
        ("advise(t)", "routes of treatment with reasons and hazards"),
        ("report(t, \"report\")", "a folder of pages for the files of a museum"),
        ("help(\"not-saturated\")", "the long story of a word; help(t) of a value"),
    ];
    let is_there = |line: &&(&str, &str)| {
        let name = line.0.rsplit(" = ").next().unwrap_or_default().split(['(', '.']).next().unwrap_or_default();
        name == "s" || guide.function(name).is_some()
    };
    let first = FIRST.iter().filter(is_there).map(|(line, what)| [(*line).to_owned(), (*what).to_owned()]);
    let others: Vec<&str> = guide.functions().map(|(name, _)| name).filter(|name| !STANDARD.contains(name)).collect();
    let lines = [
        format!("All names: {}.", others.join(", ")),
        "Tab completes names, columns, woods and files; Shift-Tab shows what a function takes.".to_owned(),
        "measured(4.71, 0.01, \"g\") is a value with its uncertainty; arithmetic carries it. A bare number beside + and - has \
         the unit of the other side. _ is the last result."
            .to_owned(),
        "The cells are not Python, though they look like it: no import, no while, no **. Rows are chosen with text."
            .to_owned(),
        "The probability of a class is that this piece lies in it given its measurement uncertainty. Ovens, vacuum vessels, \
         biocides and hydrogen sulfide have their dangers: follow your laboratory's rules and local codes."
            .to_owned(),
    ];
    let mut blocks = vec![listing(["write", "and get"], first)];
    blocks.extend(lines.map(Block::Paragraph));
    View { blocks }
}

/// Names of the cell language itself.
const STANDARD: [&str; 28] = [
    "all",
    "any",
    "bool",
    "chr",
    "dict",
    "dir",
    "enumerate",
    "fail",
    "filter",
    "float",
    "getattr",
    "hasattr",
    "hash",
    "int",
    "len",
    "list",
    "map",
    "ord",
    "print",
    "range",
    "repr",
    "reversed",
    "sorted",
    "str",
    "tuple",
    "type",
    "zip",
    "set",
];
