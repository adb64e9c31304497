//! Settings of the user, kept in a file: what holds where the command line says nothing else.
//!
//! The file is looked for where `--config` says, else where `WALLFOOT_CONFIG` says (empty: nowhere), else as
//! `wallfoot/config.yaml` in the folder that the platform keeps for settings (`XDG_CONFIG_HOME`, else `~/.config`; on Windows the
//! roaming application data). Only a file that was named must be there.

use super::error::ConfigError;
use crate::flow::{Diagnostics, Fields, Node, Place, Source, Tree};
use crate::units::Units;
use etcetera::BaseStrategy;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

/// The variable that names the file.
pub(super) const VARIABLE: &str = "WALLFOOT_CONFIG";
/// Where the file lies in the folder for settings.
const FILE: &str = "wallfoot/config.yaml";

/// The settings of a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Config {
    /// The country of visits that do not name theirs.
    pub region: Option<Setting>,
    /// How lengths are shown and bare numbers are read.
    pub units: Option<Units>,
    /// The language.
    pub language: Option<Setting>,
    /// The head of sheets.
    pub letterhead: Option<OwnHead>,
    /// The price book; a path that is not absolute starts at the folder of the file.
    pub prices: Option<PathBuf>,
    source: Source,
}

/// The head of the user's own sheets.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct OwnHead {
    /// The name, and lines below it.
    pub lines: Vec<String>,
    /// A phone number.
    pub phone: Option<String>,
    /// The number of a licence.
    pub licence: Option<String>,
    /// A picture; a path that is not absolute starts at the folder of the file.
    pub logo: Option<PathBuf>,
}

/// A setting whose meaning only the content knows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Setting {
    /// What stands there.
    pub text: String,
    place: Place,
}

impl Config {
    /// The settings that hold, if there are any. `asked` is the file that the command line names.
    ///
    /// # Errors
    /// [`ConfigError::Read`] for a file that was named and cannot be read, else those of [`Config::parse`].
    pub(super) fn find(asked: Option<&Path>) -> Result<Option<Config>, ConfigError> {
        let (path, named) = match (asked, std::env::var_os(VARIABLE)) {
            (Some(path), _) => (path.to_owned(), true),
            (None, Some(path)) if path.is_empty() => return Ok(None),
            (None, Some(path)) => (PathBuf::from(path), true),
            (None, None) => match etcetera::choose_base_strategy() {
                Ok(folders) => (folders.config_dir().join(FILE), false),
                // nobody has a home here
                Err(_) => return Ok(None),
            },
        };
        match crate::visit::read_bounded(&path, 1) {
            Ok(text) => Config::parse(text, &path).map(Some),
            Err(reason) if !named && matches!(reason.kind(), ErrorKind::NotFound | ErrorKind::NotADirectory) => {
                Ok(None)
            }
            Err(reason) => Err(ConfigError::Read { path, reason }),
        }
    }

    /// Settings from the text of a file; `path` is for messages, and for the price book.
    ///
    /// # Errors
    /// [`ConfigError::Mistakes`] with all that is wrong, each with its place.
    pub fn parse(text: String, path: &Path) -> Result<Config, ConfigError> {
        let source = Source::new(path.display().to_string(), text);
        let mut config = Config {
            region: None,
            units: None,
            language: None,
            letterhead: None,
            prices: None,
            source: source.clone(),
        };
        if source.text.lines().all(|line| line.trim().is_empty() || line.trim().starts_with('#')) {
            return Ok(config);
        }
        let mut mistakes = Diagnostics::default();
        let node = Node::read(&source, 0, &mut mistakes);
        if let Some(mut fields) = node.as_ref().and_then(|node| Fields::of(node, "the file of settings", &mut mistakes))
        {
            config.region = setting(&mut fields, "region", &mut mistakes);
            config.units = fields.word("units", &[("inch", Units::Inch), ("metric", Units::Metric)], &mut mistakes);
            config.language = setting(&mut fields, "language", &mut mistakes);
            config.letterhead = fields.take("letterhead").and_then(|node| head(node, path, &mut mistakes));
            let book = fields.text("prices", &mut mistakes);
            config.prices = book.map(|book| path.parent().unwrap_or_else(|| Path::new("")).join(book.as_str()));
            fields.finish(&mut mistakes);
        }
        mistakes.into_result(std::slice::from_ref(&source)).map_err(ConfigError::Mistakes)?;
        Ok(config)
    }

    /// That a setting names something that there is not.
    pub(super) fn unknown(&self, setting: &Setting, what: &str, known: &[String]) -> ConfigError {
        let near = crate::flow::nearest(&setting.text, known.iter().map(String::as_str));
        let hint =
            near.map_or_else(|| format!("there is: {}", known.join(", ")), |near| format!("did you mean `{near}`?"));
        let mut mistakes = Diagnostics::default();
        mistakes.error_with_hint(setting.place, format!("there is no {what} `{}`", setting.text), Some(hint));
        match mistakes.into_result(std::slice::from_ref(&self.source)) {
            Err(error) => ConfigError::Mistakes(error),
            Ok(()) => ConfigError::Setting { found: setting.text.clone() },
        }
    }
}

/// The head of sheets: a list of lines, or a map that names its parts.
fn head(node: &Node<'_>, path: &Path, mistakes: &mut Diagnostics) -> Option<OwnHead> {
    if let Tree::List(lines) = &node.tree {
        let lines = lines.iter().filter_map(|line| {
            let text = line.text().map(|text| text.trim().to_owned());
            if text.is_none() {
                mistakes.error(line.place, format!("a line of `letterhead` must be a text, not {}", line.describe()));
            }
            text
        });
        return Some(OwnHead { lines: lines.collect(), ..OwnHead::default() });
    }
    let mut fields = Fields::of(node, "`letterhead`", mistakes)?;
    let mut lines: Vec<String> = fields.text("name", mistakes).map(String::from).into_iter().collect();
    lines.extend(fields.texts("lines", mistakes).into_iter().map(String::from));
    let mut text = |name| fields.text(name, mistakes).map(String::from);
    let (phone, licence) = (text("phone"), text("licence"));
    let logo =
        fields.text("logo", mistakes).map(|logo| path.parent().unwrap_or_else(|| Path::new("")).join(logo.as_str()));
    fields.finish(mistakes);
    Some(OwnHead { lines, phone, licence, logo })
}

/// A setting with its place.
fn setting(fields: &mut Fields<'_, '_>, name: &'static str, mistakes: &mut Diagnostics) -> Option<Setting> {
    let node = fields.take(name)?;
    let text = node.text().map(str::trim).filter(|text| !matches!(*text, "" | "~"));
    if text.is_none() {
        mistakes.error_with_hint(
            node.place,
            format!("`{name}` must be a word, not {}", node.describe()),
            Some("write a word behind it, or take the line out".to_owned()),
        );
    }
    text.map(|text| Setting { text: text.to_owned(), place: node.place })
}

/// The language that the surroundings ask for: the first of `LC_ALL`, `LC_MESSAGES` and `LANG` that says something.
pub(super) fn language_of_surroundings() -> Option<String> {
    let said = ["LC_ALL", "LC_MESSAGES", "LANG"].into_iter().filter_map(|name| std::env::var(name).ok());
    language_of(&said.into_iter().find(|value| !value.is_empty())?)
}

/// The language of a locale, as `es` of `es_MX.UTF-8`; nothing for one that says none.
fn language_of(locale: &str) -> Option<String> {
    let language = locale.split(['_', '.', '@', '-']).next()?.to_lowercase();
    (!matches!(language.as_str(), "" | "c" | "posix" | "en")).then_some(language)
}
