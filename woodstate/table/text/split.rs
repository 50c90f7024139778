//! Records of delimited text, strictly: a quote that is torn is an error, and the line of each record is known.

/// Walks through a text record by record.
///
/// A cell is quoted if its first character is `"`; inside, `""` is one quote, and delimiters and line ends are text.
/// A line ends with LF, CR LF or CR.
#[derive(Debug, Clone)]
pub(super) struct Splitter<'a> {
    text: &'a str,
    delimiter: u8,
    at: usize,
    line: usize,
    unquoted: String,
    /// Whether a byte ends a cell that is not quoted.
    ends: [bool; 256],
}

/// A quote that does not fit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Torn {
    /// Opened on this line and never closed.
    Unclosed(usize),
    /// Closed on this line and followed by more text of the same cell.
    Trailing(usize),
}

/// What stands behind a cell.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Behind {
    Cell,
    Record,
}

impl<'a> Splitter<'a> {
    /// A walk through a text that starts on this line; the delimiter must be ASCII.
    pub(super) fn new(text: &'a str, delimiter: u8, line: usize) -> Self {
        let mut ends = [false; 256];
        for byte in [delimiter, b'\n', b'\r'] {
            ends[usize::from(byte)] = true;
        }
        Self { text, delimiter, at: 0, line, unquoted: String::new(), ends }
    }

    /// Hands each cell of the next record to `cell` and returns the line on which the record starts; `None` at the
    /// end of the text. A blank line is a record with one empty cell.
    pub(super) fn record<E: From<Torn>>(
        &mut self,
        mut cell: impl FnMut(&str) -> Result<(), E>,
    ) -> Result<Option<usize>, E> {
        self.cells(|text, _| cell(text))
    }

    /// As [`record`](Self::record), and says where a cell starts that was not quoted.
    pub(super) fn cells<E: From<Torn>>(
        &mut self,
        mut cell: impl FnMut(&str, Option<usize>) -> Result<(), E>,
    ) -> Result<Option<usize>, E> {
        if self.at == self.text.len() {
            return Ok(None);
        }
        let line = self.line;
        loop {
            let behind = if self.text.as_bytes().get(self.at) == Some(&b'"') {
                let behind = self.quoted()?;
                cell(&self.unquoted, None)?;
                behind
            } else {
                let start = self.at;
                let rest = &self.text.as_bytes()[start..];
                self.at += rest.iter().position(|byte| self.ends[usize::from(*byte)]).unwrap_or(rest.len());
                cell(&self.text[start..self.at], Some(start))?;
                self.step()
            };
            if behind == Behind::Record {
                return Ok(Some(line));
            }
        }
    }

    /// Steps over the next record; false at the end of the text.
    pub(super) fn skip(&mut self) -> Result<bool, Torn> {
        let line_end = self.find(|b| b == b'\n' || b == b'\r');
        if self.text.as_bytes()[self.at..line_end].contains(&b'"') {
            return Ok(self.record(|_| Ok::<(), Torn>(()))?.is_some());
        }
        let has_record = self.at < self.text.len();
        self.at = line_end;
        if line_end < self.text.len() {
            self.line_end();
        }
        Ok(has_record)
    }

    /// The byte at which the walk stands.
    pub(super) fn at(&self) -> usize {
        self.at
    }

    /// The line on which the walk stands.
    pub(super) fn line(&self) -> usize {
        self.line
    }

    /// Position of the next byte that fits, or the end of the text.
    fn find(&self, fits: impl Fn(u8) -> bool) -> usize {
        let rest = &self.text.as_bytes()[self.at..];
        rest.iter().position(|b| fits(*b)).map_or(self.text.len(), |found| self.at + found)
    }

    /// Steps over the delimiter, the line end or the end of the text behind a cell.
    fn step(&mut self) -> Behind {
        match self.text.as_bytes().get(self.at) {
            Some(b'\n' | b'\r') => {
                self.line_end();
                Behind::Record
            }
            Some(_) => {
                self.at += 1;
                Behind::Cell
            }
            None => Behind::Record,
        }
    }

    fn line_end(&mut self) {
        let both = self.text.as_bytes()[self.at..].starts_with(b"\r\n");
        self.at += if both { 2 } else { 1 };
        self.line += 1;
    }

    /// Reads a quoted cell into `unquoted`.
    fn quoted(&mut self) -> Result<Behind, Torn> {
        let opened = self.line;
        self.unquoted.clear();
        self.at += 1;
        loop {
            let start = self.at;
            self.at = self.find(|b| b == b'"' || b == b'\n' || b == b'\r');
            match self.text.as_bytes().get(self.at) {
                None => return Err(Torn::Unclosed(opened)),
                Some(b'"') => {
                    self.unquoted.push_str(&self.text[start..self.at]);
                    self.at += 1;
                    match self.text.as_bytes().get(self.at) {
                        Some(b'"') => {
                            self.unquoted.push('"');
                            self.at += 1;
                        }
                        None | Some(b'\n' | b'\r') => return Ok(self.step()),
                        Some(b) if *b == self.delimiter => return Ok(self.step()),
                        Some(_) => return Err(Torn::Trailing(self.line)),
                    }
                }
                Some(_) => {
                    self.line_end();
                    self.unquoted.push_str(&self.text[start..self.at]);
                }
            }
        }
    }
}
