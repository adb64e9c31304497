//! Rules of the house that no compiler checks.

use crate::source::{Source, Used, files};
use crate::support::{CONTENT, top};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;
use std::fs;
use wallfoot::flow::Stand;

/// Which module may use which (DEVELOPERS.md, "Arrows").
const ARROWS: [(&str, &[&str]); 20] = [
    ("pack", &[]),
    ("units", &["pack"]),
    ("flow", &["pack", "units"]),
    ("interview", &["pack", "flow", "units"]),
    ("terminal", &["interview", "flow", "units"]),
    ("visit", &["flow", "units"]),
    ("wall", &["pack", "units"]),
    ("water", &["pack", "wall", "units"]),
    ("work", &["pack", "water", "wall", "units"]),
    ("solve", &[]),
    ("names", &["pack", "flow"]),
    ("site", &["pack", "names", "flow", "wall", "water", "units"]),
    ("content", &["pack", "names", "site", "wall", "water", "work", "flow", "units"]),
    ("judge", &["names", "solve", "content", "site", "wall", "water", "work", "flow", "units"]),
    ("say", &["names", "judge", "content", "site", "wall", "water", "work", "flow", "units"]),
    ("sheet", &["pack", "names", "say", "judge", "content", "site", "wall", "water", "work", "flow", "units"]),
    ("report", &["names", "say", "judge", "content", "site", "wall", "water", "work", "flow", "units"]),
    ("prove", &["judge", "solve", "content", "site", "water", "wall", "names", "flow", "units"]),
    ("render", &["sheet", "wall", "flow", "units"]),
    (
        "commands",
        &[
            "content",
            "flow",
            "interview",
            "judge",
            "names",
            "pack",
            "prove",
            "render",
            "report",
            "say",
            "sheet",
            "site",
            "terminal",
            "units",
            "visit",
            "wall",
            "water",
            "work",
        ],
    ),
];

/// Every `use` counts, in groups too, and every path within code and macros; so does the room that something comes from
/// when it is handed on by another one.
#[test]
fn modules_use_only_what_they_may() {
    let rooms: BTreeSet<&str> = ARROWS.iter().map(|(room, _)| *room).collect();
    let source = Source::read();
    for module in source.modules().filter(|module| module.file != "lib.rs") {
        assert!(rooms.contains(module.room()), "src/{} lies in no room that has arrows", module.file);
    }
    assert_eq!(against_arrows(&source), "");
}

/// What is used against the arrows, a line each.
fn against_arrows(source: &Source) -> String {
    let mut wrong = String::new();
    for used in source.named().iter().filter(|used| used.by != "lib.rs") {
        let room = room_of(&used.by);
        let allowed = ARROWS.iter().find(|(name, _)| *name == room).map_or(&[][..], |(_, allowed)| allowed);
        for other in [used.room.as_str(), room_of(&used.from)] {
            if other != room && !allowed.contains(&other) {
                let _ = writeln!(wrong, "src/{}:{}: {room} may not use {other}: {}", used.by, used.line, used.path);
            }
        }
    }
    wrong
}

fn room_of(file: &str) -> &str {
    file.split(['/', '.']).next().unwrap_or_default()
}

fn source_of(files: &[(&str, &str)]) -> Source {
    Source::of(files.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned())))
}

#[test]
fn wrong_arrows_are_seen() {
    for text in [
        "use crate::{units, judge::Way};",
        "use super::super::judge::Way;",
        "pub use crate::judge::Way;",
        "fn f(way: &crate::judge::Way) {}",
        "fn f() { html! { (crate::judge::Way) } }",
    ] {
        let files =
            [("units/mod.rs", ""), ("judge/mod.rs", "pub struct Way;"), ("wall/mod.rs", "mod a;"), ("wall/a.rs", text)];
        assert!(against_arrows(&source_of(&files)).contains("wall may not use judge"), "{text}");
    }
}

/// A method is used without its file being named, so that circles of methods alone are not seen here.
#[test]
fn no_file_uses_itself_by_way_of_others() {
    if let Some(circle) = circle(&Source::read().used()) {
        panic!("files use each other: {circle}");
    }
}

/// A chain of files that use each other, with what they use.
fn circle(used: &[Used]) -> Option<String> {
    fn from_here<'u>(
        steps: &BTreeMap<&'u str, BTreeMap<&'u str, &'u Used>>,
        chain: &mut Vec<&'u Used>,
        file: &'u str,
        done: &mut BTreeSet<&'u str>,
    ) -> bool {
        if done.contains(file) {
            return false;
        }
        for (next, used) in steps.get(file).into_iter().flatten() {
            if let Some(start) = chain.iter().position(|step| step.by == *next) {
                chain.push(used);
                chain.drain(..start);
                return true;
            }
            chain.push(used);
            if from_here(steps, chain, next, done) {
                return true;
            }
            chain.pop();
        }
        done.insert(file);
        false
    }
    let mut steps: BTreeMap<&str, BTreeMap<&str, &Used>> = BTreeMap::new();
    for one in used {
        steps.entry(&one.by).or_default().entry(&one.from).or_insert(one);
    }
    let (mut chain, mut done) = (Vec::new(), BTreeSet::new());
    let found = steps.keys().any(|file| from_here(&steps, &mut chain, file, &mut done));
    let told = chain.iter().map(|step| format!("{} uses {} (line {}) of ", step.by, step.path, step.line));
    found.then(|| told.collect::<String>() + &chain[0].by)
}

#[test]
fn circles_are_told_as_a_chain() {
    let files = [
        ("a/mod.rs", "mod x; mod y; mod z; pub use x::X; pub use y::Y; pub use z::Z;"),
        ("a/x.rs", "use super::Y; pub struct X(Y);"),
        ("a/y.rs", "use super::z::Z; pub struct Y(Z);"),
        ("a/z.rs", "pub struct Z; fn f() { super::X }"),
    ];
    let used = source_of(&files).used();
    let told = circle(&used).unwrap();
    assert_eq!(
        told,
        "a/x.rs uses super::Y (line 1) of a/y.rs uses super::z::Z (line 1) of a/z.rs uses super::X (line 1) of a/x.rs"
    );
}

/// A room that grows beyond this is two rooms.
#[test]
fn no_room_is_more_than_a_fifth_of_the_code() {
    let src = top().join("src");
    let mut lines: BTreeMap<String, usize> = BTreeMap::new();
    for path in files(&src, ".rs") {
        let name = path.strip_prefix(&src).unwrap().to_string_lossy().replace('\\', "/");
        *lines.entry(room_of(&name).to_owned()).or_default() += fs::read_to_string(&path).unwrap().lines().count();
    }
    let all: usize = lines.values().sum();
    for (room, count) in lines {
        assert!(count * 5 <= all, "{room} has {count} lines of {all}");
    }
}

/// Names that more than one type has, and how many. They may be taken off the list, and none may come onto it.
const DOUBLES: [(&str, usize); 0] = [];

/// One name for one thing: no two types of the same name at the top of any module, whoever may see them.
#[test]
fn one_name_for_one_thing() {
    let source = Source::read();
    let mut types: BTreeMap<&str, Vec<String>> = BTreeMap::new();
    for module in source.modules() {
        let named = module
            .items
            .iter()
            .filter(|(_, item)| ["struct", "enum", "union", "trait", "type"].contains(&item.kind.as_str()));
        for (name, item) in named {
            types.entry(name).or_default().push(format!("src/{}:{}", module.file, item.line));
        }
    }
    types.retain(|_, places| places.len() > 1);
    let doubles: Vec<(&str, usize)> = types.iter().map(|(name, places)| (*name, places.len())).collect();
    assert_eq!(doubles, DOUBLES, "{types:#?}");
}

/// Lengths, slopes and temperatures that stand in code, by file and how many. What is a figure of the trade among them
/// belongs into the content, with its basis: the counts may go down, never up.
const FIGURES_IN_CODE: [(&str, usize); 19] = [
    // a surface surely above the exit, for the proof
    ("prove/mod.rs", 2),
    // places of things along a wall that is made up
    ("prove/draft.rs", 3),
    ("content/own.rs", 1),
    ("judge/amounts.rs", 1),
    ("judge/load.rs", 2),
    ("judge/moved.rs", 1),
    ("judge/ways.rs", 2),
    ("render/drawing.rs", 1),
    ("render/svg.rs", 2),
    // strides of stations along a wall, and places of labels in pictures
    ("sheet/elevation.rs", 5),
    ("sheet/joint.rs", 12),
    ("sheet/section.rs", 1),
    // nominal thicknesses of the layers, and how much a picture shows
    ("wall/assembly.rs", 3),
    ("wall/body.rs", 3),
    ("wall/piece.rs", 1),
    ("wall/section.rs", 6),
    ("wall/spec.rs", 1),
    ("water/trace.rs", 1),
    ("work/quantities.rs", 1),
];

#[test]
fn no_new_figure_stands_in_the_code() {
    let made = ["Length::inches(", "Length::sixty_fourths(", "Length::mm(", "Slope::from_parts(", "Temperature::"];
    let mut found: BTreeMap<String, usize> = BTreeMap::new();
    let source = Source::read();
    for module in source.modules().filter(|module| module.room() != "units") {
        let figures = module.calls.iter().filter(|(call, _)| {
            let given = made.iter().find_map(|head| call.strip_prefix(head)).unwrap_or_default();
            given.contains(|c: char| c.is_ascii_digit() && c != '0')
        });
        let count = figures.count();
        if count > 0 {
            found.insert(module.file.clone(), count);
        }
    }
    let known: BTreeMap<String, usize> = FIGURES_IN_CODE.iter().map(|(file, n)| ((*file).to_owned(), *n)).collect();
    assert_eq!(found, known);
}

/// Files in which names of the content may stand as texts: the table of names, and the keys of words, which are
/// names of their own. The computed facts have their names beside them.
const NAMES_ALLOWED: [&str; 5] =
    ["names.rs", "site/facts.rs", "content/after.rs", "content/words.rs", "content/plan_words.rs"];

/// Texts that look like a name of the content and are something else.
const NO_NAMES: [(&str, &[&str]); 46] = [
    // who does something, and the keys of what is asked for on the command line
    ("commands/config.rs", &["region"]),
    ("commands/contractor.rs", &["contractor"]),
    ("prove/rows.rs", &["contractor", "joint"]),
    // one more value of a name, for another solver
    ("prove/smt/mod.rs", &["absent"]),
    ("commands/global.rs", &["region"]),
    ("commands/listing.rs", &["length"]),
    ("commands/log.rs", &["photos"]),
    ("commands/price_book.rs", &["hidden_damage"]),
    // keys of the files, and words of their values
    (
        "content/amount_rows.rs",
        &[
            "bead_depth",
            "bead_width",
            "end_lap",
            "height",
            "joint",
            "length",
            "roll_length",
            "roll_width",
            "side_lap",
            "void_depth",
            "void_length",
            "void_width",
        ],
    ),
    ("content/joint_rows.rs", &["joint"]),
    ("content/gather.rs", &["contractor", "photos"]),
    ("content/load.rs", &["contractor", "photos"]),
    ("content/own.rs", &["end_lap", "roll_length", "roll_width", "side_lap"]),
    ("content/rows.rs", &["contractor", "exterior", "joint"]),
    ("content/wall_rows.rs", &["height", "region"]),
    ("content/water_rows.rs", &["joint", "length", "surface"]),
    ("content/work_rows.rs", &["crew", "dry", "wall"]),
    ("flow/answer.rs", &["none"]),
    ("flow/load.rs", &["crew", "exterior", "length"]),
    ("flow/model.rs", &["length", "wall"]),
    ("flow/reader.rs", &["length"]),
    ("flow/tree.rs", &["nothing"]),
    // parameters of formulas
    (
        "judge/amounts.rs",
        &["bead_depth", "bead_width", "end_lap", "height", "joint", "length", "roll_length", "roll_width", "side_lap"],
    ),
    ("judge/price.rs", &["hidden_damage"]),
    // attributes and classes of a page, fields of a report, placeholders of words
    ("render/elevation.rs", &["none"]),
    ("render/hatch.rs", &["none"]),
    ("render/svg.rs", &["none"]),
    ("report/heights.rs", &["old_surface", "wood"]),
    ("report/report.rs", &["exterior", "surface"]),
    ("sheet/elevation.rs", &["length"]),
    ("sheet/landscaper.rs", &["planned", "height", "dig.at_wall"]),
    ("sheet/pictures.rs", &["joint"]),
    ("sheet/section.rs", &["height"]),
    ("say/answers.rs", &["other"]),
    ("say/heights.rs", &["height"]),
    ("say/limits.rs", &["height"]),
    ("say/ways.rs", &["fall", "length"]),
    ("sheet/digging.rs", &["dig.at_wall"]),
    ("sheet/elevation.rs", &["height"]),
    ("sheet/heights.rs", &["height"]),
    ("sheet/load.rs", &["height"]),
    ("sheet/openings.rs", &["height"]),
    ("sheet/stairs.rs", &["bedding"]),
    ("visit/given.rs", &["none"]),
    // words of starts and ends
    ("water/start.rs", &["joint", "surface"]),
    ("water/trace.rs", &["behind_work"]),
];

/// Every name by which the program could look something up in the content.
fn names_of_the_content() -> BTreeSet<&'static str> {
    let content = &*CONTENT;
    let questions = content.flow.questions.iter();
    let choices = questions.clone().flat_map(|question| question.choices.iter().map(|choice| choice.id.as_str()));
    let facts = wallfoot::site::FACTS.iter().map(|fact| fact.name);
    let after = wallfoot::content::AFTER_LIMITS.iter().map(|fact| fact.name);
    let defined = content.defined.iter().map(|fact| fact.name.as_str());
    let limits = content.limits.iter().map(|limit| limit.id.as_str());
    let figures = content.plan_figures.iter().map(|figure| figure.id.as_str());
    let materials = content.materials.iter().map(|material| material.id.as_str());
    let layers = content.layers.iter().map(|layer| layer.id.as_str());
    let layers = layers.chain(content.materials_of_layers.iter().map(wallfoot::pack::Text::as_str));
    let rows = content.loads.iter().map(|row| row.id.as_str()).chain(content.runoff.iter().map(|row| row.id.as_str()));
    let questions = questions.map(|question| question.id.as_str());
    let names = questions.chain(choices).chain(facts).chain(after).chain(defined).chain(limits);
    names.chain(figures).chain(materials).chain(layers).chain(rows).collect()
}

/// Nothing of the content is looked up by a bare text: names are resolved once, when it is loaded.
#[test]
fn no_name_of_the_content_stands_in_the_code() {
    let names = names_of_the_content();
    let source = Source::read();
    let (mut found, mut other) = (String::new(), BTreeSet::new());
    for module in source.modules().filter(|module| !NAMES_ALLOWED.contains(&module.file.as_str())) {
        for (text, line) in module.texts.iter().filter(|(text, _)| names.contains(text.as_str())) {
            if NO_NAMES.iter().any(|(file, texts)| *file == module.file && texts.contains(&text.as_str())) {
                other.insert((module.file.as_str(), text.as_str()));
            } else {
                let _ = writeln!(found, "src/{}:{line}: {text}", module.file);
            }
        }
    }
    assert_eq!(found, "");
    let listed = NO_NAMES.iter().flat_map(|(file, texts)| texts.iter().map(move |text| (*file, *text)));
    assert_eq!(other, listed.collect(), "take off the list what does not stand there any more");
}

/// Files, clock, environment, other programs and the terminal are touched in `commands`, `visit` and `terminal` only, and
/// the network nowhere.
#[test]
fn only_the_outer_modules_touch_the_world() {
    let src = top().join("src");
    for path in files(&src, ".rs") {
        let inside = path.strip_prefix(&src).unwrap().to_string_lossy().replace('\\', "/");
        assert!(!fs::read_to_string(&path).unwrap().contains("std::net"), "{inside} uses the network");
        if ["commands/", "visit/", "terminal/", "main.rs", "build.rs"].iter().any(|m| inside.starts_with(m)) {
            continue;
        }
        let text = fs::read_to_string(&path).unwrap();
        let world = ["std::fs", "std::env", "std::time", "std::process", "std::thread", "Zoned", "Timestamp", "File::"];
        // the proof does two things at once; what comes of it hangs on neither how many processors there are nor which is done first
        let at_once = |word: &&str| !(*word == "std::thread" && inside == "prove/side.rs");
        for word in world.into_iter().filter(at_once).chain(["stdin(", "stdout(", "stderr(", "print!(", "println!("]) {
            assert!(!text.contains(word), "{inside} uses {word}");
        }
    }
}

/// Nothing in the shipped code panics on purpose. An index out of range still could.
#[test]
fn no_unwrap_in_the_shipped_code() {
    for path in files(&top().join("src"), ".rs") {
        let text = fs::read_to_string(&path).unwrap();
        for word in [".unwrap()", ".expect(", ".unwrap_err()", "panic!(", "unreachable!(", "todo!(", "unimplemented!("]
        {
            assert!(!text.contains(word), "{} has {word}", path.display());
        }
    }
}

/// Every word that the code asks for is a key, and every key is asked for: by its name, or by a pattern whose places are
/// filled in, as `verdict.{}`.
#[test]
fn words_and_keys_agree() {
    // the word of a choice, asked for by the name of its fact
    const BY_A_FACT: &str = "exit.kind.";
    let keys: Vec<&str> = wallfoot::content::words::keys().collect();
    let heads: BTreeSet<&str> = keys.iter().filter_map(|key| key.split_once('.')).map(|(head, _)| head).collect();
    let names = names_of_the_content();
    let source = Source::read();
    let words = ["content/words.rs", "content/plan_words.rs"];
    let texts = source.modules().filter(|module| !words.contains(&module.file.as_str())).flat_map(|module| {
        module.texts.iter().map(move |(text, line)| (text.as_str(), format!("src/{}:{line}: {text}", module.file)))
    });
    let (mut asked, mut wrong) = (BTreeSet::new(), String::new());
    for (text, place) in texts {
        let of_a_family = text.split_once('.').is_some_and(|(head, _)| heads.contains(head));
        let found: Vec<&str> = keys.iter().copied().filter(|key| fits(key, text)).collect();
        let is_key = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || "._{}".contains(c);
        // the beginning of a key is put together or taken off; keys of translations are no words
        let part = keys.iter().any(|key| key.starts_with(text)) || text.ends_with('.');
        let limit = fits(&format!("limit.{}", CONTENT.limits[0].id), text);
        let other = limit || names.contains(text) || place.starts_with("src/content/texts.rs");
        if found.is_empty() && of_a_family && text.chars().all(is_key) && !part && !other {
            let _ = writeln!(wrong, "{place}");
        }
        asked.extend(found);
    }
    assert_eq!(wrong, "", "no such words");
    let never: Vec<&&str> = keys.iter().filter(|key| !asked.contains(*key) && !key.starts_with(BY_A_FACT)).collect();
    assert!(never.is_empty(), "no code asks for {never:?}");
}

/// Whether a key is this text, or fits it where the text leaves places to fill in: one part of a name each, and anything
/// where two of them stand together. A pattern begins with its family.
fn fits(key: &str, text: &str) -> bool {
    fn rest_fits(key: &str, text: &str, after_a_place: bool) -> bool {
        let Some(open) = text.find('{') else { return key == text };
        let Some(close) = text[open..].find('}').map(|at| open + at + 1) else { return false };
        let Some(key) = key.strip_prefix(&text[..open]) else { return false };
        let anything = after_a_place && open == 0;
        let longest = if anything { key.len() } else { key.find('.').unwrap_or(key.len()) };
        let least = usize::from(!anything);
        (least..=longest).any(|end| rest_fits(&key[end..], &text[close..], true))
    }
    key == text || !text.starts_with('{') && text.contains('{') && rest_fits(key, text, false)
}

#[test]
fn patterns_of_words_fit() {
    for (key, text) in [
        ("label.stop", "label.stop"),
        ("verdict.go_ahead", "verdict.{}"),
        ("verdict.go_ahead.means", "verdict.{}.means"),
        ("way.lower.takes", "way.{}.{part}"),
        ("unit.roll.one", "unit.{}{end}"),
        ("unit.roll", "unit.{}{end}"),
    ] {
        assert!(fits(key, text), "{key} {text}");
    }
    for (key, text) in [
        ("label.stop", "label.sto"),
        ("label.stop", "{family}.{id}"),
        ("way.lower.takes", "way.{}.costs"),
        ("verdict.", "verdict.{}"),
    ] {
        assert!(!fits(key, text), "{key} {text}");
    }
}

/// Every text of a translation is the translation of something, and of nothing twice.
#[test]
fn no_translation_is_left_over() {
    let mut content =
        wallfoot::content::Content::load(&wallfoot::commands::sources(None, None).unwrap(), None).unwrap();
    let mut texts = BTreeSet::new();
    content.each_text(&mut |key, _| {
        texts.insert(key.to_owned());
    });
    let sources = wallfoot::commands::sources(None, Some("*")).unwrap();
    let translations: Vec<_> = sources.into_iter().filter(|s| s.name.starts_with("translations/")).collect();
    assert!(translations.len() > 3);
    let (mut seen, mut wrong) = (BTreeSet::new(), Vec::new());
    crate::every_sheet::each_entry(&translations, &mut |key, _| {
        // the language of a file has no dot
        if key.contains('.') && !(texts.contains(key) && seen.insert(key.to_owned())) {
            wrong.push(key.to_owned());
        }
    });
    assert_eq!(wrong, [""; 0], "no such texts, or translated twice");
    assert!(seen.len() > 1000, "{}", seen.len());
}

/// Every stored text belongs to a test: what nobody compares tells lies in the end.
#[test]
fn no_expected_text_is_left_over() {
    let suite = top().join("tests/suite");
    for path in files(&suite.join("snapshots"), "") {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        let mut parts =
            name.strip_suffix(".snap").unwrap_or_else(|| panic!("{name} is no accepted text")).splitn(3, "__");
        let (module, test) = (parts.nth(1).unwrap(), parts.next().unwrap());
        let code = fs::read_to_string(suite.join(module).with_extension("rs")).unwrap();
        let asked = [format!("fn {test}("), format!("\"{test}\""), format!("{test}: \"")];
        assert!(asked.iter().any(|text| code.contains(text)), "no test of {module}.rs compares {name}");
    }
}

/// The files that belong to the project, by their path with `/`; nothing where there is no git to ask. What a visit or a sheet of
/// somebody who tries the program out leaves in the folder is none of them.
fn tracked() -> Option<BTreeSet<String>> {
    let git = std::process::Command::new("git").arg("-C").arg(top()).args(["ls-files", "-z"]).output().ok()?;
    let listed = String::from_utf8(git.stdout).ok()?;
    let files: BTreeSet<String> = listed.split('\0').filter(|path| !path.is_empty()).map(str::to_owned).collect();
    // a folder unpacked inside of somebody else's repository has no tracked files of its own
    (git.status.success() && files.contains("Cargo.toml")).then_some(files)
}

/// Every content file in the repository is built in and loaded.
#[test]
fn every_content_file_is_built_in() {
    let tracked = tracked();
    let on_disk: BTreeSet<String> = files(&top().join("questions"), ".yaml")
        .iter()
        .map(|p| p.strip_prefix(top().join("questions")).unwrap().to_string_lossy().replace('\\', "/"))
        .filter(|name| tracked.as_ref().is_none_or(|files| files.contains(&format!("questions/{name}"))))
        .collect();
    let built_in: BTreeSet<String> = wallfoot::commands::sources(None, Some("*"))
        .unwrap()
        .into_iter()
        .map(|s| s.name)
        .chain(["demo/back-patio.yaml", "demo/side-steps.yaml"].map(str::to_owned))
        .filter(|name| tracked.as_ref().is_none_or(|files| files.contains(&format!("questions/{name}"))))
        .collect();
    assert_eq!(on_disk, built_in);
}

#[test]
fn the_page_of_questions_is_current() {
    let sources = wallfoot::commands::sources(None, Some("*")).unwrap();
    let content = wallfoot::content::Content::load(&sources, None).unwrap();
    let page = fs::read_to_string(top().join("docs/questions.md")).unwrap();
    let current = page == wallfoot::commands::listing(&content);
    assert!(current, "run: cargo run -- prove --list > docs/questions.md");
}

/// Few enough to keep in order. What counts for a person is how many one visit sees: `scenarios` watches that.
#[test]
fn between_60_and_160_questions() {
    let count = CONTENT.flow.questions.len();
    assert!((60..=160).contains(&count), "{count}");
}

/// Who reads a question must learn why it is asked and how to find out.
#[test]
fn every_question_explains_itself() {
    for question in &CONTENT.flow.questions {
        assert!(!question.why.is_empty(), "{} has no why", question.id);
        assert!(!question.how.is_empty(), "{} has no how", question.id);
        assert!(question.not_sure || ["region", "stage", "door"].contains(&question.id.as_str()), "{}", question.id);
        if question.not_sure && question.id != "visit_name" {
            assert!(question.effort.minutes > 0, "{} has no effort", question.id);
        }
    }
}

/// The interview keeps together what is asked at one place. A question that forgets to say its place counts as asked at
/// the wall, so each says it.
#[test]
fn every_question_says_where_one_stands() {
    let mut said = 0;
    for source in wallfoot::commands::sources(None, None).unwrap() {
        let lines = || source.text.lines().map(str::trim_start);
        said += lines().filter(|line| line.starts_with("place: ")).count();
    }
    assert_eq!(said, CONTENT.flow.questions.len());
    let at = |id: &str, built: bool| CONTENT.flow.questions[CONTENT.flow.question(id).unwrap()].stand(built);
    assert_eq!(at("weep_screed", false), Stand::Wall);
    assert_eq!(at("floor_moves", false), Stand::Inside);
    // the joint of planned work stands in the drawing, that of built work is looked at
    assert_eq!((at("joint", false), at("joint", true)), (Stand::Offer, Stand::Wall));
}

/// Only figures with a source may fail a plan.
#[test]
fn limits_that_fail_a_plan_have_a_source() {
    use wallfoot::content::Basis;
    for limit in &CONTENT.limits {
        if limit.verdict.is_some() {
            assert!(!limit.origin.source.is_empty() && limit.origin.basis < Basis::Memory, "{}", limit.id);
        }
    }
}

/// A finding that decides says what to do.
#[test]
fn findings_with_a_verdict_say_what_to_do() {
    for finding in &CONTENT.findings {
        assert!(finding.verdict.is_none() || !finding.todo.is_empty(), "{}", finding.id);
    }
}

#[test]
fn nothing_strange_at_the_top() {
    let known = [
        "Cargo.toml",
        "Cargo.lock",
        "README.md",
        "DEVELOPERS.md",
        "CHANGELOG.md",
        "LICENSE-MIT",
        "src",
        "questions",
        "tests",
        "docs",
        "target",
    ];
    // without git, what lies about cannot be told from what belongs here; folders hold no visits and sheets, so they can
    let names: BTreeSet<String> = match tracked() {
        Some(files) => files.iter().filter_map(|path| path.split('/').next()).map(str::to_owned).collect(),
        None => fs::read_dir(top())
            .unwrap()
            .map(|entry| entry.unwrap().path())
            .filter(|path| path.is_dir())
            .map(|path| path.file_name().unwrap().to_string_lossy().into_owned())
            .collect(),
    };
    assert!(names.contains("src"), "{names:?}");
    for name in names {
        assert!(name.starts_with('.') || known.contains(&name.as_str()), "{name}");
    }
}
