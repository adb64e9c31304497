//! Texts from outside: hostile text in every field that anybody can write, and a look at every output.

use crate::html;
use crate::support::{program, scenario_visit, text_of, top};
use std::collections::BTreeMap;
use std::path::Path;
use std::process::Stdio;
use std::time::{Duration, Instant};
use wallfoot::flow::{acts, harmless, one_line};
use wallfoot::visit::{Note, Run, ShownVerdict, Try, Visit};

/// What each hostile text ends with, so that it is known again.
const SEEN: &str = "zzhostile";

/// Texts that try something, one for each way.
pub(crate) fn hostile() -> Vec<String> {
    let long = "W".repeat(5000);
    [
        "\u{1b}[31mred\u{1b}]0;title\u{7}",
        "\u{9b}2J\u{90}q\u{9c}\u{85}next",
        "\u{202e}desrever\u{202c} \u{2066}isolated\u{2069} \u{200f}\u{61c}",
        "zero\u{200b}wi\u{200d}dth\u{feff}\u{2060}\u{ad}\u{e0041}\u{fffe}",
        "line\n# heading\r\n- [x] done\u{2028}<!-- -->\n\n===\n1. one",
        "<script>alert(1)</script> &#x202e; &amp; \" ' --> ]]>",
        "# h *b* _i_ `c` [l](http://e.test) ![i](x) | cell | ~~s~~ $x$ https://e.test www.e.test a@e.test",
        "=HYPERLINK(\"http://e.test\",\"x\")",
        "+1+1",
        "-2+3",
        "@SUM(A1)",
        "\t=1+1",
        "```\n## broken out\n```",
        "~~~\n## broken out\n~~~\n---\nt: 1\n---\n> quoted\n    code\n* * *\n<details>\n[r]: http://e.test\n[r]",
        "e\u{301}\u{301}\u{301}\u{301}\u{301}\u{301}\u{301}\u{301}\u{301}\u{301}",
        &long,
    ]
    .into_iter()
    .map(|text| format!("{text} {SEEN}"))
    .collect()
}

#[test]
fn the_filter() {
    for (text, line, lines) in [
        ("plain – Müller, ½ in", "plain – Müller, ½ in", "plain – Müller, ½ in"),
        ("a\u{1b}[2Jb", "a[2Jb", "a[2Jb"),
        ("a\r\nb\nc\u{85}d\u{2028}e", "a b c d e", "a\nb\nc\nd\ne"),
        ("a\tb", "a b", "a b"),
        ("\u{202e}a\u{2067}b\u{200b}c\u{feff}", "abc", "abc"),
        ("\u{fffe}\u{1ffff}x\u{0}", "x", "x"),
        (
            "e\u{301}\u{301}\u{301}\u{301}\u{301}\u{301}",
            "e\u{301}\u{301}\u{301}\u{301}",
            "e\u{301}\u{301}\u{301}\u{301}",
        ),
    ] {
        assert_eq!(one_line(text), line);
        assert_eq!(harmless(text), lines);
        // nothing is left to do for a second time
        assert_eq!(harmless(&harmless(text)), harmless(text));
    }
}

/// A visit with a hostile text in every field that there is: where anybody writes, in names, and in what nobody knows. A field that is
/// added to the file of a visit does not compile here until it is in.
pub(crate) fn visit_of(base: &str, text: &str) -> Visit {
    let (visit, ..) = crate::support::visit(&scenario_visit(base));
    let own = || text.to_owned();
    let Visit {
        wallfoot_visit,
        started: _,
        changed: _,
        mut answers,
        mut not_sure,
        mut runs,
        mut tries,
        mut contractors,
        mut owners,
        log: _,
        shown: _,
        mut set_aside,
        comments: _,
    } = visit;
    answers.insert("visit_name".to_owned(), own());
    if answers.contains_key("mark_name") {
        answers.insert("mark_name".to_owned(), own());
    }
    answers.insert(own(), own());
    answers.insert("joint".to_owned(), own());
    set_aside.insert("no_such_question".to_owned(), own());
    set_aside.insert(format!("{text} aside"), own());
    not_sure.push(own());
    let change = BTreeMap::from([("joint".to_owned(), "open_gap".to_owned())]);
    let aside = BTreeMap::from([(own(), own()), ("cladding".to_owned(), own())]);
    let run = Run { answers: change.clone(), not_sure: vec![own()], set_aside: aside.clone() };
    // looks the same once it is cleaned
    runs.insert(format!("{text}\u{200b}"), run.clone());
    runs.insert(own(), run);
    let Run { answers: _, not_sure: _, set_aside: _ } = Run::default();
    let tried = |stretch: &str| Try {
        stretch: stretch.to_owned(),
        before: own(),
        answers: change.clone(),
        not_sure: vec![own()],
        set_aside: aside.clone(),
    };
    tries.insert(own(), tried(""));
    tries.insert(format!("{text} of a stretch"), tried(text));
    tries.insert(format!("{text} of no stretch"), tried(&format!("{text} gone")));
    let points = || vec!["good.1".to_owned(), own()];
    contractors.insert(own(), BTreeMap::from([("where_does_water_go".to_owned(), points()), (own(), points())]));
    // an owner that nobody knows is refused, see below
    owners.insert(own(), vec!["homeowner".to_owned()]);
    let note = |about: &str, text: &str| Note {
        date: text.to_owned(),
        about: about.to_owned(),
        text: text.to_owned(),
        photos: vec![text.to_owned()],
    };
    let shown = ShownVerdict { date: own(), verdict: own() };
    Visit {
        wallfoot_visit,
        started: own(),
        changed: own(),
        answers,
        not_sure,
        runs,
        tries,
        contractors,
        owners,
        log: vec![note(text, text), note("exit_below_mark", text)],
        shown: Some(shown),
        set_aside,
        comments: text.lines().map(str::to_owned).collect(),
    }
}

/// A folder of questions and a file of limits of a town whose author means no good.
fn content_of(folder: &Path, text: &str) {
    let quoted = serde_json::to_string(text).unwrap();
    std::fs::create_dir_all(folder.join("own")).unwrap();
    let finding = format!(
        "findings:\n  - {{ id: own_finding, when: {{ cladding: {{ known: true }} }}, title: {quoted}, say: {quoted}, do: {quoted}, source: {quoted}, edition: {quoted}, basis: practice }}\n"
    );
    std::fs::write(folder.join("own/findings.yaml"), finding).unwrap();
    let limit = format!(
        "limits:\n  - {{ id: own_limit, regions: [us], what: {quoted}, measure: exit.above_finish, at_least: 4 in, because: {quoted}, source: {quoted}, edition: {quoted}, basis: practice }}\n"
    );
    std::fs::write(folder.join("town.yaml"), limit).unwrap();
    let book = format!("currency: {quoted}\nlabour: {{ exterior: {{ low: 1, likely: 2, high: 3 }} }}\n");
    std::fs::write(folder.join("book.yaml"), book).unwrap();
}

/// Runs the program; both streams, and whether it did what it was asked.
pub(crate) fn out(folder: &Path, args: &[&str]) -> (String, String, bool) {
    let output = program(folder, args).stdin(Stdio::null()).output().unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("what is written is UTF-8");
    (text(output.stdout), text(output.stderr), output.status.success())
}

/// The first character that acts, if there is one.
pub(crate) fn acting(text: &str) -> Option<char> {
    // a table begins with the mark of UTF-8, and the lines of tables and calendars end as they must
    text.trim_start_matches('\u{feff}').replace("\r\n", "\n").chars().find(|c| acts(*c))
}

/// Every command that prints what stands in a visit, in every form.
pub(crate) const PRINTS: [(&[&str], &[&str]); 13] = [
    (&["advise", "v.yaml"], &[]),
    (&["advise", "v.yaml", "--sheet", "homeowner"], &["text", "markdown", "html", "json"]),
    (&["advise", "v.yaml", "--sheet", "landscaper"], &["text", "markdown", "html"]),
    (&["advise", "v.yaml", "--sheet", "exterior"], &["text", "markdown", "html"]),
    (&["advise", "v.yaml", "--sheet", "agreement"], &["text", "markdown", "html"]),
    (&["advise", "v.yaml", "--sheet", "background", "--log"], &["text", "markdown", "html"]),
    (&["compare", "v.yaml"], &["text", "markdown", "html", "json"]),
    (&["plan", "v.yaml", "--prices", "book.yaml"], &["text", "markdown", "html", "csv", "json"]),
    (&["plan", "v.yaml", "--weather", "days.csv", "--start", "2014-05-05"], &["ics", "text"]),
    (&["log", "v.yaml"], &["text", "markdown", "html", "json"]),
    (&["draw", "v.yaml"], &["text", "svg"]),
    (&["visits", "."], &["text", "json"]),
    (&["advise", "v.yaml", "--plain"], &["text"]),
];

#[test]
fn hostile_texts_reach_no_output() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    std::fs::copy(top().join("tests/data/seattle-weather.csv"), folder.join("days.csv")).unwrap();
    let (mut seen, mut forms) = (0, 0);
    for (number, text) in hostile().into_iter().enumerate() {
        // a visit with a door has no name of a mark; one without has
        let base = if number % 2 == 0 { "demo-back-patio" } else { "metal-planter" };
        content_of(folder, &text);
        visit_of(base, &text).write(&folder.join("v.yaml")).unwrap();
        for (args, formats) in PRINTS {
            let formats: Vec<&[&str]> = if formats.is_empty() { vec![&[]] } else { formats.chunks(1).collect() };
            for format in formats {
                let mut all = args.to_vec();
                if let [format] = format {
                    all.extend(["--as", format]);
                }
                all.extend(["--questions", "own", "--limits", "town.yaml"]);
                let began = Instant::now();
                let (printed, said, done) = out(folder, &all);
                assert!(began.elapsed() < Duration::from_secs(20), "{all:?} takes {:?}", began.elapsed());
                for stream in [&printed, &said] {
                    assert_eq!(acting(stream), None, "{all:?}, {text:?}: {stream:.2000}");
                }
                // without work there is no calendar, and without another height no picture
                if !done {
                    continue;
                }
                forms += 1;
                seen += usize::from(printed.contains(SEEN));
                looked_at(&printed, format.first().copied().unwrap_or("screen"), &text);
            }
        }
    }
    assert!(forms > 300 && seen > 250, "{forms} results, {seen} with the text");
}

/// What must hold of a result in one form.
pub(crate) fn looked_at(printed: &str, format: &str, text: &str) {
    match format {
        "text" | "screen" => {
            for line in printed.lines() {
                let wide = unicode_width::UnicodeWidthStr::width(line);
                assert!(wide <= 82 || line.ends_with("____"), "{wide} columns: {line:.200}");
                assert!(!line.starts_with("# heading") && !line.starts_with("- [x]"), "{line}");
            }
        }
        "html" => {
            // two pictures on one page both bring their patterns
            let printed = &printed.replace(" id=\"fill-", " class=\"");
            let page = html::read(printed).unwrap_or_else(|wrong| panic!("{wrong}"));
            for picture in printed.split("<svg ").skip(1) {
                let whole = format!("<svg {}</svg>", picture.split("</svg>").next().unwrap_or_default());
                roxmltree::Document::parse(&whole).unwrap_or_else(|wrong| panic!("no XML: {wrong}: {whole:.500}"));
            }
            let opened = page.iter().filter_map(|part| match part {
                html::Seen::Opened { tag, .. } => Some(tag.as_str()),
                html::Seen::Text(_) => None,
            });
            assert!(opened.into_iter().all(|tag| tag != "script"), "a script in {printed:.500}");
            assert!(printed.contains("overflow-wrap: anywhere"));
        }
        "svg" => {
            roxmltree::Document::parse(printed).unwrap_or_else(|wrong| panic!("no XML: {wrong}: {printed:.500}"));
            let page = format!("<!DOCTYPE html><html lang=\"en\"><body>{printed}</body></html>");
            html::read(&page).unwrap_or_else(|wrong| panic!("{wrong}"));
            // no name is longer than the picture is wide
            // what stands in the picture; what it says for who cannot see it may be long
            let shown = printed.split("<text").skip(1).filter_map(|part| part.split(['>', '<']).nth(1));
            let longest = shown.map(|part| part.chars().count()).max().unwrap_or(0);
            assert!(longest < 250, "{longest} letters");
        }
        "markdown" => in_markdown(printed),
        "json" => {
            let json: serde_json::Value = serde_json::from_str(printed).unwrap();
            assert!(json.is_object());
        }
        "csv" => {
            let mut reader = csv::Reader::from_reader(printed.as_bytes());
            assert_eq!(&reader.headers().unwrap()[0], "stretch", "the mark of UTF-8 is none of the first column");
            for row in reader.records().map(Result::unwrap) {
                for cell in &row {
                    let first = cell.chars().next().unwrap_or('x');
                    assert!(!"=+-@\t\r".contains(first), "{text:?}: {cell}");
                }
            }
        }
        "ics" => {
            assert!(printed.split("\r\n").all(|line| line.len() <= 75 && !line.contains('\n')));
            printed.parse::<icalendar::Calendar>().unwrap();
        }
        other => panic!("{other} is not looked at"),
    }
}

/// Nothing of a hostile text is mark-up for a reader of Markdown.
fn in_markdown(printed: &str) {
    use pulldown_cmark::{Event, Options, Parser, Tag};
    let options =
        Options::ENABLE_TABLES | Options::ENABLE_STRIKETHROUGH | Options::ENABLE_TASKLISTS | Options::ENABLE_MATH;
    for event in Parser::new_ext(printed, options) {
        match event {
            Event::Html(found) | Event::InlineHtml(found) => assert!(found.trim() == "<!-- wallfoot -->", "{found}"),
            Event::Start(Tag::Link { dest_url, .. } | Tag::Image { dest_url, .. }) => panic!("a link to {dest_url}"),
            Event::Start(Tag::Strikethrough | Tag::Emphasis) | Event::InlineMath(_) | Event::DisplayMath(_) => {
                // sources are set off, and nothing else is
                assert!(matches!(event, Event::Start(Tag::Emphasis)), "{event:?}");
            }
            Event::Text(found) => assert!(!["heading", "broken out"].contains(&&*found), "{found}"),
            Event::TaskListMarker(done) => assert!(!done, "a box that was ticked by a name"),
            _ => {}
        }
    }
}

/// The first text of every kind of place, typed into the interview on plain lines.
#[test]
fn what_is_typed_is_cleaned() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("n.yaml"), "wallfoot_visit: 1\n").unwrap();
    let args = ["set", "n.yaml", "region=us", "visit_name=\u{1b}[2Jdoor\u{202e} side\nof it"];
    let (_, said, done) = out(folder.path(), &args);
    assert!(done, "{said}");
    let visit = Visit::read(&folder.path().join("n.yaml")).unwrap();
    assert_eq!(visit.answers["visit_name"], "[2Jdoor side of it");
}

/// What stands in the file is left as it is: it is cleaned where it is used.
#[test]
fn the_file_keeps_its_text() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("v.yaml");
    visit_of("demo-back-patio", "a\u{202e}b").write(&path).unwrap();
    let (_, said, done) = out(folder.path(), &["set", "v.yaml", "contractor=signed"]);
    assert!(done, "{said}");
    let visit = Visit::read(&path).unwrap();
    assert!(visit.runs.contains_key("a\u{202e}b") && visit.contractors.contains_key("a\u{202e}b"));
    assert_eq!(visit.answers["visit_name"], "a\u{202e}b");
}

/// The filter is the last thing before a page leaves, whatever came into it by whatever way.
#[test]
fn a_document_with_anything_in_it() {
    use wallfoot::render::{Marks, TextStyle, html, markdown, screen, text};
    use wallfoot::sheet::{Block, Document};
    let all = hostile().join("\n\n");
    let document = Document {
        title: all.clone(),
        about: vec![all.clone()],
        lang: "en".to_owned(),
        blocks: vec![Block::Heading(all.clone()), Block::Paragraph(all.clone()), Block::Blank(all.clone())],
        foot: all.clone(),
        ..empty_document()
    };
    let marks = Marks { stop: all, ..Marks::default() };
    let style = TextStyle { width: 80, bold: false, plain: false };
    let bold = text(&document, &marks, TextStyle { bold: true, ..style });
    let bold = bold.replace("\u{1b}[1m", "").replace("\u{1b}[0m", "");
    let pages = [bold, text(&document, &marks, style), screen(&document, &marks, style, true)];
    for page in pages.iter().chain([&markdown(&document, &marks), &html(&document, &marks), &text_of(&document)]) {
        assert_eq!(acting(page), None);
    }
}

fn empty_document() -> wallfoot::sheet::Document {
    wallfoot::sheet::Document {
        title: String::new(),
        about: Vec::new(),
        lang: String::new(),
        running: String::new(),
        blocks: Vec::new(),
        foot: String::new(),
        letterhead: None,
    }
}
