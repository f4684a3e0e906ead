//! How plain the English of a lesson is: words a sentence and syllables a word, put into one number, the school year in
//! which a text of that kind is read with ease (Kincaid, Fishburne, Rogers, Chissom, "Derivation of new readability
//! formulas for Navy enlisted personnel", Research Branch Report 8-75, 1975).

use lessons::lesson::Lesson;
use lessons::lesson::markup::{Block, Span, blocks};

/// What was counted in a text.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Reading {
    /// Sentences; an item of a list is one at least.
    pub sentences: usize,
    /// Words; a number is one.
    pub words: usize,
    /// Syllables; a number has one.
    pub syllables: usize,
    /// Words of the longest sentence.
    pub longest: usize,
}

impl Reading {
    /// Everything that a learner reads of a lesson in English, without its headings and the instructor's notes.
    pub fn of(lesson: &Lesson) -> Self {
        let mut reading = Self::default();
        let english = lesson.texts.get("en").map_or(&[][..], |text| text.blocks());
        for block in english.iter().filter(|block| !block.id.starts_with("notes")) {
            for piece in blocks(&block.body) {
                match piece {
                    Block::Paragraph(spans) => reading.take(&spans),
                    Block::Points(items) | Block::Steps(items) => items.iter().for_each(|spans| reading.take(spans)),
                }
            }
        }
        reading
    }

    /// School year, by Kincaid's formula; 0 for a text without words.
    pub fn grade(&self) -> f64 {
        if self.words == 0 {
            return 0.0;
        }
        let (sentences, words, syllables) = (self.sentences as f64, self.words as f64, self.syllables as f64);
        0.39 * words / sentences + 11.8 * syllables / words - 15.59
    }

    fn take(&mut self, spans: &[Span]) {
        let text: String = spans.iter().map(Span::text).collect();
        let mut open = 0;
        for word in numbered(&text).split_whitespace() {
            if !word.contains(char::is_alphanumeric) {
                continue;
            }
            open += 1;
            self.words += 1;
            self.syllables += word.split('-').map(syllables).sum::<usize>();
            let end = word.trim_end_matches(['"', ')', '\u{201d}', '*']);
            if end.ends_with(['.', '!', '?']) {
                self.close(&mut open);
            }
        }
        self.close(&mut open);
    }

    fn close(&mut self, open: &mut usize) {
        if *open > 0 {
            self.sentences += 1;
            self.longest = self.longest.max(*open);
            *open = 0;
        }
    }
}

/// A text with a number in place of each sum in braces, as the learner sees it.
fn numbered(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut depth = 0;
    for letter in text.chars() {
        match letter {
            '{' => {
                depth += 1;
                out.push('7');
            }
            '}' => depth -= 1,
            _ if depth == 0 => out.push(letter),
            _ => {}
        }
    }
    out
}

/// Syllables of an English word, by its letters: groups of vowels, less the silent ends, more the vowels that are said
/// apart. At least one.
pub fn syllables(word: &str) -> usize {
    let word: Vec<char> = word.to_lowercase().chars().filter(char::is_ascii_alphabetic).collect();
    let vowel = |c: char| "aeiouy".contains(c);
    let groups = (0..word.len()).filter(|&i| vowel(word[i]) && (i == 0 || !vowel(word[i - 1]))).count();
    let ends = |end: &str| word.len() > end.len() && word.ends_with(&end.chars().collect::<Vec<_>>());
    let before = |back: usize| word.len().checked_sub(back).map_or(' ', |i| word[i]);
    let silent = if ends("le") || ends("les") {
        // The e of "table" is said, that of "scale" is not.
        vowel(before(if ends("s") { 4 } else { 3 }))
    } else if ends("e") {
        !vowel(before(2))
    } else if ends("es") {
        !vowel(before(3)) && !"sxzcgh".contains(before(3))
    } else if ends("ed") {
        !vowel(before(3)) && !"td".contains(before(3)) && (before(3) != 'l' || "aeiouylr".contains(before(4)))
    } else {
        false
    };
    let pairs = |one: &str, two: &str| word.windows(2).filter(|p| one.contains(p[0]) && two.contains(p[1])).count();
    let triples = |first: &str, then: &[[char; 2]]| {
        word.windows(3).filter(|t| first.contains(t[0]) && then.contains(&[t[1], t[2]])).count()
    };
    let apart = pairs("i", "aou") + pairs("u", "a") + pairs("e", "o") + usize::from(ends("ism"));
    let together = triples("tscg", &[['i', 'o']]) + triples("tc", &[['i', 'a']]) + triples("qg", &[['u', 'a']]);
    (groups + apart).saturating_sub(usize::from(silent) + together).max(1)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: the words of the lessons as the Carnegie Mellon Pronouncing Dictionary says them.
    #[test]
    fn words_have_the_syllables_of_a_pronouncing_dictionary() {
        let (mut words, mut alike, mut said, mut counted) = (0, 0, 0, 0);
        for line in include_str!("reading_words.tsv").lines().filter(|line| !line.starts_with('#')) {
            let (word, count) = line.split_once('\t').unwrap();
            let count: usize = count.parse().unwrap();
            words += 1;
            alike += usize::from(syllables(word) == count);
            said += count;
            counted += syllables(word);
        }
        assert!(words > 1200, "{words}");
        assert!(alike * 100 > words * 95, "{alike} of {words}");
        assert!(said.abs_diff(counted) * 100 < said, "{counted} for {said}");
    }

    /// Source: the formula by hand, 2 sentences, 10 words, 11 syllables: 0.39 x 5 + 11.8 x 1.1 - 15.59.
    #[test]
    fn a_small_text_is_counted_to_the_word() {
        let mut reading = Reading::default();
        reading.take(&[
            Span::Plain("The counter adds one. Move by {n * p} mm, then".to_owned()),
            Span::Strong(" stop".to_owned()),
        ]);
        assert_eq!(reading, Reading { sentences: 2, words: 10, syllables: 11, longest: 6 });
        assert!((reading.grade() - (0.39 * 5.0 + 11.8 * 1.1 - 15.59)).abs() < 1e-12);
        assert_eq!(Reading::default().grade(), 0.0);
    }

    /// Readers of a trade read English of the eighth school year with ease (common practice in plain language).
    #[test]
    fn every_lesson_is_plain_english() {
        for lesson in lessons::lesson::all().unwrap() {
            let reading = Reading::of(&lesson);
            assert!(reading.words > 500, "{}: {reading:?}", lesson.id);
            assert!(reading.grade() < 8.0, "{} reads at {:.1}: {reading:?}", lesson.id, reading.grade());
            assert!(reading.longest <= 42, "{}: {reading:?}", lesson.id);
        }
    }
}
