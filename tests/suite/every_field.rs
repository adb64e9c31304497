//! Every text field there is, by a generator that knows them all: it takes a file that is sound, puts a hostile text into one scalar or one
//! name after the other, and asks the program's own reader which of them are texts. So a field that is added tomorrow is tried tomorrow.
//!
//! What is right: no control character, no mark that turns the direction of writing or hides, and no break of a line of such a text
//! reaches a terminal, Markdown, HTML, SVG, a calendar, a table or a report; each of these is well-formed; and each message about such a
//! file is as harmless. The fields of a visit: `outside::visit_of`.

#![allow(clippy::print_stdout)] // how much was tried, for whoever asks with --nocapture

use crate::outside::{PRINTS, acting, looked_at, out, visit_of};
use crate::support::{program, top};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::io::Write as _;
use std::path::Path;
use std::process::Stdio;
use wallfoot::commands::{embedded, sources};
use wallfoot::content::Content;
use wallfoot::flow::{Diagnostics, Node, Source, Tree};

/// What acts, and what is mark-up at the start of a line. Each stands behind the text of the field, so that placeholders stay.
const HOSTILE: [&str; 2] = [
    " \u{1b}[31m\u{9b}2J\u{1b}]0;t\u{7}\u{202e}x\u{2066}\u{200b}\u{feff}\u{fffe}\u{e0041}\u{85}y zz",
    "\n# heading\n- [x] done\n\n~~~\n```\n<script>alert(1)</script> &#x202e; ]]> --> <!-- | *b* =1+1\r\n  [l](http://e.test) zz",
];

/// A YAML file as it may be written anew.
#[derive(Clone)]
enum Part {
    Text { text: String, quoted: bool },
    List(Vec<Part>),
    Map(Vec<(String, Part)>),
}

/// Where a scalar or a name stands, whatever its number in a list: `limits[].what`, and `labour{}` for a name.
type Pattern = String;

impl Part {
    fn read(name: &str, text: &str) -> Part {
        let source = Source::new(name.to_owned(), text.to_owned());
        Part::of(&Node::read(&source, 0, &mut Diagnostics::default()).unwrap_or_else(|| panic!("{name} is YAML")))
    }

    fn of(node: &Node<'_>) -> Part {
        match &node.tree {
            Tree::Scalar { text, quoted } => Part::Text { text: text.to_string(), quoted: *quoted },
            Tree::List(list) => Part::List(list.iter().map(Part::of).collect()),
            Tree::Map(map) => Part::Map(map.iter().map(|(key, node)| (key.text.to_string(), Part::of(node))).collect()),
        }
    }

    fn write(&self, indent: usize, to: &mut String) {
        let margin = " ".repeat(indent);
        match self {
            Part::Text { text, quoted: false } if !text.contains(['\n', '\u{1b}']) => {
                to.push(' ');
                to.push_str(text);
                to.push('\n');
            }
            Part::Text { text, .. } => {
                to.push(' ');
                to.push_str(&quoted(text));
                to.push('\n');
            }
            Part::List(list) if list.is_empty() => to.push_str(" []\n"),
            Part::Map(map) if map.is_empty() => to.push_str(" {}\n"),
            Part::List(list) => {
                to.push('\n');
                for part in list {
                    to.push_str(&margin);
                    to.push('-');
                    part.write(indent + 2, to);
                }
            }
            Part::Map(map) => {
                to.push('\n');
                for (key, part) in map {
                    to.push_str(&margin);
                    to.push_str(&quoted(key));
                    to.push(':');
                    part.write(indent + 2, to);
                }
            }
        }
    }

    fn to_text(&self) -> String {
        let mut text = String::new();
        self.write(0, &mut text);
        text
    }

    /// Every place of a scalar, and of a name where names are anybody's.
    fn patterns(&self, at: &str, found: &mut BTreeSet<Pattern>) {
        match self {
            Part::Text { .. } => _ = found.insert(at.to_owned()),
            Part::List(list) => list.iter().for_each(|part| part.patterns(&format!("{at}[]"), found)),
            Part::Map(map) => {
                for (key, part) in map {
                    found.insert(format!("{at}{{}}"));
                    part.patterns(&format!("{at}.{}", general(at, key)), found);
                }
            }
        }
    }

    /// Puts a text behind every scalar of a pattern, or behind the first; for a name, behind the first of them.
    fn with(&self, pattern: &str, hostile: &str, all: bool) -> Part {
        let mut copy = self.clone();
        copy.put("", pattern, hostile, all);
        copy
    }

    fn put(&mut self, at: &str, pattern: &str, hostile: &str, all: bool) -> bool {
        match self {
            Part::Text { text, quoted } if at == pattern => {
                text.push_str(hostile);
                *quoted = true;
                true
            }
            Part::Text { .. } => false,
            Part::List(list) => {
                let at = format!("{at}[]");
                let mut done = false;
                for part in list {
                    done |= (all || !done) && part.put(&at, pattern, hostile, all);
                }
                done
            }
            Part::Map(map) => {
                let names = format!("{at}{{}}") == pattern;
                let mut done = false;
                for (key, part) in map {
                    if done && !all {
                        break;
                    }
                    if names && !done {
                        key.push_str(hostile);
                        return true;
                    }
                    done |= part.put(&format!("{at}.{}", general(at, key)), pattern, hostile, all);
                }
                done
            }
        }
    }
}

/// A text in the quotes of JSON, which are quotes of YAML too; what YAML wants by its number is so.
fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' | '\\' => out.extend(['\\', c]),
            '\n' => out.push_str("\\n"),
            ' '..='~' => out.push(c),
            c if u32::from(c) < 0x1_0000 => write!(out, "\\u{:04x}", u32::from(c)).unwrap(),
            c => write!(out, "\\U{:08x}", u32::from(c)).unwrap(),
        }
    }
    out.push('"');
    out
}

/// A key that is one of many of its kind counts as any of them: words and their translations.
fn general<'k>(at: &str, key: &'k str) -> &'k str {
    if at.starts_with(".words") || at.starts_with(".texts") || at.starts_with(".source_phrases") || key.contains('.') {
        "*"
    } else {
        key
    }
}

/// The built-in files, all languages, as parts.
fn shipped() -> BTreeMap<String, Part> {
    let all = sources(None, Some("*")).unwrap();
    all.into_iter().map(|source| (source.name.clone(), Part::read(&source.name, &source.text))).collect()
}

/// Whether the built-in content loads with this text behind every scalar of a pattern, in whatever file.
fn loads_with(files: &BTreeMap<String, Part>, pattern: &str, hostile: &str) -> bool {
    let mut all = sources(None, Some("*")).unwrap();
    for source in &mut all {
        let mut part = files[&source.name].clone();
        if part.put("", pattern, hostile, true) {
            *source = Source::new(source.name.clone(), part.to_text());
        }
    }
    Content::load(&all, Some("es")).is_ok()
}

/// The texts among the scalars of the content, by pattern. Found by asking the loader: a name that something else goes by is none.
fn texts_of_the_content(files: &BTreeMap<String, Part>) -> BTreeSet<Pattern> {
    let mut found = BTreeSet::new();
    for part in files.values() {
        part.patterns("", &mut found);
    }
    // what a rule asks for is a name or a figure, and never shown
    let rule =
        |pattern: &str| ["when", "show_when", "source_when"].iter().any(|key| pattern.contains(&format!(".{key}")));
    // of these it is asked earlier, when files are laid over each other
    let alone = |pattern: &str| [".standalone", ".version", ".translation"].contains(&pattern);
    found.retain(|pattern| {
        !pattern.ends_with("{}") && !rule(pattern) && !alone(pattern) && loads_with(files, pattern, HOSTILE[0])
    });
    found
}

#[test]
fn every_text_of_the_content_is_harmless_everywhere() {
    let files = shipped();
    // the way of writing changes nothing by itself
    for (name, part) in &files {
        assert!(part.to_text() == Part::read(name, &part.to_text()).to_text(), "{name} is written in another way");
    }
    let texts = texts_of_the_content(&files);
    let known = |pattern: &str| texts.contains(pattern);
    for pattern in [".questions[].ask", ".findings[].title", ".limits[].what", ".tasks[].do", ".words.*"] {
        assert!(known(pattern), "{pattern} is a text: {texts:#?}");
    }
    println!("{} kinds of text in the content", texts.len());
    assert!(texts.len() > 80 && !known(".questions[].id"), "{texts:#?}");
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    std::fs::copy(top().join("tests/data/seattle-weather.csv"), folder.join("days.csv")).unwrap();
    std::fs::copy(top().join("docs/prices-example.yaml"), folder.join("book.yaml")).unwrap();
    std::fs::write(folder.join("v.yaml"), embedded("demo/back-patio.yaml").unwrap()).unwrap();
    std::fs::write(folder.join("new.yaml"), "wallfoot_visit: 1\nanswers:\n  region: us\n").unwrap();
    // what acts; what is mark-up is tried in the fields of visits, books, limits and tables alone
    for hostile in &HOSTILE[..1] {
        for (name, part) in &files {
            let mut part = part.clone();
            for pattern in &texts {
                part.put("", pattern, hostile, true);
            }
            let path = folder.join("own").join(name);
            std::fs::create_dir_all(path.parent().unwrap()).unwrap();
            std::fs::write(path, part.to_text()).unwrap();
        }
        let (_, said, done) = out(folder, &["advise", "v.yaml", "--questions", "own"]);
        assert!(done, "each alone can be loaded, and all together cannot: {said:.4000}");
        let mut printed_any = 0;
        for (args, formats) in PRINTS {
            for format in formats.iter().copied().chain(formats.is_empty().then_some("")) {
                let mut all = [args, &["--questions", "own"]].concat();
                if !format.is_empty() {
                    all.extend(["--as", format]);
                }
                let (printed, said, done) = out(folder, &all);
                for stream in [&printed, &said] {
                    assert_eq!(acting(stream), None, "{all:?}: {stream:.3000}");
                }
                assert!(done || said.contains("help:"), "{all:?}: {said:.2000}");
                printed_any += usize::from(printed.contains("zz"));
                // how wide the words of a form are is its author's business
                if done && !["", "text"].contains(&format) {
                    looked_at(&printed, format, hostile);
                }
            }
        }
        assert!(printed_any > 20, "{printed_any} results have the texts in them");
        // what authors see, and what is asked
        for args in [
            &["prove", "own", "--list"][..],
            &["prove", "own", "--sources"],
            &["advise", "v.yaml", "--questions", "own", "--lang", "es"],
        ] {
            let (printed, said, _) = out(folder, args);
            assert_eq!((acting(&printed), acting(&said)), (None, None), "{args:?}");
        }
        let asked = typed(folder, &["ask", "new.yaml", "--questions", "own", "--plain"], &"?\nnot sure\n".repeat(60));
        assert_eq!(acting(&asked), None, "{asked:.3000}");
        assert!(asked.contains("zz"), "{asked:.3000}");
    }
}

/// Lines into a command; all that it said.
fn typed(folder: &Path, args: &[&str], lines: &str) -> String {
    let mut child =
        program(folder, args).stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    let _ = child.stdin.take().unwrap().write_all(lines.as_bytes());
    let output = child.wait_with_output().unwrap();
    String::from_utf8(output.stdout).unwrap() + &String::from_utf8(output.stderr).unwrap()
}

/// Every scalar and every name of a price book and of a file of limits; cell for cell of the two tables. Most of them are refused: then
/// the message is what is looked at.
#[test]
fn every_field_of_books_limits_and_tables_is_harmless() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    std::fs::write(folder.join("v.yaml"), embedded("demo/back-patio.yaml").unwrap()).unwrap();
    let read = |path: &str| std::fs::read_to_string(top().join(path)).unwrap();
    let mut tries: Vec<(String, String, Vec<&str>)> = Vec::new();
    let town = "limits:\n  - { id: own_limit, regions: [us], when: { stage: planned }, what: Own, measure: exit.above_finish, at_least: 4 in, because: b, source: S, edition: \"2024\", basis: practice }\nworks:\n  - { id: own_code, cited_as: [Own code], title: T, body: B, edition: \"2024\", read: text, note: n }\n";
    let book = read("docs/prices-example.yaml");
    for (name, text, args) in [
        ("book.yaml", book.as_str(), &["plan", "v.yaml", "--prices", "book.yaml", "--as", "csv"][..]),
        ("town.yaml", town, &["advise", "v.yaml", "--limits", "town.yaml", "--sheet", "background"]),
    ] {
        let part = Part::read(name, text);
        let mut patterns = BTreeSet::new();
        part.patterns("", &mut patterns);
        for pattern in &patterns {
            for hostile in HOSTILE {
                let text = part.with(pattern, hostile, false).to_text();
                assert_ne!(text, part.to_text(), "{pattern} of {name}");
                tries.push((name.to_owned(), text, args.to_vec()));
            }
        }
    }
    for (name, head, row, args) in [
        (
            "days.csv",
            "date,low,high,rain,wind",
            "2026-01-01,-3,5,0,2",
            &["plan", "v.yaml", "--weather", "days.csv"][..],
        ),
        (
            "hours.csv",
            "wind,direction,rain",
            "3.4,180,0.2",
            &["advise", "v.yaml", "--sheet", "background", "--hourly-rain", "hours.csv", "--wall-faces", "180"],
        ),
    ] {
        let cells = head.split(',').count();
        for at in 0..2 * cells {
            for hostile in HOSTILE {
                let put = |line: &str, from: usize| {
                    let cells = line.split(',').enumerate();
                    let cells: Vec<String> = cells
                        .map(|(n, cell)| {
                            if n + from == at {
                                format!("\"{cell}{}\"", hostile.replace('"', "\"\""))
                            } else {
                                cell.to_owned()
                            }
                        })
                        .collect();
                    cells.join(",")
                };
                tries.push((name.to_owned(), format!("{}\n{}\n", put(head, 0), put(row, cells)), args.to_vec()));
            }
        }
    }
    let (mut done, mut refused, mut wrong) = (0, 0, Vec::new());
    for (name, text, args) in &tries {
        std::fs::write(folder.join(name), text).unwrap();
        let (printed, said, well) = out(folder, args);
        assert_eq!((acting(&printed), acting(&said)), (None, None), "{args:?}: {text}\n{printed:.2000}{said}");
        let lines: Vec<&str> =
            if args.contains(&"csv") { said.lines().collect() } else { said.lines().chain(printed.lines()).collect() };
        if lines.iter().any(|line| line.starts_with("# heading") || line.starts_with("- [x]")) {
            wrong.push(said.clone());
        }
        assert!(said.len() < 4_000, "{args:?}: a message as long as {}", said.len());
        assert!(!said.contains("unexpected argument"), "{said}");
        if well {
            done += 1;
            if args.contains(&"csv") {
                looked_at(&printed, "csv", text);
            }
        } else {
            refused += 1;
        }
    }
    assert!(wrong.is_empty(), "{} have lines of their own:\n{}", wrong.len(), wrong.join("\n---\n"));
    println!("{} tries: {done} done, {refused} refused", tries.len());
    assert!(done > 5 && refused > 30, "{done} done, {refused} refused");
}

/// An owner that nobody knows is refused, since a task would seem to have none: by a message that is harmless.
#[test]
fn an_owner_with_a_hostile_name_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    for hostile in HOSTILE {
        let mut visit = visit_of("demo-back-patio", "name");
        visit.owners.insert(hostile.to_owned(), vec![hostile.to_owned()]);
        visit.write(&folder.path().join("v.yaml")).unwrap();
        let (printed, said, done) = out(folder.path(), &["advise", "v.yaml"]);
        assert!(!done && printed.is_empty() && acting(&said).is_none(), "{said}");
        assert!(said.lines().all(|line| !line.starts_with('#') && !line.starts_with("- [x]")), "{said}");
    }
}

/// In a table of several stretches, one that is called as their sum is told apart from it.
#[test]
fn a_stretch_called_total_is_no_sum() {
    let folder = tempfile::tempdir().unwrap();
    let text = embedded("demo/back-patio.yaml").unwrap();
    for name in ["total", " Total", "TOTAL\u{200b}"] {
        let run = serde_json::to_string(name).unwrap();
        let more = format!("runs:\n  {run}: {{ answers: {{ joint: open_gap }} }}\n  total (2): {{ answers: {{}} }}\n");
        std::fs::write(folder.path().join("v.yaml"), format!("{text}{more}")).unwrap();
        let (printed, said, done) = out(folder.path(), &["plan", "v.yaml", "--as", "csv"]);
        assert!(done, "{said}");
        let mut reader = csv::Reader::from_reader(printed.as_bytes());
        let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
        let names: BTreeSet<&str> = rows.iter().map(|row| &row[0]).collect();
        assert_eq!(names.len(), 4, "{names:?}");
        let amount = |name: &str, id: &str| {
            let rows = rows.iter().filter(|row| &row[0] == name && &row[1] == id);
            rows.map(|row| row[4].parse::<f64>().unwrap()).sum::<f64>()
        };
        // the sum is that of all stretches, so none of them is among its rows
        let id = &rows[0][1];
        let parts: f64 = names.iter().filter(|name| **name != "total").map(|name| amount(name, id)).sum();
        assert!((amount("total", id) - parts).abs() < 0.1, "{printed}");
    }
}

/// A point that a contractor made is a bit of a number with 64 of them.
#[test]
fn more_points_than_can_be_marked_are_refused() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::create_dir(folder.path().join("own")).unwrap();
    let points = |count: usize| (0..count).map(|n| format!("point {n}")).collect::<Vec<_>>().join(", ");
    let write = |good, weak| {
        let ask = format!(
            "contractor:\n  - {{ id: own_ask, rank: 900, ask: A?, why: w, good: [{}], weak: [{}] }}\n",
            points(good),
            points(weak)
        );
        std::fs::write(folder.path().join("own/own.yaml"), ask).unwrap();
        std::fs::write(folder.path().join("v.yaml"), embedded("demo/back-patio.yaml").unwrap()).unwrap();
        out(folder.path(), &["advise", "v.yaml", "--questions", "own"])
    };
    let (_, said, done) = write(40, 24);
    assert!(!done && said.contains("more than 60 points in `good` and `weak` together"), "{said}");
    let (_, said, done) = write(40, 20);
    assert!(done, "{said}");
}
