//! Results to standard output, everything else to standard error, and the exit code.

use std::io::{self, IsTerminal, Write};
use std::process::ExitCode;

use anstream::{AutoStream, ColorChoice};
use serde::Serialize;
use terminal_size::{Width, terminal_size};
use woodstate::error::{Error, ErrorKind, Result};
use woodstate::report::{View, json, tab_separated, text};
use woodstate::table::file_error;

use crate::args::{Color, CommonArgs};

/// How a command ended, where it ended with a result.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ending {
    /// Everything was assessed.
    Done,
    /// Some row was not assessed.
    NotAssessed,
    /// Cautions were raised under `--strict`.
    Cautions,
    /// Something was typed that does not exist, and it was said.
    Usage,
    /// A script ended with this code, and why was said.
    #[cfg(feature = "notebook")]
    Script(u8),
}

impl Ending {
    /// The exit code.
    pub fn code(self) -> ExitCode {
        ExitCode::from(match self {
            Self::Done => 0,
            Self::NotAssessed => 3,
            Self::Cautions => 4,
            Self::Usage => 2,
            #[cfg(feature = "notebook")]
            Self::Script(code) => code,
        })
    }
}

/// Where to and how.
#[derive(Debug, Clone)]
pub struct Output {
    json: bool,
    plain: bool,
    pub is_quiet: bool,
    color: ColorChoice,
}

impl Output {
    /// As was typed.
    pub fn new(common: &CommonArgs) -> Self {
        let color = match common.color {
            Color::Auto => ColorChoice::Auto,
            Color::Always => ColorChoice::Always,
            Color::Never => ColorChoice::Never,
        };
        Self { json: common.json, plain: common.plain, is_quiet: common.quiet, color }
    }

    /// A result on standard output. A reader that closed the pipe is no failure.
    pub fn result<T: Serialize>(
        &self,
        outcome: &T,
        view: impl FnOnce() -> View,
        plain: impl FnOnce() -> View,
    ) -> Result<()> {
        let body = if self.json {
            json(outcome)?
        } else if self.plain {
            tab_separated(&plain())
        } else {
            text(&view(), width(io::stdout().is_terminal()))
        };
        self.text(&body)
    }

    /// A text on standard output, as it stands.
    #[allow(clippy::unused_self, reason = "OK because every way out belongs to the output")]
    pub fn text(&self, body: &str) -> Result<()> {
        let mut stdout = io::stdout().lock();
        match stdout.write_all(body.as_bytes()).and_then(|()| stdout.flush()) {
            Err(error) if error.kind() != io::ErrorKind::BrokenPipe => {
                Err(file_error("standard output", "write", error))
            }
            _ => Ok(()),
        }
    }

    /// What a function writes, on standard output, as it comes. A reader that closed the pipe is no failure.
    #[allow(clippy::unused_self, reason = "OK because every way out belongs to the output")]
    pub fn stream(&self, write: impl FnOnce(&mut dyn Write) -> Result<()>) -> Result<()> {
        let mut out = Kept { out: io::stdout().lock(), failed: None };
        let mut buffered = io::BufWriter::with_capacity(1 << 16, &mut out);
        let done = write(&mut buffered);
        let flushed = buffered.flush();
        drop(buffered.into_parts());
        match out.failed {
            Some(error) if error.kind() == io::ErrorKind::BrokenPipe => Ok(()),
            Some(error) => Err(file_error("standard output", "write", error)),
            None => done.and(flushed.map_err(|error| file_error("standard output", "write", error))),
        }
    }

    /// Something to know, on standard error; silent under `--quiet`.
    pub fn note(&self, view: &View) {
        if !self.is_quiet && !view.blocks.is_empty() {
            self.say(&text(view, width(io::stderr().is_terminal())));
        }
    }

    /// One line on standard error; silent under `--quiet`.
    pub fn line(&self, line: &str) {
        if !self.is_quiet {
            self.say(&format!("{line}\n"));
        }
    }

    /// What went wrong, whatever is quiet.
    #[cfg(feature = "notebook")]
    pub fn failed(&self, text: &str) {
        self.say(&format!("{text}\n"));
    }

    fn say(&self, text: &str) {
        // Nothing can be done where standard error is closed.
        let _ = AutoStream::new(io::stderr(), self.color).write_all(text.as_bytes());
    }

    /// Says what went wrong and what to do, and gives the exit code.
    pub fn failure(&self, error: &Error) -> ExitCode {
        let (bold, end) = ("\u{1b}[1m", "\u{1b}[0m");
        let mut say = format!("{bold}woodstate:{end} {error}\n");
        if let Some(hint) = error.hint() {
            say.push_str(&format!("  {hint}\n"));
        } else if matches!(error.kind(), ErrorKind::WouldOverwrite { .. }) {
            say.push_str("  name another folder, or add --force\n");
        }
        self.say(&say);
        ExitCode::from(match error.kind() {
            ErrorKind::File { .. } | ErrorKind::WouldOverwrite { .. } | ErrorKind::Content { .. } => 5,
            ErrorKind::Study { .. }
            | ErrorKind::Name { .. }
            | ErrorKind::Unit { .. }
            | ErrorKind::Quantity { .. }
            | ErrorKind::Missing { .. }
            | ErrorKind::Condition { .. }
            | ErrorKind::Template { .. } => 2,
            ErrorKind::Stopped => 130,
            ErrorKind::Reference { .. } => 70,
            _ => 1,
        })
    }
}

/// Standard output that keeps what the system said of it, which the words of a writer may have lost.
struct Kept<W> {
    out: W,
    failed: Option<io::Error>,
}

impl<W: Write> Kept<W> {
    fn kept<T>(&mut self, done: io::Result<T>) -> io::Result<T> {
        done.map_err(|error| {
            let kind = error.kind();
            self.failed = Some(error);
            kind.into()
        })
    }
}

impl<W: Write> Write for Kept<W> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let done = self.out.write(bytes);
        self.kept(done)
    }

    fn flush(&mut self) -> io::Result<()> {
        let done = self.out.flush();
        self.kept(done)
    }
}

/// Characters in a line: those of the terminal, or enough for every column.
fn width(is_terminal: bool) -> u16 {
    const OF_A_FILE: u16 = 160;
    const NARROWEST: u16 = 40;
    if !is_terminal {
        return OF_A_FILE;
    }
    terminal_size().map_or(100, |(Width(columns), _)| columns.max(NARROWEST))
}

/// Says what was typed wrongly; help and version are results.
pub fn usage(error: &clap::Error) -> ExitCode {
    let _ = error.print();
    ExitCode::from(if error.use_stderr() { 2 } else { 0 })
}
