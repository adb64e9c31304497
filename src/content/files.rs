//! Which files of a folder of questions are content, and in which language.

/// Folders of the content that hold no questions or rules.
const NOT_CONTENT: [&str; 1] = ["demo/"];
/// Folder of the translations, one file or more a language: `translations/es.yaml`, `translations/es-tasks.yaml`.
const TRANSLATIONS: &str = "translations/";

/// The language of a translation file: `es` for `translations/es-tasks.yaml`.
#[must_use]
pub fn language_of(path: &str) -> Option<&str> {
    let name = path.strip_prefix(TRANSLATIONS)?;
    name.split(['.', '-']).next()
}

/// Whether a file counts for a language: translations only for the one that is wanted; `Some("*")` wants all.
#[must_use]
pub fn counts_for(path: &str, lang: Option<&str>) -> bool {
    match language_of(path) {
        Some(language) => lang.is_some_and(|wanted| wanted == "*" || wanted == language),
        None => !NOT_CONTENT.iter().any(|folder| path.starts_with(folder)),
    }
}
