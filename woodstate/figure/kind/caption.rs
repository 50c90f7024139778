//! The sentences of a caption.

use crate::figure::font_has;

/// The sentences of a caption, joined by spaces.
pub(super) fn joined<'a>(sentences: impl IntoIterator<Item = &'a str>) -> String {
    sentences.into_iter().filter(|sentence| !sentence.is_empty()).collect::<Vec<_>>().join(" ")
}

/// `1 piece`, `2 pieces`.
pub(super) fn counted(n: usize, one: &str) -> String {
    crate::quantity::counted(n, one)
}

/// So many pieces from so many timbers, as a sentence.
pub(super) fn pieces(n: usize, n_timbers: usize, without_timber: usize) -> String {
    let timbers = match (n_timbers, without_timber) {
        (0, _) => " of unknown timbers".to_owned(),
        (_, 0) => format!(" from {}", counted(n_timbers, "timber")),
        (_, without) => format!(" from {}, the timber of {without} unknown", counted(n_timbers, "timber")),
    };
    format!("n = {}{timbers}.", counted(n, "piece"))
}

/// What is not shown and why, as a sentence; nothing where there is nothing.
pub(super) fn left_out(counts: &[(usize, &str)]) -> String {
    let parts: Vec<String> =
        counts.iter().filter(|(n, _)| *n > 0).map(|(n, why)| format!("{} {why}", counted(*n, "piece"))).collect();
    if parts.is_empty() { String::new() } else { format!("Not shown: {}.", parts.join("; ")) }
}

/// How many have no bar, as a sentence; nothing where all have one, or none.
pub(super) fn without_bars<'a>(bars: impl IntoIterator<Item = &'a Option<[f64; 2]>>) -> String {
    let (with, without) = bars.into_iter().fold((0, 0), |(with, without), bar| match bar {
        Some(_) => (with + 1, without),
        None => (with, without + 1),
    });
    match (with, without) {
        (0, _) | (_, 0) => String::new(),
        (_, n) => format!("{} without a bar: their uncertainty is unknown.", counted(n, "value")),
    }
}

/// What squares in labels mean, where a name has a character that the fonts lack.
pub(super) fn squares<'a>(names: impl IntoIterator<Item = &'a str>) -> &'static str {
    let lacks = |name: &str| name.chars().any(|c| !c.is_whitespace() && !font_has(c));
    match names.into_iter().any(lacks) {
        true => "\u{25a1} stands for a character that the font of the figure lacks.",
        false => "",
    }
}

/// A title without an abbreviation, for the middle of a sentence.
pub(super) fn whole_words(title: &str) -> String {
    title.strip_prefix("max. ").map_or(title.to_owned(), |rest| format!("maximum {rest}"))
}

/// A sentence that begins with a capital and with a whole word.
pub(super) fn capital(text: &str) -> String {
    crate::figure::markup::axis_title(text, "")
}
