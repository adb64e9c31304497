//! What is unpacked when it is first asked for.

use super::{Packed, Packer, Unpacker};
use std::fmt;
use std::ops::Deref;
use std::sync::OnceLock;

/// Something that lies packed until it is asked for. It is looked at like what is in it.
pub struct Late<T> {
    packed: Option<Unpacker>,
    made: OnceLock<T>,
}

impl<T: Packed + Default> Late<T> {
    fn made(&self) -> &T {
        self.made.get_or_init(|| self.packed.clone().map(|mut from| T::unpack(&mut from)).unwrap_or_default())
    }

    /// Whether it has been unpacked, or was never packed.
    #[must_use]
    pub fn is_made(&self) -> bool {
        self.made.get().is_some()
    }
}

impl<T> From<T> for Late<T> {
    fn from(made: T) -> Late<T> {
        Late { packed: None, made: OnceLock::from(made) }
    }
}

impl<T: Default> Default for Late<T> {
    fn default() -> Late<T> {
        Late::from(T::default())
    }
}

impl<T: Packed + Default> Deref for Late<T> {
    type Target = T;
    fn deref(&self) -> &T {
        self.made()
    }
}

impl<T: Packed + Default + fmt::Debug> fmt::Debug for Late<T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.made().fmt(f)
    }
}

impl<T: Packed + Default + Clone> Clone for Late<T> {
    fn clone(&self) -> Late<T> {
        Late::from(self.made().clone())
    }
}

#[allow(clippy::into_iter_without_iter)] // `iter` is that of what is in it
impl<'l, T: Packed + Default> IntoIterator for &'l Late<T>
where
    &'l T: IntoIterator,
{
    type Item = <&'l T as IntoIterator>::Item;
    type IntoIter = <&'l T as IntoIterator>::IntoIter;
    fn into_iter(self) -> Self::IntoIter {
        self.made().into_iter()
    }
}

impl<T: Packed + Default> Packed for Late<T> {
    fn pack(&self, to: &mut Packer<'_>) {
        to.apart(self.made());
    }
    fn unpack(from: &mut Unpacker) -> Late<T> {
        Late { packed: Some(from.apart()), made: OnceLock::new() }
    }
}
