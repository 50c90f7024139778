//! The end of a cell that asks a column or a value whether it is true.

use std::any::Any;
use std::panic::resume_unwind;

use super::fault::{Fault, sentence};

/// What ended the cell.
struct NoTruth(Fault);

/// Ends the cell. The cell language asks for a truth where no error can be given, and any answer would be silently wrong; the
/// session catches this and says what to do.
pub(super) fn no_truth(what: &str, cure: &str) -> bool {
    let text = format!("{what} is neither true nor false.");
    resume_unwind(Box::new(NoTruth(Fault::new("not done", sentence(&text)).with_cure(cure))))
}

/// The fault of a cell that ended without an error.
pub(super) fn of_end(payload: Box<dyn Any + Send>) -> Fault {
    match payload.downcast::<NoTruth>() {
        Ok(ended) => ended.0,
        Err(_) => Fault::new("internal fault", "Something broke inside woodstate; please report it."),
    }
}
