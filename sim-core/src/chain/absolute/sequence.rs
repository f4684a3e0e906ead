//! Pseudo-random code track: a sequence in which every window of n bits occurs once.
//!
//! A maximal-length shift-register sequence (Golomb, Shift Register Sequences, 1967, from
//! memory): `a[k+n] = a[k] XOR (XOR of a[k+j] for j in T)`. Its period is `2^n - 1`, and every
//! n-bit word but the dark one names one place. Reading a few bits more than n checks the
//! word: they must follow from the others.

use super::CodeReadError;
use crate::limits::{self, FieldError};
use thiserror::Error;

/// Why a sequence was refused.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum SequenceError {
    /// A number is out of range.
    #[error(transparent)]
    Field(#[from] FieldError),
    /// The recurrence repeats before every window has occurred.
    #[error("taps {taps:#b} give a track of {places} places where {wanted} are needed; choose maximal taps")]
    NotMaximal {
        /// Taps as given.
        taps: u32,
        /// Places until it repeats.
        places: u32,
        /// Places of a maximal sequence.
        wanted: u32,
    },
}

/// Taps T by number of bits from 3, as a mask of j; bit 0 is always in it. All proven by brute
/// force in the tests.
const TAPS: [u32; 14] = [
    1 << 1,
    1 << 1,
    1 << 2,
    1 << 1,
    1 << 1,
    1 << 2 | 1 << 3 | 1 << 4,
    1 << 4,
    1 << 3,
    1 << 2,
    1 << 1 | 1 << 4 | 1 << 6,
    1 << 1 | 1 << 3 | 1 << 4,
    1 << 1 | 1 << 3 | 1 << 5,
    1 << 1,
    1 << 2 | 1 << 3 | 1 << 5,
];

/// Mark of a window that names no place.
const NOWHERE: u32 = u32::MAX;

/// A code sequence with its table of windows. Built once; 2^n entries.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CodeSequence {
    bits: u32,
    check_bits: u32,
    track: Vec<bool>,
    place_of: Vec<u32>,
}

impl CodeSequence {
    /// The sequence of `bits` bits (3 to 16), started with zeros and a one, read with
    /// `check_bits` (3 to 16) more.
    ///
    /// Three check bits catch most wrong words; [`CodeSequence::checks_for_every_bit`] says how
    /// many catch every single wrong bit.
    ///
    /// # Errors
    /// When a number is out of range.
    pub fn maximal(bits: u32, check_bits: u32) -> Result<Self, SequenceError> {
        limits::whole_within("bits", bits, 3, 16)?;
        Self::with_taps(bits, TAPS[bits as usize - 3], 1, check_bits)
    }

    /// A sequence by its own recurrence: `taps` is the mask of T, `start` the first `bits` bits,
    /// the first one at the top.
    ///
    /// # Errors
    /// When a number is out of range, or the recurrence does not give the full period.
    pub fn with_taps(bits: u32, taps: u32, start: u32, check_bits: u32) -> Result<Self, SequenceError> {
        limits::whole_within("bits", bits, 3, 16)?;
        limits::whole_within("check_bits", check_bits, 3, 16)?;
        let all = (1_u32 << bits) - 1;
        limits::whole_within("taps", taps, 1, all)?;
        limits::whole_within("start", start, 1, all)?;
        // Bit j of `window` is a[k+j].
        let mut window = start.reverse_bits() >> (32 - bits);
        let (mut track, mut place_of) = (Vec::with_capacity(all as usize), vec![NOWHERE; all as usize + 1]);
        for place in 0..all {
            let word = window.reverse_bits() >> (32 - bits);
            if place_of[word as usize] != NOWHERE {
                return Err(SequenceError::NotMaximal { taps, places: place, wanted: all });
            }
            place_of[word as usize] = place;
            track.push(window & 1 == 1);
            let next = (window & (taps | 1)).count_ones() & 1;
            window = (window >> 1) | (next << (bits - 1));
        }
        Ok(Self { bits, check_bits, track, place_of })
    }

    /// Places in one period, `2^n - 1`.
    #[must_use]
    pub fn places(&self) -> u32 {
        self.track.len() as u32
    }

    /// Bits in a word as read: those that name the place and those that check it.
    #[must_use]
    pub fn word_bits(&self) -> u32 {
        self.bits + self.check_bits
    }

    /// The bit of a cell; the sequence repeats.
    #[inline]
    #[must_use]
    pub fn bit(&self, cell: i64) -> bool {
        self.track[cell.rem_euclid(self.track.len() as i64) as usize]
    }

    /// The word that begins at a cell, its first bit at the top.
    #[must_use]
    pub fn word(&self, cell: i64) -> u32 {
        (0..i64::from(self.word_bits())).fold(0, |word, i| word << 1 | u32::from(self.bit(cell + i)))
    }

    /// The place a word names, from 0.
    ///
    /// # Errors
    /// [`CodeReadError::Dark`] for a word of no place, [`CodeReadError::CheckBits`] when the
    /// check bits do not follow from the others.
    pub fn decode(&self, word: u32) -> Result<u32, CodeReadError> {
        let window = (word >> self.check_bits) & ((1 << self.bits) - 1);
        let place = self.place_of[window as usize];
        if place == NOWHERE {
            return Err(CodeReadError::Dark);
        }
        if self.word(i64::from(place)) != word { Err(CodeReadError::CheckBits) } else { Ok(place) }
    }

    /// Least number of check bits with which every single wrong bit is caught: then each bit
    /// of the word stands in at least one check `w_i XOR ... XOR w_(i+n) = 0`.
    ///
    /// # Errors
    /// When `bits` is out of range (3 to 16).
    pub fn checks_for_every_bit(bits: u32) -> Result<u32, FieldError> {
        limits::whole_within("bits", bits, 3, 16)?;
        let check = u64::from(TAPS[bits as usize - 3] | 1) | 1 << bits;
        let covers = |checks: u32| (0..checks).fold(0_u64, |bits, i| bits | check << i);
        Ok((1..=16).find(|c| covers(*c) == (1_u64 << (bits + c)) - 1).unwrap_or(16))
    }
}

#[cfg(test)]
mod tests {
    use super::{CodeSequence, SequenceError};
    use crate::chain::absolute::CodeReadError;
    use std::collections::BTreeSet;

    // Source: Golomb (1967), from memory; brute force over every window.
    #[test]
    fn signal_v45_every_window_occurs_once() {
        let four = CodeSequence::maximal(4, 3).expect("in range");
        let text: String = (0..15).map(|i| if four.bit(i) { '1' } else { '0' }).collect();
        assert_eq!(text, "000100110101111");
        for n in 3..=16 {
            let s = CodeSequence::maximal(n, 3).expect("in range");
            assert_eq!(s.places(), (1 << n) - 1);
            let windows: BTreeSet<u32> = (0..i64::from(s.places())).map(|k| s.word(k) >> 3).collect();
            assert_eq!(windows.len() as u32, s.places(), "n {n}");
            let ones = (0..i64::from(s.places())).filter(|k| s.bit(*k)).count();
            assert_eq!(ones, 1 << (n - 1));
        }
    }

    /// The track of the axis specification: s_i = s_(i-3) XOR s_(i-10), ten ones first, 17 bits read.
    fn axis_track() -> CodeSequence {
        CodeSequence::with_taps(10, 1 << 7, 0x3ff, 7).expect("maximal")
    }

    // Source: axis specification, computed there.
    #[test]
    fn axis_v18_code_words() {
        let s = axis_track();
        assert_eq!(format!("{:017b}", s.word(100)), "10010001100101101");
        assert_eq!(format!("{:017b}", s.word(700)), "01111111011100011");
        assert_eq!((s.decode(s.word(100)), s.decode(s.word(700))), (Ok(100), Ok(700)));
    }

    // Source: recurrence checks on code tracks (published method, seen in abstract); brute force.
    #[test]
    fn axis_v19_every_single_wrong_bit_is_caught() {
        let s = axis_track();
        let windows: BTreeSet<u32> = (0..1023).map(|k| s.word(k) >> 7).collect();
        assert_eq!(windows.len(), 1023);
        let (mut passed, mut pairs) = (0, 0);
        for k in 0..1023 {
            let word = s.word(k);
            for i in 0..17 {
                assert!(s.decode(word ^ 1 << i).is_err(), "place {k} bit {i}");
                for j in 0..i {
                    pairs += 1;
                    passed += u32::from(s.decode(word ^ 1 << i ^ 1 << j).is_ok());
                }
            }
        }
        // Of double errors 4.4 % pass, by the same source.
        let share = f64::from(passed) / f64::from(pairs);
        assert!((share - 0.044).abs() < 0.001, "{share}");
    }

    // Brute force: the rule for the number of check bits is right, and one bit less is too few.
    #[test]
    fn enough_check_bits_catch_every_single_wrong_bit() {
        for n in 3..=12 {
            let enough = CodeSequence::checks_for_every_bit(n).expect("in range");
            let misses = |checks: u32| {
                let s = CodeSequence::maximal(n, checks).expect("in range");
                let flips = |k: i64| (0..n + checks).filter(|i| s.decode(s.word(k) ^ 1 << i).is_ok()).count();
                (0..i64::from(s.places())).map(flips).sum::<usize>()
            };
            assert_eq!(misses(enough.max(3)), 0, "n {n}: {enough} checks");
            if enough > 3 {
                assert!(misses(enough - 1) > 0, "n {n}: {enough} checks");
            }
        }
        // Three check bits on eleven let six of the fourteen bits be wrong unseen.
        let s = CodeSequence::maximal(11, 3).expect("in range");
        let unseen = (0..14).filter(|i| s.decode(s.word(500) ^ 1 << i).is_ok()).count();
        assert_eq!((unseen, CodeSequence::checks_for_every_bit(11)), (6, Ok(9)));
    }

    #[test]
    fn a_dark_track_names_no_place() {
        let s = axis_track();
        assert_eq!(s.decode(0), Err(CodeReadError::Dark));
        assert!(s.decode(u32::MAX).is_err());
    }

    #[test]
    fn sequences_that_repeat_early_are_refused_by_name() {
        let refused = |bits, taps, start, checks| CodeSequence::with_taps(bits, taps, start, checks).unwrap_err();
        assert!(refused(4, 1 << 1, 0, 3).to_string().starts_with("start: 0 is outside"));
        assert!(refused(17, 2, 1, 3).to_string().starts_with("bits: 17"));
        assert!(refused(4, 2, 1, 2).to_string().starts_with("check_bits: 2"));
        assert_eq!(refused(4, 1 << 2, 1, 3), SequenceError::NotMaximal { taps: 4, places: 6, wanted: 15 });
    }
}
