//! Why a tree is not the value that it should be.

use std::fmt;
use std::ops::Range;

/// What is wrong, in the words that serde's readers use, and where.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{message}")]
pub struct TreeError {
    /// What is wrong.
    pub message: String,
    /// Where, bytes of the text; none in JSON, where the message begins with the path.
    pub at: Option<Range<usize>>,
}

impl TreeError {
    /// An error at a place.
    pub(super) fn new(message: impl Into<String>, at: Option<Range<usize>>) -> Self {
        Self { message: message.into(), at }
    }

    /// The same error, at this place if it has none yet: the innermost one is told.
    pub(super) fn or_at(mut self, at: &Option<Range<usize>>) -> Self {
        if self.at.is_none() {
            self.at.clone_from(at);
        }
        self
    }
}

impl serde::de::Error for TreeError {
    fn custom<T: fmt::Display>(message: T) -> Self {
        Self::new(message.to_string(), None)
    }
}
