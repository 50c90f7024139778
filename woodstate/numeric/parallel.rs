//! Work on several threads.

use rayon::ThreadPoolBuilder;
use rayon::iter::{IntoParallelIterator, ParallelIterator};

/// Does the same with each item on up to `threads` threads; what comes out stands in the order of the items, so nothing
/// depends on the number of threads. Where the system gives no threads, the caller's own does it all.
///
/// # Example
/// ```
/// let squares = woodstate::numeric::map_ordered(2, vec![1, 2, 3], |x| x * x);
/// assert_eq!(squares, [1, 4, 9]);
/// ```
pub fn map_ordered<T: Send, R: Send>(threads: usize, items: Vec<T>, f: impl Fn(T) -> R + Sync + Send) -> Vec<R> {
    let pool = (threads > 1 && items.len() > 1).then(|| ThreadPoolBuilder::new().num_threads(threads).build());
    match pool {
        Some(Ok(pool)) => pool.install(|| items.into_par_iter().map(f).collect()),
        _ => items.into_iter().map(f).collect(),
    }
}

/// How many threads the machine offers; 1 where it does not say.
#[must_use]
pub fn available_threads() -> usize {
    std::thread::available_parallelism().map_or(1, std::num::NonZero::get)
}
