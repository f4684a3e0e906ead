//! The words of a goal, one after the other, with their places.

use crate::lesson::slip::Slip;
use std::ops::Range;

/// Reads words, signs and numbers from the left.
pub struct Tokens<'a> {
    text: &'a str,
    at: usize,
}

impl<'a> Tokens<'a> {
    pub fn new(text: &'a str) -> Self {
        Self { text, at: 0 }
    }

    fn skip(&mut self) {
        let rest = &self.text[self.at..];
        self.at += rest.len() - rest.trim_start().len();
    }

    /// What is left, without the space before it.
    pub fn rest(&mut self) -> &'a str {
        self.skip();
        &self.text[self.at..]
    }

    /// Where the next word begins.
    pub fn at(&mut self) -> usize {
        self.skip();
        self.at
    }

    /// The next word as a place.
    pub fn next_span(&mut self) -> Range<usize> {
        let start = self.at();
        let word = self.rest();
        let end = word.find(char::is_whitespace).unwrap_or(word.len());
        start..start + end
    }

    /// Takes these words if they come next.
    pub fn take(&mut self, words: &str) -> bool {
        let before = self.at;
        for word in words.split(' ') {
            let rest = self.rest();
            let ends = |after: &str| {
                !word.ends_with(char::is_alphanumeric) || !after.starts_with(|c: char| c.is_alphanumeric() || c == '_')
            };
            match rest.strip_prefix(word) {
                Some(after) if ends(after) => self.at += word.len(),
                _ => {
                    self.at = before;
                    return false;
                }
            }
        }
        true
    }

    /// A name: letters, digits, `_` and `-`.
    pub fn name(&mut self) -> &'a str {
        let rest = self.rest();
        let length = rest.find(|c: char| !c.is_alphanumeric() && c != '_' && c != '-').unwrap_or(rest.len());
        self.at += length;
        &rest[..length]
    }

    /// A unit: everything to the next space.
    pub fn unit(&mut self) -> &'a str {
        let span = self.next_span();
        self.at = span.end;
        &self.text[span]
    }

    /// A number.
    pub fn number(&mut self) -> Result<f64, Slip> {
        let start = self.at();
        let rest = self.rest();
        let mut length = usize::from(rest.starts_with('-'));
        let bytes = rest.as_bytes();
        while let Some(byte) = bytes.get(length) {
            // Two points are the sign between the ends of a range.
            let point = *byte == b'.' && bytes.get(length + 1).is_some_and(u8::is_ascii_digit);
            if !byte.is_ascii_digit() && !point {
                break;
            }
            length += 1;
        }
        let number = rest[..length].parse::<f64>().ok().filter(|n| n.is_finite());
        let Some(number) = number else {
            let span = self.next_span();
            let found =
                if span.is_empty() { "the end".to_owned() } else { format!("\"{}\"", &self.text[span.clone()]) };
            return Err(Slip::new(
                span,
                format!("a number is expected here, found {found}"),
                "write a number such as 5 or 0.25.",
            ));
        };
        self.at = start + length;
        Ok(number)
    }
}
