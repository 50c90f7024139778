//! What a condition kept, in words.

use crate::quantity::{counted, shown_value};
use crate::table::{Choice, Seen, UnknownIn, WordCount};

/// What a condition kept, as a sentence; where it kept nothing, with the values that exist.
#[must_use]
pub fn choice_sentence(choice: &Choice) -> String {
    let Choice { condition, of, rows, kept, unknown, .. } = choice;
    let mut sentence = format!("{kept} of {} fulfil: {condition}.", counted(*rows, of));
    if *unknown > 0 {
        let of_column = |in_one: &UnknownIn| format!("{} ({})", in_one.column, in_one.rows);
        let columns: Vec<String> = choice.unknown_in.iter().map(of_column).collect();
        let more = if *unknown == 1 { "is" } else { "are" };
        sentence = format!(
            "{sentence} {unknown} more {more} left out, because what the condition asks is unknown of them: {}.",
            columns.join(", ")
        );
    }
    if !choice.seen.is_empty() {
        let seen: Vec<String> = choice.seen.iter().map(seen).collect();
        sentence = format!("{sentence} Values there: {}.", seen.join("; "));
    }
    sentence
}

fn seen(seen: &Seen) -> String {
    let mut parts: Vec<String> = Vec::new();
    if let Some([low, high]) = seen.range {
        let unit = seen.unit.map(|unit| format!(" {unit}")).unwrap_or_default();
        parts.push(format!("{} to {}{unit}", shown_value(low), shown_value(high)));
    }
    parts.extend(seen.words.iter().map(|WordCount { word, rows }| format!("{word} ({rows})")));
    if seen.more_words > 0 {
        parts.push(format!("{} more", seen.more_words));
    }
    if seen.unknown > 0 {
        parts.push(format!("unknown ({})", seen.unknown));
    }
    let all = if parts.is_empty() { "nothing".to_owned() } else { parts.join(", ") };
    format!("{} {all}", seen.column)
}
