//! The check sum of links and of the codes that a class hands in.

use crc::{CRC_32_ISO_HDLC, Crc, NoTable};

/// Worked out bit by bit: the quick ones carry a table of 16 kB that no compression makes smaller, and texts are short.
static CRC_32: Crc<u32, NoTable> = Crc::<u32, NoTable>::new(&CRC_32_ISO_HDLC);

/// CRC-32 as in ISO 3309 and RFC 1952, section 8.
pub(crate) fn crc32(bytes: &[u8]) -> u32 {
    CRC_32.checksum(bytes)
}

#[cfg(test)]
mod tests {
    /// Check value of CRC-32 over the digits 1 to 9 (ITU-T V.42 polynomial; from memory, in every catalogue of CRCs).
    #[test]
    fn the_check_value_is_that_of_the_catalogues() {
        assert_eq!(super::crc32(b"123456789"), 0xcbf4_3926);
        assert_eq!(super::crc32(b""), 0);
    }
}
