//! Why a link was refused, in plain words.

use super::LONGEST_LINK;
use crate::error::SceneError;

/// What to do when letters are missing or wrong.
const COPY_AGAIN: &str = "copy the whole link again, from its first letter to its last, and paste it anew.";

/// Why a link was refused.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{}\n  To mend it: {}", self.what(), self.mend())]
pub enum ShareError {
    /// Not a link of ours at all.
    NotALink,
    /// Made by a newer program.
    Newer {
        /// Its version.
        found: u32,
    },
    /// A letter that no link holds.
    Letter {
        /// The letter.
        letter: char,
        /// Its place in the text behind the version, from 1.
        place: usize,
    },
    /// Letters are missing at its end, or there is nothing in it.
    CutOff,
    /// Letters were changed, lost or doubled.
    Damaged,
    /// Longer than any link of ours.
    TooLong {
        /// Its letters.
        letters: usize,
    },
    /// What it holds would be larger than any scene in a link.
    TooLarge,
    /// What it holds is whole and yet no scene.
    Scene(#[from] SceneError),
}

impl ShareError {
    /// What is wrong.
    pub fn what(&self) -> String {
        match self {
            Self::NotALink => "this is not a link to a bench".to_owned(),
            Self::Newer { found } => format!("this link has version {found}; this program reads version 1"),
            Self::Letter { letter, place } => {
                format!("this link is damaged: {letter:?} at place {place} is in no link to a bench")
            }
            Self::CutOff => "this link is cut off: its end is missing".to_owned(),
            Self::Damaged => "this link is damaged: letters in it were changed, lost or doubled".to_owned(),
            Self::TooLong { letters } => {
                format!("this link is too long: {letters} letters, where {LONGEST_LINK} are allowed")
            }
            Self::TooLarge => "this link holds more than a bench".to_owned(),
            Self::Scene(error) => format!("this link holds a bench that cannot be: {}", error.what),
        }
    }

    /// How to mend it.
    pub fn mend(&self) -> &str {
        match self {
            Self::NotALink => "copy the whole link again; it has #bench=1. in it.",
            Self::Newer { .. } => "open it with a newer Countlight.",
            Self::Letter { .. } | Self::CutOff | Self::Damaged => COPY_AGAIN,
            Self::TooLong { .. } => "ask for the bench as a file instead.",
            Self::TooLarge => "ask whoever made it for the bench as a file.",
            Self::Scene(_) => "ask whoever made it for a new link, or for the bench as a file.",
        }
    }
}
