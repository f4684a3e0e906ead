//! The word on the line: 6 bytes, place, turns, two flags, CRC-8.
//!
//! Most significant bit first: place 26 bits, turns 12 bits, error, warning, then CRC-8
//! (`x^8 + x^2 + x + 1`, start 0) over the five bytes before it. The layout is our own; the
//! CRC is a public standard one.

use crate::num::random::Stream;
use serde::{Deserialize, Serialize};
use thiserror::Error;

/// Bytes in a frame.
pub const FRAME_BYTES: usize = 6;
/// Largest place a frame carries.
const PLACE_MAX: u32 = (1 << 26) - 1;
/// Largest number of turns a frame carries.
const TURNS_MAX: u16 = (1 << 12) - 1;

/// What the head tells.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Frame {
    /// Place within the turn or along the scale, steps, 26 bits; what is above is cut off.
    pub place: u32,
    /// Turns, 12 bits; what is above is cut off.
    pub turns: u16,
    /// The place is not to be used.
    pub error: bool,
    /// The place is good, but something wants attention (light, battery).
    pub warning: bool,
}

/// Why a frame was refused.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum FrameError {
    /// The check byte does not fit the rest: bits were turned on the line.
    #[error("CRC is {found:#04x}, the data gives {expected:#04x}; check the cable, its screen and its ends")]
    Crc {
        /// As received.
        found: u8,
        /// As computed.
        expected: u8,
    },
}

/// CRC-8 with polynomial `x^8 + x^2 + x + 1` (0x07), start 0, nothing reflected.
#[must_use]
pub fn crc8(bytes: &[u8]) -> u8 {
    bytes.iter().fold(0, |crc: u8, byte| {
        (0..8).fold(crc ^ byte, |crc: u8, _| if crc & 0x80 == 0 { crc << 1 } else { (crc << 1) ^ 0x07 })
    })
}

impl Frame {
    /// The bytes on the line.
    #[must_use]
    pub fn encode(&self) -> [u8; FRAME_BYTES] {
        let place = u64::from(self.place & PLACE_MAX) << 14;
        let turns = u64::from(self.turns & TURNS_MAX) << 2;
        let data = place | turns | u64::from(self.error) << 1 | u64::from(self.warning);
        let [_, _, _, a, b, c, d, e] = data.to_be_bytes();
        [a, b, c, d, e, crc8(&[a, b, c, d, e])]
    }

    /// What the bytes on the line say.
    ///
    /// # Errors
    /// When the check byte does not fit.
    pub fn decode(bytes: &[u8; FRAME_BYTES]) -> Result<Self, FrameError> {
        let [a, b, c, d, e, found] = *bytes;
        let expected = crc8(&[a, b, c, d, e]);
        if found != expected {
            return Err(FrameError::Crc { found, expected });
        }
        let data = u64::from_be_bytes([0, 0, 0, a, b, c, d, e]);
        Ok(Self {
            place: (data >> 14) as u32 & PLACE_MAX,
            turns: (data >> 2) as u16 & TURNS_MAX,
            error: data & 2 != 0,
            warning: data & 1 != 0,
        })
    }
}

/// Turns bits on the line at a bit error rate, 0 to 1. Draws the same numbers whatever the rate.
pub fn disturb(bytes: &mut [u8; FRAME_BYTES], bit_error_rate: f64, stream: &mut Stream) {
    if bit_error_rate <= 0.0 {
        stream.skip(8 * FRAME_BYTES as u64);
        return;
    }
    for byte in bytes {
        for bit in 0..8 {
            if stream.uniform() < bit_error_rate {
                *byte ^= 1 << bit;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{FRAME_BYTES, Frame, FrameError, crc8, disturb};
    use crate::num::random::Stream;
    use proptest::prelude::{any, prop_assert_eq, proptest};

    // Source: published catalogue value of this CRC for its test word (from memory); the bytes
    // of the frame computed in the axis specification.
    #[test]
    fn axis_v20_crc_and_frame_bytes() {
        assert_eq!(crc8(b"123456789"), 0xf4);
        let frame = Frame { place: 0x012_3456, turns: 0x2a5, error: false, warning: true };
        // The CRC equals the catalogue's by chance.
        assert_eq!(frame.encode(), [0x04, 0x8d, 0x15, 0x8a, 0x95, 0xf4]);
        assert_eq!(Frame::decode(&frame.encode()), Ok(frame));
    }

    // Source: a CRC whose polynomial has more than one term catches every single wrong bit, and
    // this one, a multiple of x + 1, every odd number of them.
    #[test]
    fn every_single_wrong_bit_of_a_frame_is_caught() {
        let good = Frame { place: 0x012_3456, turns: 0x2a5, error: false, warning: true }.encode();
        for i in 0..8 * FRAME_BYTES {
            let mut bytes = good;
            bytes[i / 8] ^= 1 << (i % 8);
            let error = Frame::decode(&bytes).unwrap_err();
            assert!(matches!(error, FrameError::Crc { .. }));
        }
        assert!(Frame::decode(&[0, 0, 0, 0, 0, 1]).unwrap_err().to_string().starts_with("CRC is 0x01"));
    }

    #[test]
    fn a_quiet_line_draws_as_much_as_a_noisy_one() {
        let (mut quiet, mut noisy) = (Stream::named(1, "code"), Stream::named(1, "code"));
        let mut bytes = Frame::default().encode();
        let before = bytes;
        disturb(&mut bytes, 0.0, &mut quiet);
        assert_eq!(bytes, before);
        disturb(&mut bytes, 1.0, &mut noisy);
        assert_eq!(bytes, before.map(|b| !b));
        assert_eq!(quiet, noisy);
    }

    // Binomial: 48 bits at 1e-2, mean 0.48 a frame; four standard errors of 20 000 frames.
    #[test]
    fn bits_turn_at_the_stated_rate() {
        let mut stream = Stream::named(5, "code");
        let mut turned = 0;
        for _ in 0..20_000 {
            let mut bytes = [0; FRAME_BYTES];
            disturb(&mut bytes, 1e-2, &mut stream);
            turned += bytes.iter().map(|b| b.count_ones()).sum::<u32>();
        }
        let n = 48.0 * 20_000.0_f64;
        assert!((f64::from(turned) / n - 1e-2).abs() < 4.0 * (1e-2 * 0.99 / n).sqrt());
    }

    proptest! {
        #[test]
        fn frames_come_back_as_sent(place in 0_u32..1 << 26, turns in 0_u16..1 << 12, error in any::<bool>(), warning in any::<bool>()) {
            let frame = Frame { place, turns, error, warning };
            prop_assert_eq!(Frame::decode(&frame.encode()), Ok(frame));
        }
    }
}
