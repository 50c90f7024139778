//! Cells that were run, kept over sessions.

use std::fs::{self, File, OpenOptions};
use std::io::{BufRead, BufReader, Write};
use std::path::PathBuf;

use serde_json::{Value, json};

use super::request::Request;

/// Cells that are kept of earlier sessions.
const KEPT: usize = 2000;

/// A cell that was run.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Entry {
    session: i64,
    line: i64,
    input: String,
    output: Option<String>,
}

/// The cells of this session and of earlier ones. Where its file cannot be written, it holds this session alone.
pub struct History {
    entries: Vec<Entry>,
    session: i64,
    file: Option<PathBuf>,
}

impl History {
    /// The history in a file, which need not be there.
    pub fn open(file: Option<PathBuf>) -> Self {
        let mut entries: Vec<Entry> = file.as_ref().map(read).unwrap_or_default();
        let session = entries.iter().map(|entry| entry.session).max().unwrap_or(0) + 1;
        entries.drain(..entries.len().saturating_sub(KEPT));
        Self { entries, session, file }
    }

    /// A cell that was run.
    pub fn add(&mut self, line: i64, input: &str, output: Option<String>) {
        let entry = Entry { session: self.session, line, input: input.to_owned(), output };
        // What cannot be kept is no reason to fail a cell.
        let _ = self.append(&entry);
        self.entries.push(entry);
    }

    fn append(&self, entry: &Entry) -> std::io::Result<()> {
        let Some(path) = &self.file else { return Ok(()) };
        if let Some(folder) = path.parent() {
            fs::create_dir_all(folder)?;
        }
        let mut file = OpenOptions::new().create(true).append(true).open(path)?;
        let line = json!({"session": entry.session, "line": entry.line, "input": entry.input, "output": entry.output});
        file.write_all(format!("{line}\n").as_bytes())
    }

    /// The cells that a request asks for.
    pub fn asked(&self, request: &Request) -> Value {
        let count = |usual: i64| usize::try_from(request.whole("n", usual)).unwrap_or(0);
        let found: Vec<&Entry> = match request.text("hist_access_type") {
            "range" => {
                let session = match request.whole("session", 0) {
                    back if back <= 0 => self.session + back,
                    session => session,
                };
                let (start, stop) = (request.whole("start", 0), request.whole("stop", i64::MAX));
                let is_in = |entry: &&Entry| entry.session == session && entry.line >= start && entry.line < stop;
                self.entries.iter().filter(is_in).collect()
            }
            "search" => {
                let pattern = match request.text("pattern") {
                    "" => "*",
                    pattern => pattern,
                };
                let mut found: Vec<&Entry> =
                    self.entries.iter().filter(|entry| matches_glob(pattern, &entry.input)).collect();
                if request.truth("unique", false) {
                    let is_last = |place: usize, entry: &Entry| {
                        !found[place + 1..].iter().any(|other| other.input == entry.input)
                    };
                    found = found
                        .iter()
                        .enumerate()
                        .filter(|(place, entry)| is_last(*place, entry))
                        .map(|(_, entry)| *entry)
                        .collect();
                }
                last(found, count(1000))
            }
            _ => last(self.entries.iter().collect(), count(1000)),
        };
        let with_output = request.truth("output", false);
        let item = |entry: &Entry| match with_output {
            true => json!([entry.session, entry.line, [entry.input, entry.output]]),
            false => json!([entry.session, entry.line, entry.input]),
        };
        json!({"status": "ok", "history": found.into_iter().map(item).collect::<Vec<_>>()})
    }
}

fn last(mut found: Vec<&Entry>, n: usize) -> Vec<&Entry> {
    found.drain(..found.len().saturating_sub(n));
    found
}

fn read(path: &PathBuf) -> Vec<Entry> {
    let Ok(file) = File::open(path) else { return Vec::new() };
    // A line that was torn says nothing.
    let entry = |line: String| -> Option<Entry> {
        let value: Value = serde_json::from_str(&line).ok()?;
        Some(Entry {
            session: value.get("session")?.as_i64()?,
            line: value.get("line")?.as_i64()?,
            input: value.get("input")?.as_str()?.to_owned(),
            output: value.get("output").and_then(Value::as_str).map(str::to_owned),
        })
    };
    BufReader::new(file).lines().map_while(Result::ok).filter_map(entry).collect()
}

/// Whether a text matches a pattern with `*` and `?`.
fn matches_glob(pattern: &str, text: &str) -> bool {
    let (pattern, text): (Vec<char>, Vec<char>) = (pattern.chars().collect(), text.chars().collect());
    let (mut at, mut place) = (0, 0);
    let mut star: Option<(usize, usize)> = None;
    while place < text.len() {
        match pattern.get(at) {
            Some('*') => {
                star = Some((at, place));
                at += 1;
            }
            Some(c) if *c == '?' || *c == text[place] => {
                at += 1;
                place += 1;
            }
            _ => match star {
                Some((from, taken)) => {
                    star = Some((from, taken + 1));
                    (at, place) = (from + 1, taken + 1);
                }
                None => return false,
            },
        }
    }
    pattern[at..].iter().all(|c| *c == '*')
}

#[cfg(test)]
mod tests {
    use super::matches_glob;

    #[test]
    fn stars_stand_for_anything() {
        assert!(matches_glob("*", "") && matches_glob("re*d(*)", "read('a')") && matches_glob("a?c", "abc"));
        assert!(!matches_glob("re*x", "read('a')") && !matches_glob("", "a") && !matches_glob("a?", "a"));
    }
}
