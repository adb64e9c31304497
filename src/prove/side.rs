//! Two things at once. What comes of it never hangs on how many processors there are, or on which of them is done first.

use std::panic::resume_unwind;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Does both at once.
pub(super) fn halves<A, B: Send>(here: impl FnOnce() -> A, there: impl FnOnce() -> B + Send) -> (A, B) {
    std::thread::scope(|scope| {
        let other = scope.spawn(there);
        let mine = here();
        (mine, other.join().unwrap_or_else(|panic| resume_unwind(panic)))
    })
}

/// Does something with each, two at a time; what comes of them in their order.
pub(super) fn each<T: Sync, R: Send>(all: &[T], of: impl Fn(&T) -> R + Sync) -> Vec<R> {
    let (next, done) = (AtomicUsize::new(0), Mutex::new(Vec::with_capacity(all.len())));
    let work = || {
        while let Some((at, one)) = Some(next.fetch_add(1, Ordering::Relaxed)).and_then(|at| Some((at, all.get(at)?))) {
            let came = of(one);
            done.lock().unwrap_or_else(std::sync::PoisonError::into_inner).push((at, came));
        }
    };
    halves(work, work);
    let mut done = done.into_inner().unwrap_or_else(std::sync::PoisonError::into_inner);
    done.sort_by_key(|(at, _)| *at);
    done.into_iter().map(|(_, came)| came).collect()
}
