//! Work that somebody ends: by Ctrl-C, or by a budget of time.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread;
use std::time::Duration;

use crate::exit::Outcome;

/// A flag that is set at Ctrl-C, or when the time is spent. A second Ctrl-C ends the program at once.
///
/// # Errors
/// When the system lets nobody listen to Ctrl-C.
pub fn listen(budget: Option<Duration>) -> Result<Arc<AtomicBool>, ctrlc::Error> {
    let stop = Arc::new(AtomicBool::new(false));
    let asked = Arc::clone(&stop);
    ctrlc::set_handler(move || {
        if asked.swap(true, Ordering::Relaxed) {
            std::process::exit(Outcome::NotProven.code().into());
        }
    })?;
    if let Some(budget) = budget {
        let spent = Arc::clone(&stop);
        thread::spawn(move || {
            thread::sleep(budget);
            spent.store(true, Ordering::Relaxed);
        });
    }
    Ok(stop)
}
