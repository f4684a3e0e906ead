//! Text packed so that it cannot be read at a glance.
//!
//! ```text
//! text -> deflate -> CRC-32 before it -> exclusive or with a stream that the check sum begins -> base64url
//! ```
//!
//! **A courtesy and no secret**: everything that is needed to read it stands in this file and in the letters. It keeps
//! a learner who looks at an address or into a file of the site from reading the answer by accident.

use crate::share::ShareError;
use crate::share::packed::{SUM, bytes_of, letters_of, pressed, text_of};
use sim_core::num::random::word_at;

/// Bytes of a word of the stream.
const WORD: usize = 8;

/// Packs a text: letters that every address may hold.
#[must_use]
pub fn veil(text: &str) -> String {
    let mut bytes = pressed(text);
    cover(&mut bytes);
    letters_of(&bytes)
}

/// The text of such letters. A changed letter changes the check sum or what it is the sum of, and is found.
///
/// # Errors
/// [`ShareError::Letter`], [`ShareError::CutOff`], [`ShareError::Damaged`] or [`ShareError::TooLarge`].
pub fn unveil(letters: &str) -> Result<String, ShareError> {
    let mut bytes = bytes_of(letters)?;
    cover(&mut bytes);
    text_of(&bytes)
}

/// Covers what stands behind the check sum, and uncovers it again.
fn cover(bytes: &mut [u8]) {
    let Some((sum, covered)) = bytes.split_at_mut_checked(SUM) else { return };
    let key = sum.iter().fold(0_u64, |key, byte| key << 8 | u64::from(*byte));
    for (i, part) in covered.chunks_mut(WORD).enumerate() {
        let stream = word_at(key, i as u64).to_le_bytes();
        part.iter_mut().zip(stream).for_each(|(byte, other)| *byte ^= other);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// What may be seen of letters: themselves, and what a decoder of base64 makes of them, in small letters.
    fn seen(letters: &str) -> String {
        let decoded = bytes_of(letters).unwrap();
        format!("{letters} {}", String::from_utf8_lossy(&decoded)).to_lowercase()
    }

    #[test]
    fn no_shipped_case_tells_its_cause_when_it_is_looked_at() {
        for (id, text) in crate::cases() {
            let letters = veil(text);
            assert_eq!(unveil(&letters).as_deref(), Ok(text), "{id}");
            let seen = seen(&letters);
            let case = crate::callout::read(id, text).unwrap();
            for hidden in &case.hidden {
                let row = hidden.fault.row();
                let words = row.title.split_whitespace().chain([row.name]).filter(|word| word.len() > 4);
                for word in words {
                    assert!(!seen.contains(&word.to_lowercase()), "{id}: {word}");
                }
            }
            assert!(!seen.contains("hidden") && !seen.contains("remedy"), "{id}");
        }
    }

    #[test]
    fn letters_that_are_missing_or_foreign_are_told() {
        let letters = veil("a text of some length, so that there is something to cut");
        assert_eq!(unveil(""), Err(ShareError::CutOff));
        assert_eq!(unveil("ab c"), Err(ShareError::Letter { letter: ' ', place: 3 }));
        assert!(unveil(&letters[..letters.len() - 4]).is_err());
        assert_eq!(unveil(&veil(&"a".repeat(1 << 20))), Err(ShareError::TooLarge));
    }

    proptest! {
        #[test]
        fn any_text_comes_back(text in "\\PC{0,300}") {
            prop_assert_eq!(unveil(&veil(&text)), Ok(text));
        }

        #[test]
        fn a_changed_letter_is_found(
            text in "[ -~]{0,80}", at in any::<prop::sample::Index>(), by in prop::sample::select("AZaz09-_".as_bytes())
        ) {
            let letters = veil(&text);
            let mut other = letters.clone().into_bytes();
            let at = at.index(other.len());
            other[at] = by;
            let other = String::from_utf8(other).unwrap();
            // The last byte may hold bits that belong to nothing.
            prop_assert!(unveil(&other).map_or(true, |read| read == text), "{} and {}", letters, other);
        }

        #[test]
        fn no_letters_make_the_reader_fall_over(letters in "[A-Za-z0-9_-]{0,120}") {
            let _ = unveil(&letters);
        }
    }
}
