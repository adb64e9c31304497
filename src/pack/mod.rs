//! Plain data as bytes, and back: how the content that was checked when the program was built lies in it.
//!
//! Numbers are short where they are small. Texts stand in one string of their own, each once, and the bytes say where; so what is
//! unpacked may borrow them, and nobody has to look whether they are UTF-8. [`Late`] is unpacked when it is first asked for.
//!
//! Nothing here checks what it reads: the bytes are made by the build from data of the same types. What does not fit is told by
//! [`Unpacker::torn`], and a test unpacks everything.

mod late;
mod plain;
mod text;

pub use late::Late;
pub use text::Text;

use std::collections::HashMap;

/// Data that can be packed.
pub trait Packed: Sized {
    /// Appends it.
    fn pack(&self, to: &mut Packer<'_>);
    /// Takes it back.
    fn unpack(from: &mut Unpacker) -> Self;
}

/// Texts of which each is kept once.
#[derive(Debug, Default)]
pub struct Texts {
    all: String,
    known: HashMap<String, usize>,
}

impl Texts {
    /// All of them, one behind the other.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.all
    }

    fn place(&mut self, text: &str) -> usize {
        if let Some(place) = self.known.get(text) {
            return *place;
        }
        let place = self.all.len();
        self.all.push_str(text);
        self.known.insert(text.to_owned(), place);
        place
    }
}

/// Data that is being packed.
#[derive(Debug)]
pub struct Packer<'t> {
    bytes: Vec<u8>,
    texts: &'t mut Texts,
}

impl<'t> Packer<'t> {
    /// Nothing so far; texts go to `texts`.
    #[must_use]
    pub fn new(texts: &'t mut Texts) -> Packer<'t> {
        Packer { bytes: Vec::new(), texts }
    }

    /// Packs one thing into bytes.
    #[must_use]
    pub fn packed(texts: &'t mut Texts, value: &impl Packed) -> Vec<u8> {
        let mut packer = Packer::new(texts);
        value.pack(&mut packer);
        packer.bytes
    }

    /// Seven bits a byte, the lowest first; the highest bit says that more follow.
    pub fn number(&mut self, mut number: u64) {
        while number >= 0x80 {
            self.byte((number & 0x7f) as u8 | 0x80);
            number >>= 7;
        }
        self.byte((number & 0x7f) as u8);
    }

    /// One byte.
    pub fn byte(&mut self, byte: u8) {
        self.bytes.push(byte);
    }

    /// So many bytes.
    pub fn bytes(&mut self, bytes: &[u8]) {
        self.bytes.extend_from_slice(bytes);
    }

    /// A text.
    pub fn text(&mut self, text: &str) {
        let place = if text.is_empty() { 0 } else { self.texts.place(text) };
        self.number(text.len() as u64);
        self.number(place as u64);
    }

    /// Something apart, with its length before it, so that it can be passed over.
    pub fn apart(&mut self, value: &impl Packed) {
        let bytes = Packer::packed(self.texts, value);
        self.number(bytes.len() as u64);
        self.bytes(&bytes);
    }
}

/// Data that is being unpacked.
#[derive(Debug, Clone)]
pub struct Unpacker {
    bytes: &'static [u8],
    texts: &'static str,
    torn: bool,
}

impl Unpacker {
    /// From these bytes and texts.
    #[must_use]
    pub fn new(bytes: &'static [u8], texts: &'static str) -> Unpacker {
        Unpacker { bytes, texts, torn: false }
    }

    /// Whether something did not fit: then what was unpacked is not what was packed.
    #[must_use]
    pub fn torn(&self) -> bool {
        self.torn
    }

    /// Whether nothing is left.
    #[must_use]
    pub fn is_done(&self) -> bool {
        self.bytes.is_empty()
    }

    /// Notes that something did not fit.
    pub fn tear(&mut self) {
        self.torn = true;
    }

    /// See [`Packer::byte`].
    #[inline]
    pub fn byte(&mut self) -> u8 {
        if let Some((first, rest)) = self.bytes.split_first() {
            self.bytes = rest;
            return *first;
        }
        self.torn = true;
        0
    }

    /// See [`Packer::number`].
    #[inline]
    pub fn number(&mut self) -> u64 {
        let first = self.byte();
        if first < 0x80 { u64::from(first) } else { self.long(first) }
    }

    fn long(&mut self, first: u8) -> u64 {
        let (mut number, mut by) = (u64::from(first & 0x7f), 7);
        loop {
            let byte = self.byte();
            number |= u64::from(byte & 0x7f).checked_shl(by).unwrap_or_default();
            if byte < 0x80 {
                return number;
            }
            by += 7;
        }
    }

    /// A length or a place.
    #[inline]
    pub fn size(&mut self) -> usize {
        usize::try_from(self.number()).unwrap_or(usize::MAX)
    }

    /// How many of something follow: never more than there are bytes.
    #[inline]
    pub fn count(&mut self) -> usize {
        self.size().min(self.bytes.len())
    }

    /// So many bytes.
    pub fn take(&mut self, count: usize) -> &'static [u8] {
        let Some((taken, rest)) = self.bytes.split_at_checked(count) else {
            self.torn = true;
            return &[];
        };
        self.bytes = rest;
        taken
    }

    /// A text.
    #[inline]
    pub fn text(&mut self) -> &'static str {
        let length = self.size();
        let place = self.size();
        let found = place.checked_add(length).and_then(|end| self.texts.get(place..end));
        found.unwrap_or_else(|| {
            self.torn = true;
            ""
        })
    }

    /// What was packed apart, to be unpacked later.
    #[must_use]
    pub fn apart(&mut self) -> Unpacker {
        let count = self.size();
        Unpacker { bytes: self.take(count), texts: self.texts, torn: self.torn }
    }
}

/// Says how a type is packed: field by field. The compiler finds a field that is forgotten, and a variant; numbers of variants
/// must differ, and there must be a variant 0.
macro_rules! packed {
    (struct $name:ident { $($field:ident),* $(,)? }) => {
        impl $crate::pack::Packed for $name {
            fn pack(&self, to: &mut $crate::pack::Packer<'_>) {
                let $name { $($field),* } = self;
                $($crate::pack::Packed::pack($field, to);)*
            }
            fn unpack(from: &mut $crate::pack::Unpacker) -> $name {
                $name { $($field: $crate::pack::Packed::unpack(from)),* }
            }
        }
    };
    (struct $name:ident(one)) => {
        impl $crate::pack::Packed for $name {
            fn pack(&self, to: &mut $crate::pack::Packer<'_>) {
                $crate::pack::Packed::pack(&self.0, to);
            }
            fn unpack(from: &mut $crate::pack::Unpacker) -> $name {
                $name($crate::pack::Packed::unpack(from))
            }
        }
    };
    (enum $name:ident { $($at:literal: $variant:ident $(($($one:ident),*))? $({ $($field:ident),* })?),* $(,)? }) => {
        impl $crate::pack::Packed for $name {
            fn pack(&self, to: &mut $crate::pack::Packer<'_>) {
                match self {
                    $($name::$variant $(($($one),*))? $({ $($field),* })? => {
                        to.byte($at);
                        $($($crate::pack::Packed::pack($one, to);)*)?
                        $($($crate::pack::Packed::pack($field, to);)*)?
                    })*
                }
            }
            fn unpack(from: &mut $crate::pack::Unpacker) -> $name {
                let mut at = from.byte();
                loop {
                    match at {
                        $($at => {
                            $($(let $one = $crate::pack::Packed::unpack(from);)*)?
                            $($(let $field = $crate::pack::Packed::unpack(from);)*)?
                            return $name::$variant $(($($one),*))? $({ $($field),* })?;
                        })*
                        _ => {
                            from.tear();
                            at = 0;
                        }
                    }
                }
            }
        }
    };
}
pub(crate) use packed;
