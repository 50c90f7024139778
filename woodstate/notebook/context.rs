//! What the functions of a cell need beside their arguments: where files lie, how to stop, where to say something.
#![allow(
    unsafe_code,
    unused_qualifications,
    reason = "OK because the derives of the cell language implement its marker trait, and nothing else here needs it"
)]

use std::any::Any;
use std::cell::{Cell, LazyCell, RefCell};
use std::collections::BTreeSet;
use std::fmt;
use std::panic::resume_unwind;
use std::path::Path;
use std::rc::Rc;
use std::sync::Arc;
use std::sync::atomic::AtomicBool;
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::thread;
use std::time::Duration;

use starlark::any::ProvidesStaticType;
use starlark::environment::Globals;
use starlark::eval::Evaluator;

use crate::error::{Error, ErrorKind, Result};
use crate::numeric::{Progress, Watch};
use crate::study::{Stopped, Study};
use crate::table::{Batch, read_file};

use super::fault::{Stopper, refuse};
use super::folder::Folder;
use super::guide::Guide;
use super::ledger::{Ledger, Weight, no_room};
use super::shown::{Shown, Sink};

/// Told of the progress of long work, from any thread.
pub type Told = Arc<dyn Fn(Progress) + Send + Sync>;

/// Passed to every function of a cell.
#[derive(ProvidesStaticType)]
pub(super) struct Context {
    /// The names that every cell begins with.
    pub(super) globals: Globals,
    pub(super) folder: Folder,
    pub(super) stop: Arc<AtomicBool>,
    pub(super) sink: Rc<dyn Sink>,
    pub(super) progress: Option<Told>,
    pub(super) ledger: Arc<Ledger>,
    /// Made when somebody asks for help or mistypes a name, so that a session begins at once.
    pub(super) guide: LazyCell<Guide, Box<dyn FnOnce() -> Guide>>,
    /// Seed and coverage that `settings` set; `None` takes those of the study.
    pub(super) seed: Cell<Option<u64>>,
    pub(super) coverage: Cell<Option<f64>>,
    pub(super) limits: Cell<Limits>,
    /// Files whose fingerprint was compared in this cell.
    pub(super) compared: RefCell<BTreeSet<String>>,
    /// What a function had done before it was stopped: how much, and an outcome.
    pub(super) unfinished: RefCell<Option<(Stopped, Box<dyn Any>)>>,
}

/// What a cell may use.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Limits {
    /// Steps of a cell; `None` for as many as it takes.
    pub(super) steps: Option<u64>,
    /// Calls inside calls.
    pub(super) calls: usize,
}

impl fmt::Debug for Context {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Context").field("folder", &self.folder).finish_non_exhaustive()
    }
}

/// What was passed to the function that runs.
pub(super) fn context<'a>(eval: &Evaluator<'_, 'a, '_>) -> starlark::Result<&'a Context> {
    let found = eval.extra.and_then(|extra| extra.downcast_ref::<Context>());
    found.ok_or_else(|| refuse("this function runs in a cell or a script alone", "write it in a cell"))
}

impl Context {
    /// How a long function is watched and stopped.
    pub(super) fn watch(&self) -> Watch<'_> {
        let progress = self.progress.as_deref().map(|told| told as &(dyn Fn(Progress) + Sync));
        Watch::new(progress, Some(&self.stop))
    }

    /// The same for a function that gives what it has done when it is stopped.
    pub(super) fn keeping(&self) -> Watch<'_> {
        self.watch().keeping(true)
    }

    /// Does work that asks nobody whether to go on, on a thread of its own. When the cell is stopped it is left behind, and what
    /// it comes to is thrown away: it must change nothing outside.
    pub(super) fn apart<T: Send + 'static>(&self, work: impl FnOnce() -> T + Send + 'static) -> Result<T> {
        /// Between looks at whether the cell was stopped.
        const LOOK: Duration = Duration::from_millis(20);
        const STACK: usize = 8 << 20;
        let (done, waiting) = channel();
        let worker = thread::Builder::new().stack_size(STACK).spawn(move || drop(done.send(work())));
        let worker = worker.map_err(|error| Error::file("a thread", "start", error))?;
        loop {
            match waiting.recv_timeout(LOOK) {
                Ok(found) => return Ok(found),
                Err(RecvTimeoutError::Timeout) => self.watch().go_on()?,
                // A fault of ours ends the cell as it would have here.
                Err(RecvTimeoutError::Disconnected) => match worker.join() {
                    Err(fault) => resume_unwind(fault),
                    Ok(()) => return Err(Error::new(ErrorKind::Stopped)),
                },
            }
        }
    }

    /// One line that a function says of its work.
    pub(super) fn say(&self, line: &str) {
        self.sink.note(&format!("{line}\n"));
    }

    pub(super) fn show(&self, shown: &Shown) {
        self.sink.show(shown);
    }

    pub(super) fn clear(&self, wait: bool) {
        self.sink.clear(wait);
    }

    /// A study with the seed and the coverage that were set for the session.
    pub(super) fn settled(&self, mut study: Study) -> Study {
        let propagation = &mut study.options.propagation;
        propagation.seed = self.seed.get().unwrap_or(propagation.seed);
        propagation.coverage = self.coverage.get().unwrap_or(propagation.coverage);
        study
    }

    /// Room for a table, or why there is none.
    pub(super) fn weigh(&self, bytes: usize) -> starlark::Result<Weight> {
        self.ledger.weigh(bytes).map_err(no_room)
    }

    /// A file that was read in this cell needs no second look.
    pub(super) fn just_read(&self, batch: &Batch) {
        self.compared.borrow_mut().extend(batch.tables().map(|table| table.origin().file.clone()));
    }

    /// Says once a cell of which files were changed since they were read.
    pub(super) fn compare(&self, batch: &Batch) {
        for table in batch.tables() {
            let origin = table.origin();
            let is_new = self.compared.borrow_mut().insert(origin.file.clone());
            let now = is_new.then(|| read_file(Path::new(&origin.file)).ok()).flatten();
            if now.is_some_and(|now| now.sha256() != origin.sha256) {
                self.say(&format!(
                    "Note: {} changed since it was read. Read it again to take the new one.",
                    origin.file
                ));
            }
        }
    }

    /// An error of a library function that ended early because it was stopped is an interrupt.
    pub(super) fn stopper(&self) -> Stopper<'_> {
        Stopper(&self.stop)
    }
}
