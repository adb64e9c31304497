//! What all targets share: the content, and a count of the memory that is in use.

use std::alloc::{GlobalAlloc, Layout, System};
use std::cell::RefCell;
use std::sync::LazyLock;
use std::sync::atomic::{AtomicUsize, Ordering};
use wallfoot::content::Content;

/// The system's memory, counted.
struct Counted;

static NOW: AtomicUsize = AtomicUsize::new(0);
static MOST: AtomicUsize = AtomicUsize::new(0);

/// No input may take more than this, the content of the program included.
const BOUND: usize = 200_000_000;

// everything is passed on to the system as it comes
unsafe impl GlobalAlloc for Counted {
    unsafe fn alloc(&self, layout: Layout) -> *mut u8 {
        let now = NOW.fetch_add(layout.size(), Ordering::Relaxed) + layout.size();
        MOST.fetch_max(now, Ordering::Relaxed);
        unsafe { System.alloc(layout) }
    }

    unsafe fn dealloc(&self, at: *mut u8, layout: Layout) {
        NOW.fetch_sub(layout.size(), Ordering::Relaxed);
        unsafe { System.dealloc(at, layout) }
    }
}

#[global_allocator]
static COUNTED: Counted = Counted;

/// Does something and holds that it never needed more than 200 MB.
pub fn bounded(what: impl FnOnce()) {
    MOST.store(NOW.load(Ordering::Relaxed), Ordering::Relaxed);
    what();
    let most = MOST.load(Ordering::Relaxed);
    assert!(most <= BOUND, "{most} bytes were in use at one time");
}

/// The built-in content.
pub static CONTENT: LazyLock<Content> = LazyLock::new(fresh);

/// The built-in content, read anew.
///
/// # Panics
/// If it is not sound.
#[must_use]
pub fn fresh() -> Content {
    let sources = wallfoot::commands::sources(None, None).expect("the built-in files are there");
    Content::load(&sources, None).expect("the built-in content is sound")
}

thread_local! {
    /// Content that a price book may change.
    pub static OWN: RefCell<Content> = RefCell::new(fresh());
}
