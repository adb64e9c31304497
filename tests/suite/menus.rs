//! Answering with the menus in a real terminal: choosing, typing, going back, the way to the verdict. Tick lists are in
//! `ticks.rs`, sizes and colours in `looks.rs`, the machines behind it all in `widgets.rs`.

use crate::pty::{CTRL_C, CTRL_N, DOWN, ENTER, ESC, SIZES, Terminal, open_visit, saved};

/// A visit in which the length along the wall comes next.
fn before_the_length(folder: &std::path::Path) -> Terminal {
    let answers = "region: us\n  stage: planned\n  contractor: none_yet\n  cladding: vinyl\n  backing: wood_frame\n  feature: sand_set_pavers\n  joint: tight";
    std::fs::write(folder.join("v.yaml"), format!("wallfoot_visit: 1\nanswers:\n  {answers}\n")).unwrap();
    Terminal::start(folder, &["ask", "v.yaml"])
}

/// Answers the first three questions: United States, planned, vinyl siding.
fn first_three(terminal: &mut Terminal) {
    terminal.at(&["Question 1;", "-> United States"], ENTER);
    terminal.at(&["Question 2;", "-> It is planned: Nobody"], ENTER);
    terminal.at(&["Question 3;", "-> Vinyl siding"], ENTER);
}

#[test]
fn the_first_screen() {
    let folder = tempfile::tempdir().unwrap();
    let mut terminal = Terminal::start(folder.path(), &["ask", "v.yaml"]);
    insta::assert_snapshot!(terminal.shows(&["-> United States", "saves and leaves."]));
}

#[test]
fn esc_goes_back_and_ctrl_c_saves_with_the_command_to_resume() {
    let folder = tempfile::tempdir().unwrap();
    let mut terminal = Terminal::start(folder.path(), &["ask", "v.yaml"]);
    first_three(&mut terminal);
    // back at the cladding, the earlier answer is under the cursor
    terminal.at(&["Question 4;", "-> A wood frame"], ESC);
    terminal.at(&["-> Vinyl siding"], DOWN);
    terminal.at(&["-> Stucco or render"], ENTER);
    terminal.at(&["ok Cladding: Stucco or render", "Esc goes back."], CTRL_C);
    terminal.shows(&["Saved in v.yaml. Go on with: wallfoot ask v.yaml"]);
    assert_eq!(terminal.end(), 130);
    assert_eq!(saved(folder.path()).answers["cladding"], "stucco");

    let mut again = Terminal::start(folder.path(), &["ask", "v.yaml"]);
    again.at(&["Going on with v.yaml (answers so far: 4)", "Question 4;", "Esc goes back."], CTRL_C);
    assert_eq!(again.end(), 130);
}

#[test]
fn a_wrong_length_then_a_right_one() {
    let folder = tempfile::tempdir().unwrap();
    let mut terminal = before_the_length(folder.path());
    terminal.at(&["Question 7;", "2'-6"], "about ten");
    terminal.at(&["about ten"], ENTER);
    let screen = terminal.shows(&["is not a length", "Esc goes back."]);
    insta::assert_snapshot!(screen.lines().skip_while(|l| !l.contains("Question 7;")).collect::<Vec<_>>().join("\n"));
    // the wrong text is still there to be mended
    terminal.keys(&"\x7f".repeat(9));
    terminal.keys("20 ft 6");
    terminal.at(&["20 ft 6"], ENTER);
    terminal.at(&["Question 8;", "Esc goes back."], CTRL_C);
    assert_eq!(terminal.end(), 130);
    assert_eq!(saved(folder.path()).answers["feature_length"], "246 in");
}

#[test]
fn an_unusual_length_is_asked_again() {
    let folder = tempfile::tempdir().unwrap();
    let mut terminal = before_the_length(folder.path());
    terminal.at(&["Question 7;", "2'-6"], "250 ft");
    terminal.at(&["250 ft"], ENTER);
    terminal.at(&["250 ft is unusual here", "-> No, let me type it again"], DOWN);
    terminal.at(&["-> Yes, it is right"], ENTER);
    terminal.at(&["Question 8;", "Esc goes back."], CTRL_C);
    assert_eq!(terminal.end(), 130);
    assert_eq!(saved(folder.path()).answers["feature_length"], "3000 in");
}

#[test]
fn a_question_mark_explains() {
    let folder = tempfile::tempdir().unwrap();
    let mut terminal = Terminal::start(folder.path(), &["ask", "v.yaml"]);
    terminal.at(&["Question 1;", "-> United States"], "?");
    terminal.at(&["In which country", "Why:", "How to find out:", "closes this."], ENTER);
    // the help is gone, and the list as it was
    terminal.comes_to("the list", |text| !text.contains("Why:") && text.contains("-> United States"));
    terminal.keys(CTRL_C);
    assert_eq!(terminal.end(), 130);
}

/// The whole way through with the menus: "not sure" by typing to filter, the review, the verdict.
#[test]
fn from_the_first_question_to_the_verdict() {
    let folder = tempfile::tempdir().unwrap();
    // all but two questions are answered in the file, as after a break; nothing of what is left is settled by the others
    open_visit(folder.path(), "vinyl-walkway/visit.yaml", &["wall_things", "signs"]);
    let mut terminal = Terminal::start(folder.path(), &["ask", "v.yaml"]);
    // nothing marked is no answer
    terminal.at(&[":: Things on the wall", "Space marks"], ENTER);
    terminal.at(&["Nothing is marked yet"], "none");
    terminal.at(&["-> [ ] None of these"], ENTER);
    terminal.comes_to("the list", |text| !text.contains("Search:") && text.contains("-> [ ] None of these"));
    terminal.keys(" ");
    terminal.at(&["-> [x] None of these"], ENTER);
    terminal.at(&["ok Things on the wall: none of these", ":: Signs of trouble"], CTRL_N);
    terminal.at(&["What now?", "Write sheets to files"], ESC);
    terminal.shows(&["wallfoot advise v.yaml", "the crew's sheet:"]);
    assert_eq!(terminal.end(), 0);
    let visit = saved(folder.path());
    assert_eq!(visit.answers["wall_things"], "none");
    assert_eq!(visit.not_sure, ["signs"]);
}

/// A salesperson tries three heights in a row: the verdict follows each at once, nothing else is asked, and the plan stays.
#[test]
fn three_heights_in_a_row() {
    let folder = tempfile::tempdir().unwrap();
    let patio = wallfoot::commands::embedded("demo/back-patio.yaml").unwrap();
    std::fs::write(folder.path().join("v.yaml"), patio.replace("wall_plan: caulk", "wall_plan: stay_below")).unwrap();
    let mut terminal = Terminal::start(folder.path(), &["ask", "v.yaml"]);
    terminal.at(&["What now?", "-> Try something else"], ENTER);
    for (height, verdict, gap) in [
        ("8 in", "Exterior trade first", "covers the water exit by 1 in"),
        ("9 1/8 in", "Find out first", "1/8 in above"),
        ("10 1/4 in", "Change the plan", "1 1/4 in above"),
    ] {
        terminal.at(&["Try what?", "-> The surface at another height"], ENTER);
        terminal.at(&[":: Top of the patio below the threshold", "Esc goes back."], height);
        terminal.at(&[height], ENTER);
        terminal.at(&[verdict, gap, "Enter takes the name offered"], ENTER);
    }
    // side by side: down, down, enter
    terminal.at(&["-> The surface at another height"], DOWN);
    terminal.at(&["-> Other answers"], DOWN);
    terminal.at(&["-> Set the plan and the tries side by side"], ENTER);
    terminal.at(&["-> The surface at another height"], ESC);
    terminal.at(&["What now?", "Try something else; the plan stays as it is (3)"], ESC);
    terminal.shows(&["wallfoot advise v.yaml"]);
    assert_eq!(terminal.end(), 0);
    let visit = saved(folder.path());
    assert_eq!(visit.answers["finish_below_mark"], "7 in");
    assert_eq!(visit.tries["surface 3 1/4 in lower"].answers["finish_below_mark"], "10 1/4 in");
}

/// The last screen at every size: verdict, figure and menu in sight; at 24 lines all of the answer.
#[test]
fn the_last_screen_is_the_answer() {
    for (rows, columns) in SIZES {
        let folder = tempfile::tempdir().unwrap();
        open_visit(folder.path(), "demo/back-patio.yaml", &[]);
        let mut terminal = Terminal::start_sized(folder.path(), &["ask", "v.yaml"], rows, columns);
        let screen = terminal.shows(&["What now?", "-> Try something else"]);
        let flat = screen.split_whitespace().collect::<Vec<_>>().join(" ");
        for words in ["EXTERIOR TRADE FIRST", "10 1/8 in", "3 1/8 in lower than planned"] {
            assert!(flat.contains(words), "{rows} x {columns}: no {words}\n{screen}");
        }
        if rows >= 24 {
            for words in ["back patio", "Why:", "1. Call: Exterior trade", "Done"] {
                assert!(flat.contains(words), "{rows} x {columns}: no {words}\n{screen}");
            }
        }
        terminal.keys(ESC);
        assert_eq!(terminal.end(), 0);
    }
}

/// A try is made, kept and undone again, at every size.
#[test]
fn a_try_is_adopted_and_undone() {
    for (rows, columns) in SIZES {
        let folder = tempfile::tempdir().unwrap();
        open_visit(folder.path(), "demo/back-patio.yaml", &[]);
        let mut terminal = Terminal::start_sized(folder.path(), &["ask", "v.yaml"], rows, columns);
        terminal.at(&["What now?", "-> Try something else"], ENTER);
        terminal.at(&["Try what?", "-> The surface at another height"], ENTER);
        terminal.at(&["Top of the patio", "Esc goes back."], "10 1/4 in");
        terminal.at(&["10 1/4 in"], ENTER);
        terminal.at(&["1 1/4 in above", "surface 3 1/4 in lower"], ENTER);
        terminal.at(&["Try what?", "-> The surface at another height"], DOWN);
        terminal.at(&["-> Other answers"], DOWN);
        terminal.at(&["-> Set the plan"], DOWN);
        terminal.at(&["-> Keep one"], ENTER);
        // the answer is that of the new plan
        terminal.at(&["CHANGE THE PLAN", "What now?", "-> Try something else"], DOWN);
        assert_eq!(saved(folder.path()).answers["finish_below_mark"], "10 1/4 in");
        terminal.at(&["-> Undo"], ENTER);
        terminal.at(&["EXTERIOR TRADE FIRST", "What now?", "-> Try something else"], ESC);
        assert_eq!(terminal.end(), 0);
        let visit = saved(folder.path());
        assert_eq!(visit.answers["finish_below_mark"], "7 in");
        assert_eq!(visit.tries.keys().collect::<Vec<_>>(), ["surface 3 1/4 in lower"]);
    }
}

/// A metric `24` for a patio is 24 mm, which is impossible; in metres it is usual, and offered.
#[test]
fn a_bare_number_that_can_only_be_metres_offers_them() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(
        folder.path().join("v.yaml"),
        "wallfoot_visit: 1\nanswers:\n  region: germany\n  stage: planned\n  contractor: none_yet\n  in_bavaria: 'no'\n  cladding: vinyl\n  backing: wood_frame\n  feature: sand_set_pavers\n  joint: tight\n",
    )
    .unwrap();
    let mut terminal = Terminal::start(folder.path(), &["ask", "v.yaml"]);
    terminal.at(&[":: Length along the wall", "197, 19.7 cm"], "24");
    terminal.at(&["-> 24"], ENTER);
    terminal.at(&["24 mm", "-> No, I meant 24 m", "No, let me type it again"], ENTER);
    terminal.at(&[":: Door at the work"], CTRL_C);
    terminal.end();
    let length = saved(folder.path()).answers["feature_length"].clone();
    assert_eq!(
        wallfoot::units::Length::parse(&length, wallfoot::units::Units::Metric),
        wallfoot::units::Length::parse("24 m", wallfoot::units::Units::Metric)
    );
}

/// Ctrl-U, W, A, E, the arrows and Delete edit a line.
#[test]
fn a_line_is_edited() {
    let folder = tempfile::tempdir().unwrap();
    let mut terminal = before_the_length(folder.path());
    terminal.at(&["Question 7;", "2'-6"], "rubbish");
    terminal.at(&["-> rubbish"], "\x15");
    terminal.keys("0 ft nonsense");
    terminal.at(&["-> 0 ft nonsense"], "\x17");
    terminal.keys("6 in\x01");
    terminal.keys("2");
    terminal.at(&["-> 20 ft 6 in"], "\x05");
    terminal.at(&["-> 20 ft 6 in"], "X");
    terminal.at(&["-> 20 ft 6 inX"], "\x1b[D\x1b[3~");
    terminal.comes_to("no X", |text| text.contains("-> 20 ft 6 in") && !text.contains("inX"));
    terminal.keys(ENTER);
    terminal.at(&["Question 8;", ":: Door at the work"], CTRL_C);
    terminal.end();
    assert_eq!(saved(folder.path()).answers["feature_length"], "246 in");
}

/// A visit that ended with something to find out is taken up again at its menu, at every size: the open point is answered there,
/// and the new verdict follows at once.
#[test]
fn what_was_to_be_found_out_is_answered_later() {
    for (rows, columns) in SIZES {
        let folder = tempfile::tempdir().unwrap();
        open_visit(folder.path(), "vinyl-walkway/visit.yaml", &["signs"]);
        let mut terminal = Terminal::start_sized(folder.path(), &["ask", "v.yaml"], rows, columns);
        terminal.at(&["Signs of trouble"], CTRL_N);
        terminal.at(&["FIND OUT FIRST", "What now?"], ESC);
        assert_eq!(terminal.end(), 0);
        assert_eq!(saved(folder.path()).not_sure, ["signs"]);

        let mut again = Terminal::start_sized(folder.path(), &["ask", "v.yaml"], rows, columns);
        again.at(&["FIND OUT FIRST", "What now?"], "still open");
        again.at(&["-> Answer what is still open (1)"], ENTER);
        again.at(&["What have you found out?", "-> Signs of trouble. Look along"], ENTER);
        again.at(&["Signs of trouble", "[ ]"], "none of these");
        again.at(&["-> [ ] None of these"], ENTER);
        again.comes_to("the list", |text| !text.contains("Search:") && text.contains("-> [ ] None of these"));
        again.keys(" ");
        again.at(&["-> [x] None of these"], ENTER);
        again.at(&["GO AHEAD", "What now?"], ESC);
        assert_eq!(again.end(), 0);
        let visit = saved(folder.path());
        assert_eq!((visit.answers["signs"].as_str(), visit.not_sure.len()), ("none", 0));
    }
}
