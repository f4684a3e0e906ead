//! A value with its place in the text.

use serde::de::{Deserialize, Deserializer, Error as _, SeqAccess, Visitor};
use std::fmt;
use std::marker::PhantomData;
use std::ops::Range;

/// By this name a reader knows that a place is asked for. A newtype's name, so that readers of structs, which are many
/// and large, are not compiled a second time for it.
pub(super) const NAME: &str = "$value with its place";

/// A value with its place in the text, bytes.
#[derive(Clone, Debug)]
pub struct Spanned<T> {
    at: Range<usize>,
    value: T,
}

impl<T> Spanned<T> {
    /// A value at a place.
    pub fn new(at: Range<usize>, value: T) -> Self {
        Self { at, value }
    }

    /// Where it stands.
    pub fn span(&self) -> Range<usize> {
        self.at.clone()
    }

    /// The value.
    pub fn get_ref(&self) -> &T {
        &self.value
    }

    /// The value without its place.
    pub fn into_inner(self) -> T {
        self.value
    }
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Spanned<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_newtype_struct(NAME, Parts(PhantomData))
    }
}

struct Parts<T>(PhantomData<T>);

impl<'de, T: Deserialize<'de>> Visitor<'de> for Parts<T> {
    type Value = Spanned<T>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a value with its place")
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut parts: A) -> Result<Spanned<T>, A::Error> {
        let lost = || A::Error::custom("this has no place");
        let start = parts.next_element()?.ok_or_else(lost)?;
        let end = parts.next_element()?.ok_or_else(lost)?;
        let value = parts.next_element()?.ok_or_else(lost)?;
        Ok(Spanned { at: start..end, value })
    }
}
