//! `woodstate run`.

use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread;

use clap::Args;
use woodstate::error::{Error, Result};
use woodstate::notebook::{Fault, SessionOptions, Shown, Sink, with_session};
use woodstate::table::read_file;

use crate::Outcome;
use crate::args::CommonArgs;
use crate::output::{Ending, Output};

/// Arguments of `run`.
#[derive(Debug, Args)]
pub struct RunArgs {
    /// The script
    pub script: PathBuf,
    /// Let the script read and write anywhere
    #[arg(long)]
    pub anywhere: bool,
    /// How to show it.
    #[command(flatten)]
    pub common: CommonArgs,
}

/// Bytes of the stack on which cells run: functions of a script call each other on it.
pub const STACK: usize = 256 << 20;

/// Reads, runs, shows.
pub fn run(arguments: &RunArgs, output: &Output) -> Outcome {
    let source = read_file(&arguments.script)?;
    let text = String::from_utf8(source.bytes)
        .map_err(|_| Error::file(&arguments.script, "read", "a letter in it is not UTF-8; save the script as UTF-8"))?;
    let stop = Arc::new(AtomicBool::new(false));
    let asked = Arc::clone(&stop);
    // Without a handler Ctrl-C ends the program at once, which loses nothing: files are renamed into place.
    let _ = ctrlc::set_handler(move || asked.store(true, Ordering::Relaxed));
    let folder = arguments.script.parent().unwrap_or(Path::new(""));
    let options = SessionOptions { anywhere: arguments.anywhere, stop, ..SessionOptions::of(folder) };
    let name = arguments.script.to_string_lossy();
    let script = || -> Result<Option<Fault>> {
        let sink = Rc::new(Terminal { output: output.clone() });
        with_session(&options, sink, |session| match session.run(&name, &text) {
            Ok(Some(shown)) => output.text(&format!("{}\n", shown.text)).map(|()| None),
            Ok(None) => Ok(None),
            Err(fault) => Ok(Some(fault)),
        })
    };
    let ended = thread::scope(|scope| {
        let running = thread::Builder::new().stack_size(STACK).spawn_scoped(scope, script);
        running.map(thread::ScopedJoinHandle::join)
    });
    match ended {
        Ok(Ok(Ok(None))) => Ok(Ending::Done),
        Ok(Ok(Ok(Some(fault)))) => {
            output.failed(&fault.to_string());
            Ok(match fault.kind {
                "interrupted" => Ending::Script(130),
                "internal fault" => Ending::Script(70),
                "file" | "data" => Ending::Script(5),
                _ => Ending::Script(1),
            })
        }
        Ok(Ok(Err(error))) => Err(error),
        Ok(Err(_)) | Err(_) => {
            output.failed("internal fault: the script could not be run; please report it");
            Ok(Ending::Script(70))
        }
    }
}

/// Values and printed text on standard output, what functions say of their work on standard error.
struct Terminal {
    output: Output,
}

impl Sink for Terminal {
    fn say(&self, text: &str) {
        // A reader that closed the pipe hears no more.
        let _ = self.output.text(text);
    }

    fn note(&self, text: &str) {
        self.output.line(text.trim_end());
    }

    fn show(&self, shown: &Shown) {
        let _ = self.output.text(&format!("{}\n", shown.text));
    }
}
