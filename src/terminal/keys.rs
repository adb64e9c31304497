//! Keys, as the widgets know them. Which key does what stands here and nowhere else.

use crate::interview::Leaving;
use crossterm::event::{Event, KeyCode, KeyEvent, KeyEventKind, KeyModifiers};

/// A key, by what it is for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum KeyPress {
    /// A letter, a digit, a sign, a space.
    Char(char),
    /// Text that was pasted.
    Paste(String),
    /// Enter.
    Enter,
    /// Esc: ends a search; where there is none, goes back.
    Esc,
    /// Up one line.
    Up,
    /// Down one line.
    Down,
    /// Up one screen.
    PageUp,
    /// Down one screen.
    PageDown,
    /// To the start: Home or Ctrl-A.
    Home,
    /// To the end: End or Ctrl-E.
    End,
    /// Left by one.
    Left,
    /// Right by one.
    Right,
    /// Takes away what stands before the cursor.
    Backspace,
    /// Takes away what stands under the cursor.
    Delete,
    /// Takes away all before the cursor: Ctrl-U.
    DropLine,
    /// Takes away the word before the cursor: Ctrl-W.
    DropWord,
    /// Takes away all from the cursor on: Ctrl-K.
    DropRest,
    /// "Not sure": Ctrl-N.
    NotSure,
    /// Saves and leaves: Ctrl-D.
    Save,
    /// Ctrl-C.
    Interrupt,
    /// No key: the terminal has another size.
    Resized,
}

/// What a widget makes of a key.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Came<T> {
    /// The question is still open.
    Open,
    /// Enter, in a list of marks that has none.
    NothingMarked,
    /// "Not sure" while something is marked: the marks would be lost.
    StillMarked,
    /// An answer.
    Taken(T),
    /// "Not sure".
    NotSure,
    /// Wants to be told more.
    Help,
    /// Goes back.
    Back,
    /// Leaves.
    Leave(Leaving),
}

impl KeyPress {
    /// What an event of the terminal is for; nothing for what no widget knows.
    #[must_use]
    pub fn of(event: Event) -> Option<KeyPress> {
        match event {
            Event::Key(key) if key.kind != KeyEventKind::Release => KeyPress::of_key(key),
            Event::Paste(text) => Some(KeyPress::Paste(text)),
            Event::Resize(..) => Some(KeyPress::Resized),
            Event::Key(_) | Event::Mouse(_) | Event::FocusGained | Event::FocusLost => None,
        }
    }

    fn of_key(key: KeyEvent) -> Option<KeyPress> {
        if key.modifiers.contains(KeyModifiers::CONTROL) {
            let KeyCode::Char(letter) = key.code else { return KeyPress::of_code(key.code) };
            return Some(match letter.to_ascii_lowercase() {
                'a' => KeyPress::Home,
                'c' => KeyPress::Interrupt,
                'd' => KeyPress::Save,
                'e' => KeyPress::End,
                'h' => KeyPress::Backspace,
                // Enter that was typed before the prompt was there
                'j' | 'm' => KeyPress::Enter,
                'k' => KeyPress::DropRest,
                'n' => KeyPress::NotSure,
                'u' => KeyPress::DropLine,
                'w' => KeyPress::DropWord,
                _ => return None,
            });
        }
        if key.modifiers.contains(KeyModifiers::ALT) && matches!(key.code, KeyCode::Char(_)) {
            return None;
        }
        KeyPress::of_code(key.code)
    }

    fn of_code(code: KeyCode) -> Option<KeyPress> {
        Some(match code {
            KeyCode::Char(c) => KeyPress::Char(c),
            KeyCode::Enter => KeyPress::Enter,
            KeyCode::Esc => KeyPress::Esc,
            KeyCode::Up => KeyPress::Up,
            KeyCode::Down => KeyPress::Down,
            KeyCode::PageUp => KeyPress::PageUp,
            KeyCode::PageDown => KeyPress::PageDown,
            KeyCode::Home => KeyPress::Home,
            KeyCode::End => KeyPress::End,
            KeyCode::Left => KeyPress::Left,
            KeyCode::Right => KeyPress::Right,
            KeyCode::Backspace => KeyPress::Backspace,
            KeyCode::Delete => KeyPress::Delete,
            _ => return None,
        })
    }

    /// What a key does at every prompt, whatever is asked.
    pub(super) fn anywhere<T>(&self) -> Option<Came<T>> {
        match self {
            KeyPress::Interrupt => Some(Came::Leave(Leaving::Interrupted)),
            KeyPress::Save => Some(Came::Leave(Leaving::Asked)),
            KeyPress::NotSure => Some(Came::NotSure),
            _ => None,
        }
    }
}
