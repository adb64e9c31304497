//! How numbers, texts and lists are packed.

use super::{Packed, Packer, Unpacker};
use std::array;
use std::collections::{BTreeMap, BTreeSet};

impl Packed for bool {
    fn pack(&self, to: &mut Packer<'_>) {
        to.byte(u8::from(*self));
    }
    #[inline]
    fn unpack(from: &mut Unpacker) -> bool {
        from.byte() != 0
    }
}

impl Packed for u8 {
    fn pack(&self, to: &mut Packer<'_>) {
        to.byte(*self);
    }
    #[inline]
    fn unpack(from: &mut Unpacker) -> u8 {
        from.byte()
    }
}

impl Packed for u16 {
    fn pack(&self, to: &mut Packer<'_>) {
        to.number(u64::from(*self));
    }
    #[inline]
    fn unpack(from: &mut Unpacker) -> u16 {
        narrow(from)
    }
}

impl Packed for u32 {
    fn pack(&self, to: &mut Packer<'_>) {
        to.number(u64::from(*self));
    }
    #[inline]
    fn unpack(from: &mut Unpacker) -> u32 {
        narrow(from)
    }
}

/// A number of a type that does not hold all numbers.
#[inline]
fn narrow<T: TryFrom<u64> + Default>(from: &mut Unpacker) -> T {
    T::try_from(from.number()).unwrap_or_else(|_| {
        from.tear();
        T::default()
    })
}

impl Packed for usize {
    fn pack(&self, to: &mut Packer<'_>) {
        to.number(*self as u64);
    }
    #[inline]
    fn unpack(from: &mut Unpacker) -> usize {
        from.size()
    }
}

/// A mask: as likely long as short.
impl Packed for u64 {
    fn pack(&self, to: &mut Packer<'_>) {
        to.bytes(&self.to_le_bytes());
    }
    #[inline]
    fn unpack(from: &mut Unpacker) -> u64 {
        from.take(8).first_chunk().map_or(0, |bytes| u64::from_le_bytes(*bytes))
    }
}

/// Numbers near zero are short on both sides of it.
impl Packed for i64 {
    fn pack(&self, to: &mut Packer<'_>) {
        to.number((self.cast_unsigned() << 1) ^ (self >> 63).cast_unsigned());
    }
    #[inline]
    fn unpack(from: &mut Unpacker) -> i64 {
        let number = from.number();
        (number >> 1).cast_signed() ^ -(number & 1).cast_signed()
    }
}

impl Packed for String {
    fn pack(&self, to: &mut Packer<'_>) {
        to.text(self);
    }
    #[inline]
    fn unpack(from: &mut Unpacker) -> String {
        from.text().to_owned()
    }
}

impl Packed for &'static str {
    fn pack(&self, to: &mut Packer<'_>) {
        to.text(self);
    }
    #[inline]
    fn unpack(from: &mut Unpacker) -> &'static str {
        from.text()
    }
}

impl<T: Packed> Packed for Option<T> {
    fn pack(&self, to: &mut Packer<'_>) {
        self.is_some().pack(to);
        if let Some(value) = self {
            value.pack(to);
        }
    }
    #[inline]
    fn unpack(from: &mut Unpacker) -> Option<T> {
        bool::unpack(from).then(|| T::unpack(from))
    }
}

fn pack_list<'v, T: Packed + 'v>(values: impl ExactSizeIterator<Item = &'v T>, to: &mut Packer<'_>) {
    to.number(values.len() as u64);
    values.for_each(|value| value.pack(to));
}

fn unpack_list<T: Packed, L: FromIterator<T>>(from: &mut Unpacker) -> L {
    (0..from.count()).map(|_| T::unpack(from)).collect()
}

impl<T: Packed> Packed for Vec<T> {
    fn pack(&self, to: &mut Packer<'_>) {
        pack_list(self.iter(), to);
    }
    fn unpack(from: &mut Unpacker) -> Vec<T> {
        unpack_list(from)
    }
}

impl<T: Packed> Packed for Box<[T]> {
    fn pack(&self, to: &mut Packer<'_>) {
        pack_list(self.iter(), to);
    }
    fn unpack(from: &mut Unpacker) -> Box<[T]> {
        unpack_list(from)
    }
}

impl<T: Packed, const N: usize> Packed for [T; N] {
    fn pack(&self, to: &mut Packer<'_>) {
        for value in self {
            value.pack(to);
        }
    }
    fn unpack(from: &mut Unpacker) -> [T; N] {
        array::from_fn(|_| T::unpack(from))
    }
}

impl<A: Packed, B: Packed> Packed for (A, B) {
    fn pack(&self, to: &mut Packer<'_>) {
        self.0.pack(to);
        self.1.pack(to);
    }
    #[inline]
    fn unpack(from: &mut Unpacker) -> (A, B) {
        (A::unpack(from), B::unpack(from))
    }
}

impl<K: Packed + Ord, V: Packed> Packed for BTreeMap<K, V> {
    fn pack(&self, to: &mut Packer<'_>) {
        to.number(self.len() as u64);
        for (key, value) in self {
            key.pack(to);
            value.pack(to);
        }
    }
    fn unpack(from: &mut Unpacker) -> BTreeMap<K, V> {
        let count = from.count();
        // in order already, so nothing is sorted
        (0..count).map(|_| <(K, V)>::unpack(from)).collect()
    }
}

impl<T: Packed + Ord> Packed for BTreeSet<T> {
    fn pack(&self, to: &mut Packer<'_>) {
        pack_list(self.iter(), to);
    }
    fn unpack(from: &mut Unpacker) -> BTreeSet<T> {
        unpack_list(from)
    }
}
