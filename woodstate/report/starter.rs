//! What `study` found, for a person at a terminal, and the starter study file itself.

use std::fmt::Write;

use crate::quantity::counted;
use crate::study::{Item, ItemState, Starter, StarterTable};

use super::{Align, Block, Grid, View};

/// The view of `study`.
#[must_use]
pub fn starter_view(starter: &Starter) -> View {
    let mut view = View::default();
    for table in &starter.tables {
        let entry = |item: &Item| (format!("  {}", shown_name(item)), meaning(item));
        let mut entries: Vec<(String, String)> = table.columns.iter().map(entry).collect();
        for words in &table.words {
            entries.extend(words.words.iter().map(|item| {
                let (name, text) = entry(item);
                (name, format!("{text} ({})", words.column))
            }));
        }
        let keys = table.keys.iter().filter(|item| !matches!(item.name.as_str(), "sheet" | "header_row"));
        entries.extend(keys.map(|item| (format!("  {}", item.name), meaning(item))));
        view.push(Block::Listing(title(table), entries));
    }
    if !starter.others.is_empty() {
        let entries = starter.others.iter().map(|other| (format!("  {}", other.sheet), other.why.clone()));
        view.push(Block::Listing("no table:".to_owned(), entries.collect()));
    }
    let settings: Vec<&Item> = settings(starter).flat_map(|(_, items)| items).collect();
    if let Some(missing) = &starter.missing {
        view.push(Block::Legend(vec![("missing".to_owned(), meaning(missing))]));
    }
    let (proposed, asked) = (count(starter, ItemState::Proposal), count(starter, ItemState::Question));
    let also = if settings.is_empty() { "" } else { " Instruments, waters and protocol are asked there too." };
    view.push(Block::Paragraph(format!(
        "-> is proposed, ? is asked, = is read as it stands, - is not known. {} and {} in the study file.{also}",
        counted(proposed, "proposal"),
        counted(asked, "question"),
    )));
    view
}

/// The same for a pipe: table, name, state, meaning, why.
#[must_use]
pub fn starter_plain(starter: &Starter) -> View {
    let heads = ["table", "part", "name", "state", "meaning", "why", "hint", "cells"];
    let mut grid = Grid::new(&heads.map(|head| (head, Align::Left)));
    for (table, part, item) in all(starter) {
        let meanings: Vec<&str> = item.answers.iter().map(|answer| answer.meaning.as_str()).collect();
        grid.rows.push(vec![
            table.to_owned(),
            part.to_owned(),
            item.name.clone(),
            state(item.state).to_owned(),
            meanings.join(" | "),
            item.why.clone(),
            item.hint.clone().unwrap_or_default(),
            item.filled.to_string(),
        ]);
    }
    View { blocks: vec![Block::Table(grid)] }
}

fn state(state: ItemState) -> &'static str {
    match state {
        ItemState::Known => "known",
        ItemState::Proposal => "proposal",
        ItemState::Question => "question",
        ItemState::Unknown => "unknown",
    }
}

/// Parts of the study file that are no tables.
fn settings(starter: &Starter) -> impl Iterator<Item = (&'static str, &Vec<Item>)> {
    let parts = [("instruments", &starter.instruments), ("water", &starter.water), ("protocol", &starter.protocol)];
    parts.into_iter().filter(|(_, items)| !items.is_empty())
}

/// Every item with its table or part.
fn all(starter: &Starter) -> Vec<(&'static str, &'static str, &Item)> {
    let mut all: Vec<(&str, &str, &Item)> = starter.missing.iter().map(|item| ("", "key", item)).collect();
    for table in &starter.tables {
        all.extend(table.keys.iter().map(|item| (table.table, "key", item)));
        all.extend(table.columns.iter().map(|item| (table.table, "column", item)));
        for words in &table.words {
            all.extend(words.words.iter().map(|item| (table.table, words.column, item)));
        }
    }
    all.extend(settings(starter).flat_map(|(part, items)| items.iter().map(move |item| (part, "key", item))));
    all
}

fn count(starter: &Starter, state: ItemState) -> usize {
    all(starter).iter().filter(|(.., item)| item.state == state).count()
}

fn title(table: &StarterTable) -> String {
    let sheet = table.sheet.as_ref().map(|sheet| format!("sheet {sheet}, ")).unwrap_or_default();
    format!("{}: {sheet}header in row {}, {} below", table.table, table.header_row, counted(table.rows, "row"))
}

fn shown_name(item: &Item) -> String {
    if item.name.starts_with('(') { item.name.clone() } else { format!("\"{}\"", item.name) }
}

/// `-> mass_saturated [g]: German word`, `?  mass_displaced [g] (…) or mass_immersed [g] (…): which?`
fn meaning(item: &Item) -> String {
    let hint = item.hint.as_ref().map(|hint| format!(" ({hint})")).unwrap_or_default();
    let why = &item.why;
    match (item.state, item.answers.as_slice()) {
        (ItemState::Known, _) => format!("=  {why}"),
        (ItemState::Proposal, [answer, ..]) => format!("-> {}: {why}{hint}", answer.meaning),
        (ItemState::Question, answers) => {
            let shown: Vec<&str> = answers.iter().map(|answer| answer.meaning.as_str()).collect();
            format!("?  {}: {why}{hint}", shown.join(" or "))
        }
        (ItemState::Proposal | ItemState::Unknown, _) => format!("-  {why}{hint}"),
    }
}

/// The starter study file: every line is a comment or a heading, so that it states nothing as it is written.
#[must_use]
pub fn starter_toml(starter: &Starter) -> String {
    let mut text = head(starter);
    // A String takes everything that is written to it.
    let _ = writeln!(text, "\n#? title = \"…\"");
    if let Some(missing) = &starter.missing {
        text.push('\n');
        item(&mut text, missing);
    }
    for table in &starter.tables {
        table_text(&mut text, table);
    }
    for (part, items) in settings(starter) {
        let _ = writeln!(text, "\n[{part}]");
        items.iter().for_each(|one| item(&mut text, one));
    }
    for other in &starter.others {
        let _ = writeln!(text, "\n## Sheet {}: {}. It begins:", remark(&other.sheet), remark(&other.why));
        for line in &other.says {
            let _ = writeln!(text, "##   {}", remark(line));
        }
    }
    text
}

fn head(starter: &Starter) -> String {
    let file = remark(starter.file.rsplit(['/', '\\']).next().unwrap_or_default());
    let own: [String; 9] = [
        format!("Starter study file for {file}. Nothing in it is used until you take away what stands before a line:"),
        "  ##  a remark: leave it".to_owned(),
        "  #   a proposal: take away \"#\" where it is right".to_owned(),
        "  #?  a question: take away \"#?\" before ONE of its lines, the right one. Where … stands, write what you know".to_owned(),
        "All proposals at once: replace \"# \" at the beginning of lines by nothing. Questions stay.".to_owned(),
        "Words come from a glossary of the trade (common practice, no source) in six languages.".to_owned(),
        "What the numbers suggest is a hint and no answer: you know your file, it does not.".to_owned(),
        "What you leave is not lost: a column that is not named here travels along untouched.".to_owned(),
        format!("Then: woodstate check {file}"),
    ];
    own.iter().fold(String::new(), |text, line| format!("{text}## {line}\n"))
}

fn table_text(text: &mut String, table: &StarterTable) {
    let name = table.table;
    let _ = writeln!(text, "\n## {}", remark(&title(table)));
    let _ = writeln!(text, "[{name}]");
    table.keys.iter().for_each(|one| item(text, one));
    let _ = writeln!(text, "\n## header in the file = column of woodstate and its unit\n[{name}.columns]");
    table.columns.iter().for_each(|one| item(text, one));
    for words in &table.words {
        let column = words.column;
        let _ = writeln!(text, "\n## word in the file = word of woodstate\n[{name}.words.{column}]");
        words.words.iter().for_each(|one| item(text, one));
    }
    let odd: Vec<_> = table.odd.iter().filter(|odd| !odd.is_missing).collect();
    if !odd.is_empty() {
        let _ = writeln!(text, "\n## No numbers, and nobody can guess what they mean; check will name each:");
    }
    for odd in odd.iter().take(MOST) {
        let cells = counted(odd.cells, "cell");
        let _ = writeln!(text, "##   \"{}\" in {cells}, first {}", remark(&odd.text), odd.first);
    }
}

/// Oddities that are listed.
const MOST: usize = 12;

/// A proposal in one line; a question with its remark above its lines.
fn item(text: &mut String, item: &Item) {
    let seen = seen(item);
    let hint = item.hint.as_ref().map(|hint| format!(". Hint: {hint}")).unwrap_or_default();
    let name = if item.name.starts_with('(') { item.name.clone() } else { format!("\"{}\"", item.name) };
    match (item.state, item.answers.as_slice()) {
        (ItemState::Proposal, [answer, ..]) => {
            let _ = writeln!(text, "# {}  ## {}", answer.line, remark(&format!("{}{seen}{hint}", item.why)));
        }
        (ItemState::Question, answers) => {
            let is_key = answers.first().is_some_and(|answer| answer.line.starts_with(&format!("{} = ", item.name)));
            let name = if is_key { &item.name } else { &name };
            let _ = writeln!(text, "## {}", remark(&format!("{name}: {}{seen}{hint}", item.why)));
            for answer in answers {
                let clause =
                    if answer.clause.is_empty() { String::new() } else { format!("  ## {}", remark(&answer.clause)) };
                let _ = writeln!(text, "#? {}{clause}", answer.line);
            }
        }
        (ItemState::Known | ItemState::Proposal | ItemState::Unknown, _) => {
            let _ = writeln!(text, "## {}", remark(&format!("{name}: {}{seen}{hint}", item.why)));
        }
    }
}

/// How much of a column is filled, and with what.
fn seen(item: &Item) -> String {
    const LONGEST: usize = 24;
    if item.filled == 0 {
        return String::new();
    }
    let short = |text: &String| match text.chars().count() > LONGEST {
        true => text.chars().take(LONGEST).chain("...".chars()).collect(),
        false => text.clone(),
    };
    let examples: Vec<String> = item.examples.iter().map(short).collect();
    let such = if examples.is_empty() { String::new() } else { format!(" such as {}", examples.join(" | ")) };
    let stop = if item.why.ends_with('?') { "" } else { ";" };
    format!("{stop} {}{such}", counted(item.filled, "cell"))
}

/// A text in a comment: one line, no control characters.
fn remark(text: &str) -> String {
    let one: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    one.split_whitespace().collect::<Vec<_>>().join(" ")
}
