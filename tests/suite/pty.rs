//! The real program in a pseudo-terminal of any size. Nothing sleeps: the screen is looked at until it shows what is
//! awaited, or a deadline passes.
#![allow(dead_code)] // the keys and looks are for every test of a screen

use portable_pty::{Child, CommandBuilder, MasterPty, PtySize, native_pty_system};
use std::io::{Read, Write};
use std::path::Path;
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::{Duration, Instant};
use wallfoot::visit::Visit;

const DEADLINE: Duration = Duration::from_secs(8);
/// A screen that has not changed for so long has been drawn to its end.
const REST: Duration = Duration::from_millis(80);
/// The sizes of terminal that every screen has to fit into: rows, columns.
pub(crate) const SIZES: [(u16, u16); 3] = [(24, 80), (15, 40), (60, 200)];

pub(crate) const ENTER: &str = "\r";
pub(crate) const ESC: &str = "\x1b";
pub(crate) const CTRL_C: &str = "\x03";
pub(crate) const CTRL_D: &str = "\x04";
pub(crate) const CTRL_N: &str = "\x0e";
pub(crate) const DOWN: &str = "\x1b[B";
pub(crate) const UP: &str = "\x1b[A";
pub(crate) const RIGHT: &str = "\x1b[C";
pub(crate) const LEFT: &str = "\x1b[D";
pub(crate) const PAGE_DOWN: &str = "\x1b[6~";

/// The program in a terminal.
pub(crate) struct Terminal {
    screen: vt100::Parser,
    output: Receiver<Vec<u8>>,
    input: Box<dyn Write + Send>,
    child: Box<dyn Child + Send + Sync>,
    master: Box<dyn MasterPty + Send>,
}

impl Terminal {
    /// Starts in 24 rows of 80 columns, without colour.
    pub(crate) fn start(folder: &Path, args: &[&str]) -> Terminal {
        Terminal::start_sized(folder, args, 24, 80)
    }

    /// Starts in a terminal of this size, without colour.
    pub(crate) fn start_sized(folder: &Path, args: &[&str], rows: u16, cols: u16) -> Terminal {
        Terminal::start_with(folder, args, rows, cols, &[("NO_COLOR", "1")])
    }

    /// Starts in a terminal of this size with these variables; `NO_COLOR` is not set of itself.
    pub(crate) fn start_with(folder: &Path, args: &[&str], rows: u16, cols: u16, env: &[(&str, &str)]) -> Terminal {
        let size = PtySize { rows, cols, pixel_width: 0, pixel_height: 0 };
        let pty = native_pty_system().openpty(size).unwrap();
        let mut command = CommandBuilder::new(env!("CARGO_BIN_EXE_wallfoot"));
        command.args(args);
        command.cwd(folder);
        command.env("TERM", "xterm");
        for name in ["ACCESSIBLE", "NO_COLOR", "LANG", "LC_ALL", "LC_MESSAGES", "PAGER", "LESS"] {
            command.env_remove(name);
        }
        command.env("WALLFOOT_CONFIG", "");
        for (name, value) in env {
            command.env(name, value);
        }
        let child = pty.slave.spawn_command(command).unwrap();
        drop(pty.slave);
        let mut reader = pty.master.try_clone_reader().unwrap();
        let (send, output) = channel();
        std::thread::spawn(move || {
            let mut buffer = [0; 4096];
            while let Ok(n) = reader.read(&mut buffer) {
                if n == 0 || send.send(buffer[..n].to_vec()).is_err() {
                    break;
                }
            }
        });
        let input = pty.master.take_writer().unwrap();
        let (high, wide) = (rows.try_into().unwrap(), cols.try_into().unwrap());
        Terminal { screen: vt100::Parser::new(high, wide, 500), output, input, child, master: pty.master }
    }

    /// What the screen shows.
    pub(crate) fn text(&self) -> String {
        self.screen.screen().contents()
    }

    /// The screen with its cells.
    pub(crate) fn screen(&self) -> &vt100::Screen {
        self.screen.screen()
    }

    /// Waits until the screen shows all of these, also over the end of a line, and has come to rest.
    pub(crate) fn shows(&mut self, words: &[&str]) -> String {
        self.comes_to(&format!("{words:?}"), |text| {
            let on_one_line = text.split_whitespace().collect::<Vec<_>>().join(" ");
            words.iter().all(|word| text.contains(word) || on_one_line.contains(word))
        })
    }

    /// Waits until what the screen shows is right and has come to rest; `what` says what is awaited.
    pub(crate) fn comes_to(&mut self, what: &str, right: impl Fn(&str) -> bool) -> String {
        let deadline = Instant::now() + DEADLINE;
        loop {
            let text = self.text();
            let there = right(&text);
            let left = deadline.saturating_duration_since(Instant::now());
            assert!(there || !left.is_zero(), "waited for {what}; the screen shows:\n{text}");
            match self.output.recv_timeout(if there { REST } else { left }) {
                Ok(bytes) => self.screen.process(&bytes),
                Err(RecvTimeoutError::Timeout | RecvTimeoutError::Disconnected) if there => return text,
                Err(RecvTimeoutError::Timeout) => {}
                Err(RecvTimeoutError::Disconnected) => panic!("ended without {what}; the screen shows:\n{text}"),
            }
        }
    }

    /// Types.
    pub(crate) fn keys(&mut self, keys: &str) {
        self.input.write_all(keys.as_bytes()).unwrap();
        self.input.flush().unwrap();
    }

    /// Waits for a prompt, then types.
    pub(crate) fn at(&mut self, prompt: &[&str], keys: &str) {
        self.shows(prompt);
        self.keys(keys);
    }

    /// Gives the terminal another size.
    pub(crate) fn resize(&mut self, rows: u16, cols: u16) {
        self.screen.set_size(rows.try_into().unwrap(), cols.try_into().unwrap());
        self.master.resize(PtySize { rows, cols, pixel_width: 0, pixel_height: 0 }).unwrap();
    }

    /// Whether the terminal reads whole lines and echoes them, as it does when no prompt has taken it.
    pub(crate) fn reads_lines(&self) -> bool {
        let flags = format!("{:?}", self.master.get_termios().expect("a terminal").local_flags);
        flags.contains("ICANON") && flags.contains("ECHO")
    }

    /// Waits for the end: what the screen shows then, and the exit code.
    pub(crate) fn ends(&mut self) -> (String, u32) {
        while let Ok(bytes) = self.output.recv_timeout(DEADLINE) {
            self.screen.process(&bytes);
        }
        (self.text(), self.child.wait().unwrap().exit_code())
    }

    /// Waits for the end: the exit code.
    pub(crate) fn end(mut self) -> u32 {
        self.ends().1
    }
}

/// The visit `v.yaml` of a folder.
pub(crate) fn saved(folder: &Path) -> Visit {
    Visit::read(&folder.join("v.yaml")).unwrap()
}

/// A demo visit as `v.yaml`, without the answers of these questions: as after a break.
pub(crate) fn open_visit(folder: &Path, demo: &str, open: &[&str]) {
    let shipped = || std::fs::read_to_string(crate::support::top().join("tests/scenarios").join(demo)).unwrap();
    let text = wallfoot::commands::embedded(demo).map_or_else(shipped, str::to_owned);
    let opened = |line: &&str| open.iter().any(|id| line.trim().starts_with(&format!("{id}:")));
    let rest: Vec<&str> = text.lines().filter(|line| !opened(line)).collect();
    std::fs::write(folder.join("v.yaml"), rest.join("\n") + "\n").unwrap();
}
