//! Standard normal deviates from a table of quantiles.
//!
//! The first bit of a random word is the sign; the rest is the chance p of a larger deviate. Every halving of p (an
//! octave, found by counting leading zeros) has the same number of cells, so that the curve is followed equally well
//! far out. Within a cell the quantile runs straight: wrong by at most 5e-5 standard deviations (the tests measure it).
//! Chances below 2^-17, one draw in 65 536, are not tabulated: there [`normal_from_uniform`] answers, so the tails
//! reach as far as they do in it. It costs about half of it, because nothing is divided and nothing branches.

use super::math::normal_from_uniform;
use std::sync::LazyLock;

/// Octaves in the table.
const OCTAVES: u32 = 16;
/// Bits of the word that choose the cell in an octave.
const CELL_BITS: u32 = 6;
const CELLS: u32 = 1 << CELL_BITS;
const ENTRIES: usize = (OCTAVES * CELLS + 1) as usize;
/// 2^-53 and 2^-65.
const PER_PART: f64 = 1.0 / 9_007_199_254_740_992.0;
const PER_CHANCE: f64 = PER_PART / 4096.0;

/// Quantiles at the borders of the cells, from the smallest chance up to one half.
static TABLE: LazyLock<[f64; ENTRIES]> = LazyLock::new(|| {
    let mut table = [0.0; ENTRIES];
    for octave in 0..OCTAVES {
        // The lowest octave begins at 2^-(OCTAVES + 1), the highest at 2^-2.
        let low = libm::scalbn(1.0, octave as i32 - OCTAVES as i32 - 1);
        for cell in 0..CELLS {
            let chance = low * (1.0 + f64::from(cell) / f64::from(CELLS));
            table[(octave * CELLS + cell) as usize] = -normal_from_uniform(chance);
        }
    }
    table
});

/// The standard normal deviate that belongs to a random word.
#[inline]
#[must_use]
pub fn normal_of_word(word: u64) -> f64 {
    let (sign, chance) = (word & (1 << 63), word << 1);
    let halvings = chance.leading_zeros();
    let size = if halvings < OCTAVES {
        // What follows the leading one: first the cell, then the place in it.
        let rest = (chance << halvings) << 1;
        let cell = (OCTAVES - 1 - halvings) * CELLS + (rest >> (64 - CELL_BITS)) as u32;
        let part = ((rest << CELL_BITS) >> 11) as i64 as f64 * PER_PART;
        let (low, high) = (TABLE[cell as usize], TABLE[cell as usize + 1]);
        low + part * (high - low)
    } else {
        -normal_from_uniform((chance as f64 + 1.0) * PER_CHANCE)
    };
    f64::from_bits(size.to_bits() | sign)
}

#[cfg(test)]
mod tests {
    use super::{OCTAVES, PER_CHANCE, normal_of_word};
    use crate::num::math::normal_from_uniform;
    use crate::num::random::word_at;

    // Source: the quantile function itself, algorithm AS 241 (its own tests compare it with tables).
    #[test]
    fn the_table_follows_the_quantile_function() {
        let mut most: f64 = 0.0;
        for i in 0..400_000 {
            // Every octave gets its share, also those that a run hardly ever meets.
            let word = word_at(3, i) >> (1 + i as u32 % (OCTAVES + 4));
            let exact = -normal_from_uniform(((word << 1) as f64 + 1.0) * PER_CHANCE);
            most = most.max((normal_of_word(word) - exact).abs());
            assert_eq!(normal_of_word(word | 1 << 63), -normal_of_word(word));
        }
        assert!(most < 5e-5, "off by {most:e}");
    }

    #[test]
    fn the_ends_of_the_words_are_finite_and_the_middle_is_zero() {
        let (least, most) = (normal_of_word(u64::MAX >> 1), normal_of_word(0));
        assert!((0.0..1e-9).contains(&least), "{least}");
        // Quantile of 2^-65 (from memory: about 9.3).
        assert!((9.0..9.5).contains(&most), "{most}");
        // One halving of the chance further the deviate only grows.
        let ladder: Vec<f64> = (0..63).map(|k| normal_of_word((u64::MAX >> 1) >> k)).collect();
        assert!(ladder.windows(2).all(|w| w[0] < w[1]), "{ladder:?}");
    }
}
