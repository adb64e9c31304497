//! The machines behind the menus, without a terminal: any keys in any order, in a terminal of any size.

use crate::support::CONTENT;
use proptest::prelude::*;
use std::collections::BTreeSet;
use unicode_width::UnicodeWidthStr;
use wallfoot::interview::Leaving;
use wallfoot::terminal::{
    Came, Entry, Finder, Frame, KeyPress, LineEditor, ListLine, LongText, PickList, Shows, TickList, TypedLine,
};

const LABELS: [&str; 9] = [
    "Electric meter",
    "Gas meter",
    "Gas vent",
    "Clothes dryer vent",
    "Window well",
    "Hose tap",
    "A second door that opens onto the work",
    "None of these",
    "Not sure",
];
/// The first line that stands for itself.
const ALONE: usize = 7;

fn entries() -> Vec<Entry> {
    let mut entries: Vec<Entry> = LABELS.iter().map(|label| Entry::new(label)).collect();
    entries[1].hint = Some("Look only. Do not lean anything on it.".to_owned());
    "propane, regulator".clone_into(&mut entries[1].also);
    "spigot, faucet".clone_into(&mut entries[5].also);
    entries
}

fn keys_of(text: &str) -> Vec<KeyPress> {
    text.chars().map(KeyPress::Char).collect()
}

fn any_key() -> impl Strategy<Value = KeyPress> {
    prop_oneof![
        6 => prop::sample::select(vec!['a', 'e', 'g', 's', 'v', 'n', 't', '?', '1', 'é'])
            .prop_map(KeyPress::Char),
        5 => Just(KeyPress::Char(' ')),
        5 => prop::sample::select(vec![KeyPress::Up, KeyPress::Down]),
        8 => prop::sample::select(vec![
            KeyPress::Enter, KeyPress::Esc, KeyPress::PageUp, KeyPress::PageDown, KeyPress::Home, KeyPress::End,
            KeyPress::Left, KeyPress::Right, KeyPress::Backspace, KeyPress::Delete, KeyPress::DropLine,
            KeyPress::DropWord, KeyPress::DropRest, KeyPress::NotSure, KeyPress::Save, KeyPress::Interrupt,
            KeyPress::Resized, KeyPress::Paste("gas ve".to_owned()), KeyPress::Paste(" ".to_owned()),
        ]),
    ]
}

/// What a list shows: the labels of its lines.
fn shown(finder: &Finder) -> Vec<&str> {
    finder.hits().iter().map(|i| finder.entries()[*i].label.as_str()).collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 600, ..ProptestConfig::default() })]

    /// Marks change only by Space, on the line under the cursor, with no search begun; what else loses its mark is what
    /// does not go with it. Enter takes the marks that are there and never none, and never while a search hides some.
    #[test]
    fn only_space_marks(keys in prop::collection::vec(any_key(), 0..60), first in prop::collection::btree_set(0..ALONE, 0..3)) {
        let first: Vec<usize> = first.into_iter().collect();
        let mut list = TickList::new(entries(), &first, ALONE);
        for key in keys {
            let (before, at) = (list.marks(), list.finder().current());
            let searching = !list.finder().search().is_empty();
            let came = list.press(&key);
            let after = list.marks();
            if key == KeyPress::Char(' ') && !searching {
                let at = at.expect("without a search every line is shown");
                let changed = before.contains(&at) != after.contains(&at);
                prop_assert!(changed, "Space did nothing at {at}");
                let lost: Vec<&usize> = before.iter().filter(|i| !after.contains(i) && **i != at).collect();
                let new: Vec<&usize> = after.iter().filter(|i| !before.contains(i) && **i != at).collect();
                prop_assert!(new.is_empty());
                prop_assert!(lost.iter().all(|i| at >= ALONE || **i >= ALONE), "{lost:?} lost their marks at {at}");
            } else {
                prop_assert_eq!(&before, &after, "{:?} changed the marks", key);
            }
            let alone = after.iter().filter(|i| **i >= ALONE).count();
            prop_assert!(alone == 0 || after.len() == 1, "{after:?} do not go together");
            match came {
                Came::Taken(marks) => {
                    prop_assert_eq!(&key, &KeyPress::Enter);
                    prop_assert!(!searching && !marks.is_empty());
                    prop_assert_eq!(&marks, &before);
                    // all that is taken stands in the list
                    prop_assert!(marks.iter().all(|i| list.finder().hits().contains(i)));
                }
                Came::NothingMarked => prop_assert!(key == KeyPress::Enter && before.is_empty()),
                Came::NotSure => prop_assert!(key == KeyPress::NotSure && before.is_empty()),
                Came::StillMarked => prop_assert!(key == KeyPress::NotSure && !before.is_empty()),
                Came::Help => prop_assert_eq!(&key, &KeyPress::Char('?')),
                Came::Back => prop_assert!(key == KeyPress::Esc && !searching),
                Came::Leave(Leaving::Asked) => prop_assert_eq!(&key, &KeyPress::Save),
                Came::Leave(_) => prop_assert_eq!(&key, &KeyPress::Interrupt),
                Came::Open => {}
            }
        }
    }

    /// Enter takes the line under the cursor, which is one of those that are shown, and fits the search.
    #[test]
    fn only_what_is_shown_is_taken(keys in prop::collection::vec(any_key(), 0..60), start in 0..9usize) {
        let mut list = PickList::new(entries(), start);
        for key in keys {
            let at = list.finder().current();
            let came = list.press(&key);
            let finder = list.finder();
            prop_assert_eq!(finder.current().is_none(), finder.hits().is_empty());
            let fits = finder.hits().iter().all(|i| finder.entries()[*i].fits(finder.search()).is_some());
            prop_assert!(fits, "{:?} for {:?}", shown(finder), finder.search());
            prop_assert!(!finder.search().starts_with(' '));
            if finder.search().is_empty() {
                prop_assert_eq!(finder.hits().len(), LABELS.len());
            }
            if let Came::Taken(taken) = came {
                prop_assert_eq!(&key, &KeyPress::Enter);
                prop_assert_eq!(Some(taken), at);
            }
        }
    }

    /// The line editor does what a simple model of a text with a cursor does, and never loses its cursor.
    #[test]
    fn the_line_is_edited_as_by_hand(keys in prop::collection::vec(any_key(), 0..60)) {
        let mut line = LineEditor::default();
        let (mut before, mut after) = (String::new(), String::new());
        for key in keys {
            match &key {
                KeyPress::Char('?') if before.is_empty() && after.is_empty() => {}
                KeyPress::Char(c) => before.push(*c),
                KeyPress::Paste(text) => before.push_str(text),
                KeyPress::Backspace => { before.pop(); }
                KeyPress::Delete => { after = after.chars().skip(1).collect(); }
                KeyPress::Home => { after.insert_str(0, &before); before.clear(); }
                KeyPress::End => { before.push_str(&after); after.clear(); }
                KeyPress::Left => { if let Some(c) = before.pop() { after.insert(0, c); } }
                KeyPress::Right => {
                    before.extend(after.chars().next());
                    after = after.chars().skip(1).collect();
                }
                KeyPress::DropLine => before.clear(),
                KeyPress::DropWord => {
                    let words = before.trim_end().rsplit_once(' ').map_or("", |(rest, _)| rest);
                    let keep = if words.is_empty() && !before.starts_with(' ') { 0 } else { words.len() + 1 };
                    before.truncate(if before.trim_end().is_empty() { 0 } else { keep });
                }
                KeyPress::DropRest => after.clear(),
                _ => {}
            }
            let came = line.press(&key);
            prop_assert_eq!(line.text(), format!("{before}{after}"), "{:?}", key);
            prop_assert_eq!(line.at(), before.chars().count());
            if let Came::Taken(text) = came {
                prop_assert_eq!(text, line.text());
            }
        }
    }

    /// In a terminal of any size: never more lines or columns than there are, the question, what is searched, the line
    /// under the cursor and what was wrong in sight, and no word broken that is not wider than the terminal.
    #[test]
    fn a_prompt_fits_every_terminal(
        columns in 30..220usize,
        lines in 12..70usize,
        rows in 0..40usize,
        at in 0..40usize,
        searching in any::<bool>(),
        wrong in any::<bool>(),
        typed in prop::option::of("[a-z0-9 ]{0,120}"),
    ) {
        let list: Vec<ListLine> = (0..rows).map(|i| ListLine {
            sign: if i == at % rows.max(1) { "-> [ ] " } else { "   [x] " }.to_owned(),
            text: format!("line{i} with some words behind it that may need another line"),
            current: i == at % rows.max(1),
        }).collect();
        let shows = Shows {
            progress: "What is planned or built (part 1 of 7), question 3 of 7".to_owned(),
            ask: vec!["Which of these are on the wall where the work touches it, or within reach of it?".to_owned()],
            title: "Things on the wall".to_owned(),
            search: if searching { "Search: gas".to_owned() } else { String::new() },
            typed: typed.clone().map(|text| TypedLine { sign: "-> ".to_owned(), at: text.len(), text }),
            hint: "(Look only. It stays closed.)".to_owned(),
            hints: vec!["(An upright plastic pipe, often with a fan and a small gauge, that draws gas.)".to_owned()],
            marked: "Marked: Gas meter or gas pipe; Window well".to_owned(),
            message: if wrong { "Nothing is marked yet.".to_owned() } else { String::new() },
            keys: "Space marks, Enter takes the marks. Letters search. ? explains. Esc goes back.".to_owned(),
            out_of_sight: "Out of sight: {above} above, {below} below.".to_owned(),
            list,
        };
        let frame = shows.frame(columns, lines);
        let text = joined(&frame);
        prop_assert!(frame.lines.len() <= lines, "{} lines of {lines}\n{text}", frame.lines.len());
        prop_assert!(frame.lines.iter().all(|l| l.text.width() <= columns), "wider than {columns}\n{text}");
        prop_assert!(text.contains("Which of these"), "{text}");
        prop_assert!(!searching || text.contains("Search: gas"), "{text}");
        prop_assert!(!wrong || text.contains("! Nothing is"), "{text}");
        prop_assert!(rows == 0 || text.contains(&format!("line{} ", at % rows.max(1))), "{text}");
        if let Some(typed) = typed {
            let (row, column) = frame.cursor.expect("a line that is typed has a cursor");
            prop_assert!(column < columns && frame.lines[row].text.starts_with("-> "));
            let tail: String = typed.chars().rev().take(8).collect::<Vec<_>>().into_iter().rev().collect();
            prop_assert!(frame.lines[row].text.ends_with(&tail));
        } else {
            prop_assert_eq!(frame.cursor, None);
            let known: BTreeSet<String> = shows.list.iter().map(|l| &l.text)
                .chain(&shows.ask).chain(&shows.hints)
                .chain([&shows.progress, &shows.title, &shows.search, &shows.hint, &shows.marked, &shows.message, &shows.keys])
                .flat_map(|text| text.split_whitespace().map(str::to_owned)).collect();
            let signs = ["::", "->", "[", "]", "[x]", "!", "...", "Out", "of", "sight:", "above,", "below."];
            for word in text.split_whitespace() {
                let word = word.trim_end_matches("...");
                let number = !word.is_empty() && word.bytes().all(|b| b.is_ascii_digit());
                prop_assert!(word.is_empty() || number || signs.contains(&word) || known.contains(word), "`{word}` is no whole word\n{text}");
            }
        }
    }

    /// A long text can be read to its end, line by line, whatever the size.
    #[test]
    fn a_long_text_can_be_read_to_its_end(columns in 20..120usize, lines in 8..60usize, words in 1..300usize) {
        let text = (0..words).map(|i| format!("word{i}")).collect::<Vec<_>>().join(" ");
        let long = LongText {
            title: "Which of these are on the wall?".to_owned(),
            paragraphs: vec![text],
            drawn: vec!["=== |".to_owned(); 3],
            keys: "Arrows scroll. Enter or Esc closes this.".to_owned(),
            out_of_sight: "Lines out of sight: {above} above, {below} below.".to_owned(),
        };
        let (_, last) = long.frame(0, columns, lines);
        let mut seen = BTreeSet::new();
        for from in 0..=last {
            let (frame, _) = long.frame(from, columns, lines);
            prop_assert!(frame.lines.len() <= lines);
            prop_assert!(frame.lines.iter().all(|l| l.text.width() <= columns));
            seen.extend(joined(&frame).split_whitespace().map(str::to_owned));
        }
        for i in 0..words {
            prop_assert!(seen.contains(&format!("word{i}")), "word{i} is never seen");
        }
    }
}

fn joined(frame: &Frame) -> String {
    frame.lines.iter().map(|l| l.text.as_str()).collect::<Vec<_>>().join("\n")
}

/// The bug that this list was made for: a space while "gas vent" is typed marked the gas meter.
#[test]
fn a_space_in_a_search_marks_nothing() {
    let mut list = TickList::new(entries(), &[], ALONE);
    for key in keys_of("gas vent") {
        assert_eq!(list.press(&key), Came::Open);
    }
    assert_eq!(shown(list.finder()), ["Gas vent"]);
    assert!(list.marks().is_empty());
    // Enter goes to the line and takes nothing; then Space marks, then Enter takes
    assert_eq!(list.press(&KeyPress::Enter), Came::Open);
    assert_eq!((list.finder().hits().len(), list.finder().current()), (LABELS.len(), Some(2)));
    list.press(&KeyPress::Char(' '));
    assert_eq!(list.press(&KeyPress::Enter), Came::Taken(vec![2]));
}

/// Right marked all and left unmarked all, so that Right and Enter saved "none of these".
#[test]
fn left_and_right_mark_nothing() {
    let mut list = TickList::new(entries(), &[], ALONE);
    for key in [KeyPress::Right, KeyPress::Left, KeyPress::Right] {
        assert_eq!(list.press(&key), Came::Open);
    }
    assert_eq!(list.press(&KeyPress::Enter), Came::NothingMarked);
}

#[test]
fn a_search_knows_hints_and_other_words_and_puts_the_name_first() {
    let found = |text: &str| {
        let mut finder = Finder::new(entries(), 0);
        for key in keys_of(text) {
            finder.press(&key);
        }
        finder.hits().iter().map(|i| LABELS[*i]).collect::<Vec<_>>()
    };
    assert_eq!(found("faucet"), ["Hose tap"]);
    assert_eq!(found("LEAN on"), ["Gas meter"]);
    assert_eq!(found("meter gas"), ["Gas meter"]);
    assert_eq!(found("vent"), ["Gas vent", "Clothes dryer vent"]);
    assert_eq!(found("flagstone"), [""; 0]);
}

/// The words that people have for things are found in the questions of the program.
#[test]
fn people_find_their_words() {
    for (question, word, choice) in [
        ("feature", "stairs", "masonry_steps"),
        ("feature", "stairs", "stone_slab_steps"),
        ("feature", "stoop", "landing"),
        ("feature", "flagstone", "sand_set_pavers"),
        ("feature", "porch", "landing"),
        ("feature", "porch", "deck"),
        ("feature", "planter", "built_against"),
        ("feature", "terrace", "sand_set_pavers"),
        ("feature", "grass", "turf"),
        ("cladding", "plaster", "stucco"),
        ("cladding", "render", "stucco"),
        ("cladding", "clapboard", "wood"),
        ("cladding", "clapboard", "vinyl"),
        ("cladding", "shiplap", "wood"),
        ("cladding", "hardboard", "wood"),
        ("cladding", "fiber cement", "fibre_cement"),
        ("cladding", "cinder block", "solid_masonry"),
        ("wall_things", "spigot", "hose_bib"),
        ("wall_things", "flue", "gas_vent"),
        ("signs", "mold", "musty_smell"),
        ("signs", "rot", "soft_sheathing"),
        ("site_conditions", "puddles", "ponding"),
    ] {
        let question = &CONTENT.flow.questions[CONTENT.flow.question(question).unwrap()];
        let found = question.choices.iter().filter(|c| {
            let entry = Entry {
                label: c.label.to_string(),
                hint: c.hint.as_ref().map(ToString::to_string),
                also: c.also.to_string(),
            };
            entry.fits(word).is_some()
        });
        let ids: Vec<&str> = found.map(|c| c.id.as_str()).collect();
        assert!(ids.contains(&choice), "{word} finds {ids:?}, not {choice}");
    }
}

/// A translation may add words to type, and keeps those that everybody knows.
#[test]
fn what_is_typed_in_english_is_understood_in_every_language() {
    let spanish =
        wallfoot::content::Content::load(&wallfoot::commands::sources(None, Some("es")).unwrap(), Some("es")).unwrap();
    let words = |text: &str| text.split(';').map(|word| word.trim().to_owned()).collect::<BTreeSet<_>>();
    for (key, own) in [
        ("typed.back", "atrás"),
        ("typed.help", "ayuda"),
        ("typed.save", "guardar"),
        ("typed.done", "listo"),
        ("typed.yes", "sí"),
        ("typed.no", "no"),
        ("typed.not_sure", "no sé"),
    ] {
        let (es, en) = (words(spanish.word(key)), words(CONTENT.word(key)));
        assert!(es.is_superset(&en), "{key}: {es:?} lacks some of {en:?}");
        assert!(es.contains(own), "{key}: {es:?}");
    }
}

/// What a key is for stands in one table; these are the ones that the screens name.
#[test]
fn keys_are_for_one_thing() {
    use crossterm::event::{Event, KeyCode, KeyEvent, KeyModifiers};
    let ctrl = |c| Event::Key(KeyEvent::new(KeyCode::Char(c), KeyModifiers::CONTROL));
    for (event, key) in [
        (ctrl('n'), Some(KeyPress::NotSure)),
        (ctrl('d'), Some(KeyPress::Save)),
        (ctrl('c'), Some(KeyPress::Interrupt)),
        (ctrl('u'), Some(KeyPress::DropLine)),
        (ctrl('w'), Some(KeyPress::DropWord)),
        (ctrl('a'), Some(KeyPress::Home)),
        (ctrl('e'), Some(KeyPress::End)),
        (ctrl('j'), Some(KeyPress::Enter)),
        (ctrl('x'), None),
        (Event::Key(KeyEvent::new(KeyCode::Char('b'), KeyModifiers::ALT)), None),
        (Event::Paste("a\nb".to_owned()), Some(KeyPress::Paste("a\nb".to_owned()))),
        (Event::FocusLost, None),
    ] {
        assert_eq!(KeyPress::of(event.clone()), key, "{event:?}");
    }
    let mut line = LineEditor::default();
    line.press(&KeyPress::Paste("12 ft\n6\u{7}".to_owned()));
    assert_eq!(line.text(), "12 ft 6");
}
