//! One spelling for the many of a word: case, accents, umlauts, abbreviations, units behind and before it.

use crate::quantity::Unit;

/// A word in lower case, without accents, marks and doubled spaces; ä is ae, ø is oe, ß is ss, ° behind n is o.
pub(super) fn plain(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    let mut before = ' ';
    for c in text.chars().flat_map(char::to_lowercase) {
        match c {
            'à' | 'á' | 'â' | 'ã' => plain.push('a'),
            'è' | 'é' | 'ê' | 'ë' => plain.push('e'),
            'ì' | 'í' | 'î' | 'ï' => plain.push('i'),
            'ò' | 'ó' | 'ô' | 'õ' => plain.push('o'),
            'ù' | 'ú' | 'û' => plain.push('u'),
            'ç' => plain.push('c'),
            'ñ' => plain.push('n'),
            'ä' | 'æ' => plain.push_str("ae"),
            'ö' | 'ø' | 'œ' | '⌀' => plain.push_str("oe"),
            'ü' => plain.push_str("ue"),
            'å' => plain.push_str("aa"),
            'ß' => plain.push_str("ss"),
            '°' | 'º' if before == 'n' => plain.push_str("o "),
            // Marks that stand apart from their letter, as some systems write them.
            '\u{308}' if matches!(before, 'a' | 'o' | 'u') => plain.push('e'),
            '\u{300}'..='\u{36f}' => {}
            c if c.is_alphanumeric() => plain.push(c),
            _ => plain.push(' '),
        }
        before = c;
    }
    plain.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The same for a cell; one that is only a mark, such as ?, stays.
pub(super) fn folded(text: &str) -> String {
    let plain = plain(text);
    if plain.is_empty() { text.trim().to_owned() } else { plain }
}

/// Whether a name with dots abbreviates a plain word, part by part: "Nassgew." and "nassgewicht".
pub(super) fn abbreviates(name: &str, word: &str) -> bool {
    const SHORTEST: usize = 3;
    let mut parts: Vec<(String, bool)> = Vec::new();
    for piece in name.split_inclusive([' ', '.', '-', '_', '/', '(', ')']) {
        let is_cut = piece.ends_with('.');
        parts.extend(plain(piece).split(' ').filter(|part| !part.is_empty()).map(|part| (part.to_owned(), is_cut)));
    }
    let words: Vec<&str> = word.split(' ').collect();
    let fits = |((part, is_cut), word): (&(String, bool), &&str)| {
        part == word || (*is_cut && part.len() >= SHORTEST && word.starts_with(part.as_str()))
    };
    parts.len() == words.len() && parts.iter().zip(&words).all(fits)
}

/// The ways in which a header may fall apart into a name and a unit, the clearest first.
pub(super) fn splits(header: &str) -> Vec<(String, Option<String>)> {
    let header = header.trim();
    let whole = (header.to_owned(), None);
    let mut found = Vec::new();
    if let Some((name, unit)) = bracketed(header) {
        found.push((name.to_owned(), Some(unit.to_owned())));
    }
    found.push(whole);
    let is_unit = |text: &str| Unit::parse(text).is_ok_and(|_| text.trim() != "-");
    let marks: [&[char]; 2] = [&[',', ';', '/', ':'], &[' ', '_', '-', '\u{a0}']];
    for (at, c) in header.char_indices().rev() {
        let (name, unit) = (&header[..at], &header[at + c.len_utf8()..]);
        if marks.iter().any(|marks| marks.contains(&c)) && is_unit(unit) {
            let name = name.trim_end_matches(|c: char| !c.is_alphanumeric() && c != '.' && c != ')');
            let name = name.strip_suffix(" in").or_else(|| name.strip_suffix(" en")).unwrap_or(name);
            found.push((name.to_owned(), Some(unit.trim().to_owned())));
        }
    }
    if let Some((unit, name)) = header.split_once(' ').filter(|(unit, _)| is_unit(unit)) {
        found.push((name.to_owned(), Some(unit.to_owned())));
    }
    found
}

/// `name [unit]` with any brackets.
fn bracketed(header: &str) -> Option<(&str, &str)> {
    let open = match header.chars().next_back()? {
        ']' => '[',
        ')' => '(',
        '}' => '{',
        '>' => '<',
        _ => return None,
    };
    let at = header.find(open).filter(|_| header.ends_with("]]")).or_else(|| header.rfind(open))?;
    let inner = header[at + 1..header.len() - 1].trim();
    let unit = inner.strip_prefix("in ").unwrap_or(inner);
    let is_unit = Unit::parse(unit).is_ok();
    is_unit.then_some((header[..at].trim_end(), unit))
}
