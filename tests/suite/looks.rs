//! How the menus look in terminals of all sizes and colours, and how they leave them.

use crate::pty::{CTRL_C, CTRL_D, ENTER, PAGE_DOWN, SIZES, Terminal, open_visit};

/// The kinds of work, the longest list.
fn at_the_kinds(folder: &std::path::Path, (rows, cols): (u16, u16), env: &[(&str, &str)]) -> Terminal {
    open_visit(folder, "vinyl-walkway/visit.yaml", &["feature"]);
    let mut terminal = Terminal::start_with(folder, &["ask", "v.yaml"], rows, cols, env);
    terminal.shows(&["-> Patio of pavers"]);
    terminal
}

/// Every word that is on the screen is a whole one, whatever the width: what is broken at the edge is no word of the wide screen.
#[test]
fn words_are_whole_and_the_question_is_in_sight() {
    let words = |text: &str| text.split_whitespace().map(str::to_owned).collect::<std::collections::BTreeSet<_>>();
    let folder = tempfile::tempdir().unwrap();
    let wide = words(&at_the_kinds(folder.path(), (60, 200), &[("NO_COLOR", "1")]).text());
    for (rows, cols) in SIZES {
        let folder = tempfile::tempdir().unwrap();
        let mut terminal = at_the_kinds(folder.path(), (rows, cols), &[("NO_COLOR", "1")]);
        let mut seen = std::collections::BTreeSet::new();
        for _ in 0..5 {
            let text = terminal.shows(&["built against the", "->"]);
            assert!(text.contains("What is to be built against"), "the question is out of sight:\n{text}");
            for word in words(&text) {
                let of_the_list = ["Out", "of", "sight:", "above,", "below."].contains(&word.as_str());
                let number = word.bytes().all(|b| b.is_ascii_digit());
                let hint = text.contains('(');
                assert!(wide.contains(&word) || of_the_list || number || hint, "`{word}` in {rows}x{cols}:\n{text}");
                seen.insert(word);
            }
            terminal.keys(PAGE_DOWN);
        }
        // page by page all of the list comes by
        assert!(seen.contains("Pergola,") && seen.contains("Deck"), "{rows}x{cols}: {seen:?}");
        terminal.keys(CTRL_C);
        terminal.end();
    }
}

/// A long terminal shows all choices at once.
#[test]
fn a_long_terminal_is_used() {
    let folder = tempfile::tempdir().unwrap();
    let terminal = at_the_kinds(folder.path(), (60, 200), &[("NO_COLOR", "1")]);
    let text = terminal.text();
    for label in ["-> Patio of pavers laid in sand", "Concrete slab", "Deck on posts", "Not sure"] {
        assert!(text.contains(label), "{label} is missing:\n{text}");
    }
    assert!(!text.contains("Out of sight"), "{text}");
}

/// Nothing is painted in a colour, so that nothing vanishes on a light or a dark background; bold only where it is wanted.
#[test]
fn no_colour_is_ever_used() {
    for env in [&[("TERM", "xterm-256color")][..], &[("NO_COLOR", "1")][..]] {
        for size in SIZES {
            let folder = tempfile::tempdir().unwrap();
            let terminal = at_the_kinds(folder.path(), size, env);
            let (mut bold, mut cells) = (0, 0);
            for row in 0..size.0 {
                for column in 0..size.1 {
                    let Some(cell) = terminal.screen().cell(row, column) else { continue };
                    assert_eq!(cell.fgcolor(), vt100::Color::Default, "{}", terminal.text());
                    assert_eq!(cell.bgcolor(), vt100::Color::Default, "{}", terminal.text());
                    assert!(!cell.dim(), "dim text is hard to read:\n{}", terminal.text());
                    cells += usize::from(cell.has_contents());
                    bold += usize::from(cell.bold());
                }
            }
            assert!(cells > 100);
            assert_eq!(bold > 0, env[0].0 == "TERM", "{bold} bold cells with {env:?}");
        }
    }
}

/// Ctrl-C and Ctrl-D leave a clean screen: the closing line has its own line, the cursor is seen again, and what was answered stays.
#[test]
fn leaving_leaves_the_terminal_as_it_was() {
    for key in [CTRL_C, CTRL_D] {
        for size in SIZES {
            let folder = tempfile::tempdir().unwrap();
            let mut terminal = at_the_kinds(folder.path(), size, &[("NO_COLOR", "1")]);
            assert!(terminal.screen().hide_cursor());
            terminal.keys(key);
            let (text, _) = terminal.ends();
            let closing = text.lines().position(|line| line.starts_with("Saved in v.yaml.")).expect(&text);
            assert!(!text.contains("->") && text.lines().nth(closing + 1).is_none(), "{text}");
            assert!(!terminal.screen().hide_cursor(), "the cursor is still hidden");
            assert!(!terminal.screen().bracketed_paste(), "pastes are still in brackets");
            assert!(terminal.reads_lines(), "the terminal is still raw");
        }
    }
}

/// Ctrl-C as the next prompt comes up, right behind an answer.
#[test]
fn ctrl_c_between_two_prompts() {
    for (rows, cols) in SIZES {
        let folder = tempfile::tempdir().unwrap();
        let mut terminal = Terminal::start_sized(folder.path(), &["ask", "v.yaml"], rows, cols);
        terminal.at(&["-> United States"], &format!("{ENTER}{CTRL_C}"));
        let (text, _) = terminal.ends();
        assert!(text.contains("Saved in v.yaml."), "{text}");
        assert!(text.contains("ok Country: United States"), "{text}");
        assert!(terminal.reads_lines(), "the terminal is still raw");
        assert_eq!(crate::pty::saved(folder.path()).answers["region"], "us");
    }
}

/// Another size in the middle of a typed line: it is painted once, and what was typed stays.
#[test]
fn a_line_outlives_another_size() {
    let folder = tempfile::tempdir().unwrap();
    open_visit(folder.path(), "vinyl-walkway/visit.yaml", &["feature_depth"]);
    let mut terminal = Terminal::start(folder.path(), &["ask", "v.yaml"]);
    terminal.at(&["Depth out from the wall", "->"], "24 ft 6");
    terminal.shows(&["-> 24 ft 6", "= 24 ft 6 in"]);
    for (rows, cols) in [(15, 40), (60, 200), (24, 80)] {
        terminal.resize(rows, cols);
        let text = terminal.comes_to("one line", |text| text.matches("-> 24 ft 6").count() == 1);
        let (row, column) = terminal.screen().cursor_position();
        let line = text.lines().nth(row.into()).unwrap_or_default();
        assert!(line.starts_with("-> 24 ft 6") && column == 10, "{row}, {column}:\n{text}");
    }
    terminal.keys(CTRL_D);
    terminal.end();
}
