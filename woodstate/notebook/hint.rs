//! What people try in their first hour, and what to write instead.

use super::fault::Fault;

/// The fault of a cell that is no cell; `None` where it may be one. Lines are counted from 1.
pub(super) fn before_parsing(code: &str, cell: &str) -> Option<Fault> {
    code.lines().enumerate().find_map(|(place, line)| {
        let (text, cure) = of_line(line.trim())?;
        let shown = line.trim_end();
        let indent = line.len() - line.trim_start().len();
        let caret = format!("  {}{}", " ".repeat(indent), "^".repeat(shown.trim().chars().count().clamp(1, 40)));
        let place = vec![format!("{cell}, line {}:", place + 1), format!("  {shown}"), caret];
        Some(Fault { kind: "not a cell", text, place, cure: Some(cure) })
    })
}

fn of_line(line: &str) -> Option<(String, String)> {
    let word = line.split(|c: char| !(c.is_alphanumeric() || c == '_')).next().unwrap_or_default();
    let said = |text: &str, cure: &str| Some((text.to_owned(), cure.to_owned()));
    if line.starts_with('!') {
        return said("Cells run no programs of the system.", "leave the line out; help() lists what there is");
    }
    if let Some(magic) = line.strip_prefix('%') {
        return said(
            &format!("%{} is not needed here.", magic.trim_start_matches('%').split(' ').next().unwrap_or_default()),
            "leave the line out: figures show themselves",
        );
    }
    match word {
        "load" if line[4..].trim_start().starts_with('(') => {
            let rest = line[4..].trim();
            Some(("load is a word of the cell language itself.".to_owned(), format!("write read{rest}")))
        }
        "import" | "from" if line.contains("import") => {
            let pandas = line.contains("pandas") || line.contains("polars");
            let cure = if pandas {
                "for a data frame elsewhere: save(s, \"state.parquet\") or save(s, \"state.csv\")"
            } else {
                "the words are few: help()"
            };
            said("Cells are not Python and import nothing.", cure)
        }
        "while" if line.ends_with(':') => said("There is no while here.", "for n in range(100):"),
        "try" | "except" | "finally" if line.ends_with(':') => {
            said("There is no try here: every error says what to do.", "leave it out")
        }
        "with" if line.ends_with(':') => said("There is no with here.", "save(g, \"figure.svg\") writes a file"),
        "class" if line.ends_with(':') => said("There are no classes here.", "def name(x): makes a function"),
        "assert" => said("There is no assert here.", "if not (x > 0): fail(\"x must be above 0\")"),
        "del" => said("There is no del here.", "t = None lets a table go"),
        _ => None,
    }
}

/// What to do about an error of the parser, from the line where it stands.
pub(super) fn of_parser(line: &str) -> Option<String> {
    let plain = outside_quotes(line);
    if plain.contains("**") {
        return Some("write pow(c, 2) for a power".to_owned());
    }
    if plain.contains(" is not ") || plain.contains(" is ") {
        return Some("write == or !=".to_owned());
    }
    let is_ascii = plain.is_ascii();
    if !is_ascii {
        return Some("names in cells have letters a to z; a column with other letters is t[\"...\"]".to_owned());
    }
    let is_underscored = |word: &str| word.contains('_') && word.chars().all(|c| c.is_ascii_digit() || c == '_');
    if plain.split(|c: char| !(c.is_alphanumeric() || c == '_')).any(|word| word.len() > 1 && is_underscored(word)) {
        return Some("write numbers without _: 1000".to_owned());
    }
    if let Some(word) = ["lambda", "load", "class", "is", "as", "with", "nonlocal", "global"]
        .into_iter()
        .find(|word| plain.split_whitespace().next() == Some(word) && plain.contains('='))
    {
        return Some(format!("{word} is a word of the cell language; give it another name"));
    }
    None
}

/// A line with everything in quotes, and its remark, taken out.
fn outside_quotes(line: &str) -> String {
    let (mut plain, mut quote) = (String::new(), None);
    for c in line.chars() {
        match (quote, c) {
            (None, '"' | '\'') => quote = Some(c),
            (None, '#') => break,
            (None, c) => plain.push(c),
            (Some(open), c) if c == open => quote = None,
            (Some(_), _) => {}
        }
    }
    plain
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_people_try_is_answered_with_a_line_to_type() {
        let cure = |code: &str| before_parsing(code, "Cell [1]").and_then(|fault| fault.cure).unwrap_or_default();
        assert_eq!(cure("load(\"x.csv\")"), "write read(\"x.csv\")");
        assert!(cure("x = 1\nimport pandas as pd").contains("save(s, \"state.parquet\")"));
        assert!(cure("%matplotlib inline").contains("figures show themselves"));
        assert!(cure("!pip install x").contains("help()"));
        assert_eq!(before_parsing("loads = 3\nx = 5 % 2", "Cell [1]"), None);
        assert_eq!(of_parser("y = c ** 2").as_deref(), Some("write pow(c, 2) for a power"));
        assert_eq!(of_parser("y = \"a ** b\" +"), None);
    }
}
