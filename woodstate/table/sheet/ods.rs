//! Sheets of an open document (.ods).
//!
//! The content is read event by event. A repeated empty cell or row only moves the place of the next one; a repeated
//! cell that holds something is counted against the limits before it is written out.

use std::collections::BTreeSet;
use std::io::{Cursor, Read};

use quick_xml::events::{BytesStart, Event};
use quick_xml::{Reader, XmlVersion};

use crate::error::{Error, Result};
use crate::table::Grid;
use crate::table::grid::{GridBuilder, Kind, Slot};

use super::pack::{self, of_file};
use super::{Found, Reading};

/// Most bytes of a packed open document, which is held in memory as a whole.
const MAX_PACKED: usize = 10 << 20;

/// The content of the document, as text.
pub(super) fn content(bytes: &[u8], file: &str) -> Result<String> {
    if bytes.len() > MAX_PACKED {
        let text = format!("the open document has {} bytes; allowed are {MAX_PACKED}", bytes.len());
        return Err(Error::content(of_file(file), text).with_hint(pack::RESAVE));
    }
    let damaged =
        |why: String| Error::content(of_file(file), format!("the workbook is damaged: {why}")).with_hint(pack::RESAVE);
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).map_err(|error| damaged(error.to_string()))?;
    let mut manifest = Vec::new();
    if let Ok(mut part) = archive.by_name("META-INF/manifest.xml") {
        part.read_to_end(&mut manifest).map_err(|error| damaged(error.to_string()))?;
    }
    if pack::contains(&manifest, b"encryption-data") || archive.index_for_name("encrypted-package").is_some() {
        let protected = Error::content(of_file(file), "the workbook is protected by a password");
        return Err(protected.with_hint("save it without a password"));
    }
    let mut text = String::new();
    let mut part = archive.by_name("content.xml").map_err(|_| damaged("it has no content.xml".to_owned()))?;
    part.read_to_string(&mut text).map_err(|error| damaged(format!("content.xml: {error}")))?;
    Ok(text)
}

/// Names of the sheets, and whether each is in view.
pub(super) fn sheets(content: &str, file: &str) -> Result<Vec<(String, bool)>> {
    let mut walk = Walk::new(content, file);
    let (mut hidden, mut style, mut sheets) = (BTreeSet::new(), String::new(), Vec::new());
    loop {
        match walk.next()? {
            Event::Start(tag) | Event::Empty(tag) if tag.name().as_ref() == "style:style" => {
                style = walk.attribute(&tag, "style:name")?.unwrap_or_default();
            }
            Event::Start(tag) | Event::Empty(tag) if tag.name().as_ref() == "style:table-properties" => {
                let is_hidden = walk.attribute(&tag, "table:display")?.as_deref() == Some("false");
                hidden.extend(is_hidden.then(|| style.clone()));
            }
            Event::Start(tag) if tag.name().as_ref() == "table:table" => {
                let style = walk.attribute(&tag, "table:style-name")?.unwrap_or_default();
                let name = walk.attribute(&tag, "table:name")?.unwrap_or_default();
                sheets.push((name, !hidden.contains(&style)));
                walk.skip(&tag)?;
            }
            Event::Start(tag) if is_aside(tag.name().as_ref()) => walk.skip(&tag)?,
            Event::Eof => return Ok(sheets),
            _ => {}
        }
    }
}

/// The cells of one sheet.
pub(super) fn grid(content: &str, reading: &Reading<'_>) -> Result<Grid> {
    let file = &reading.place.file;
    let wanted = reading.place.sheet.as_deref().unwrap_or_default();
    let max_text = usize::try_from(reading.limits.max_unpacked).unwrap_or(usize::MAX);
    let mut walk = Walk::new(content, file);
    let mut sheet =
        Sheet { builder: GridBuilder::new(file, Some(wanted), max_text), found: Vec::new(), spans: Vec::new(), row: 0 };
    let mut is_inside = false;
    loop {
        match walk.next()? {
            Event::Start(tag) if tag.name().as_ref() == "table:table" => {
                is_inside = !is_inside && walk.attribute(&tag, "table:name")?.as_deref() == Some(wanted);
                if !is_inside {
                    walk.skip(&tag)?;
                }
            }
            Event::Start(tag) if is_aside(tag.name().as_ref()) => walk.skip(&tag)?,
            Event::Start(tag) if is_inside && tag.name().as_ref() == "table:table-row" => {
                sheet.row(&mut walk, &tag, false, reading)?;
            }
            Event::Empty(tag) if is_inside && tag.name().as_ref() == "table:table-row" => {
                sheet.row(&mut walk, &tag, true, reading)?;
            }
            Event::End(tag) if is_inside && tag.name().as_ref() == "table:table" => break,
            Event::Eof => break,
            _ => {}
        }
    }
    let Sheet { builder, mut found, .. } = sheet;
    // Covered cells count up to the last column that holds something, as in the other kind of workbook.
    let last = found.iter().filter(|(.., slot)| !slot.is_merged()).map(|(_, column, _)| *column).max();
    found.retain(|(_, column, slot)| !slot.is_merged() || Some(*column) <= last);
    reading.fill(builder, &found)
}

/// What stands in the document beside its cells, and may hold cells and text of its own.
fn is_aside(name: &str) -> bool {
    let asides = ["office:annotation", "table:tracked-changes", "table:shapes", "table:dde-links", "office:forms"];
    asides.contains(&name) || name.starts_with("draw:") || name == "table:table-source"
}

/// A merged area: its first row and column, and the ones behind its last.
type Span = (u32, u32, u32, u32);

struct Sheet {
    builder: GridBuilder,
    found: Vec<Found>,
    spans: Vec<Span>,
    row: u32,
}

impl Sheet {
    fn row(&mut self, walk: &mut Walk<'_>, tag: &BytesStart<'_>, is_bare: bool, reading: &Reading<'_>) -> Result<()> {
        let repeated = walk.repeated(tag, "table:number-rows-repeated")?;
        let start = self.found.len();
        let row = self.row;
        self.spans.retain(|span| span.2 > row);
        let mut column = 0;
        let mut is_open = !is_bare;
        while is_open {
            match walk.next()? {
                Event::Start(tag) if is_cell(&tag) => self.cell(walk, &tag, false, &mut column, reading)?,
                Event::Empty(tag) if is_cell(&tag) => self.cell(walk, &tag, true, &mut column, reading)?,
                Event::Start(tag) => walk.skip(&tag)?,
                Event::End(_) | Event::Eof => is_open = false,
                _ => {}
            }
        }
        if self.found[start..].iter().all(|(.., slot)| slot.is_merged()) {
            self.found.truncate(start);
        }
        let cells = start..self.found.len();
        for copy in 1..if cells.is_empty() { 1 } else { repeated } {
            for at in cells.clone() {
                let (_, column, slot) = self.found[at];
                reading.check(row.saturating_add(copy), column, self.found.len())?;
                self.found.push((row + copy, column, slot));
            }
        }
        self.row = row.saturating_add(repeated);
        Ok(())
    }

    fn cell(
        &mut self,
        walk: &mut Walk<'_>,
        tag: &BytesStart<'_>,
        is_bare: bool,
        column: &mut u32,
        reading: &Reading<'_>,
    ) -> Result<()> {
        let repeated = walk.repeated(tag, "table:number-columns-repeated")?;
        let (row, from) = (self.row, *column);
        *column = from.saturating_add(repeated);
        let (text, has_text) = if is_bare { (String::new(), false) } else { walk.text()? };
        if tag.name().as_ref() == "table:covered-table-cell" {
            let max_columns = u32::try_from(reading.limits.max_columns).unwrap_or(u32::MAX);
            for column in from..(*column).min(max_columns) {
                let covers = |span: &&Span| (span.0..span.2).contains(&row) && (span.1..span.3).contains(&column);
                if let Some(span) = self.spans.iter().find(covers) {
                    let slot = Slot::merged(span.0 + 1, span.1);
                    reading.check(row, column, self.found.len())?;
                    self.found.push((row, column, slot));
                }
            }
            return Ok(());
        }
        let rows = walk.repeated(tag, "table:number-rows-spanned")?;
        let columns = walk.repeated(tag, "table:number-columns-spanned")?;
        if rows > 1 || columns > 1 {
            self.spans.push((row, from, row.saturating_add(rows), from.saturating_add(columns)));
        }
        let slot = self.slot(walk, tag, &text, has_text)?;
        if slot != Slot::EMPTY {
            for column in from..*column {
                reading.check(row, column, self.found.len())?;
                self.found.push((row, column, slot));
            }
        }
        Ok(())
    }

    fn slot(&mut self, walk: &Walk<'_>, tag: &BytesStart<'_>, text: &str, has_text: bool) -> Result<Slot> {
        let attribute = |name| walk.attribute(tag, name);
        let has_formula = attribute("table:formula")?.is_some();
        let is_error = attribute("calcext:value-type")?.as_deref() == Some("error")
            || (has_formula && (text.starts_with("Err:") || ERRORS.contains(&text)));
        if is_error {
            return self.builder.text(Kind::Error, if text.is_empty() { "error" } else { text });
        }
        let kind = attribute("office:value-type")?;
        match kind.as_deref() {
            Some(kind @ ("float" | "percentage" | "currency")) => {
                let number = attribute("office:value")?.and_then(|value| value.trim().parse::<f64>().ok());
                let Some(number) = number.filter(|number| number.is_finite()) else {
                    return Err(walk.damaged("a number cannot be read"));
                };
                let slot = Slot::number(number);
                Ok(if kind == "percentage" { slot.in_percent() } else { slot })
            }
            Some("date") => {
                let date = attribute("office:date-value")?.unwrap_or_default();
                self.builder.text(Kind::Date, date.strip_suffix("T00:00:00").unwrap_or(&date))
            }
            Some("time") => {
                let time = attribute("office:time-value")?.unwrap_or_default();
                self.builder.text(Kind::Date, &clock(&time).unwrap_or(time))
            }
            Some("boolean") => Ok(Slot::boolean(attribute("office:boolean-value")?.as_deref() == Some("true"))),
            None if has_formula && !has_text => Ok(Slot::NOT_CALCULATED),
            _ => match attribute("office:string-value")? {
                Some(text) => self.builder.text(Kind::Text, &text),
                None => self.builder.text(Kind::Text, text),
            },
        }
    }
}

/// Error values as programs without a mark of their own for them show them.
const ERRORS: [&str; 7] = ["#DIV/0!", "#N/A", "#NAME?", "#NULL!", "#NUM!", "#REF!", "#VALUE!"];

fn is_cell(tag: &BytesStart<'_>) -> bool {
    matches!(tag.name().as_ref(), "table:table-cell" | "table:covered-table-cell")
}

/// `PT12H30M00S` as `12:30:00`; a day or more stays a span: `PT26H0M0S`.
fn clock(time: &str) -> Option<String> {
    let (hours, rest) = time.strip_prefix("PT")?.split_once('H')?;
    let (minutes, rest) = rest.split_once('M')?;
    let seconds = rest.strip_suffix('S')?.replace(',', ".");
    let (hours, minutes) = (hours.parse::<u32>().ok()?, minutes.parse::<u32>().ok()?);
    let (whole, part) = seconds.split_once('.').unwrap_or((&seconds, ""));
    let whole = whole.parse::<u32>().ok()?;
    let part = part.trim_end_matches('0');
    let fraction = if part.is_empty() { String::new() } else { format!(".{part}") };
    Some(match hours {
        0..24 => format!("{hours:02}:{minutes:02}:{whole:02}{fraction}"),
        _ => format!("PT{hours}H{minutes}M{whole}{fraction}S"),
    })
}

/// The events of the document.
struct Walk<'a> {
    reader: Reader<&'a [u8]>,
    file: &'a str,
}

impl<'a> Walk<'a> {
    fn new(content: &'a str, file: &'a str) -> Self {
        Self { reader: Reader::from_str(content), file }
    }

    fn damaged(&self, why: &str) -> Error {
        let text = format!("the workbook is damaged: content.xml: {why}");
        Error::content(of_file(self.file), text).with_hint(pack::RESAVE)
    }

    fn next(&mut self) -> Result<Event<'a>> {
        self.reader.read_event().map_err(|error| self.damaged(&error.to_string()))
    }

    fn skip(&mut self, tag: &BytesStart<'_>) -> Result<()> {
        self.reader.read_to_end(tag.name()).map(drop).map_err(|error| self.damaged(&error.to_string()))
    }

    fn attribute(&self, tag: &BytesStart<'_>, name: &str) -> Result<Option<String>> {
        let found = tag.try_get_attribute(name).map_err(|error| self.damaged(&error.to_string()))?;
        let Some(found) = found else { return Ok(None) };
        let value =
            found.normalized_value(XmlVersion::Implicit1_0).map_err(|error| self.damaged(&error.to_string()))?;
        Ok(Some(value.into_owned()))
    }

    /// How often something stands; 1 if nothing is said.
    fn repeated(&self, tag: &BytesStart<'_>, name: &str) -> Result<u32> {
        let Some(text) = self.attribute(tag, name)? else { return Ok(1) };
        let number = text.trim().parse::<u32>().ok().filter(|number| *number > 0);
        number.ok_or_else(|| self.damaged(&format!("{name} is {text}")))
    }

    /// The paragraphs of a cell up to its end, a line each, and whether there were any.
    fn text(&mut self) -> Result<(String, bool)> {
        let mut text = Lines::default();
        let mut depth = 0_usize;
        loop {
            match self.next()? {
                Event::Start(tag) if is_aside(tag.name().as_ref()) || tag.name().as_ref() == "table:table" => {
                    self.skip(&tag)?;
                }
                Event::Start(tag) => {
                    depth += 1;
                    self.mark(&tag, &mut text)?;
                }
                Event::Empty(tag) => self.mark(&tag, &mut text)?,
                Event::End(_) if depth == 0 => return Ok((text.line, text.n_lines > 0)),
                Event::End(_) => depth -= 1,
                Event::Text(run) if text.n_lines > 0 => text.run(&run.xml10_content()),
                Event::CData(run) if text.n_lines > 0 => text.run(&run.xml10_content()),
                Event::GeneralRef(name) => {
                    let letter = name.resolve_char_ref().map_err(|error| self.damaged(&error.to_string()))?;
                    let named = || quick_xml::escape::resolve_predefined_entity(&name);
                    match (letter, named()) {
                        (Some(letter), _) => text.letter(letter),
                        (None, Some(known)) => text.run(known),
                        (None, None) => return Err(self.damaged("an entity is not known")),
                    }
                }
                Event::Eof => return Err(self.damaged("it ends inside a cell")),
                _ => {}
            }
        }
    }

    /// A paragraph, or white space that has an element of its own.
    fn mark(&self, tag: &BytesStart<'_>, text: &mut Lines) -> Result<()> {
        match tag.name().as_ref() {
            "text:p" | "text:h" => text.begin(),
            "text:s" => {
                let n = self.repeated(tag, "text:c")?.min(LONGEST);
                (0..n).for_each(|_| text.letter(' '));
            }
            "text:tab" => text.letter('\t'),
            "text:line-break" => text.letter('\n'),
            _ => {}
        }
        Ok(())
    }
}

/// Most spaces in one run: what a cell of a spreadsheet program holds.
const LONGEST: u32 = 32_767;

/// The text of a cell. White space between words counts once, as the format has it.
#[derive(Default)]
struct Lines {
    line: String,
    n_lines: usize,
    is_after_space: bool,
}

impl Lines {
    fn begin(&mut self) {
        if self.n_lines > 0 {
            self.line.push('\n');
        }
        self.n_lines += 1;
        self.is_after_space = true;
    }

    fn run(&mut self, text: &str) {
        for letter in text.chars() {
            match letter {
                ' ' | '\t' | '\n' | '\r' if self.is_after_space => {}
                ' ' | '\t' | '\n' | '\r' => {
                    self.line.push(' ');
                    self.is_after_space = true;
                }
                letter => self.letter(letter),
            }
        }
    }

    fn letter(&mut self, letter: char) {
        self.line.push(letter);
        self.is_after_space = false;
    }
}
