//! Tables as marked text: LaTeX and Markdown. What a person typed stays text.

use crate::error::{Error, ErrorKind, Result};

use super::page::{Cell, Table};

/// A kind of marked text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Marked {
    /// A `longtable` of LaTeX.
    Tex,
    /// A table of Markdown.
    Markdown,
}

impl Marked {
    /// Both kinds.
    pub const ALL: [Self; 2] = [Self::Tex, Self::Markdown];

    /// Ending of its files, and its word.
    #[must_use]
    pub fn ending(self) -> &'static str {
        match self {
            Self::Tex => "tex",
            Self::Markdown => "md",
        }
    }

    /// The kind with this word.
    ///
    /// # Errors
    /// [`ErrorKind::Name`] with the kinds there are.
    ///
    /// # Example
    /// ```
    /// use woodstate::report::Marked;
    /// assert_eq!(Marked::of_word("tex")?, Marked::Tex);
    /// # Ok::<(), woodstate::error::Error>(())
    /// ```
    pub fn of_word(word: &str) -> Result<Self> {
        let allowed = || Self::ALL.map(|kind| kind.ending().to_owned()).to_vec();
        let found = Self::ALL.into_iter().find(|kind| kind.ending() == word);
        found.ok_or_else(|| {
            Error::new(ErrorKind::Name { what: "kind of table", found: word.to_owned(), allowed: allowed() })
        })
    }

    /// A table of a page, with all its rows.
    pub(super) fn text(self, table: &Table) -> String {
        let cell = |cell: &Cell| {
            let links = cell.links.iter().map(|link| link.text.as_str());
            links
                .chain(std::iter::once(cell.text.as_str()).filter(|text| !text.is_empty()))
                .collect::<Vec<_>>()
                .join(", ")
        };
        let rows = table.rows.iter().map(|row| row.iter().map(cell).collect::<Vec<_>>());
        let rows: Vec<Vec<String>> = rows.collect();
        match self {
            Self::Tex => tex(table, &rows),
            Self::Markdown => markdown(table, &rows),
        }
    }
}

fn tex(table: &Table, rows: &[Vec<String>]) -> String {
    let line = |cells: &mut dyn Iterator<Item = &str>| cells.map(tex_text).collect::<Vec<_>>().join(" & ") + " \\\\\n";
    let columns: String = table.columns.iter().map(|head| if head.is_number { 'r' } else { 'l' }).collect();
    let heads = line(&mut table.columns.iter().map(|head| head.text.as_str()));
    let mut text = String::from("% Needs \\usepackage{longtable}.\n");
    text.push_str(&format!(
        "\\begin{{longtable}}{{{columns}}}\n\\caption{{{}}} \\\\\n\\hline\n",
        tex_text(&table.caption)
    ));
    text.push_str(&format!("{heads}\\hline\n\\endfirsthead\n\\hline\n{heads}\\hline\n\\endhead\n\\hline\n\\endfoot\n"));
    for row in rows {
        text.push_str(&line(&mut row.iter().map(String::as_str)));
    }
    text + "\\end{longtable}\n"
}

fn tex_text(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\\' => out.push_str("\\textbackslash{}"),
            '~' => out.push_str("\\textasciitilde{}"),
            '^' => out.push_str("\\textasciicircum{}"),
            '±' => out.push_str("\\ensuremath{\\pm}"),
            '<' => out.push_str("\\ensuremath{<}"),
            '>' => out.push_str("\\ensuremath{>}"),
            '{' | '}' | '$' | '&' | '#' | '_' | '%' => out.extend(['\\', c]),
            // A row that begins with a bracket would be taken for a distance after the one before.
            '[' | ']' => out.extend(['{', c, '}']),
            '\u{a0}' => out.push('~'),
            c if c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

fn markdown(table: &Table, rows: &[Vec<String>]) -> String {
    let line = |cells: &mut dyn Iterator<Item = &str>| {
        let cells: Vec<String> = cells.map(markdown_text).collect();
        format!("| {} |\n", cells.join(" | "))
    };
    let mut text = format!("{}\n\n", markdown_text(&table.caption));
    text.push_str(&line(&mut table.columns.iter().map(|head| head.text.as_str())));
    let rules = table.columns.iter().map(|head| if head.is_number { "---:" } else { "---" });
    text.push_str(&format!("| {} |\n", rules.collect::<Vec<_>>().join(" | ")));
    for row in rows {
        text.push_str(&line(&mut row.iter().map(String::as_str)));
    }
    text
}

fn markdown_text(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '\\' | '|' | '*' | '_' | '`' | '[' | ']' | '#' | '!' | '~' | '$' => out.extend(['\\', c]),
            c if c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::Align;

    fn table() -> Table {
        let mut table = Table::new("A & B", &[("name", Align::Left), ("u %", Align::Right)]);
        table.row(["\\input{x}$1$_[b]|<i>\n".to_owned(), "1.0 ± 0.2".to_owned()]);
        table
    }

    #[test]
    fn what_was_typed_is_no_command_of_latex() {
        let text = Marked::Tex.text(&table());
        let row = "\\textbackslash{}input\\{x\\}\\$1\\$\\_{[}b{]}|\\ensuremath{<}i\\ensuremath{>}  & 1.0 \\ensuremath{\\pm} 0.2 \\\\\n";
        assert!(text.contains(row), "{text}");
        assert!(text.contains("\\caption{A \\& B}") && text.contains("{lr}"), "{text}");
    }

    #[test]
    fn what_was_typed_is_no_markup_of_markdown() {
        let text = Marked::Markdown.text(&table());
        assert!(text.contains("| name | u % |\n| --- | ---: |\n"), "{text}");
        assert!(text.contains("| \\\\input{x}\\$1\\$\\_\\[b\\]\\|&lt;i&gt;  | 1.0 ± 0.2 |\n"), "{text}");
    }
}
