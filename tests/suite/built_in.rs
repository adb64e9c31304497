//! The built-in content: what the build packed is what the loader makes of the files, and lies in the program as the program
//! uses it.

use crate::support::CONTENT;
use wallfoot::commands::{built_in, sources};
use wallfoot::content::Content;
use wallfoot::flow::{Diagnostics, Node, Source};
use wallfoot::pack::{Late, Packed, Packer, Text, Texts, Unpacker};

/// The whole content, in every language, down to the last text and place. A field that is packed wrongly shows here, and so does a
/// build that packed other files than those of `questions/`.
#[test]
fn packed_content_is_what_loading_gives() {
    for lang in [None, Some("es")] {
        let loaded = Content::load(&sources(None, lang).unwrap(), lang).unwrap();
        let packed = built_in(lang).unwrap_or_else(|| panic!("no content in {lang:?}"));
        let (loaded, packed) = (format!("{loaded:#?}"), format!("{packed:#?}"));
        let differs = loaded.lines().zip(packed.lines()).enumerate().find(|(_, (one, other))| one != other);
        assert_eq!(differs, None, "{lang:?}");
        assert_eq!(loaded.len(), packed.len(), "{lang:?}");
        assert!(loaded.len() > 1_000_000, "{}", loaded.len());
    }
}

#[test]
fn there_is_no_content_in_other_languages() {
    assert!(built_in(Some("xx")).is_none());
    assert!(built_in(Some("en")).is_some());
}

/// The files that lie in the program, pressed, are those of `questions/`, and their trees are what reading gives.
#[test]
fn files_in_the_program_are_those_of_the_folder() {
    let files = sources(None, Some("*")).unwrap();
    assert!(files.len() > 40, "{}", files.len());
    for (number, source) in files.into_iter().enumerate() {
        let path = crate::support::top().join("questions").join(&source.name);
        assert_eq!(std::fs::read_to_string(path).unwrap(), source.text, "{}", source.name);
        let number = u32::try_from(number).unwrap();
        let mut mistakes = Diagnostics::default();
        let kept = Node::read(&source, number, &mut mistakes);
        let plain = Source { tree: None, ..source.clone() };
        assert_eq!(kept, Node::read(&plain, number, &mut mistakes), "{}", plain.name);
        assert!(kept.is_some() && mistakes.is_empty(), "{}", plain.name);
    }
}

fn there_and_back<T: Packed>(value: &T) -> T {
    let mut texts = Texts::default();
    let bytes = Packer::packed(&mut texts, value).leak();
    let mut from = Unpacker::new(bytes, texts.as_str().to_owned().leak());
    let back = T::unpack(&mut from);
    assert!(from.is_done() && !from.torn());
    back
}

#[test]
fn numbers_and_texts_come_back() {
    let numbers = vec![0, 1, -1, 63, 64, -64, -65, 8191, 1 << 40, i64::MAX, i64::MIN];
    assert_eq!(there_and_back(&numbers), numbers);
    let sizes = vec![0_u64, 127, 128, u64::MAX];
    assert_eq!(there_and_back(&sizes), sizes);
    let texts: Vec<Text> = ["", "a", "", "wall", "wall", "½ in"].into_iter().map(Text::from).collect();
    assert_eq!(there_and_back(&texts), texts);
    let late: Late<Vec<Option<String>>> = Late::from(vec![None, Some("wall".to_owned())]);
    assert_eq!(*there_and_back(&late), *late);
}

/// What is only asked for now and then is not unpacked before.
#[test]
fn a_start_unpacks_only_what_it_needs() {
    let content = built_in(None).unwrap();
    let late =
        [content.promises.is_made(), content.places.is_made(), content.works.is_made(), content.resting.is_made()];
    assert_eq!(late, [false; 4]);
    assert_eq!(content.promises.len(), CONTENT.promises.len());
    assert!(content.promises.is_made());
}

/// Bytes that were cut give no content, and stop nothing.
#[test]
fn a_torn_block_is_no_content() {
    let mut texts = Texts::default();
    let bytes: &'static [u8] = Packer::packed(&mut texts, &*CONTENT).leak();
    let texts: &'static str = texts.as_str().to_owned().leak();
    assert!(Content::unpacked(bytes, texts).is_some());
    for keep in [0, 1, 10, 1_000, bytes.len() / 2, bytes.len() - 1] {
        assert!(Content::unpacked(&bytes[..keep], texts).is_none(), "{keep}");
    }
    assert!(Content::unpacked(bytes, "").is_none());
}
