//! Slips of the pen in a scene file: what the parser found, in plain words, and a bracket that was never closed.

use crate::words::Told;

/// The parser's words, what they mean to a writer, and the remedy. The first row that is contained in a message wins.
const TOLD: [(&str, &str, &str); 15] = [
    (
        "max recursion depth",
        "too many brackets inside one another",
        "a scene needs no more than three; remove the rest.",
    ),
    ("recursion limit", "a name has too many dots", "a setting has one, as in head.gap_um."),
    ("must be quoted", "a text must stand in double quotes", "write \" before and after it."),
    ("invalid basic string", "this text is not closed", "write \" where it ends, on the same line."),
    ("invalid literal string", "this text is not closed", "write ' where it ends, on the same line."),
    ("missing opening quote", "this text is not opened", "write \" where it begins."),
    ("key with no value", "this name has no value", "write = and a value behind it."),
    ("missing value", "there is no value here", "write one, such as 10 or \"text\"."),
    ("extra `=`", "there is one = too many", "take it away."),
    ("missing comma", "a comma is missing here", "write , between the parts."),
    ("missing assignment", "a = is missing here", "write = between the name and its value."),
    ("extra comma", "there is one comma too many", "take it away."),
    ("unclosed", "this bracket is not closed", "write the closing bracket."),
    ("number overflowed", "this number is too large", "write a smaller one."),
    ("escape", "a \\ in a text has a meaning of its own", "write \\\\ for one backslash."),
];

/// A message of the parser about form, in plain words.
pub fn plain(message: &str) -> Told {
    let found = TOLD.iter().find(|(theirs, ..)| message.contains(theirs));
    let (what, mend) = found.map_or(
        ("this cannot be read", "look at the marked place: a quote, bracket, comma or = is missing or too many."),
        |(_, what, mend)| (*what, *mend),
    );
    (what.to_owned(), mend.to_owned())
}

/// Where the innermost bracket begins that is still open at the end of the text; brackets in texts and notes do not
/// count.
pub fn open_bracket(text: &str) -> Option<usize> {
    let mut open = Vec::new();
    let mut quote = None;
    let mut characters = text.char_indices().peekable();
    while let Some((place, c)) = characters.next() {
        match (quote, c) {
            (Some('"'), '\\') => {
                characters.next();
            }
            // No scene needs a text of several lines; one that seems to go on was not closed.
            (Some('"' | '\''), '\n') => quote = None,
            (Some(q), _) if q == c => quote = None,
            (Some(_), _) => {}
            (None, '"' | '\'') => quote = Some(c),
            (None, '#') => while characters.next_if(|(_, c)| *c != '\n').is_some() {},
            (None, '{' | '[') => open.push(place),
            (None, '}' | ']') => {
                open.pop();
            }
            _ => {}
        }
    }
    open.pop()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_open_bracket_is_found_past_texts_and_notes() {
        assert_eq!(open_bracket("a = { b = { c = 1 }\n[[step]]\n"), Some(4));
        assert_eq!(open_bracket("a = { b = \"}\" } # {\n[[x]]"), None);
        assert_eq!(open_bracket("a = \"\\\"{\"\nb = '{'\nc = \"{\n"), None);
    }
}
