//! Changes the shipped content, one thing at a time, and counts what no check notices: `cargo bench --bench mutation`
//! (docs/mutation.md).
#![allow(clippy::unwrap_used, clippy::expect_used)] // what cannot be read should say so at once
#![allow(clippy::print_stdout, clippy::print_stderr)] // it is run by hand

#[path = "mutation/arguments.rs"]
mod arguments;
#[path = "mutation/carries.rs"]
mod carries;
#[path = "mutation/checks.rs"]
mod checks;
#[path = "mutation/equivalent.rs"]
mod equivalent;
#[path = "mutation/mutants/mod.rs"]
mod mutants;
#[path = "mutation/shipped.rs"]
mod shipped;
#[path = "mutation/told.rs"]
mod told;
#[path = "mutation/touch.rs"]
mod touch;

// what the tests hold, by their own readers
#[allow(dead_code, unused_imports)]
#[path = "../suite/page.rs"]
mod page;
#[allow(dead_code, unused_imports)]
#[path = "../suite/sound.rs"]
mod sound;
#[allow(dead_code, unused_imports)]
#[path = "../suite/support.rs"]
mod support;
#[allow(dead_code, unused_imports)]
#[path = "../suite/table_rows.rs"]
mod table_rows;

use arguments::Arguments;
use checks::{Check, Checks};
use shipped::{Changed, Shipped};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Instant;

fn main() {
    let arguments = match Arguments::read(std::env::args().skip(1)) {
        Ok(arguments) => arguments,
        Err(message) => {
            eprintln!("{message}");
            std::process::exit(2);
        }
    };
    let began = Instant::now();
    let shipped = Shipped::read();
    let mut all = shipped.mutants();
    arguments.choose(&mut all);
    if arguments.list {
        for mutant in &all {
            println!("{}", mutant.line());
        }
        println!("{} mutants", all.len());
        return;
    }
    if arguments.check {
        print!("{}", checks::table_faults());
        return;
    }
    let checks = Checks::new(arguments.prover);
    checks.hold_the_shipped(&shipped);
    eprintln!("{} mutants, {}; ready after {} s", all.len(), checks.size(), began.elapsed().as_secs());
    let noticed = run(&shipped, &checks, &all, &arguments);
    print!("{}", told::table(&all, &noticed));
    print!("{}", told::unnoticed(&all, &noticed, arguments.records));
    eprintln!("{} s", began.elapsed().as_secs());
}

/// Which check notices each mutant first.
fn run(shipped: &Shipped, checks: &Checks, all: &[Changed], arguments: &Arguments) -> Vec<Option<Check>> {
    let next = AtomicUsize::new(0);
    let noticed = Mutex::new(vec![None; all.len()]);
    // a mutant that makes the program stop is noticed, and its message is of no use
    std::panic::set_hook(Box::new(|_| {}));
    std::thread::scope(|scope| {
        for _ in 0..arguments.threads {
            scope.spawn(|| {
                loop {
                    let at = next.fetch_add(1, Ordering::Relaxed);
                    let Some(mutant) = all.get(at) else { break };
                    let known = Some(mutant).filter(|_| !arguments.thorough);
                    let first = checks.first_to_notice(&shipped.sources(mutant), known);
                    noticed.lock().unwrap()[at] = first;
                    if at % 500 == 499 {
                        eprintln!("{} of {}", at + 1, all.len());
                    }
                }
            });
        }
    });
    let _ = std::panic::take_hook();
    noticed.into_inner().unwrap()
}
