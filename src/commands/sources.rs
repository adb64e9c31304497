//! Where content comes from: the built-in files, and a folder laid over them.

use super::error::CommandError;
use crate::content::{Content, counts_for, language_of};
use crate::flow::{ContentError, Diagnostics, Fields, Node, Source, Tree};
use crate::visit::read_bounded;
use miniz_oxide::inflate;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::{LazyLock, OnceLock};

/// What the build made of `questions/`.
struct BuiltIn {
    /// The content as it is used, checked and packed, for each language.
    languages: &'static [(&'static str, &'static [u8])],
    /// The texts of all of them.
    texts: &'static str,
    /// The files that it was read from, and how long each is.
    files: &'static [(&'static str, usize)],
    /// What stands in the files, one behind the other: only for what lays files of a user over them, and for `prove`.
    deflated: &'static [u8],
    /// How long that is.
    length: usize,
    /// The demo visits.
    visits: &'static [(&'static str, &'static str)],
}

#[allow(clippy::unreadable_literal)] // written by the build
static BUILT_IN: BuiltIn = include!(concat!(env!("OUT_DIR"), "/content.rs"));

/// A file that the built-in content was read from.
struct BuiltInFile {
    source: Source,
    /// Its tree, once somebody wants it.
    tree: OnceLock<Option<Node<'static>>>,
}

/// A file of the content, the program's own or a user's.
enum ContentFile {
    BuiltIn(&'static BuiltInFile),
    Own(Source),
}

/// The files that the built-in content was read from.
static FILES: LazyLock<Vec<BuiltInFile>> = LazyLock::new(files);

fn files() -> Vec<BuiltInFile> {
    let text = inflate::decompress_to_vec_with_limit(BUILT_IN.deflated, BUILT_IN.length).unwrap_or_default();
    let mut rest: &'static str = String::from_utf8(text).unwrap_or_default().leak();
    let mut files = Vec::with_capacity(BUILT_IN.files.len());
    for (name, length) in BUILT_IN.files {
        let (text, more) = rest.split_at_checked(*length).unwrap_or_default();
        rest = more;
        files.push(BuiltInFile { source: Source::new(*name, text), tree: OnceLock::new() });
    }
    files
}

impl ContentFile {
    fn read(self) -> Source {
        match self {
            ContentFile::BuiltIn(file) => {
                // the build has read it without a mistake
                let read = || Node::read(&file.source, 0, &mut Diagnostics::default());
                Source { tree: file.tree.get_or_init(read).as_ref(), ..file.source.clone() }
            }
            ContentFile::Own(source) => source,
        }
    }
}

/// The text of a built-in file, such as a demo visit.
#[must_use]
pub fn embedded(path: &str) -> Option<&'static str> {
    let visit = BUILT_IN.visits.iter().find(|(known, _)| *known == path);
    visit.map(|(_, text)| *text).or_else(|| {
        let file = FILES.iter().find(|file| file.source.name == path)?;
        Some(&file.source.text)
    })
}

/// The languages of the built-in translations.
pub(super) fn languages() -> impl Iterator<Item = &'static str> {
    BUILT_IN.languages.iter().map(|(language, _)| *language).filter(|language| *language != "en")
}

/// The built-in content in a language, as the build checked and packed it; nothing if there is no such language. It is what
/// [`Content::load`] makes of the built-in files.
#[must_use]
pub fn built_in(lang: Option<&str>) -> Option<Content> {
    let lang = lang.unwrap_or("en");
    let (_, block) = BUILT_IN.languages.iter().find(|(language, _)| *language == lang)?;
    Content::unpacked(block, BUILT_IN.texts)
}

/// The content files: the built-in ones, with the folder's files laid over those of the same
/// relative path. Translations are read only for the language that is wanted; `Some("*")` reads all.
///
/// # Errors
/// When the folder or a file in it cannot be read, when there is no such language, or when `standalone` is neither true nor
/// false.
pub fn sources(folder: Option<&Path>, lang: Option<&str>) -> Result<Vec<Source>, CommandError> {
    let mut files: BTreeMap<String, ContentFile> =
        FILES.iter().map(|file| (file.source.name.clone(), ContentFile::BuiltIn(file))).collect();
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
        files.extend(over.into_iter().map(|(path, source)| (path, ContentFile::Own(source))));
    }
    if let Some(lang) = lang.filter(|l| *l != "*" && *l != "en") {
        let mut known: Vec<&str> = files.keys().filter_map(|path| language_of(path)).collect();
        known.sort_unstable();
        known.dedup();
        if !known.contains(&lang) {
            let known = known.into_iter().map(str::to_owned).collect();
            return Err(CommandError::Language { found: lang.to_owned(), known });
        }
    }
    files.retain(|path, _| counts_for(path, lang));
    Ok(files.into_values().map(ContentFile::read).collect())
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
