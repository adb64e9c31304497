//! Checks the built-in content and packs it as the program uses it, so that a start neither parses nor checks nor resolves
//! anything. The program's own loader does it. What is wrong with a file stops the build, with the report that `wallfoot prove`
//! gives.

#![allow(dead_code, unreachable_pub, unused_imports, missing_docs)] // rooms of the program, of which a part is needed
#![allow(clippy::struct_field_names)] // what is public there is private here

mod content;
mod flow;
mod names;
mod pack;
mod site;
mod units;
mod wall;
mod water;
mod work;

use content::{Content, counts_for, language_of};
use flow::{Diagnostics, Node, Source};
use pack::{Packer, Texts};
use std::collections::BTreeSet;
use std::fmt::Write;
use std::path::{Path, PathBuf};
use std::{env, fs, io};

fn main() -> io::Result<()> {
    println!("cargo::rerun-if-changed=questions");
    // the rooms of the program are watched as parts of this script
    println!("cargo::rerun-if-changed=src/build.rs");
    let top = PathBuf::from(env::var("CARGO_MANIFEST_DIR").map_err(io::Error::other)?).join("questions");
    let out = PathBuf::from(env::var("OUT_DIR").map_err(io::Error::other)?);
    let files = files(&top)?;
    let of = |lang: Option<&str>| -> Vec<Source> {
        files.iter().filter(|file| counts_for(&file.name, lang)).cloned().collect()
    };
    // all languages are checked, whichever is spoken
    loaded(&of(Some("*")), None)?;
    let mut texts = Texts::default();
    let mut languages = String::new();
    let spoken: BTreeSet<&str> = files.iter().filter_map(|file| language_of(&file.name)).collect();
    for lang in std::iter::once(None).chain(spoken.into_iter().map(Some)) {
        let block = Packer::packed(&mut texts, &loaded(&of(lang), lang)?);
        let name = lang.unwrap_or("en");
        fs::write(out.join(format!("{name}.packed")), block)?;
        let block = format!("include_bytes!(concat!(env!(\"OUT_DIR\"), \"/{name}.packed\"))");
        writeln!(languages, "({name:?}, {block}),").map_err(io::Error::other)?;
    }
    fs::write(out.join("texts"), texts.as_str())?;
    let mut all = String::new();
    let (mut content, mut visits) = (String::new(), String::new());
    for file in &files {
        if counts_for(&file.name, Some("*")) {
            all.push_str(&file.text);
            writeln!(content, "({:?}, {}),", file.name, file.text.len()).map_err(io::Error::other)?;
        } else {
            writeln!(visits, "({:?}, {:?}),", file.name, file.text).map_err(io::Error::other)?;
        }
    }
    fs::write(out.join("files.deflated"), miniz_oxide::deflate::compress_to_vec(all.as_bytes(), LEVEL))?;
    let table = format!(
        "BuiltIn {{\n\
         languages: &[{languages}],\n\
         texts: include_str!(concat!(env!(\"OUT_DIR\"), \"/texts\")),\n\
         files: &[{content}],\n\
         deflated: include_bytes!(concat!(env!(\"OUT_DIR\"), \"/files.deflated\")),\n\
         length: {},\n\
         visits: &[{visits}],\n\
         }}\n",
        all.len()
    );
    fs::write(out.join("content.rs"), table)
}

/// How hard texts are pressed: more takes seconds and saves little.
const LEVEL: u8 = 6;

/// All files of `questions/`, in the order of their names, with their trees.
fn files(top: &Path) -> io::Result<Vec<Source>> {
    let mut paths = Vec::new();
    gather(top, &mut paths)?;
    let mut files = Vec::new();
    for path in paths {
        let name = path.strip_prefix(top).map_err(io::Error::other)?.to_string_lossy().replace('\\', "/");
        files.push(Source::new(name, fs::read_to_string(path)?));
    }
    files.sort_by(|one, other| one.name.cmp(&other.name));
    let mut mistakes = Diagnostics::default();
    let mut trees = Vec::new();
    for (source, number) in files.clone().leak().iter().zip(0..) {
        trees.push(Node::read(source, number, &mut mistakes));
    }
    mistakes.into_result(&files).map_err(|report| io::Error::other(format!("\n{report}")))?;
    for (file, tree) in files.iter_mut().zip(trees) {
        file.tree = tree.map(|tree| &*Box::leak(Box::new(tree)));
    }
    Ok(files)
}

fn loaded(sources: &[Source], lang: Option<&str>) -> io::Result<Content> {
    Content::load(sources, lang).map_err(|report| io::Error::other(format!("\n{report}")))
}

fn gather(folder: &Path, paths: &mut Vec<PathBuf>) -> io::Result<()> {
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() {
            gather(&path, paths)?;
        } else if path.extension().is_some_and(|e| e == "yaml") {
            paths.push(path);
        }
    }
    Ok(())
}
