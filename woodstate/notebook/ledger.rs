//! How much memory the tables of a session hold.

use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};

use super::fault::refuse;

/// Bytes that live values hold, and the most that they may.
#[derive(Debug)]
pub(super) struct Ledger {
    held: AtomicUsize,
    most: AtomicUsize,
}

/// A share of the ledger, given back when the value that holds it goes.
#[derive(Debug)]
pub(super) struct Weight {
    bytes: usize,
    ledger: Arc<Ledger>,
}

/// More would be held than may be: bytes that are, bytes that may be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Full(pub(super) usize, pub(super) usize);

impl Ledger {
    pub(super) fn new(most: usize) -> Arc<Self> {
        Arc::new(Self { held: AtomicUsize::new(0), most: AtomicUsize::new(most) })
    }

    pub(super) fn set_most(&self, most: usize) {
        self.most.store(most, Ordering::Relaxed);
    }

    pub(super) fn most(&self) -> usize {
        self.most.load(Ordering::Relaxed)
    }

    pub(super) fn held(&self) -> usize {
        self.held.load(Ordering::Relaxed)
    }

    /// Room for so many bytes.
    pub(super) fn weigh(self: &Arc<Self>, bytes: usize) -> Result<Weight, Full> {
        let held = self.held.fetch_add(bytes, Ordering::Relaxed) + bytes;
        let weight = Weight { bytes, ledger: Arc::clone(self) };
        if held > self.most() { Err(Full(held, self.most())) } else { Ok(weight) }
    }
}

impl Weight {
    pub(super) fn ledger(&self) -> &Arc<Ledger> {
        &self.ledger
    }
}

impl Drop for Weight {
    fn drop(&mut self) {
        self.ledger.held.fetch_sub(self.bytes, Ordering::Relaxed);
    }
}

/// The refusal of what memory does not hold.
pub(super) fn no_room(Full(held, most): Full) -> starlark::Error {
    let mega = |bytes: usize| bytes.div_ceil(1 << 20);
    let text = format!("the tables of this session would hold {} MB, and {} MB are allowed", mega(held), mega(most));
    refuse(text, "give a name that is needed no more another value (t = None), or settings(memory_mb=...)")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_given_back_can_be_held_again() {
        let ledger = Ledger::new(100);
        let first = ledger.weigh(60).unwrap();
        assert_eq!(ledger.weigh(60).unwrap_err(), Full(120, 100));
        assert_eq!(ledger.held(), 60);
        drop(first);
        assert!(ledger.weigh(100).is_ok());
    }
}
