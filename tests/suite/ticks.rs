//! Tick lists in a real terminal of three sizes: what stands in the file is what was marked.

use crate::pty::{CTRL_C, CTRL_N, DOWN, ENTER, ESC, LEFT, RIGHT, SIZES, Terminal, open_visit, saved};
use std::path::Path;

/// The question on things at the wall, in a visit that is finished but for it.
fn at_the_list(folder: &Path, (rows, cols): (u16, u16)) -> Terminal {
    open_visit(folder, "vinyl-walkway/visit.yaml", &["wall_things"]);
    let mut terminal = Terminal::start_sized(folder, &["ask", "v.yaml"], rows, cols);
    terminal.shows(&["Which of these are on the wall", "-> [ ] A window"]);
    terminal
}

fn things(folder: &Path) -> Option<String> {
    saved(folder).answers.get("wall_things").cloned()
}

/// In tick lists Right and Enter saved "none of these": the opposite of what stood on the wall.
#[test]
fn right_and_enter_record_nothing() {
    for size in SIZES {
        let folder = tempfile::tempdir().unwrap();
        let mut terminal = at_the_list(folder.path(), size);
        for key in [RIGHT, LEFT, RIGHT] {
            terminal.keys(key);
        }
        terminal.keys(ENTER);
        let screen = terminal.shows(&["! Nothing is marked yet.", "-> [ ]"]);
        assert!(!screen.contains("[x]"), "{screen}");
        terminal.keys(CTRL_C);
        terminal.shows(&["Saved in v.yaml"]);
        terminal.end();
        assert_eq!(things(folder.path()), None, "{size:?}");
    }
}

/// Space while "gas vent" was typed marked the gas meter.
#[test]
fn a_space_in_a_search_marks_nothing() {
    for size in SIZES {
        let folder = tempfile::tempdir().unwrap();
        let mut terminal = at_the_list(folder.path(), size);
        terminal.keys("dryer vent");
        let screen = terminal.shows(&["Search: dryer vent", "-> [ ] Clothes dryer vent"]);
        assert!(!screen.contains("[x]") && !screen.contains("Electric meter"), "{screen}");
        terminal.keys(ENTER);
        // the whole list again, with the cursor on the line
        terminal.comes_to("the list", |text| !text.contains("Search:") && text.contains("-> [ ] Clothes dryer vent"));
        terminal.keys(" ");
        terminal.at(&["-> [x] Clothes dryer vent"], ENTER);
        terminal.at(&["lowest edge of the dryer vent"], CTRL_C);
        terminal.end();
        assert_eq!(things(folder.path()).as_deref(), Some("dryer_vent"), "{size:?}");
    }
}

/// `?` wiped the marks; a search and another size of the terminal must not either.
#[test]
fn marks_outlive_help_search_and_resizing() {
    for (rows, cols) in SIZES {
        let folder = tempfile::tempdir().unwrap();
        let mut terminal = at_the_list(folder.path(), (rows, cols));
        terminal.keys(DOWN);
        terminal.keys(" ");
        terminal.at(&["-> [x] A second door"], "?");
        terminal.at(&["Why:", "closes this."], ESC);
        terminal.at(&["-> [x] A second door"], "hose");
        terminal.at(&["Search: hose", "-> [ ] Hose tap", "Marked: A second door"], ENTER);
        terminal.comes_to("the list", |text| !text.contains("Search:") && text.contains("-> [ ] Hose tap"));
        terminal.keys(" ");
        terminal.shows(&["-> [x] Hose tap"]);
        for (rows, cols) in [(12, 36), (30, 100), (rows, cols)] {
            terminal.resize(rows, cols);
            let screen = terminal.shows(&["-> [x] Hose tap", "Which of these are on"]);
            assert_eq!(screen.matches("-> [").count(), 1, "painted twice:\n{screen}");
        }
        terminal.keys(ENTER);
        // a question behind the door, or the review
        terminal.comes_to("the next", |text| !text.contains("Which of these are"));
        terminal.keys(CTRL_C);
        terminal.end();
        assert_eq!(things(folder.path()).as_deref(), Some("other_door, hose_bib"));
    }
}

/// "None of these" and "Not sure" take the marks of all others away in sight, and the other way round.
#[test]
fn none_of_these_excludes_the_others() {
    let folder = tempfile::tempdir().unwrap();
    let mut terminal = at_the_list(folder.path(), (60, 200));
    terminal.keys(" ");
    terminal.at(&["-> [x] A window"], "none of");
    terminal.at(&["Search: none of", "-> [ ] None of these"], ENTER);
    terminal.comes_to("the list", |text| !text.contains("Search:") && text.contains("-> [ ] None of these"));
    terminal.keys(" ");
    let screen = terminal.shows(&["-> [x] None of these"]);
    assert_eq!(screen.matches("[x]").count(), 1, "{screen}");
    terminal.keys(DOWN);
    terminal.keys(" ");
    let screen = terminal.shows(&["-> [x] Not sure"]);
    assert_eq!(screen.matches("[x]").count(), 1, "{screen}");
    // round the end, to the first line
    terminal.keys(DOWN);
    terminal.keys(" ");
    let screen = terminal.shows(&["-> [x] A window"]);
    assert_eq!(screen.matches("[x]").count(), 1, "{screen}");
    terminal.keys(CTRL_C);
    terminal.end();
}

/// Ctrl-N is "not sure" wherever that is an answer, and says so where it is none.
#[test]
fn one_key_for_not_sure() {
    for size in SIZES {
        let folder = tempfile::tempdir().unwrap();
        let mut terminal = at_the_list(folder.path(), size);
        terminal.keys(CTRL_N);
        terminal.at(&["What now?"], CTRL_C);
        terminal.end();
        assert_eq!(saved(folder.path()).not_sure, ["wall_things"], "{size:?}");

        // in a line, whatever is typed there already
        let folder = tempfile::tempdir().unwrap();
        open_visit(folder.path(), "vinyl-walkway/visit.yaml", &["feature_depth"]);
        let mut terminal = Terminal::start_sized(folder.path(), &["ask", "v.yaml"], size.0, size.1);
        terminal.at(&["work reach out", "->"], "12");
        terminal.at(&["-> 12"], CTRL_N);
        terminal.at(&["What now?"], CTRL_C);
        terminal.end();
        assert_eq!(saved(folder.path()).not_sure, ["feature_depth"], "{size:?}");

        let folder = tempfile::tempdir().unwrap();
        let mut terminal = Terminal::start_sized(folder.path(), &["ask", "v.yaml"], size.0, size.1);
        terminal.at(&["-> United States"], CTRL_N);
        terminal.at(&["! this one needs an answer", "-> United States"], CTRL_C);
        terminal.end();
    }
}

/// A search without hits was an empty list that said nothing.
#[test]
fn a_search_that_finds_nothing_says_so() {
    for size in SIZES {
        let folder = tempfile::tempdir().unwrap();
        let mut terminal = at_the_list(folder.path(), size);
        terminal.keys("elephant");
        terminal.at(&["Nothing here fits \"elephant\"", "Esc shows all"], ENTER);
        terminal.at(&["Nothing here fits \"elephant\""], ESC);
        terminal.shows(&["-> [ ] A window"]);
        assert_eq!(things(folder.path()), None);
        terminal.keys(CTRL_C);
        terminal.end();
    }
}
