//! Errors of the cell language in our words, with the place and what to do.

use starlark::ErrorKind;
use starlark::codemap::FileSpan;

use crate::error::{Error, near};

use super::argument::kind;
use super::fault::{Fault, Refused, interrupted, of_error, sentence};
use super::guide::Guide;
use super::hint::of_parser;

/// What a translation needs to know.
pub(super) struct Setting<'a> {
    /// Whether the cell was asked to stop.
    pub(super) is_stopped: bool,
    /// Names of cells before which a line was put.
    pub(super) is_shifted: &'a dyn Fn(&str) -> bool,
    /// Names that exist.
    pub(super) names: &'a [String],
    pub(super) guide: &'a Guide,
}

/// The fault of an error.
pub(super) fn translated(error: &starlark::Error, setting: &Setting<'_>) -> Fault {
    if setting.is_stopped {
        return interrupted();
    }
    let mut fault = by_kind(error, setting);
    if let Some(span) = error.span() {
        let (lines, line) = place(span, setting.is_shifted);
        if fault.kind == "syntax" && fault.cure.is_none() {
            fault.cure = of_parser(&line);
        }
        fault.place = lines;
    }
    fault
}

fn by_kind(error: &starlark::Error, setting: &Setting<'_>) -> Fault {
    let inner = match error.kind() {
        ErrorKind::Native(inner) | ErrorKind::Other(inner) | ErrorKind::Value(inner) | ErrorKind::Function(inner) => {
            inner
        }
        ErrorKind::Fail(inner) => return Fault::new("fail", inner.to_string().trim_start_matches("fail: ")),
        ErrorKind::StackOverflow(_) => {
            let fault = Fault::new("too deep", "A function calls itself, or others, too many times inside each other.");
            return fault.with_cure("use a for loop, or allow more: settings(calls=500)");
        }
        ErrorKind::Scope(inner) => return of_scope(&inner.to_string(), setting),
        ErrorKind::Parser(inner) => {
            let text = inner.to_string();
            let text = text.strip_prefix("Parse error: ").unwrap_or(&text).to_owned();
            return Fault::new("syntax", format!("This cannot be read: {}.", text.trim_end_matches('.')));
        }
        other => return Fault::new("internal fault", format!("{other}; please report it")),
    };
    if let Some(refused) = inner.downcast_ref::<Refused>() {
        return Fault::new("not done", with_stop(&sentence(&refused.text))).with_cure(refused.cure.clone());
    }
    if let Some(error) = inner.downcast_ref::<Error>() {
        return of_error(error);
    }
    of_text(&inner.to_string(), setting)
}

fn with_stop(text: &str) -> String {
    if text.ends_with(['.', '?', '!']) { text.to_owned() } else { format!("{text}.") }
}

/// The texts between backticks.
fn quoted(text: &str) -> Vec<&str> {
    text.split('`').skip(1).step_by(2).collect()
}

fn of_scope(text: &str, setting: &Setting<'_>) -> Fault {
    let Some(name) = quoted(text).first().copied() else { return Fault::new("name", sentence(text)) };
    let fault = Fault::new("name", format!("There is no name {name}."));
    let all = setting.names.iter().map(String::as_str).chain(setting.guide.functions().map(|(name, _)| name));
    match near(name, all).first() {
        Some(near) => fault.with_cure(format!("did you mean {near}?")),
        None => {
            fault.with_cure(format!("give it a value in an earlier cell: {name} = ...; help() lists what there is"))
        }
    }
}

fn of_text(text: &str, setting: &Setting<'_>) -> Fault {
    let names = quoted(text);
    if text.starts_with("Found") && text.contains("extra named parameter") {
        return extra(&names, text, setting.guide);
    }
    if text.starts_with("Missing") && names.len() >= 2 {
        let fault = Fault::new("argument", format!("{} needs {}.", names[1], names[0]));
        return match setting.guide.function(names[1]).and_then(|entry| entry.example.clone()) {
            Some(example) => fault.with_cure(example),
            None => fault,
        };
    }
    if text.starts_with("Type of parameter") && names.len() >= 3 {
        let found = names[2].split(" (repr: ").next().unwrap_or(names[2]);
        let text = format!("{} takes {}, and this is {}.", names[0], kind(names[1]), kind(found));
        return Fault::new("argument", text);
    }
    if text.starts_with("Object of type") && names.len() >= 2 {
        let fault = Fault::new("name", sentence(&format!("{} has no {}.", kind(names[0]), names[1])));
        return match (names.get(2), crate::quantity::Quantity::of_name(names[1])) {
            (_, Some(_)) if names[0] == "table" => {
                let text = format!("{} is a result, not a measurement.", names[1]);
                Fault::new("name", text).with_cure("first: s = assess(t)")
            }
            (Some(one), _) if !near(names[1], [*one]).is_empty() => fault.with_cure(format!("did you mean {one}?")),
            _ => fault.with_cure("Tab after the dot lists what there is"),
        };
    }
    if text.starts_with("Operation") && names.len() >= 2 {
        let sides: Vec<String> = names[1..].iter().map(|side| kind(side)).collect();
        return Fault::new("not done", format!("{} does not work with {}.", names[0], sides.join(" and ")));
    }
    if text.contains("ticks has been exceeded") {
        let fault = Fault::new("too long", "The cell took more steps than are allowed.");
        return fault.with_cure("settings(steps=...) allows more");
    }
    Fault::new("not done", with_stop(&sentence(&text.replace('`', ""))))
}

fn extra(names: &[&str], text: &str, guide: &Guide) -> Fault {
    let found = names.first().copied().unwrap_or_default();
    let function = text.rsplit(' ').next().unwrap_or_default();
    let entry = guide.function(function);
    let fault = Fault::new("argument", format!("{function} takes no {found}."));
    let arguments = entry.map(|entry| entry.arguments.iter().filter(|one| one.is_named).map(|one| one.name.as_str()));
    let arguments: Vec<&str> = arguments.into_iter().flatten().collect();
    match near(found, arguments.iter().copied()).first() {
        Some(near) => fault.with_cure(format!("did you mean {near}?")),
        None if arguments.is_empty() => fault,
        None => fault.with_cure(format!("it takes {}", arguments.join(", "))),
    }
}

/// The lines that show a place, and the line itself.
fn place(span: &FileSpan, is_shifted: &dyn Fn(&str) -> bool) -> (Vec<String>, String) {
    let resolved = span.resolve_span();
    let (begin, end) = (resolved.begin, resolved.end);
    let line = span.file.source_line(begin.line).trim_end().to_owned();
    let number = begin.line + 1 - usize::from(is_shifted(span.filename()));
    let width = if end.line == begin.line { end.column.saturating_sub(begin.column) } else { usize::MAX };
    let width = width.clamp(1, line.chars().count().saturating_sub(begin.column).max(1));
    let caret = format!("  {}{}", " ".repeat(begin.column), "^".repeat(width));
    (vec![format!("{}, line {number}:", span.filename()), format!("  {line}"), caret], line)
}
