//! Work on several threads, with results in the order of the work.

use rayon::iter::{IndexedParallelIterator, IntoParallelIterator, ParallelIterator};

use crate::error::{Error, ErrorKind, Result};

use super::watch::Watch;

/// Applies `f` to each item on at most `threads` threads; the results stand in the order of the items, whatever
/// their number. One thread or none works where it was called.
///
/// # Errors
/// What the system says if it gives no threads.
///
/// # Example
/// ```
/// let squares = woodstate::numeric::map_ordered(2, vec![1, 2, 3], |n| n * n)?;
/// assert_eq!(squares, [1, 4, 9]);
/// # Ok::<(), woodstate::error::Error>(())
/// ```
pub fn map_ordered<T: Send, R: Send>(threads: usize, items: Vec<T>, f: impl Fn(T) -> R + Sync) -> Result<Vec<R>> {
    if threads <= 1 || items.len() <= 1 {
        return Ok(items.into_iter().map(f).collect());
    }
    let pool = rayon::ThreadPoolBuilder::new().num_threads(threads.min(items.len())).build();
    let pool = pool.map_err(|error| Error::file("threads", "start", error))?;
    // One item at a time is handed out: items are few and large.
    Ok(pool.install(|| items.into_par_iter().with_max_len(1).map(&f).collect()))
}

/// Does two works at once, where there are threads for it.
///
/// # Example
/// ```
/// assert_eq!(woodstate::numeric::both(2, || 1, || "one"), (1, "one"));
/// ```
pub fn both<A: Send, B: Send>(threads: usize, a: impl FnOnce() -> A + Send, b: impl FnOnce() -> B + Send) -> (A, B) {
    if threads <= 1 { (a(), b()) } else { rayon::join(a, b) }
}

/// [`map_ordered`] under a watch that is told how many items have begun. Where a watch [keeps](Watch::keeping) what is finished,
/// fewer results than items come back after a stop.
///
/// # Errors
/// The first error of an item; a stop, unless something was finished and is kept.
///
/// # Example
/// ```
/// use std::sync::atomic::{AtomicBool, Ordering};
/// use woodstate::numeric::{Watch, map_watched};
///
/// let stop = AtomicBool::new(false);
/// let watch = Watch::new(None, Some(&stop));
/// let double = |n| {
///     stop.store(n == 2, Ordering::Relaxed);
///     Ok(2 * n)
/// };
/// assert_eq!(map_watched(1, vec![1, 2, 3], "items", &watch.keeping(true), double)?, [2, 4]);
/// stop.store(false, Ordering::Relaxed);
/// assert!(map_watched(1, vec![1, 2, 3], "items", &watch, double).is_err());
/// # Ok::<(), woodstate::error::Error>(())
/// ```
pub fn map_watched<T: Send, R: Send>(
    threads: usize,
    items: Vec<T>,
    what: &'static str,
    watch: &Watch<'_>,
    f: impl Fn(T) -> Result<R> + Sync,
) -> Result<Vec<R>> {
    let total = items.len();
    let of_item = |(place, item)| {
        watch.advance(what, place, total)?;
        f(item)
    };
    let found = map_ordered(threads, items.into_iter().enumerate().collect(), of_item)?;
    let is_stop = |one: &Result<R>| one.as_ref().is_err_and(|error| error.kind() == &ErrorKind::Stopped);
    let is_kept = watch.keeps() && found.iter().any(|one| !is_stop(one));
    found.into_iter().filter(|one| !(is_kept && is_stop(one))).collect()
}
