//! The language of the page. The page is written in English; where another language is chosen, one watcher gives its
//! words to each text as it appears. Texts that have languages of their own (lessons) or none (names that somebody
//! typed) stand in elements marked `translate="no"` and are left alone.
//!
//! ```text
//!  component ──English──> document ──> watch ──> say ──> Dictionary (lessons/words/es.toml)
//!  drawing   ──English──> painter  ────────────> say
//! ```
//!
//! The components are compared with what they said before, not with the document, so they never see the other words.

mod watch;

use lessons::dictionary::{Dictionary, has_words};
use std::borrow::Cow;
use std::cell::RefCell;
use std::collections::{BTreeSet, HashMap};
use watch::Watch;

/// Most texts whose other words are remembered: numbers that run make new texts all the time.
const MOST: usize = 4000;

/// What is spoken now.
#[derive(Default)]
struct Spoken {
    dictionary: Option<Dictionary>,
    said: HashMap<String, Option<String>>,
    missed: BTreeSet<String>,
    watch: Option<Watch>,
}

thread_local! {
    static SPOKEN: RefCell<Spoken> = RefCell::default();
}

/// Chooses the language of the page by its sign. Without words for it the page speaks English.
pub fn choose(sign: &str) {
    let words = lessons::words().find(|(of, _)| *of == sign);
    // A test holds that the shipped words can be read.
    let dictionary = words.and_then(|(of, text)| Dictionary::read(of, text).ok());
    let spoken = if dictionary.is_some() { sign } else { "en" };
    let before =
        SPOKEN.with(|slot| std::mem::replace(&mut *slot.borrow_mut(), Spoken { dictionary, ..Spoken::default() }));
    if let Some(watch) = before.watch {
        watch.end();
    }
    if spoken != "en" {
        let watch = Watch::begin();
        SPOKEN.with(|slot| slot.borrow_mut().watch = watch);
    }
    watch::tell(spoken);
}

/// A text in the language of the page; English where there are no words for it.
pub fn say(text: &str) -> Cow<'_, str> {
    match other(text) {
        Some(words) => Cow::Owned(words),
        None => Cow::Borrowed(text),
    }
}

/// The other words for an English text.
fn other(text: &str) -> Option<String> {
    SPOKEN.with(|slot| {
        let mut slot = slot.borrow_mut();
        let Spoken { dictionary: Some(dictionary), said, missed, .. } = &mut *slot else { return None };
        if !has_words(text) {
            return None;
        }
        if let Some(words) = said.get(text) {
            return words.clone();
        }
        if said.len() >= MOST {
            said.clear();
        }
        let words = dictionary.say(text);
        if words.is_none() && missed.len() < MOST {
            missed.insert(text.trim().to_owned());
        }
        said.insert(text.to_owned(), words.clone());
        words
    })
}

/// The texts that had no words since the language was chosen.
pub fn missed() -> Vec<String> {
    SPOKEN.with(|slot| slot.borrow().missed.iter().cloned().collect())
}
