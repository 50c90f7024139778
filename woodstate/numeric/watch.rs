//! Progress of a batch, and a way to stop it.

use std::fmt;
use std::sync::atomic::{AtomicBool, Ordering};

use crate::error::{Error, ErrorKind, Result};

/// How far a batch has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Progress {
    /// What is counted: "rows", "draws", ...
    pub what: &'static str,
    /// How many are done.
    pub done: usize,
    /// How many there are.
    pub total: usize,
}

/// Passed to every batch function: told of progress, asked whether to go on.
///
/// # Example
/// ```
/// use std::sync::atomic::AtomicBool;
/// use woodstate::error::ErrorKind;
/// use woodstate::numeric::Watch;
///
/// let stop = AtomicBool::new(true);
/// let watch = Watch::new(None, Some(&stop));
/// assert_eq!(watch.advance("rows", 1, 10).unwrap_err().kind(), &ErrorKind::Stopped);
/// assert!(Watch::silent().advance("rows", 1, 10).is_ok());
/// ```
#[derive(Clone, Copy, Default)]
pub struct Watch<'a> {
    progress: Option<&'a (dyn Fn(Progress) + Sync)>,
    stop: Option<&'a AtomicBool>,
    keeps: bool,
}

impl<'a> Watch<'a> {
    /// Tells nobody and never stops.
    #[must_use]
    pub fn silent() -> Self {
        Self::default()
    }

    /// Calls `progress` after each piece of work and ends the batch once `stop` is set.
    #[must_use]
    pub fn new(progress: Option<&'a (dyn Fn(Progress) + Sync)>, stop: Option<&'a AtomicBool>) -> Self {
        Self { progress, stop, keeps: false }
    }

    /// Whether a batch that is stopped gives what it had finished, where its outcome can say so, instead of an error.
    #[must_use]
    pub fn keeping(self, keeps: bool) -> Self {
        Self { keeps, ..self }
    }

    /// The same for a part of the work: it can be stopped, tells nobody and keeps nothing.
    #[must_use]
    pub fn within(self) -> Self {
        Self { stop: self.stop, ..Self::default() }
    }

    /// As [`keeping`](Self::keeping) said.
    pub(super) fn keeps(&self) -> bool {
        self.keeps
    }

    /// Whether to go on, where there is nothing to report.
    ///
    /// # Errors
    /// As [`advance`](Self::advance).
    pub fn go_on(&self) -> Result<()> {
        // No other data hangs on the flag, so the weakest order is enough.
        match self.stop.is_some_and(|stop| stop.load(Ordering::Relaxed)) {
            true => Err(Error::new(ErrorKind::Stopped)),
            false => Ok(()),
        }
    }

    /// Reports that `done` of `total` pieces are finished.
    ///
    /// # Errors
    /// [`ErrorKind::Stopped`] when the caller asked to stop.
    pub fn advance(&self, what: &'static str, done: usize, total: usize) -> Result<()> {
        if let Some(progress) = self.progress {
            progress(Progress { what, done, total });
        }
        self.go_on()
    }
}

impl fmt::Debug for Watch<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Watch")
            .field("progress", &self.progress.is_some())
            .field("stop", &self.stop)
            .field("keeps", &self.keeps)
            .finish()
    }
}
