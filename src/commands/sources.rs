//! Where content comes from: the built-in files, and a folder laid over them.

use super::error::CommandError;
use crate::flow::{ContentError, Diagnostics, Fields, Node, Source, Tree};
use crate::visit::read_bounded;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// The files of `questions/`: path, text, and the tree that the build script packed.
static QUESTIONS: &[(&str, &str, &[u8])] = &include!(concat!(env!("OUT_DIR"), "/content.rs"));

/// Folders of the content that hold no questions or rules.
const NOT_CONTENT: [&str; 1] = ["demo/"];
/// Folder of the translations, one file or more a language: `translations/es.yaml`, `translations/es-tasks.yaml`.
const TRANSLATIONS: &str = "translations/";

/// A built-in file that is no content, such as a demo visit.
#[must_use]
pub fn embedded(path: &str) -> Option<&'static str> {
    QUESTIONS.iter().find(|(p, ..)| *p == path).map(|(_, text, _)| *text)
}

/// The languages of the built-in translations, each once or more.
pub(super) fn languages() -> impl Iterator<Item = &'static str> {
    QUESTIONS.iter().filter_map(|(path, ..)| language(path))
}

/// The content files: the built-in ones, with the folder's files laid over those of the same
/// relative path. Translations are read only for the language that is wanted; `Some("*")` reads all.
///
/// # Errors
/// When the folder or a file in it cannot be read, when there is no such language, or when `standalone` is neither true nor
/// false.
pub fn sources(folder: Option<&Path>, lang: Option<&str>) -> Result<Vec<Source>, CommandError> {
    let mut files: BTreeMap<String, Source> = BTreeMap::new();
    for (path, text, packed) in QUESTIONS {
        let source = Source { name: (*path).to_owned(), text: (*text).into(), packed: Some(packed), local: false };
        files.insert((*path).to_owned(), source);
    }
    if let Some(folder) = folder {
        let mut over = BTreeMap::new();
        read_folder(folder, folder, &mut Vec::new(), &mut over)?;
        if over.is_empty() {
            return Err(CommandError::NoYaml { folder: folder.to_owned() });
        }
        // a whole set says so in its content.yaml; then nothing built in is used
        if over.get("content.yaml").map(stands_alone).transpose()?.unwrap_or(false) {
            // the labels of the screens belong to the program; a set may bring its own
            files.retain(|path, _| path == "words.yaml");
        }
        files.append(&mut over);
    }
    if let Some(lang) = lang.filter(|l| *l != "*" && *l != "en") {
        let mut known: Vec<&str> = files.keys().filter_map(|path| language(path)).collect();
        known.sort_unstable();
        known.dedup();
        if !known.contains(&lang) {
            let known = known.into_iter().map(str::to_owned).collect();
            return Err(CommandError::Language { found: lang.to_owned(), known });
        }
    }
    files.retain(|path, _| match language(path) {
        Some(language) => lang.is_some_and(|l| l == "*" || l == language),
        None => !NOT_CONTENT.iter().any(|folder| path.starts_with(folder)),
    });
    Ok(files.into_values().collect())
}

/// Whether a set of questions says in its `content.yaml` that it is whole. What else is wrong with that file is found when the
/// content is loaded; this must be known before, since it decides what is loaded.
fn stands_alone(source: &Source) -> Result<bool, ContentError> {
    let node = Node::read(source, 0, &mut Diagnostics::default());
    let Some(node) = node.filter(|node| matches!(node.tree, Tree::Map(_))) else { return Ok(false) };
    let mut mistakes = Diagnostics::default();
    let fields = Fields::of(&node, "content.yaml", &mut mistakes);
    let alone = fields.is_some_and(|mut fields| fields.flag("standalone", false, &mut mistakes));
    mistakes.into_result(std::slice::from_ref(source))?;
    Ok(alone)
}

/// A file of local limits. Its rows replace those of the same id.
///
/// # Errors
/// When the file cannot be read.
pub(super) fn local_limits(path: &Path) -> Result<Source, CommandError> {
    let text = super::outside::read_text(path)?;
    Ok(Source { local: true, ..Source::new(path.display().to_string(), text) })
}

/// The language of a translation file: `es` for `translations/es-tasks.yaml`.
fn language(path: &str) -> Option<&str> {
    let name = path.strip_prefix(TRANSLATIONS)?;
    name.split(['.', '-']).next()
}

fn read_folder(
    top: &Path,
    folder: &Path,
    above: &mut Vec<PathBuf>,
    files: &mut BTreeMap<String, Source>,
) -> Result<(), CommandError> {
    let fail = |path: &Path, reason| CommandError::Read { path: path.to_owned(), reason };
    // a link that leads back up would be read again and again
    let real = folder.canonicalize().map_err(|e| fail(folder, e))?;
    let leads_up = folder != top && top.canonicalize().is_ok_and(|top| top.starts_with(&real));
    if leads_up || above.contains(&real) {
        return Err(CommandError::LinkBack { folder: folder.to_owned() });
    }
    above.push(real);
    let mut entries = Vec::new();
    for entry in std::fs::read_dir(folder).map_err(|e| fail(folder, e))? {
        entries.push(entry.map_err(|e| fail(folder, e))?.path());
    }
    entries.sort();
    for path in entries {
        if path.is_dir() {
            read_folder(top, &path, above, files)?;
        } else if is_yaml(&path) && is_text(&path) {
            let text = read_bounded(&path, MOST_MB).map_err(|e| fail(&path, e))?;
            let relative = path.strip_prefix(top).unwrap_or(&path).to_string_lossy().replace('\\', "/");
            files.insert(relative, Source::new(path.display().to_string(), text));
        }
    }
    above.pop();
    Ok(())
}

/// The largest file of questions that is read, in millions of bytes: ten times as large as the largest here.
const MOST_MB: u64 = 4;

/// A file, or nothing, which is told when it is read: a pipe would be waited for.
fn is_text(path: &Path) -> bool {
    path.is_file() || !path.exists()
}

fn is_yaml(path: &Path) -> bool {
    path.extension().is_some_and(|e| e == "yaml" || e == "yml")
}
