//! Work on several threads, with results in the order of the work.

use rayon::iter::{IndexedParallelIterator, IntoParallelIterator, ParallelIterator};

use crate::error::{Error, Result};

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
