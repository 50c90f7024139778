//! A session: cells run one after the other, and what they name stays.

use std::cell::{Cell, LazyCell, RefCell};
use std::collections::BTreeSet;
use std::fmt;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use starlark::PrintHandler;
use starlark::environment::Module;
use starlark::eval::Evaluator;
use starlark::values::Value;

use super::context::{Context, Limits, Told};
use super::fault::{Fault, of_error, so_far};
use super::folder::Folder;
use super::guide::Guide;
use super::hint::before_parsing;
use super::ledger::Ledger;
use super::name::globals;
use super::parse::parsed;
use super::scan::words;
use super::shown::{Shown, Sink};
use super::translation::{Setting, translated};
use super::truth::of_end;
use super::value::{DrawingValue, OutcomeValue, shown, type_methods};

/// How a session begins.
#[derive(Clone)]
pub struct SessionOptions {
    /// The folder of the notebook or the script; paths of cells start there, and lead nowhere else than below it or below
    /// the nearest folder above it that holds `woodstate.toml`.
    pub folder: PathBuf,
    /// Whether paths may lead anywhere.
    pub anywhere: bool,
    /// Most bytes that tables and results hold, about.
    pub memory: usize,
    /// Set from outside to stop the cell that runs.
    pub stop: Arc<AtomicBool>,
    /// Told of the progress of long work.
    pub progress: Option<Told>,
}

impl SessionOptions {
    /// In a folder, with 2 GB for tables.
    #[must_use]
    pub fn of(folder: &Path) -> Self {
        Self { folder: folder.to_owned(), anywhere: false, memory: 2 << 30, stop: Arc::default(), progress: None }
    }
}

impl fmt::Debug for SessionOptions {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("SessionOptions")
            .field("folder", &self.folder)
            .field("anywhere", &self.anywhere)
            .finish_non_exhaustive()
    }
}

/// Runs cells. It lives on one thread, inside [`with_session`].
pub struct Session<'v> {
    pub(super) module: Module<'v>,
    pub(super) context: Context,
    /// Cells before which a line was put.
    shifted: BTreeSet<String>,
    /// Bytes that tables held when room was last made.
    swept: usize,
}

impl fmt::Debug for Session<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Session").field("context", &self.context).finish_non_exhaustive()
    }
}

/// Begins a session, hands it to `work` and ends it.
pub fn with_session<R>(options: &SessionOptions, sink: Rc<dyn Sink>, work: impl FnOnce(&mut Session<'_>) -> R) -> R {
    let globals = globals();
    let of_guide = globals.clone();
    let context = Context {
        globals,
        folder: Folder::of(&options.folder, options.anywhere),
        stop: Arc::clone(&options.stop),
        sink,
        progress: options.progress.clone(),
        ledger: Ledger::new(options.memory),
        guide: LazyCell::new(Box::new(move || Guide::of(&of_guide, &type_methods()))),
        seed: Cell::new(None),
        coverage: Cell::new(None),
        limits: Cell::new(Limits { steps: None, calls: 200 }),
        compared: RefCell::default(),
        unfinished: RefCell::default(),
    };
    Module::with_temp_heap(|module| work(&mut Session { module, context, shifted: BTreeSet::new(), swept: 0 }))
}

impl Session<'_> {
    /// Runs a cell and gives the value of its last line, which `_` names from then on; `None` where there is none, or
    /// where the cell ends in a semicolon.
    ///
    /// `name` is what errors call the cell. A request to stop that came before the cell began has no effect.
    ///
    /// # Errors
    /// [`Fault`] with the place and what to do. What the cell did before stays done.
    pub fn run(&mut self, name: &str, code: &str) -> Result<Option<Shown>, Fault> {
        self.context.stop.store(false, Ordering::Relaxed);
        self.context.compared.borrow_mut().clear();
        self.guarded(name, code, true)
    }

    /// The value of an expression, as [`run`](Self::run) gives it; `_` stays what it was.
    ///
    /// # Errors
    /// As [`run`](Self::run).
    pub fn look(&mut self, name: &str, expression: &str) -> Result<Option<Shown>, Fault> {
        self.guarded(name, expression, false)
    }

    fn guarded(&mut self, name: &str, code: &str, is_kept: bool) -> Result<Option<Shown>, Fault> {
        let code = code.replace("\r\n", "\n");
        if let Some(fault) = before_parsing(&code, name) {
            return Err(fault);
        }
        let run = catch_unwind(AssertUnwindSafe(|| self.evaluated(name, &code, is_kept)));
        run.unwrap_or_else(|ended| Err(of_end(ended)))
    }

    fn evaluated(&mut self, name: &str, code: &str, is_kept: bool) -> Result<Option<Shown>, Fault> {
        self.make_room();
        let first = self.held_names(code);
        if first.is_empty() {
            self.shifted.remove(name);
        } else {
            self.shifted.insert(name.to_owned());
        }
        let (names, shifted) = (self.names(), &self.shifted);
        let fault = |error: &starlark::Error| {
            let is_stopped = self.context.stopper().is_set();
            let is_shifted = |cell: &str| shifted.contains(cell);
            translated(
                error,
                &Setting { is_stopped, is_shifted: &is_shifted, names: &names, guide: &self.context.guide },
            )
        };
        let tree = parsed(name, first + code).map_err(|error| fault(&error))?;
        let printer = Printer(&self.context);
        let mut evaluator = Evaluator::new(&self.module);
        evaluator.extra = Some(&self.context);
        evaluator.set_print_handler(&printer);
        evaluator.set_check_cancelled(Box::new(|| self.context.stopper().is_set()));
        let limits = self.context.limits.get();
        let limited = evaluator.set_max_callstack_size(limits.calls);
        limited
            .and_then(|()| limits.steps.map_or(Ok(()), |steps| evaluator.set_max_tick_count(steps)))
            .map_err(|error| Fault::new("internal fault", error.to_string()))?;
        let ran = evaluator.eval_module(tree, &self.context.globals).map_err(|error| fault(&error));
        drop(evaluator);
        let unfinished = self.context.unfinished.take().filter(|_| is_kept);
        let unfinished =
            unfinished.and_then(|(stopped, value)| Some((stopped, value.downcast::<OutcomeValue>().ok()?)));
        let value: Value<'_> = ran.map_err(|fault| match unfinished {
            Some((stopped, value)) => {
                self.module.set("_", self.module.heap().alloc(*value));
                so_far(stopped)
            }
            None => fault,
        })?;
        if value.is_none() {
            return Ok(None);
        }
        if is_kept {
            self.module.set("_", value);
        }
        if code.trim_end().ends_with(';') {
            return Ok(None);
        }
        if let Some(drawing) = DrawingValue::from_value(value) {
            drawing.draw(&self.context).map_err(|error| of_error(&error))?;
        }
        Ok(shown(value))
    }

    /// The names that cells gave.
    #[must_use]
    pub fn names(&self) -> Vec<String> {
        self.module.names().map(|name| name.as_str().to_owned()).collect()
    }

    /// A line that keeps functions of this cell from holding the value that a name has now: the language takes a name that
    /// is given once for a constant.
    fn held_names(&self, code: &str) -> String {
        let words: BTreeSet<&str> = words(code).collect();
        if !words.contains("def") && !words.contains("lambda") {
            return String::new();
        }
        let names = self.names();
        let held: Vec<String> = names
            .iter()
            .filter(|name| *name != "_" && words.contains(name.as_str()))
            .map(|name| format!("{name} = {name}; {name} = {name}"))
            .collect();
        if held.is_empty() { String::new() } else { format!("if False: {}\n", held.join("; ")) }
    }

    /// Tables are collected only when the language has many bytes of its own; a text that nobody keeps makes it so.
    fn make_room(&mut self) {
        const OF_LANGUAGE: usize = 1 << 17;
        const GROWN: usize = 16 << 20;
        let held = self.context.ledger.held();
        self.swept = self.swept.min(held);
        if held > self.swept + GROWN || held > self.context.ledger.most() / 2 {
            self.module.heap().alloc_str(&" ".repeat(OF_LANGUAGE));
            self.swept = held;
        }
    }
}

struct Printer<'a>(&'a Context);

impl PrintHandler for Printer<'_> {
    fn println(&self, text: &str) -> starlark::Result<()> {
        self.0.sink.say(&format!("{text}\n"));
        Ok(())
    }
}
