//! Why a scene was refused: file, place, the line itself, what is wrong and the remedy.

use crate::read::LARGEST_FILE;
use std::ops::Range;

/// Most characters of a line that are quoted in a message.
const QUOTED: usize = 88;

/// Why a scene was refused.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{}: {what}\n{quote}  To mend it: {mend}", self.place())]
pub struct SceneError {
    /// Which file.
    pub file: String,
    /// Line and column, from 1, where they are known.
    pub at: Option<(usize, usize)>,
    /// That line with its number, or the part of it around the column, and a mark under the column: two lines of text;
    /// empty where there is none.
    pub quote: String,
    /// What is wrong and what is allowed.
    pub what: String,
    /// How to mend it.
    pub mend: String,
}

impl SceneError {
    /// An error that belongs to the file as a whole.
    pub fn of_file(file: &str, what: impl Into<String>, mend: &str) -> Self {
        Self { file: file.to_owned(), at: None, quote: String::new(), what: what.into(), mend: mend.to_owned() }
    }

    /// A file that is too large to be a scene; it need not be read to be refused.
    pub fn too_large(file: &str, bytes: u64) -> Self {
        let what = format!("the file is too large for a scene: {bytes} bytes, where {LARGEST_FILE} are allowed");
        Self::of_file(file, what, "choose a scene file (.toml); a recording or a picture is not a scene.")
    }

    /// An error at a range of bytes of the text.
    pub(crate) fn at_span(file: &str, text: &str, span: Range<usize>, what: impl Into<String>, mend: &str) -> Self {
        let start = span.start.min(text.len());
        let before = &text.as_bytes()[..start];
        let number = 1 + before.iter().filter(|b| **b == b'\n').count();
        let line_start = before.iter().rposition(|b| *b == b'\n').map_or(0, |i| i + 1);
        let column = text.get(line_start..start).map_or(0, |t| t.chars().count());
        let line = text.get(line_start..).and_then(|t| t.lines().next()).unwrap_or_default();
        Self {
            file: file.to_owned(),
            at: Some((number, column + 1)),
            quote: quote(number, line, column),
            what: what.into(),
            mend: mend.to_owned(),
        }
    }

    /// File, line and column as `file:3:5`, which editors understand.
    pub fn place(&self) -> String {
        self.at.map_or(self.file.clone(), |(line, column)| format!("{}:{line}:{column}", self.file))
    }
}

fn quote(number: usize, line: &str, column: usize) -> String {
    let (text, column) = window(line, column);
    if text.trim().is_empty() {
        return String::new();
    }
    let number = number.to_string();
    format!("  {number} | {text}\n  {}   {}^\n", " ".repeat(number.len()), " ".repeat(column))
}

/// The part of a line around a column that fits into a message, without control characters, and the column in it.
fn window(line: &str, column: usize) -> (String, usize) {
    let plain = |c: char| if c.is_control() { ' ' } else { c };
    let skipped = if column < QUOTED { 0 } else { column - QUOTED / 2 };
    let mut text: String = line.chars().skip(skipped).take(QUOTED).map(plain).collect();
    let mut column = column - skipped;
    if line.chars().nth(skipped + QUOTED).is_some() {
        text.push_str(" ...");
    }
    if skipped > 0 {
        text.insert_str(0, "... ");
        column += 4;
    }
    (text.trim_end().to_owned(), column)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_mark_stands_under_its_column() {
        let error = SceneError::at_span("a.toml", "x = 1\n\ty = \u{e4}ha\n", 11..12, "what", "mend.");
        assert_eq!(error.place(), "a.toml:2:6");
        assert_eq!(error.quote, "  2 |  y = \u{e4}ha\n           ^\n");
    }

    #[test]
    fn of_a_very_long_line_only_the_surroundings_are_quoted() {
        let text = format!("{}!{}", "a".repeat(5000), "b".repeat(5000));
        let error = SceneError::at_span("a.toml", &text, 5000..5001, "what", "mend.");
        let lines: Vec<String> = error.quote.lines().map(str::to_owned).collect();
        assert!(lines[0].chars().count() < 110, "{}", lines[0]);
        let marked = lines[0].chars().nth(lines[1].chars().count() - 1);
        assert_eq!((error.at, marked), (Some((1, 5001)), Some('!')));
    }
}
