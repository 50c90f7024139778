//! A session for tests, with what it said.

use std::cell::RefCell;
use std::path::Path;
use std::rc::Rc;

use woodstate::notebook::{Fault, Session, SessionOptions, Shown, Sink, with_session};

/// What a session said.
#[derive(Debug, Default)]
pub(super) struct Heard {
    pub(super) printed: RefCell<String>,
    pub(super) notes: RefCell<String>,
    pub(super) shown: RefCell<Vec<Shown>>,
}

impl Sink for Heard {
    fn say(&self, text: &str) {
        self.printed.borrow_mut().push_str(text);
    }

    fn note(&self, text: &str) {
        self.notes.borrow_mut().push_str(text);
    }

    fn show(&self, shown: &Shown) {
        self.shown.borrow_mut().push(shown.clone());
    }
}

/// Cells in a folder.
pub(super) fn in_folder<R>(folder: &Path, work: impl FnOnce(&mut Session<'_>, &Heard) -> R) -> R {
    let heard = Rc::new(Heard::default());
    let other = Rc::clone(&heard);
    with_session(&SessionOptions::of(folder), other, |session| work(session, &heard))
}

/// Cells in the folder of the invented harbour.
pub(super) fn in_harbour<R>(work: impl FnOnce(&mut Session<'_>, &Heard) -> R) -> R {
    in_folder(Path::new("datasets-demo/harbour"), work)
}

/// The text of the last line of a cell.
#[track_caller]
pub(super) fn text(session: &mut Session<'_>, code: &str) -> String {
    match session.run("Cell [1]", code) {
        Ok(shown) => shown.map(|shown| shown.text).unwrap_or_default(),
        Err(fault) => panic!("{code}\n{fault}"),
    }
}

/// The fault of a cell.
#[track_caller]
pub(super) fn fault(session: &mut Session<'_>, code: &str) -> Fault {
    match session.run("Cell [1]", code) {
        Ok(shown) => panic!("{code}\ngave {shown:?}"),
        Err(fault) => fault,
    }
}

/// Text of the last lines of cells in the harbour.
#[track_caller]
pub(super) fn harbour(code: &str) -> String {
    in_harbour(|session, _| text(session, code))
}

/// The fault of a cell in the harbour.
#[track_caller]
pub(super) fn harbour_fault(code: &str) -> Fault {
    in_harbour(|session, _| fault(session, code))
}
