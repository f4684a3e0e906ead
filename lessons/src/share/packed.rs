//! Text packed into letters that every address may hold, and back.

use super::ShareError;
use crate::sum::crc32;
use base64::Engine;
use base64::alphabet::URL_SAFE;
use base64::engine::{DecodePaddingMode, GeneralPurpose, GeneralPurposeConfig};
use miniz_oxide::DataFormat;
use miniz_oxide::deflate::core::{CompressorOxide, TDEFLFlush, compress_to_output};
use miniz_oxide::inflate::TINFLStatus;
use miniz_oxide::inflate::core::{DecompressorOxide, decompress, inflate_flags};

/// Text that the packer has "seen" before each link, so that its words cost next to nothing. Part of version 1 of the
/// links: a letter changed here makes links that are out in the world unreadable.
const WORDS: &str = include_str!("words.txt");

/// Most bytes of text that a link may unpack to.
pub(crate) const LARGEST_TEXT: usize = 64 << 10;

/// Bytes of the check sum before the packed text.
pub(crate) const SUM: usize = 4;

/// base64url without padding (RFC 4648, section 5); stray bits at the end are refused, so a link has one spelling.
const LETTERS: GeneralPurpose = GeneralPurpose::new(
    &URL_SAFE,
    GeneralPurposeConfig::new().with_encode_padding(false).with_decode_padding_mode(DecodePaddingMode::RequireNone),
);

/// Text to letters.
pub(crate) fn pack(text: &str) -> String {
    letters_of(&pressed(text))
}

/// Letters to text.
pub(crate) fn unpack(letters: &str) -> Result<String, ShareError> {
    text_of(&bytes_of(letters)?)
}

/// Text to bytes: the check sum, then the deflated text.
pub(crate) fn pressed(text: &str) -> Vec<u8> {
    let mut bytes = crc32(text.as_bytes()).to_be_bytes().to_vec();
    // Integers only and no clock: the same bytes everywhere. Effort 9 of 10: links are made rarely.
    let mut packer = CompressorOxide::with_format_and_level(
        DataFormat::Raw,
        miniz_oxide::deflate::CompressionLevel::BestCompression,
    );
    // The words fill the packer's memory; a flush to a whole byte ends their part of the stream, which is left out.
    compress_to_output(&mut packer, WORDS.as_bytes(), TDEFLFlush::Sync, |_| true);
    compress_to_output(&mut packer, text.as_bytes(), TDEFLFlush::Finish, |part| {
        bytes.extend_from_slice(part);
        true
    });
    bytes
}

/// Bytes as letters.
pub(crate) fn letters_of(bytes: &[u8]) -> String {
    LETTERS.encode(bytes)
}

/// Letters as bytes.
pub(crate) fn bytes_of(letters: &str) -> Result<Vec<u8>, ShareError> {
    let allowed = |c: char| c.is_ascii_alphanumeric() || c == '-' || c == '_';
    if let Some((at, letter)) = letters.chars().enumerate().find(|(_, c)| !allowed(*c)) {
        return Err(ShareError::Letter { letter, place: at + 1 });
    }
    LETTERS.decode(letters).map_err(|_| ShareError::CutOff)
}

/// Bytes that [`pressed`] made, as text.
pub(crate) fn text_of(bytes: &[u8]) -> Result<String, ShareError> {
    let Some((sum, packed)) = bytes.split_at_checked(SUM).filter(|(_, packed)| !packed.is_empty()) else {
        return Err(ShareError::CutOff);
    };
    // The words stand before the text, where references into the past find them.
    let mut out = vec![0; WORDS.len() + LARGEST_TEXT];
    out[..WORDS.len()].copy_from_slice(WORDS.as_bytes());
    let mut unpacker = DecompressorOxide::new();
    let whole = inflate_flags::TINFL_FLAG_USING_NON_WRAPPING_OUTPUT_BUF;
    let (status, used, written) = decompress(&mut unpacker, packed, &mut out, WORDS.len(), whole);
    match status {
        TINFLStatus::Done if used == packed.len() => {}
        TINFLStatus::HasMoreOutput => return Err(ShareError::TooLarge),
        TINFLStatus::FailedCannotMakeProgress | TINFLStatus::NeedsMoreInput => return Err(ShareError::CutOff),
        _ => return Err(ShareError::Damaged),
    }
    let text = &out[WORDS.len()..WORDS.len() + written];
    if crc32(text).to_be_bytes() != sum {
        return Err(ShareError::Damaged);
    }
    String::from_utf8(text.to_vec()).map_err(|_| ShareError::Damaged)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// RFC 1951 streams that unpack to far more than they are: refused before memory is spent on them.
    #[test]
    fn a_bomb_is_refused() {
        let bomb = pack(&"a".repeat(4 << 20));
        assert!(bomb.len() < 8000, "{}", bomb.len());
        assert_eq!(unpack(&bomb), Err(ShareError::TooLarge));
        let most = "a".repeat(LARGEST_TEXT);
        assert_eq!(unpack(&pack(&most)).as_ref(), Ok(&most));
    }

    #[test]
    fn any_text_comes_back() {
        for text in ["", "x", "bench = \"small-mill\"\n", "\u{b5}\u{2014}\u{1f6e0}"] {
            assert_eq!(unpack(&pack(text)).as_deref(), Ok(text));
        }
    }
}
