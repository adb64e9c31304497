//! A text that is borrowed from the packed content, or a user's own.

use super::{Packed, Packer, Unpacker};
use std::borrow::{Borrow, Cow};
use std::fmt;
use std::ops::Deref;

/// A text of the content. It is used like a `str`; a built-in one is borrowed, so that content is unpacked without copying.
#[derive(Clone, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Text(Cow<'static, str>);

impl Text {
    /// As a `str`.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl Deref for Text {
    type Target = str;
    fn deref(&self) -> &str {
        &self.0
    }
}

impl Borrow<str> for Text {
    fn borrow(&self) -> &str {
        &self.0
    }
}

impl AsRef<str> for Text {
    fn as_ref(&self) -> &str {
        &self.0
    }
}

impl fmt::Debug for Text {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

impl fmt::Display for Text {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl From<String> for Text {
    fn from(text: String) -> Text {
        Text(Cow::Owned(text))
    }
}

impl From<&str> for Text {
    fn from(text: &str) -> Text {
        Text(Cow::Owned(text.to_owned()))
    }
}

impl From<Text> for String {
    fn from(text: Text) -> String {
        text.0.into_owned()
    }
}

impl From<&Text> for String {
    fn from(text: &Text) -> String {
        text.as_str().to_owned()
    }
}

impl PartialEq<str> for Text {
    fn eq(&self, other: &str) -> bool {
        *self.0 == *other
    }
}

impl PartialEq<&str> for Text {
    fn eq(&self, other: &&str) -> bool {
        *self.0 == **other
    }
}

impl PartialEq<String> for Text {
    fn eq(&self, other: &String) -> bool {
        *self.0 == **other
    }
}

impl PartialEq<Text> for String {
    fn eq(&self, other: &Text) -> bool {
        **self == *other.0
    }
}

impl PartialEq<Text> for str {
    fn eq(&self, other: &Text) -> bool {
        *self == *other.0
    }
}

impl PartialEq<Text> for &str {
    fn eq(&self, other: &Text) -> bool {
        **self == *other.0
    }
}

impl Packed for Text {
    fn pack(&self, to: &mut Packer<'_>) {
        to.text(self);
    }
    #[inline]
    fn unpack(from: &mut Unpacker) -> Text {
        Text(Cow::Borrowed(from.text()))
    }
}
