//! Packs the built-in content: each file of `questions/` with its text and its tree, so that a start
//! need not parse YAML. What is no YAML stops the build, with the report that `wallfoot prove` gives.

// the program's own reader, so that a packed tree is the tree that parsing would give
#[allow(dead_code, unreachable_pub)]
#[path = "flow/diagnostic.rs"]
mod diagnostic;
#[allow(dead_code, unreachable_pub)]
#[path = "flow/harmless.rs"]
mod harmless;
#[allow(dead_code, unreachable_pub)]
#[path = "flow/yaml.rs"]
mod yaml;

use diagnostic::{Diagnostics, Source};
use std::fmt::Write;
use std::path::{Path, PathBuf};
use std::{env, fs, io};
use yaml::Node;

#[allow(clippy::unnecessary_debug_formatting)] // a path as a literal: quoted and escaped
fn main() -> io::Result<()> {
    println!("cargo::rerun-if-changed=questions");
    println!("cargo::rerun-if-changed=src/flow/yaml.rs");
    let top = PathBuf::from(env::var("CARGO_MANIFEST_DIR").map_err(io::Error::other)?).join("questions");
    let out = PathBuf::from(env::var("OUT_DIR").map_err(io::Error::other)?);
    let mut paths = Vec::new();
    gather(&top, &mut paths)?;
    paths.sort();
    let mut sources = Vec::new();
    for path in &paths {
        let name = path.strip_prefix(&top).map_err(io::Error::other)?.to_string_lossy().replace('\\', "/");
        sources.push(Source::new(name, fs::read_to_string(path)?));
    }
    let mut diags = Diagnostics::default();
    let mut table = String::from("[\n");
    for (i, (source, path)) in sources.iter().zip(&paths).enumerate() {
        let number = u32::try_from(i).map_err(io::Error::other)?;
        let node = Node::read(source, number, &mut diags);
        let packed = node.map(|node| node.pack(&source.text)).transpose().map_err(io::Error::other)?;
        fs::write(out.join(format!("{i}.tree")), packed.unwrap_or_default())?;
        let line = format!(
            "(\"{}\", include_str!({path:?}), include_bytes!(concat!(env!(\"OUT_DIR\"), \"/{i}.tree\"))),",
            source.name
        );
        writeln!(table, "{line}").map_err(io::Error::other)?;
    }
    table.push(']');
    diags.into_result(&sources).map_err(|report| io::Error::other(format!("\n{report}")))?;
    fs::write(out.join("content.rs"), table)
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
