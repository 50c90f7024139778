//! 15: words and symbols.

use crate::report::Align;
use crate::study::{Translation, Word};

use super::{Part, Source, Table};

pub(super) fn parts(source: &Source<'_>) -> Vec<Part> {
    let report = source.report;
    if report.words.is_empty() {
        return vec![Part::paragraph("No quantity was computed.")];
    }
    let heads = ["quantity", "unit", "formula", "meaning", "elsewhere"].map(|head| (head, Align::Left));
    let mut table = Table::new("The quantities of this report", &heads);
    for word in &report.words {
        let cells = [word.title, word.unit, word.formula, word.meaning].map(str::to_owned);
        let [title, unit, formula, meaning] = cells;
        table.row([title, unit, formula, meaning, elsewhere(word)]);
    }
    let symbols = report.symbols.iter().map(|one| (one.symbol.to_owned(), one.meaning.to_owned())).collect();
    let mut parts = vec![Part::Table(table)];
    if report.words.iter().any(|word| !word.elsewhere.is_empty()) {
        parts.push(Part::paragraph(
            "Words of other languages are those of our glossary: common practice, no source. A language without a sure word \
             is left out.",
        ));
    }
    parts.extend([Part::heading("Symbols"), Part::terms(symbols)]);
    parts
}

fn elsewhere(word: &Word) -> String {
    let one = |other: &Translation| format!("{}: {}", other.language, other.words.join(", "));
    word.elsewhere.iter().map(one).collect::<Vec<_>>().join("; ")
}
