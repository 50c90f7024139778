//! Where a cursor stands in a cell that may be unfinished.

/// A bracket that is open.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Open {
    /// The bracket.
    pub(super) bracket: char,
    /// Names before it: `s.where(` has `s` and `where`, `t[` has `t`.
    pub(super) path: Vec<String>,
    /// What stands behind it so far.
    pub(super) inside: String,
}

/// Where a cursor stands.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Spot {
    /// The text in quotes so far, where the cursor stands in one; its quotes are not part of it.
    pub(super) quoted: Option<String>,
    /// Whether it stands in a remark.
    pub(super) is_remark: bool,
    /// Open brackets, the innermost last.
    pub(super) open: Vec<Open>,
    /// Names joined by dots up to the cursor; the last one may be empty.
    pub(super) path: Vec<String>,
    /// The argument that is being given, as in `by="`.
    pub(super) argument: Option<String>,
}

/// The words of a cell outside quotes and remarks.
pub(super) fn words(code: &str) -> impl Iterator<Item = &str> {
    let mut parts = Vec::new();
    let mut from = 0;
    let mut state = Quotes::default();
    for (at, c) in code.char_indices() {
        let was_free = state.is_free();
        state.step(code, at, c);
        if was_free && !state.is_free() {
            parts.push(&code[from..at]);
        }
        if !was_free && state.is_free() {
            from = at + c.len_utf8();
        }
    }
    if state.is_free() {
        parts.push(&code[from..]);
    }
    parts.into_iter().flat_map(|part| part.split(|c: char| !is_word(c))).filter(|word| !word.is_empty())
}

/// Whether a character belongs to a name.
pub(super) fn is_word(c: char) -> bool {
    c.is_alphanumeric() || c == '_'
}

/// Quotes and remarks, character by character.
#[derive(Debug, Default)]
struct Quotes {
    open: Option<&'static str>,
    is_remark: bool,
    skip: usize,
}

impl Quotes {
    fn is_free(&self) -> bool {
        self.open.is_none() && !self.is_remark
    }

    fn step(&mut self, code: &str, at: usize, c: char) {
        if self.skip > 0 {
            self.skip -= 1;
            return;
        }
        match self.open {
            Some(quote) if code[at..].starts_with(quote) => {
                self.open = None;
                self.skip = quote.len() - 1;
            }
            Some(_) if c == '\\' => self.skip = 1,
            Some(quote) if c == '\n' && quote.len() == 1 => self.open = None,
            Some(_) => {}
            None if self.is_remark => self.is_remark = c != '\n',
            None if c == '#' => self.is_remark = true,
            None => {
                self.open = ["\"\"\"", "'''", "\"", "'"].into_iter().find(|quote| code[at..].starts_with(quote));
                self.skip = self.open.map_or(0, |quote| quote.len() - 1);
            }
        }
    }
}

/// Whether a text in three quotes is open at the end.
pub(super) fn is_quote_open(code: &str) -> bool {
    let mut state = Quotes::default();
    code.char_indices().for_each(|(at, c)| state.step(code, at, c));
    state.open.is_some_and(|quote| quote.len() == 3)
}

/// How many brackets are open at the end.
pub(super) fn n_open(code: &str) -> usize {
    spot(code).open.len()
}

/// Where the end of a text stands.
pub(super) fn spot(code: &str) -> Spot {
    let mut state = Quotes::default();
    let mut open: Vec<Open> = Vec::new();
    let mut quoted = String::new();
    let mut before_quote = String::new();
    let mut free = String::new();
    for (at, c) in code.char_indices() {
        let was_free = state.is_free();
        let was_open = state.open.is_some();
        state.step(code, at, c);
        for one in &mut open {
            one.inside.push(c);
        }
        if was_open && state.open.is_some() {
            quoted.push(c);
        }
        if was_free && state.open.is_some() {
            quoted.clear();
            before_quote.clone_from(&free);
        }
        if was_free && state.is_free() {
            match c {
                '(' | '[' | '{' => {
                    open.push(Open { bracket: c, path: path(&free), inside: String::new() });
                }
                ')' | ']' | '}' => drop(open.pop()),
                _ => {}
            }
            free.push(c);
        } else if !state.is_free() && was_free {
            // A text counts as something that stands there.
            free.push('"');
        }
    }
    let in_quotes = state.open.map(|quote| quoted.get(quote.len() - 1..).unwrap_or_default().to_owned());
    let written = if state.open.is_some() { before_quote.as_str() } else { free.as_str() };
    Spot {
        is_remark: state.is_remark,
        path: if in_quotes.is_some() { Vec::new() } else { path(&free) },
        argument: argument(written),
        quoted: in_quotes,
        open,
    }
}

/// Names joined by dots at the end of a text; empty names where there is none.
fn path(text: &str) -> Vec<String> {
    let start = text
        .rfind(|c: char| !(is_word(c) || c == '.'))
        .map_or(0, |at| at + text[at..].chars().next().map_or(1, char::len_utf8));
    text[start..].split('.').map(str::to_owned).collect()
}

/// The name before a `=` at the end of a text, or inside a list that is given so.
fn argument(text: &str) -> Option<String> {
    let text = text.trim_end_matches(|c: char| c.is_whitespace() || matches!(c, '"' | ',' | '['));
    let before = text.strip_suffix('=')?;
    let name: String = before.trim_end().chars().rev().take_while(|c| is_word(*c)).collect();
    Some(name.chars().rev().collect::<String>()).filter(|name| !name.is_empty())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quotes_brackets_and_arguments_are_told_apart() {
        let at = spot("x = s.where(\"max_wa");
        assert_eq!(at.quoted.as_deref(), Some("max_wa"));
        assert_eq!(at.open[0].path, ["s", "where"]);
        let at = spot("summary(s, by=\"con");
        assert_eq!((at.argument.as_deref(), at.quoted.as_deref()), (Some("by"), Some("con")));
        assert_eq!(spot("t[\"").quoted.as_deref(), Some(""));
        assert_eq!(spot("f = figure('a (', s.ba").path, ["s", "ba"]);
        assert!(spot("x = 1 # note: s.").is_remark);
        assert_eq!(words("def f(x): return 'k' + k # m").collect::<Vec<_>>(), ["def", "f", "x", "return", "k"]);
        assert!(is_quote_open("x = \"\"\"a\nb") && !is_quote_open("x = \"a\n"));
    }
}
