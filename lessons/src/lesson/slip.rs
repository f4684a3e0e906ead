//! What is wrong in a short text inside a lesson file, and where in that text.

use std::ops::Range;

/// What is wrong, where (bytes of the text), and how to mend it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Slip {
    /// Where.
    pub at: Range<usize>,
    /// What is wrong and what is allowed.
    pub what: String,
    /// How to mend it.
    pub mend: String,
}

impl Slip {
    /// A slip at a place.
    pub fn new(at: Range<usize>, what: impl Into<String>, mend: impl Into<String>) -> Self {
        Self { at, what: what.into(), mend: mend.into() }
    }
}
