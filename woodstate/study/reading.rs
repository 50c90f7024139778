//! How the study file says that a table is to be read.

use std::collections::BTreeMap;

use crate::error::Result;
use crate::table::{ColumnSpec, ColumnType, Decimal, TableKind, TableOptions, column_of};

use super::origin::Origin;
use super::parse::TableText;

/// The options of one table.
pub(super) fn table(origin: &Origin<'_>, text: &TableText, kind: TableKind) -> Result<TableOptions> {
    let mut options =
        TableOptions { sheet: text.sheet.clone(), encoding: text.encoding.clone(), ..TableOptions::default() };
    if let Some(sample) = &text.sample {
        if kind != TableKind::Samples || sample.as_ref().is_empty() {
            let say =
                format!("sample composes names of samples from columns; it means nothing here, in [{}]", kind.name());
            return Err(origin.fault(sample.span().start, say));
        }
        options.sample.clone_from(sample.as_ref());
    }
    options.header_row = origin.row(text.header_row.as_ref())?;
    options.units_row = origin.row(text.units_row.as_ref())?;
    options.decimal = origin.choice(text.decimal.as_ref(), &[(".", Decimal::Point), (",", Decimal::Comma)])?;
    let delimiters = [(";", ';'), (",", ','), ("\t", '\t'), ("tab", '\t'), ("|", '|')];
    options.delimiter = origin.choice(text.delimiter.as_ref(), &delimiters)?;
    let known = |name: &str, at: usize| {
        column_of(name, kind).map_err(|near| {
            let text = format!("\"{name}\" is not a column of {}{}", kind.name(), did_you_mean(&near));
            origin.fault(at, text)
        })
    };
    for (header, meaning) in &text.columns {
        known(meaning.as_ref(), meaning.span().start)?;
        options.columns.insert(header.split_whitespace().collect::<Vec<_>>().join(" "), meaning.as_ref().clone());
    }
    for (column, words) in &text.words {
        let spec = known(column.as_ref(), column.span().start)?;
        if let ColumnType::Number { .. } = spec.holds {
            let say = format!("{} holds numbers; words are for columns of words and names", spec.name);
            return Err(origin.fault(column.span().start, say));
        }
        for (word, meaning) in words {
            check_word(spec, meaning.as_ref()).map_err(|say| origin.fault(meaning.span().start, say))?;
            let own: &mut BTreeMap<String, String> = options.words.entry(spec.name.to_owned()).or_default();
            own.insert(word.clone(), meaning.as_ref().clone());
        }
    }
    Ok(options)
}

/// A column with a list of words takes one of them.
fn check_word(spec: &ColumnSpec, word: &str) -> std::result::Result<(), String> {
    if !matches!(spec.holds, ColumnType::Word(_)) {
        return Ok(());
    }
    let say = |near: Vec<&str>| {
        format!("\"{word}\" is not a word of {}: {}{}", spec.name, spec.allowed(), did_you_mean(&near))
    };
    spec.word_of(word).map(drop).map_err(say)
}

pub(super) fn did_you_mean(near: &[&str]) -> String {
    if near.is_empty() { String::new() } else { format!(". Did you mean {}?", near.join(" or ")) }
}
