//! The program's own source as the rules of the house see it: modules, what each defines, what each uses.
//!
//! It is read as tokens, so that what stands in comments, texts and attributes is not taken for code, and what stands
//! in macros is. A path that leads into the program but to nothing in it stops the test: a rule that quietly
//! overlooks what it cannot read is no rule.

use crate::support::top;
use proc_macro2::{Delimiter, Ident, TokenStream, TokenTree};
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

/// A module; each has a file of its own.
#[derive(Debug, Default)]
pub(crate) struct Module {
    /// Its file within `src/`, with slashes.
    pub(crate) file: String,
    /// Its path within the crate.
    path: Vec<String>,
    /// What it defines at its top, by name.
    pub(crate) items: BTreeMap<String, Item>,
    /// What `use` brings into it.
    imports: Vec<Import>,
    /// Paths of more than one part anywhere in it, with their lines.
    paths: Vec<(Vec<String>, usize)>,
    /// Every name that stands in it outside of `use`.
    names: BTreeSet<String>,
    /// Texts in quotes, with their lines.
    pub(crate) texts: Vec<(String, usize)>,
    /// Calls by a path, as `Length::inches(80)`, with their lines.
    pub(crate) calls: Vec<(String, usize)>,
}

/// Something defined at the top of a module.
#[derive(Debug)]
pub(crate) struct Item {
    /// The keyword in front of its name.
    pub(crate) kind: String,
    pub(crate) line: usize,
}

/// One name out of a `use`.
#[derive(Debug)]
struct Import {
    path: Vec<String>,
    /// The name it has here; nothing for `*`.
    name: Option<String>,
    public: bool,
    line: usize,
}

/// Something of one file that another uses.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Used {
    /// The file that uses it.
    pub(crate) by: String,
    /// Where it is defined, past all `pub use`.
    pub(crate) from: String,
    /// The room that the path names.
    pub(crate) room: String,
    /// The path as it is written.
    pub(crate) path: String,
    pub(crate) line: usize,
}

/// All modules of the library by their paths.
pub(crate) struct Source(BTreeMap<Vec<String>, Module>);

/// Files that are no part of the library.
const NOT_LIBRARY: [&str; 2] = ["main.rs", "build.rs"];

impl Source {
    /// The source of the program.
    pub(crate) fn read() -> Source {
        let src = top().join("src");
        let file = |path: PathBuf| {
            let name = path.strip_prefix(&src).unwrap().to_string_lossy().replace('\\', "/");
            (name, std::fs::read_to_string(&path).unwrap())
        };
        Source::of(files(&src, ".rs").into_iter().map(file))
    }

    /// A source out of names of files and their texts.
    pub(crate) fn of(files: impl Iterator<Item = (String, String)>) -> Source {
        // tests of a cargo feature that the suite is built without stand beside it
        let is_test = |name: &str| name.ends_with("/tests.rs");
        let library = files.filter(|(name, _)| !NOT_LIBRARY.contains(&name.as_str()) && !is_test(name));
        let modules = library.map(|(name, text)| {
            let bare = name.trim_end_matches(".rs");
            let bare = bare.strip_suffix("/mod").unwrap_or(bare);
            let path: Vec<String> = bare.split('/').filter(|part| *part != "lib").map(str::to_owned).collect();
            let tokens: TokenStream = text.parse().unwrap_or_else(|error| panic!("{name}: {error}"));
            let mut module = Module { file: name, path: path.clone(), ..Module::default() };
            module.take(tokens, true);
            (path, module)
        });
        Source(modules.collect())
    }

    pub(crate) fn modules(&self) -> impl Iterator<Item = &Module> {
        self.0.values()
    }

    /// Everything that a file uses of another one, in the order of the files.
    pub(crate) fn used(&self) -> Vec<Used> {
        let mut all = Vec::new();
        for module in self.modules() {
            for import in &module.imports {
                // what is only handed on is no use; who takes it from here is led to its file
                let needed = import.name.as_ref().is_none_or(|name| module.names.contains(name));
                if !import.public || needed {
                    all.extend(self.one(module, &import.path, import.line, true));
                }
            }
            for (path, line) in &module.paths {
                all.extend(self.one(module, path, *line, false));
            }
        }
        all.sort();
        all.dedup();
        all
    }

    /// Everything that is used or handed on: for the arrows between rooms.
    pub(crate) fn named(&self) -> Vec<Used> {
        let imports = |m: &'_ Module| -> Vec<Used> {
            m.imports.iter().filter_map(|import| self.one(m, &import.path, import.line, true)).collect()
        };
        let mut all: Vec<Used> = self.used().into_iter().chain(self.modules().flat_map(imports)).collect();
        all.sort();
        all.dedup();
        all
    }

    fn one(&self, module: &Module, path: &[String], line: usize, import: bool) -> Option<Used> {
        let written = path.join("::");
        let absolute = self.absolute(module, path)?;
        let target = self.resolve(&absolute, 0);
        let target = match target {
            Some(target) => target,
            // `Type::name` of an inline path may be anything; what is written from the root must be there
            None if !import && !["crate", "self", "super"].contains(&path[0].as_str()) => return None,
            None => panic!("src/{}:{line}: `{written}` leads to nothing", module.file),
        };
        let room = absolute.first().cloned().unwrap_or_default();
        let used = Used { by: module.file.clone(), from: target.file.clone(), room, path: written, line };
        (used.by != used.from).then_some(used)
    }

    /// A path from the root of the crate; nothing if it leads to another crate or is no path of modules.
    fn absolute(&self, module: &Module, path: &[String]) -> Option<Vec<String>> {
        let (first, rest) = path.split_first()?;
        match first.as_str() {
            "crate" => Some(rest.to_vec()),
            "self" => Some([&module.path, rest].concat()),
            "super" => {
                let mut base = module.path.clone();
                base.pop()?;
                let more = rest.iter().take_while(|part| *part == "super").count();
                base.truncate(base.len().checked_sub(more)?);
                base.extend_from_slice(&rest[more..]);
                Some(base)
            }
            name => {
                let child = [module.path.clone(), vec![name.to_owned()]].concat();
                if self.0.contains_key(&child) {
                    return Some([&child[..], rest].concat());
                }
                if module.items.contains_key(name) {
                    return None;
                }
                let import = module.imports.iter().find(|i| i.name.as_deref() == Some(name) && i.path[0] != name)?;
                Some([self.absolute(module, &import.path)?, rest.to_vec()].concat())
            }
        }
    }

    /// The module in which a path from the root ends up.
    fn resolve(&self, path: &[String], depth: usize) -> Option<&Module> {
        assert!(depth < 20, "`{}` is handed on in a circle", path.join("::"));
        let modules = (0..=path.len()).rev().find(|n| self.0.contains_key(&path[..*n]))?;
        let module = &self.0[&path[..modules]];
        let Some(name) = path.get(modules) else { return Some(module) };
        if module.items.contains_key(name) {
            return Some(module);
        }
        let named = module.imports.iter().filter(|import| import.name.as_ref() == Some(name));
        let globs = module.imports.iter().filter(|import| import.name.is_none());
        named
            .map(|import| import.path.clone())
            .chain(globs.map(|g| [&g.path[..], std::slice::from_ref(name)].concat()))
            .filter_map(|path| self.absolute(module, &path))
            .find_map(|path| self.resolve(&path, depth + 1))
    }
}

impl Module {
    /// The room it lies in.
    pub(crate) fn room(&self) -> &str {
        self.path.first().map_or("", String::as_str)
    }

    fn take(&mut self, tokens: TokenStream, at_top: bool) {
        let tokens: Vec<TokenTree> = tokens.into_iter().collect();
        let mut i = 0;
        let mut public = None;
        while i < tokens.len() {
            match &tokens[i] {
                // attributes and doc comments are no code
                TokenTree::Punct(p) if p.as_char() == '#' => {
                    let bang =
                        usize::from(matches!(tokens.get(i + 1), Some(TokenTree::Punct(p)) if p.as_char() == '!'));
                    if tokens.get(i + 1 + bang).is_some_and(|token| is_group(token, Delimiter::Bracket)) {
                        i += 2 + bang;
                        continue;
                    }
                    i += 1;
                }
                TokenTree::Ident(word)
                    if word == "use"
                        && !matches!(tokens.get(i + 1), Some(TokenTree::Punct(p)) if p.as_char() == '<') =>
                {
                    let end = (i..tokens.len()).find(|n| is_punct(&tokens[*n], ';')).unwrap_or(tokens.len());
                    let line = line_of(word);
                    self.import(&tokens[i + 1..end], &[], public.take().is_some(), line);
                    i = end + 1;
                }
                TokenTree::Ident(word) if word == "pub" => {
                    let open = !tokens.get(i + 1).is_some_and(|token| is_group(token, Delimiter::Parenthesis));
                    public = Some(open);
                    i += if open { 1 } else { 2 };
                }
                TokenTree::Ident(word) => {
                    // `super` would mean something else in there
                    let inline = word == "mod" && tokens.get(i + 2).is_some_and(|t| is_group(t, Delimiter::Brace));
                    assert!(!inline, "src/{}:{}: a module needs a file of its own", self.file, line_of(word));
                    if at_top && word == "macro_rules" {
                        self.macro_item(tokens.get(i + 2));
                    } else if at_top {
                        self.item(word, tokens.get(i + 1));
                    }
                    if !["const", "unsafe", "async"].contains(&word.to_string().as_str()) {
                        public = None;
                    }
                    i += self.path_at(&tokens, i);
                }
                TokenTree::Group(group) => {
                    let bang = |at: Option<usize>| at.is_some_and(|at| is_punct(&tokens[at], '!'));
                    if at_top && (bang(i.checked_sub(1)) || bang(i.checked_sub(2))) {
                        self.made_by_macro(&group.stream());
                    }
                    self.take(group.stream(), false);
                    i += 1;
                }
                TokenTree::Literal(literal) => {
                    let line = literal.span().start().line;
                    self.texts.extend(text_of(&literal.to_string()).map(|text| (text, line)));
                    i += 1;
                }
                TokenTree::Punct(_) => i += 1,
            }
        }
    }

    /// What a macro at the top of a file makes is not to be seen without running it: every name in there may be an item.
    fn made_by_macro(&mut self, tokens: &TokenStream) {
        for token in tokens.clone() {
            match token {
                TokenTree::Ident(name) if name.to_string().starts_with(char::is_uppercase) => {
                    let item = Item { kind: "macro".to_owned(), line: line_of(&name) };
                    self.items.entry(name.to_string()).or_insert(item);
                }
                TokenTree::Group(group) => self.made_by_macro(&group.stream()),
                TokenTree::Ident(_) | TokenTree::Punct(_) | TokenTree::Literal(_) => {}
            }
        }
    }

    fn item(&mut self, keyword: &Ident, name: Option<&TokenTree>) {
        let kind = keyword.to_string();
        let known = ["struct", "enum", "union", "trait", "type", "fn", "const", "static"].contains(&kind.as_str());
        let Some(TokenTree::Ident(name)) = name.filter(|_| known) else { return };
        let name_text = name.to_string();
        if name_text != "fn" && name_text != "_" {
            let line = line_of(name);
            self.items.insert(name_text, Item { kind, line });
        }
    }

    /// A macro that other files may be given.
    fn macro_item(&mut self, name: Option<&TokenTree>) {
        let Some(TokenTree::Ident(name)) = name else { return };
        let item = Item { kind: "macro".to_owned(), line: line_of(name) };
        self.items.insert(name.to_string(), item);
    }

    /// Notes the path that begins here; how many tokens it takes.
    fn path_at(&mut self, tokens: &[TokenTree], start: usize) -> usize {
        let mut parts = Vec::new();
        let mut i = start;
        while let Some(TokenTree::Ident(part)) = tokens.get(i) {
            parts.push(part.to_string());
            i += 1;
            if !(is_colons(tokens, i) && matches!(tokens.get(i + 2), Some(TokenTree::Ident(_)))) {
                break;
            }
            i += 2;
        }
        // a field or a method is no path, and a module is not used by being there
        let declared = start > 0 && matches!(&tokens[start - 1], TokenTree::Ident(word) if word == "mod");
        let after_dot =
            start > 0 && is_punct(&tokens[start - 1], '.') && !(start > 1 && is_punct(&tokens[start - 2], '.'));
        if !after_dot && !declared {
            self.names.insert(parts[0].clone());
            if parts.len() > 1 {
                let TokenTree::Ident(first) = &tokens[start] else { return i - start };
                let line = line_of(first);
                if let Some(TokenTree::Group(given)) =
                    tokens.get(i).filter(|token| is_group(token, Delimiter::Parenthesis))
                {
                    self.calls.push((format!("{}({})", parts.join("::"), given.stream()), line));
                }
                self.paths.push((parts, line));
            }
        }
        i - start
    }

    /// A tree of a `use` below a prefix.
    fn import(&mut self, tokens: &[TokenTree], prefix: &[String], public: bool, line: usize) {
        let mut path = prefix.to_vec();
        let mut i = 0;
        loop {
            match tokens.get(i) {
                Some(TokenTree::Ident(part)) if part == "self" && !prefix.is_empty() => {
                    let name = rename(tokens, i + 1).or_else(|| path.last().cloned());
                    return self.imports.push(Import { path, name, public, line });
                }
                Some(TokenTree::Ident(part)) => path.push(part.to_string()),
                Some(TokenTree::Punct(p)) if p.as_char() == '*' => {
                    return self.imports.push(Import { path, name: None, public, line });
                }
                Some(TokenTree::Group(group)) => {
                    let inside: Vec<TokenTree> = group.stream().into_iter().collect();
                    for tree in inside.split(|token| is_punct(token, ',')).filter(|tree| !tree.is_empty()) {
                        self.import(tree, &path, public, line);
                    }
                    return;
                }
                // `use ::name`: another crate
                Some(TokenTree::Punct(_)) if path.is_empty() => return,
                other => panic!("src/{}:{line}: a `use` that cannot be read: {other:?}", self.file),
            }
            i += 1;
            if !is_colons(tokens, i) {
                let name = rename(tokens, i).or_else(|| path.last().cloned());
                return self.imports.push(Import { path, name, public, line });
            }
            i += 2;
        }
    }
}

/// `as name` at this place.
fn rename(tokens: &[TokenTree], at: usize) -> Option<String> {
    match (tokens.get(at), tokens.get(at + 1)) {
        (Some(TokenTree::Ident(word)), Some(TokenTree::Ident(name))) if word == "as" => Some(name.to_string()),
        _ => None,
    }
}

fn is_punct(token: &TokenTree, sign: char) -> bool {
    matches!(token, TokenTree::Punct(p) if p.as_char() == sign)
}

fn is_group(token: &TokenTree, delimiter: Delimiter) -> bool {
    matches!(token, TokenTree::Group(group) if group.delimiter() == delimiter)
}

fn is_colons(tokens: &[TokenTree], at: usize) -> bool {
    tokens.get(at).is_some_and(|t| is_punct(t, ':')) && tokens.get(at + 1).is_some_and(|t| is_punct(t, ':'))
}

fn line_of(word: &Ident) -> usize {
    word.span().start().line
}

/// The text of a literal, if it is one in quotes. No id holds anything that would have to be escaped.
fn text_of(literal: &str) -> Option<String> {
    let bare = literal.strip_prefix('r').map_or(literal, |raw| raw.trim_matches('#'));
    Some(bare.strip_prefix('"')?.strip_suffix('"')?.to_owned())
}

/// All files of a folder with this ending, in order.
pub(crate) fn files(folder: &Path, ending: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(files(&path, ending));
        } else if path.to_string_lossy().ends_with(ending) {
            found.push(path);
        }
    }
    found.sort();
    found
}

/// The reader itself: every way of writing a use is seen, and what is no use is not.
#[test]
fn every_way_of_using_is_seen() {
    let files = [
        ("lib.rs", "pub mod a; pub mod b;"),
        (
            "a/mod.rs",
            "mod x; mod y; pub use x::X; pub(crate) use y::{Y as Renamed}; pub const HERE: u8 = 1; macro_rules! made { () => {}; } pub(crate) use made;",
        ),
        ("a/x.rs", "pub struct X; pub fn free() {}"),
        ("a/y.rs", "use super::X; pub struct Y(X);"),
    ];
    let uses = |text: &str| {
        let all = files.iter().copied().chain([("b/mod.rs", "mod z;"), ("b/z.rs", text)]);
        let source = Source::of(all.map(|(name, text)| (name.to_owned(), text.to_owned())));
        let used = source.used().into_iter().filter(|used| used.by == "b/z.rs");
        used.map(|used| used.from).collect::<BTreeSet<_>>().into_iter().collect::<Vec<_>>().join(" ")
    };
    for (text, from) in [
        ("use crate::a::X;", "a/x.rs"),
        ("use crate::a::made;", "a/mod.rs"),
        ("use crate::a::{X, Renamed};", "a/x.rs a/y.rs"),
        ("use crate::{a::{X, HERE}, b};", "a/mod.rs a/x.rs b/mod.rs"),
        ("use super::super::a::Renamed as R;", "a/y.rs"),
        ("use crate::a::{self, X as Other};", "a/mod.rs a/x.rs"),
        ("use crate::a; fn f() { a::HERE; a::X }", "a/mod.rs a/x.rs"),
        ("pub use crate::a::X; fn f() -> X {}", "a/x.rs"),
        ("fn f() { crate::a::X }", "a/x.rs"),
        ("fn f() { use crate::a::X; }", "a/x.rs"),
        ("fn f() { p! { @if super::super::a::X { } } }", "a/x.rs"),
        ("use std::fmt; use serde::{X, Y}; fn f() { fmt::X; std::a::X }", ""),
        ("/// [crate::a::X]\nfn f() { \"crate::a::X\" } // crate::a::X", ""),
        ("pub use crate::a::X;", ""),
        ("#[doc = \"x\"] #[x(crate::a::X)] fn f() {}", ""),
        ("use crate::a::*; fn f() {}", "a/mod.rs"),
    ] {
        assert_eq!(uses(text), from, "{text}");
    }
    for wrong in ["use crate::a::Nothing;", "mod inside { use super::X; }"] {
        assert!(std::panic::catch_unwind(|| uses(wrong)).is_err(), "{wrong}");
    }
    let text = files.iter().copied().chain([("b/mod.rs", ""), ("c.rs", "fn f() { g(\"one\", r#\"two\"#, b\"no\") }")]);
    let source = Source::of(text.map(|(name, text)| (name.to_owned(), text.to_owned())));
    let texts: Vec<&str> = source.modules().flat_map(|m| &m.texts).map(|(text, _)| text.as_str()).collect();
    assert_eq!(texts, ["one", "two"]);
}
