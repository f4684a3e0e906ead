//! A text with its name: where readers parse it and point at what is wrong.

use crate::error::SceneError;
use crate::tree::{Node, Tree, TreeError};
use crate::{slips, words};
use serde::de::DeserializeOwned;
use std::ops::Range;

/// The text with its name, for messages.
pub(crate) struct Source<'a> {
    pub file: &'a str,
    pub text: &'a str,
}

impl Source<'_> {
    /// Reads TOML that stands in the text at the same places as a tree.
    pub fn tree(&self, part: &str) -> Result<Tree, SceneError> {
        Tree::of_toml(part).map_err(|error| self.in_plain_words(&error))
    }

    /// The value of a tree of this text.
    pub fn value<T: DeserializeOwned>(&self, tree: &Tree) -> Result<T, SceneError> {
        T::deserialize(Node(tree)).map_err(|error| self.in_plain_words(&error))
    }

    fn in_plain_words(&self, error: &TreeError) -> SceneError {
        let span = error.at.clone();
        let start = span.as_ref().map_or(0, |span| span.start.min(self.text.len()));
        if let Some(bracket) = self.left_open(start) {
            let mend = "write the closing bracket at the end of this line.";
            return SceneError::at_span(self.file, self.text, bracket..start, "this bracket is not closed", mend);
        }
        let line_start = self.text.get(..start).and_then(|before| before.rfind('\n')).map_or(0, |i| i + 1);
        let line = self.text.get(line_start..).and_then(|rest| rest.lines().next()).unwrap_or_default();
        let (what, mend) = words::plain(&error.message, line);
        match span {
            Some(span) => SceneError::at_span(self.file, self.text, span, what, &mend),
            None => SceneError::of_file(self.file, what, &mend),
        }
    }

    /// Checks the format number of a file, which is told before anything else of it: `of` is what the file is, `first` what
    /// stands first in it, `reads` the format that is read.
    pub fn check_format(&self, tree: &Tree, of: &str, first: &str, reads: i64) -> Result<(), SceneError> {
        let write = format!("write format = {reads} as the first {first}.");
        let Some(format) = tree.get("format") else {
            return self.wrong(0..0, "the line with the format number is missing", &write);
        };
        match format.whole() {
            Some(n) if n == reads => Ok(()),
            Some(n) if n > reads => {
                let what = format!("this {of} has format {n}; this program reads format {reads}");
                self.wrong(format.place(), what, "open it with a newer Countlight.")
            }
            _ => self.wrong(format.place(), format!("the format must be the whole number {reads}"), &write),
        }
    }

    /// A bracket that was opened on a line before this place and not closed: then the parser stumbles only later.
    fn left_open(&self, place: usize) -> Option<usize> {
        let (before, _) = self.text.split_at_checked(place)?;
        let bracket = slips::open_bracket(before)?;
        before[bracket..].contains('\n').then_some(bracket)
    }

    /// An error at a place of the text.
    pub fn fault(&self, span: Range<usize>, what: impl Into<String>, mend: &str) -> SceneError {
        SceneError::at_span(self.file, self.text, span, what, mend)
    }

    /// The same as a refusal.
    pub fn wrong<T>(&self, span: Range<usize>, what: impl Into<String>, mend: &str) -> Result<T, SceneError> {
        Err(self.fault(span, what, mend))
    }
}
