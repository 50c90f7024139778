//! A view as a part of a page: for notebooks, without scripts, readable on light and dark ground.

use std::fmt::Write;

use super::{Align, Block, Grid, View};

/// A view as HTML that can stand inside any page; every text is escaped.
///
/// # Example
/// ```
/// use woodstate::report::{Block, View, html_fragment};
/// let view = View { blocks: vec![Block::Paragraph("a < b".into())] };
/// assert!(html_fragment(&view).contains("<p>a &lt; b</p>"));
/// ```
#[must_use]
pub fn html_fragment(view: &View) -> String {
    let mut page = String::from("<div class=\"woodstate\">\n");
    for block in &view.blocks {
        match block {
            Block::Heading(heading) => put(&mut page, "h4", heading),
            Block::Paragraph(paragraph) => put(&mut page, "p", paragraph),
            Block::Table(grid) => table(&mut page, grid),
            Block::Legend(entries) => legend(&mut page, entries),
            Block::Listing(title, entries) => {
                put(&mut page, "p", title);
                legend(&mut page, entries);
            }
        }
    }
    page + "</div>"
}

/// One element on a line of its own. Writing to a text never fails.
fn put(page: &mut String, tag: &str, text: &str) {
    let _ = writeln!(page, "<{tag}>{}</{tag}>", escaped(text));
}

fn legend(page: &mut String, entries: &[(String, String)]) {
    page.push_str("<table class=\"dataframe\"><tbody>\n");
    for (mark, meaning) in entries {
        let (mark, meaning) = (escaped(mark), escaped(meaning));
        let _ = writeln!(
            page,
            "<tr><th scope=\"row\" style=\"{LEFT}\">{mark}</th><td style=\"{LEFT}\">{meaning}</td></tr>"
        );
    }
    page.push_str("</tbody></table>\n");
}

/// Colours are left to the page, so that dark ones stay readable.
const LEFT: &str = "text-align: left; vertical-align: top";
const RIGHT: &str = "text-align: right; vertical-align: top; white-space: nowrap";

fn table(page: &mut String, grid: &Grid) {
    let style = |place: usize| match grid.columns[place].align {
        Align::Left => LEFT,
        Align::Right => RIGHT,
    };
    page.push_str("<table class=\"dataframe\">\n<thead><tr>");
    for (place, column) in grid.columns.iter().enumerate() {
        let _ = write!(page, "<th scope=\"col\" style=\"{}\">{}</th>", style(place), escaped(column.head.trim_end()));
    }
    page.push_str("</tr></thead>\n<tbody>\n");
    for row in &grid.rows {
        page.push_str("<tr>");
        for (place, cell) in row.iter().enumerate() {
            let is_name = place < grid.n_names;
            let (tag, end) = if is_name { ("th scope=\"row\"", "th") } else { ("td", "td") };
            // A name is easier to find where it stands in one line.
            let whole = if is_name { "; white-space: nowrap" } else { "" };
            let _ = write!(page, "<{tag} style=\"{}{whole}\">{}</{end}>", style(place), escaped(cell));
        }
        page.push_str("</tr>\n");
    }
    page.push_str("</tbody></table>\n");
}

/// A text in which nothing is markup, and a formula of a page is none either.
fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            '$' => safe.push_str("&#36;"),
            '\n' => safe.push_str("<br>"),
            c if c.is_control() => safe.extend(c.escape_default()),
            c => safe.push(c),
        }
    }
    safe
}
