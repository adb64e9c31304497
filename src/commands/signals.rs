//! What the system says to the program from outside: Ctrl-C where no menu reads the key, a terminal that is closed, a program that is
//! told to end. One listener for all of it.

use super::error::INTERRUPTED;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Mutex, MutexGuard, Once, PoisonError};
use std::time::{Duration, Instant};

/// What was said.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Summons {
    /// Ctrl-C: it goes to every program in the terminal.
    Interrupt,
    /// To end: it goes to this program alone, or there is no terminal any more.
    #[cfg_attr(not(unix), allow(dead_code))] // only there it is told from the other
    End,
}

/// What is said and done before the program ends.
type Closing = Box<dyn Fn() + Send>;

static LISTENING: Once = Once::new();
static CLOSING: Mutex<Option<Closing>> = Mutex::new(None);
/// The process of the pager that has the terminal.
static PAGER: Mutex<Option<u32>> = Mutex::new(None);
/// Whether the program is on its way to its end.
static ENDING: AtomicBool = AtomicBool::new(false);

/// How long a pager is waited for that was told to end: it has to give the terminal back.
const PATIENCE: Duration = Duration::from_secs(2);
const LOOKS: Duration = Duration::from_millis(5);

fn locked<T>(state: &Mutex<T>) -> MutexGuard<'_, T> {
    state.lock().unwrap_or_else(PoisonError::into_inner)
}

/// From here on the program ends by way of this. What was named first stays.
pub(super) fn close_by(closing: impl Fn() + Send + 'static) {
    locked(&CLOSING).get_or_insert_with(|| Box::new(closing));
    listen();
}

/// From here on a pager has the terminal. Ctrl-C is then the pager's, and does not end the program; to be told to end ends both.
pub(super) fn pager_begins(process: u32) {
    *locked(&PAGER) = Some(process);
    listen();
}

/// The pager has ended. Does not come back if the program is to end.
pub(super) fn pager_ended() {
    *locked(&PAGER) = None;
    while ENDING.load(Ordering::SeqCst) {
        std::thread::park();
    }
}

fn heard(told: Summons) {
    let pager = *locked(&PAGER);
    if let Some(process) = pager {
        if told == Summons::Interrupt {
            return;
        }
        ENDING.store(true, Ordering::SeqCst);
        end(process);
        let until = Instant::now() + PATIENCE;
        while locked(&PAGER).is_some() && Instant::now() < until {
            std::thread::sleep(LOOKS);
        }
    }
    if let Some(closing) = locked(&CLOSING).as_ref() {
        closing();
    }
    std::process::exit(i32::from(INTERRUPTED));
}

#[cfg(unix)]
fn listen() {
    use signal_hook::consts::{SIGHUP, SIGINT, SIGTERM};
    use signal_hook::iterator::Signals;
    LISTENING.call_once(|| {
        // where nobody can listen, Ctrl-C ends the program as it ends any other; the answers are on disk
        let Ok(mut signals) = Signals::new([SIGINT, SIGTERM, SIGHUP]) else { return };
        std::thread::spawn(move || {
            for signal in signals.forever() {
                heard(if signal == SIGINT { Summons::Interrupt } else { Summons::End });
            }
        });
    });
}

#[cfg(not(unix))]
fn listen() {
    LISTENING.call_once(|| {
        let _ = ctrlc::set_handler(|| heard(Summons::Interrupt));
    });
}

#[cfg(unix)]
fn end(process: u32) {
    use rustix::process::{Pid, Signal, kill_process};
    if let Some(pid) = i32::try_from(process).ok().and_then(Pid::from_raw) {
        let _ = kill_process(pid, Signal::TERM);
    }
}

#[cfg(not(unix))]
fn end(_: u32) {
    // there only Ctrl-C is heard, and that is the pager's
}
