//! Named random streams.
//!
//! A stream is a key and a counter; number `i` of a stream is a hash of both (the finaliser
//! of SplitMix64, Steele, Lea and Flood 2014). It therefore saves in sixteen bytes, replays
//! from any place, and gives the same bits on every target. Every noise source owns a
//! stream named after it, so a new source never shifts the draws of the others.

use crate::num::normal::normal_of_word;
use rand::TryRng;
use rand::rand_core::utils::fill_bytes_via_next_word;
use serde::{Deserialize, Serialize};
use std::convert::Infallible;

/// Increment of SplitMix64: 2^64 divided by the golden ratio, odd.
const GAMMA: u64 = 0x9E37_79B9_7F4A_7C15;

/// Finaliser of SplitMix64: a bijection of 64 bits in which every input bit moves every output bit.
#[inline]
fn finalise(mut z: u64) -> u64 {
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^ (z >> 31)
}

/// Word number `index` of the stream with this key.
#[inline]
#[must_use]
pub fn word_at(key: u64, index: u64) -> u64 {
    finalise(key.wrapping_add(index.wrapping_add(1).wrapping_mul(GAMMA)))
}

/// Uniform number in the open interval (0, 1), number `index` of the stream with this key.
#[inline]
#[must_use]
pub fn uniform_at(key: u64, index: u64) -> f64 {
    ((word_at(key, index) >> 12) as f64 + 0.5) * (1.0 / 4_503_599_627_370_496.0)
}

/// One noise source's random numbers: a key that never changes and the number of draws so far.
///
/// Implements the generator trait of the `rand` crate, so its sampling methods work on it.
/// In the model avoid sampling `usize` and avoid distributions that call mathematics; use
/// [`Stream::uniform`] and [`Stream::normal`].
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Stream {
    /// Chosen from the seed and the name of the source.
    key: u64,
    /// Draws so far.
    index: u64,
}

impl Stream {
    /// The stream of the noise source `name` in the run with this seed.
    #[must_use]
    pub fn named(seed: u64, name: &str) -> Self {
        // FNV-1a spreads the name, the finaliser decorrelates neighbouring seeds.
        let mut hash = 0xcbf2_9ce4_8422_2325_u64;
        for byte in name.bytes() {
            hash = (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3);
        }
        Self { key: finalise(finalise(seed.wrapping_add(GAMMA)) ^ hash), index: 0 }
    }

    /// Uniform number in the open interval (0, 1).
    #[inline]
    pub fn uniform(&mut self) -> f64 {
        let u = uniform_at(self.key, self.index);
        self.index = self.index.wrapping_add(1);
        u
    }

    /// Standard normal deviate (mean 0, variance 1); one draw.
    #[inline]
    pub fn normal(&mut self) -> f64 {
        let word = word_at(self.key, self.index);
        self.index = self.index.wrapping_add(1);
        normal_of_word(word)
    }

    /// Passes over `draws` numbers at no cost, as if they had been drawn.
    #[inline]
    pub fn skip(&mut self, draws: u64) {
        self.index = self.index.wrapping_add(draws);
    }
}

impl TryRng for Stream {
    type Error = Infallible;

    fn try_next_u32(&mut self) -> Result<u32, Infallible> {
        Ok((self.try_next_u64()? >> 32) as u32)
    }

    fn try_next_u64(&mut self) -> Result<u64, Infallible> {
        let word = word_at(self.key, self.index);
        self.index = self.index.wrapping_add(1);
        Ok(word)
    }

    fn try_fill_bytes(&mut self, dst: &mut [u8]) -> Result<(), Infallible> {
        fill_bytes_via_next_word(dst, || self.try_next_u64())
    }
}

#[cfg(test)]
mod tests {
    use super::{Stream, word_at};
    use rand::{Rng, RngExt};

    // Source: published outputs of SplitMix64 with seed 0 (Steele, Lea and Flood 2014).
    #[test]
    fn signal_v61_words_are_those_of_splitmix() {
        assert_eq!(word_at(0, 0), 0xe220_a839_7b1d_cdaf);
        assert_eq!(word_at(0, 1), 0x6e78_9e6a_a1b9_65f4);
        assert_eq!(word_at(0, 2), 0x06c4_5d18_8009_454f);
    }

    #[test]
    fn streams_differ_by_name_and_by_seed_and_repeat_exactly() {
        let first = |seed, name| Stream::named(seed, name).next_u64();
        assert_eq!(first(1, "noise.a"), first(1, "noise.a"));
        assert_ne!(first(1, "noise.a"), first(1, "noise.b"));
        assert_ne!(first(1, "noise.a"), first(2, "noise.a"));
    }

    #[test]
    fn a_saved_stream_goes_on_where_it_stopped() {
        let mut s = Stream::named(7, "noise.a");
        s.normal();
        s.skip(10);
        let text = serde_json::to_string(&s).expect("a stream is two numbers");
        let mut back: Stream = serde_json::from_str(&text).expect("what was written reads");
        assert_eq!(back, s);
        assert_eq!(back.normal().to_bits(), s.normal().to_bits());
        assert_eq!(back, s);
    }

    // The sampling methods of the rand crate work on a stream. Their documentation promises
    // the half-open range and the probability; three standard errors of 20 000 draws.
    #[test]
    fn rand_methods_draw_from_a_stream() {
        let mut s = Stream::named(3, "bounce");
        let mut heads = 0;
        let mut sum = 0.0;
        for _ in 0..20_000 {
            let x: f64 = s.random_range(2.0..4.0);
            assert!((2.0..4.0).contains(&x));
            sum += x;
            heads += i32::from(s.random_bool(0.25));
        }
        assert!((sum / 20_000.0 - 3.0).abs() < 3.0 * 0.577_35 / 141.42);
        assert!((f64::from(heads) / 20_000.0 - 0.25).abs() < 3.0 * 0.433 / 141.42);
        let mut bytes = [0_u8; 13];
        s.fill_bytes(&mut bytes);
        assert!(bytes.iter().any(|b| *b != 0));
    }

    // Moments of the standard normal distribution (textbook); four standard errors.
    #[test]
    fn normal_deviates_have_normal_moments() {
        let mut s = Stream::named(11, "noise.a");
        let n = 200_000;
        let (mut m1, mut m2, mut m4, mut tail) = (0.0, 0.0, 0.0, 0);
        for _ in 0..n {
            let x = s.normal();
            m1 += x;
            m2 += x * x;
            m4 += x * x * x * x;
            tail += i32::from(x > 3.0);
        }
        let n = f64::from(n);
        let root = n.sqrt();
        assert!((m1 / n).abs() < 4.0 / root);
        assert!((m2 / n - 1.0).abs() < 4.0 * 1.414 / root);
        assert!((m4 / n - 3.0).abs() < 4.0 * 9.8 / root);
        // P(x > 3) = 1.349898e-3, tables of the normal distribution.
        assert!((f64::from(tail) / n - 1.349_898e-3).abs() < 4.0 * 0.0368 / root);
    }
}
