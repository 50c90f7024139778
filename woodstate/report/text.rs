//! A view as text for a terminal, or as tab-separated text for a pipe.

use comfy_table::presets::NOTHING;
use comfy_table::{Cell, CellAlignment, ContentArrangement, Table};

use super::{Align, Block, Grid, View};

/// A view as text, not wider than `width` characters where its tables allow.
#[must_use]
pub fn text(view: &View, width: u16) -> String {
    let blocks: Vec<String> = view.blocks.iter().map(|block| block_text(block, width)).collect();
    let mut text = visible(&blocks.join("\n\n"));
    text.push('\n');
    text
}

/// Control characters that come from a file are shown, not sent to a terminal.
fn visible(text: &str) -> String {
    let is_loud = |c: char| c.is_control() && c != '\n';
    if !text.contains(is_loud) {
        return text.to_owned();
    }
    text.chars().map(|c| if is_loud(c) { c.escape_default().to_string() } else { c.to_string() }).collect()
}

fn block_text(block: &Block, width: u16) -> String {
    match block {
        Block::Heading(heading) => heading.to_uppercase(),
        Block::Paragraph(paragraph) => wrapped(paragraph, "", width),
        Block::Table(grid) => table(grid, width),
        Block::Legend(entries) => legend(entries, width),
        Block::Listing(title, entries) => format!("{}\n{}", wrapped(title, "", width), legend(entries, width)),
    }
}

/// Marks at the left, what they mean beside them.
fn legend(entries: &[(String, String)], width: u16) -> String {
    let widest = entries.iter().map(|(mark, _)| mark.chars().count()).max().unwrap_or(0);
    let indent = " ".repeat(widest + 2);
    let line = |(mark, meaning): &(String, String)| {
        let body = wrapped(meaning, &indent, width);
        format!("{mark:<widest$}  {}", body.trim_start())
    };
    entries.iter().map(line).collect::<Vec<_>>().join("\n")
}

fn table(grid: &Grid, width: u16) -> String {
    if let Some(parts) = parts(grid, usize::from(width)) {
        return parts.iter().map(|part| laid(part, width)).collect::<Vec<_>>().join("\n\n");
    }
    if narrowest(grid) > usize::from(width) {
        return records(grid, width);
    }
    laid(grid, width)
}

fn laid(grid: &Grid, width: u16) -> String {
    let mut table = Table::new();
    table.load_style(NOTHING).set_content_arrangement(ContentArrangement::Dynamic).set_width(width);
    table.set_header(grid.columns.iter().map(|column| Cell::new(&column.head).set_alignment(aligned(column.align))));
    for row in &grid.rows {
        let cells = row.iter().zip(&grid.columns);
        table.add_row(cells.map(|(cell, column)| Cell::new(cell).set_alignment(aligned(column.align))));
    }
    let text = table.to_string();
    text.lines().map(|line| line.strip_prefix(' ').unwrap_or(line).trim_end()).collect::<Vec<_>>().join("\n")
}

/// Characters between two columns.
const GAP: usize = 2;

/// A table whose rows have names and which is too wide, as tables that are not: each has the names and as many of the
/// other columns as fit, with no cell broken. `None` where that is not needed or not possible.
fn parts(grid: &Grid, width: usize) -> Option<Vec<Grid>> {
    let widest = |text: &str| text.lines().map(|line| line.chars().count()).max().unwrap_or(0);
    let of_column = |place: usize| {
        let cells = grid.rows.iter().map(|row| widest(&row[place]));
        cells.chain([widest(&grid.columns[place].head)]).max().unwrap_or(0) + GAP
    };
    let widths: Vec<usize> = (0..grid.columns.len()).map(of_column).collect();
    if grid.n_names == 0 || widths.iter().sum::<usize>() <= width {
        return None;
    }
    let names = widths[..grid.n_names].iter().sum::<usize>();
    let (mut parts, mut used): (Vec<Vec<usize>>, usize) = (Vec::new(), width);
    for (place, column) in widths.iter().enumerate().skip(grid.n_names) {
        if used + column > width {
            if names + column > width {
                return None;
            }
            parts.push((0..grid.n_names).collect());
            used = names;
        }
        used += column;
        parts.last_mut()?.push(place);
    }
    let part = |places: Vec<usize>| {
        let rows = grid.rows.iter().map(|row| places.iter().map(|place| row[*place].clone()).collect());
        let columns = places.iter().map(|place| grid.columns[*place].clone());
        Grid { columns: columns.collect(), rows: rows.collect(), n_names: grid.n_names }
    };
    Some(parts.into_iter().map(part).collect())
}

/// Characters in a line of the table where no word is cut.
fn narrowest(grid: &Grid) -> usize {
    let longest = |text: &str| text.split_whitespace().map(|word| word.chars().count()).max().unwrap_or(0);
    let of_column = |(place, column): (usize, &super::ColumnView)| {
        let cells = grid.rows.iter().map(|row| longest(&row[place]));
        cells.chain([longest(&column.head)]).max().unwrap_or(0) + GAP
    };
    grid.columns.iter().enumerate().map(of_column).sum()
}

/// Each row as a paragraph of its own: its first cell above, the others below it with their heads.
fn records(grid: &Grid, width: u16) -> String {
    let head = |place: usize| match grid.columns[place].head.trim() {
        "" => "see below".to_owned(),
        head => head.split_whitespace().collect::<Vec<_>>().join(" "),
    };
    let record = |row: &Vec<String>| {
        let cells = row.iter().enumerate().skip(1).filter(|(_, cell)| !cell.is_empty());
        let entries: Vec<_> = cells.map(|(place, cell)| (format!("  {}", head(place)), cell.clone())).collect();
        let first = row.first().map(String::as_str).unwrap_or_default();
        format!("{}: {first}\n{}", head(0), legend(&entries, width))
    };
    grid.rows.iter().map(record).collect::<Vec<_>>().join("\n")
}

fn aligned(align: Align) -> CellAlignment {
    match align {
        Align::Left => CellAlignment::Left,
        Align::Right => CellAlignment::Right,
    }
}

/// Words in lines of at most `width` characters, each line behind `indent`.
fn wrapped(text: &str, indent: &str, width: u16) -> String {
    let mut lines = vec![String::new()];
    for word in text.split_whitespace() {
        let last = lines.len() - 1;
        let is_full = indent.len() + lines[last].chars().count() + word.chars().count() >= usize::from(width);
        if is_full && !lines[last].is_empty() {
            lines.push(word.to_owned());
        } else {
            let gap = if lines[last].is_empty() { "" } else { " " };
            lines[last] = format!("{}{gap}{word}", lines[last]);
        }
    }
    lines.into_iter().map(|line| format!("{indent}{line}")).collect::<Vec<_>>().join("\n")
}

/// The tables of a view as tab-separated text: one header line a table, no marks, a blank line between tables.
#[must_use]
pub fn tab_separated(view: &View) -> String {
    let tables = view.blocks.iter().filter_map(|block| match block {
        Block::Table(grid) => Some(grid),
        Block::Heading(_) | Block::Paragraph(_) | Block::Legend(_) | Block::Listing(..) => None,
    });
    let plain = |text: &str| text.replace(['\t', '\n', '\r'], " ");
    let lines = |grid: &Grid| {
        let head: Vec<String> = grid.columns.iter().map(|column| plain(&column.head)).collect();
        let rows = grid.rows.iter().map(|row| row.iter().map(|cell| plain(cell)).collect::<Vec<_>>().join("\t"));
        std::iter::once(head.join("\t")).chain(rows).map(|line| line + "\n").collect::<String>()
    };
    tables.map(lines).collect::<Vec<_>>().join("\n")
}
