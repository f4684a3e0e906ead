//! Gray code: neighbouring numbers differ in one bit (Gray, US 2632058, 1953).

/// The Gray code of a number: `g = b XOR (b >> 1)`.
#[inline]
#[must_use]
pub const fn encode(binary: u32) -> u32 {
    binary ^ (binary >> 1)
}

/// The number of a Gray code: each bit is the sum modulo 2 of all bits from the top to it.
#[inline]
#[must_use]
pub const fn decode(gray: u32) -> u32 {
    let mut b = gray;
    b ^= b >> 1;
    b ^= b >> 2;
    b ^= b >> 4;
    b ^= b >> 8;
    b ^= b >> 16;
    b
}

#[cfg(test)]
mod tests {
    use super::{decode, encode};
    use proptest::prelude::{any, prop_assert_eq, proptest};

    // Source: Gray, US 2632058 (1953), from memory; brute force.
    #[test]
    fn signal_v44_gray_code_changes_one_bit_a_step() {
        assert_eq!(encode(5), 7);
        assert_eq!(encode(777), 653);
        for b in 0..1024_u32 {
            let change = encode(b) ^ encode((b + 1) % 1024);
            assert_eq!(change.count_ones(), 1, "from {b}");
            assert_eq!(decode(encode(b)), b);
        }
    }

    // Source: axis specification; b_top = g_top, b_i = b_(i+1) XOR g_i.
    #[test]
    fn axis_v17_gray_word_of_ten_bits() {
        assert_eq!(decode(0b10_1101_0110), 868);
        let mut binary = 0;
        for i in (0..10).rev() {
            binary |= (((binary >> (i + 1)) ^ (0b10_1101_0110_u32 >> i)) & 1) << i;
        }
        assert_eq!(binary, 868);
    }

    proptest! {
        #[test]
        fn decoding_undoes_encoding(b in any::<u32>()) {
            prop_assert_eq!(decode(encode(b)), b);
            prop_assert_eq!(encode(decode(b)), b);
            prop_assert_eq!((encode(b) ^ encode(b.wrapping_add(1))).count_ones(), 1);
        }
    }
}
