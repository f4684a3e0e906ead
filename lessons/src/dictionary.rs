//! The words of the page in another language: a file `words/<sign>.toml` of lines `"English" = "other words"`.
//!
//! `#` stands for a number, so that one line serves `3 counts` and `-12.5 counts`; `{}` for words that are looked up by
//! themselves. A text that has no line of its own is taken apart at the ends of its sentences and clauses.

use crate::error::SceneError;
use crate::source::Source;
use crate::tree::{Kind, Row};
use std::collections::HashMap;

/// Words that are looked up by themselves.
const SLOT: &str = "{}";
/// Where a text may be taken apart.
const JOINTS: [&str; 6] = [". ", "; ", ": ", " \u{b7} ", ", ", " \u{2013} "];
/// Spaces that hold a number and its unit together.
const TIES: [char; 3] = ['\u{a0}', '\u{202f}', '\u{2009}'];

/// Words of one language.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Dictionary {
    words: HashMap<String, String>,
    /// Lines with a slot: before it, behind it, and the other words.
    slots: Vec<(String, String, String)>,
}

/// A text with its numbers taken out.
struct Bare {
    text: String,
    numbers: Vec<String>,
}

impl Bare {
    fn of(text: &str) -> Self {
        let mut bare = Self { text: String::with_capacity(text.len()), numbers: Vec::new() };
        let all: Vec<char> = text.chars().collect();
        let digit = |i: usize| all.get(i).is_some_and(char::is_ascii_digit);
        let mut i = 0;
        while i < all.len() {
            let signed =
                matches!(all[i], '-' | '+' | '\u{2212}') && digit(i + 1) && (i == 0 || !all[i - 1].is_alphanumeric());
            if !signed && !digit(i) {
                bare.text.push(all[i]);
                i += 1;
                continue;
            }
            let start = i;
            i += usize::from(signed);
            // Thousands are set apart by a thin space: `1 520.89 mm` is one number.
            while digit(i) || (matches!(all.get(i), Some('.' | ',' | '\u{2009}')) && digit(i + 1)) {
                i += 1;
            }
            bare.text.push('#');
            // The tie behind a number goes with it; the file is written with plain spaces.
            if all.get(i).is_some_and(|c| TIES.contains(c)) {
                bare.text.push(' ');
                i += 1;
            }
            bare.numbers.push(all[start..i].iter().collect());
        }
        bare
    }

    /// Other words with these numbers, in the order in which they stood.
    fn fill(&self, words: &str) -> String {
        let (mut out, mut numbers) = (String::with_capacity(words.len() + 16), self.numbers.iter());
        let mut letters = words.chars().peekable();
        while let Some(letter) = letters.next() {
            match (letter, numbers.as_slice().first()) {
                ('#', Some(number)) => {
                    out.push_str(number);
                    if number.ends_with(TIES) {
                        letters.next_if_eq(&' ');
                    }
                    numbers.next();
                }
                _ => out.push(letter),
            }
        }
        out
    }
}

impl Dictionary {
    /// Reads a file of words; `file` is its name for messages.
    ///
    /// # Errors
    /// The first line that is wrong, with file, line and remedy.
    pub fn read(file: &str, text: &str) -> Result<Self, SceneError> {
        let source = Source { file, text };
        let tree = source.tree(text)?;
        let mut read = Self::default();
        for Row { name, at, tree: value } in tree.rows() {
            let at = at.clone().unwrap_or(0..0);
            let refuse = |what: String, mend| Err(source.fault(at.clone(), what, mend));
            let Kind::Text(words) = &value.kind else {
                return refuse(
                    format!("\"{name}\" has no text in quotes behind its ="),
                    "write = \"the other words\".",
                );
            };
            if name.trim() != name || name.is_empty() {
                return refuse(
                    "the English begins or ends with a blank, or is empty".to_owned(),
                    "take the blank away.",
                );
            }
            if name.contains(|c: char| c.is_ascii_digit()) {
                let what = format!("a number stands in \"{name}\"; texts are looked up without theirs");
                return refuse(what, "write # in its place, here and in the other words.");
            }
            if words.trim().is_empty() {
                return refuse(format!("there are no words for \"{name}\""), "write them, or take the line out.");
            }
            for mark in ["#", SLOT] {
                let (ours, theirs) = (name.matches(mark).count(), words.matches(mark).count());
                if ours != theirs {
                    let what = format!("\"{mark}\" stands {ours} times in the English and {theirs} times behind it");
                    return refuse(what, "write each as often as the English has it.");
                }
            }
            match name.split_once(SLOT) {
                Some((before, behind)) if !behind.contains(SLOT) => {
                    read.slots.push((before.to_owned(), behind.to_owned(), words.clone()));
                }
                Some(_) => return refuse("{} stands twice".to_owned(), "one is allowed; write the other words out."),
                None => {
                    read.words.insert(name.clone(), words.clone());
                }
            }
        }
        Ok(read)
    }

    /// How many texts have words.
    pub fn len(&self) -> usize {
        self.words.len() + self.slots.len()
    }

    /// Whether no text has.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// The other words for a text; nothing where no line fits.
    pub fn say(&self, text: &str) -> Option<String> {
        let inner = text.trim();
        // The sign of a number in a text that has numbers could not be told from them.
        let ambiguous = inner.contains('#') && inner.contains(|c: char| c.is_ascii_digit());
        if inner.is_empty() || ambiguous {
            return None;
        }
        let lead = &text[..text.len() - text.trim_start().len()];
        let trail = &text[text.trim_end().len()..];
        let bare = Bare::of(inner);
        let words = self.look_up(&bare.text)?;
        Some(format!("{lead}{}{trail}", bare.fill(&words)))
    }

    fn look_up(&self, bare: &str) -> Option<String> {
        if let Some(words) = self.words.get(bare) {
            return Some(words.clone());
        }
        for (before, behind, words) in &self.slots {
            let slot = bare.strip_prefix(before.as_str()).and_then(|rest| rest.strip_suffix(behind.as_str()));
            if let Some(slot) = slot.filter(|slot| !slot.is_empty()) {
                let said = self.look_up(slot).unwrap_or_else(|| slot.to_owned());
                return Some(words.replacen(SLOT, &said, 1));
            }
        }
        if let Some(words) = bare.strip_suffix('.').and_then(|sentence| self.look_up(sentence)) {
            return Some(format!("{words}."));
        }
        JOINTS.iter().find_map(|joint| {
            let (first, rest) = bare.split_once(joint)?;
            // The end of a sentence may belong to the line.
            let stop = joint.trim_end();
            let whole = self.words.get(&format!("{first}{stop}")).map(|words| format!("{words} "));
            let first = match whole {
                Some(words) => words,
                None => format!("{}{joint}", self.part(first)?),
            };
            Some(first + &self.part(rest)?)
        })
    }

    /// A part of a text: other words, or itself where it has no words to speak of.
    fn part(&self, bare: &str) -> Option<String> {
        if !has_words(bare) {
            return Some(bare.to_owned());
        }
        self.look_up(bare)
    }
}

/// Whether a text has words: two letters side by side. Signs and units are alike in all languages.
pub fn has_words(text: &str) -> bool {
    text.as_bytes().windows(2).any(|pair| pair.iter().all(u8::is_ascii_alphabetic))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn of(text: &str) -> Dictionary {
        Dictionary::read("es.toml", text).unwrap()
    }

    #[test]
    fn numbers_slots_and_clauses_are_put_together_again() {
        let d = of(concat!(
            "\"# counts\" = \"# cuentas\"\n\"Open {}\" = \"Abrir {}\"\n\"the scale\" = \"la regla\"\n",
            "\"Alarm\" = \"Alarma\"\n\"table at # mm\" = \"mesa en # mm\"\n\"It stands.\" = \"Est\u{e1} parada.\"\n",
        ));
        let said = |text: &str| d.say(text);
        assert_eq!(said("-12.5 counts").as_deref(), Some("-12.5 cuentas"));
        assert_eq!(said(" 3\u{a0}counts ").as_deref(), Some(" 3\u{a0}cuentas "));
        assert_eq!(said("Open the scale").as_deref(), Some("Abrir la regla"));
        assert_eq!(said("Open my bench").as_deref(), Some("Abrir my bench"));
        assert_eq!(said("Alarm: table at 20 mm, 3 counts").as_deref(), Some("Alarma: mesa en 20 mm, 3 cuentas"));
        let thousands = said("table at 1\u{2009}525.5 mm");
        assert_eq!(thousands.as_deref(), Some("mesa en 1\u{2009}525.5 mm"));
        assert_eq!(said("It stands. 4 counts.").as_deref(), Some("Est\u{e1} parada. 4 cuentas."));
        assert_eq!(said("Alarm: something new"), None);
        assert_eq!(said("x4"), None);
        assert_eq!(said("#5 counts"), None);
    }

    #[test]
    fn mistakes_in_a_file_of_words_are_told_with_their_line() {
        let cases = [
            "\"A\" = 1",
            "\" A\" = \"B\"",
            "\"A\" = \" \"",
            "\"# of # V\" = \"# V\"",
            "\"Open {}\" = \"Abrir\"",
            "\"{} and {}\" = \"{} y {}\"",
            "\"A\" = \"B\"\n\"A\" = \"C\"",
            "\"A\" \"B\"",
            "\"5 V\" = \"5 V\"",
        ];
        let told: Vec<String> =
            cases.iter().map(|text| Dictionary::read("es.toml", text).unwrap_err().to_string()).collect();
        insta::assert_snapshot!(told.join("\n---\n"));
    }

    #[test]
    fn the_shipped_words_can_be_read() {
        for (sign, text) in crate::library::words() {
            let d = Dictionary::read(&format!("{sign}.toml"), text).unwrap_or_else(|why| panic!("{why}"));
            assert!(d.words.len() > 300, "{}", d.words.len());
        }
    }

    proptest! {
        /// A dictionary of the same words gives every text again, to the letter.
        #[test]
        fn the_same_words_give_the_same_text(text in "[a-zA-Z0-9 .,:\u{a0}\u{2009}\u{2212}+-]{1,40}") {
            prop_assume!(!text.trim().is_empty());
            let bare = Bare::of(text.trim());
            prop_assert_eq!(bare.fill(&bare.text), text.trim());
            let words = HashMap::from([(bare.text.clone(), bare.text.clone())]);
            let d = Dictionary { words, slots: Vec::new() };
            prop_assert_eq!(d.say(&text), Some(text));
        }
    }
}
