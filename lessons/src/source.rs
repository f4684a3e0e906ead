//! A text with its name: where readers parse it and point at what is wrong.

use crate::error::SceneError;
use crate::{slips, words};
use std::ops::Range;

/// The text with its name, for messages.
pub(crate) struct Source<'a> {
    pub file: &'a str,
    pub text: &'a str,
}

impl Source<'_> {
    /// Reads TOML, or says in plain words where and why it cannot be read.
    pub fn parse<T: serde::de::DeserializeOwned>(&self) -> Result<T, SceneError> {
        self.parse_part(self.text)
    }

    /// The same of TOML that stands in the text at the same places.
    pub fn parse_part<T: serde::de::DeserializeOwned>(&self, part: &str) -> Result<T, SceneError> {
        toml::from_str(part).map_err(|error| {
            let start = error.span().map_or(0, |span| span.start.min(self.text.len()));
            if let Some(bracket) = self.left_open(start) {
                let mend = "write the closing bracket at the end of this line.";
                return SceneError::at_span(self.file, self.text, bracket..start, "this bracket is not closed", mend);
            }
            let line_start = self.text.get(..start).and_then(|before| before.rfind('\n')).map_or(0, |i| i + 1);
            let line = self.text.get(line_start..).and_then(|rest| rest.lines().next()).unwrap_or_default();
            let (what, mend) = words::plain(error.message(), line);
            match error.span() {
                Some(span) => SceneError::at_span(self.file, self.text, span, what, &mend),
                None => SceneError::of_file(self.file, what, &mend),
            }
        })
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
    pub fn wrong(&self, span: Range<usize>, what: impl Into<String>, mend: &str) -> Result<(), SceneError> {
        Err(self.fault(span, what, mend))
    }
}
