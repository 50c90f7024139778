//! Progress after two seconds, and the way to stop.

use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use indicatif::{ProgressBar, ProgressStyle};
use woodstate::numeric::{Progress, Watch};

/// Set by Ctrl-C; a batch ends between two pieces.
static STOP: AtomicBool = AtomicBool::new(false);

const PATIENCE: Duration = Duration::from_secs(2);

/// Runs work that can be watched and stopped.
pub fn watched<T>(is_quiet: bool, work: impl FnOnce(&Watch<'_>) -> T) -> T {
    // Without a handler Ctrl-C ends the program at once, which loses nothing: files are renamed into place.
    let _ = ctrlc::set_handler(|| STOP.store(true, Ordering::Relaxed));
    let begun = Instant::now();
    let bar: Mutex<Option<ProgressBar>> = Mutex::new(None);
    let show = |progress: Progress| {
        if begun.elapsed() < PATIENCE {
            return;
        }
        if let Ok(mut bar) = bar.lock() {
            let total = u64::try_from(progress.total).unwrap_or(u64::MAX);
            let bar = bar.get_or_insert_with(|| new_bar(total));
            bar.set_length(total);
            bar.set_message(progress.what);
            bar.set_position(u64::try_from(progress.done).unwrap_or(u64::MAX));
        }
    };
    let result =
        if is_quiet { work(&Watch::new(None, Some(&STOP))) } else { work(&Watch::new(Some(&show), Some(&STOP))) };
    if let Ok(Some(bar)) = bar.into_inner() {
        bar.finish_and_clear();
    }
    result
}

/// Draws on standard error, and only on a terminal.
fn new_bar(total: u64) -> ProgressBar {
    let style = ProgressStyle::with_template("{msg} {pos} of {len}").unwrap_or_else(|_| ProgressStyle::default_bar());
    ProgressBar::new(total).with_style(style)
}
