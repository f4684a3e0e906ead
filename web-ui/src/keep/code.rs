//! A link as a QR code (ISO/IEC 18004) that a telephone reads from the screen or a print.

use qrcodegen::{QrCode, QrCodeEcc, QrSegment, Version};
use std::fmt::Write;

/// Quiet zone around the code, modules (ISO/IEC 18004: four).
pub const QUIET: usize = 4;

/// Largest version that telephones read with ease from a projector (common practice): 117 modules a side.
const LARGEST: u8 = 25;

/// A code as a drawing: one path over a square field.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Code {
    /// Side of the field with its quiet zone, modules.
    pub side: usize,
    /// The dark modules, as the outline of an SVG path in modules.
    pub path: String,
    /// Version of the code, 1 to 25.
    pub version: u8,
}

/// The code of a text; `None` when it is too long to be read with ease.
pub fn code_of(text: &str) -> Option<Code> {
    let segments = QrSegment::make_segments(text);
    let encode = |level| {
        QrCode::encode_segments_advanced(&segments, level, Version::MIN, Version::new(LARGEST), None, false).ok()
    };
    // Level M survives more smudges; L is taken where only that fits.
    let code = encode(QrCodeEcc::Medium).or_else(|| encode(QrCodeEcc::Low))?;
    let modules = code.size();
    let mut path = String::new();
    for y in 0..modules {
        let mut x = 0;
        while x < modules {
            let start = x;
            while x < modules && code.get_module(x, y) {
                x += 1;
            }
            if x > start {
                let quiet = QUIET as i32;
                let _ = write!(path, "M{} {}h{}v1h-{}z", start + quiet, y + quiet, x - start, x - start);
            }
            x += 1;
        }
    }
    Some(Code { side: modules as usize + 2 * QUIET, path, version: code.version().value() })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The drawing as light and dark points, each module `scale` points wide.
    fn painted(code: &Code, scale: usize) -> Vec<Vec<bool>> {
        let mut dark = vec![vec![false; code.side * scale]; code.side * scale];
        for run in code.path.split('z').filter(|run| !run.is_empty()) {
            let number = |text: &str| text.parse::<usize>().expect("a number");
            let (place, length) = run.trim_start_matches('M').split_once('h').expect("a run");
            let (x, y) = place.split_once(' ').expect("a place");
            let length = length.split('v').next().expect("a length");
            for row in &mut dark[number(y) * scale..(number(y) + 1) * scale] {
                row[number(x) * scale..(number(x) + number(length)) * scale].fill(true);
            }
        }
        dark
    }

    /// Against a reader that is independent of the writer: the crate rqrr.
    #[test]
    fn an_independent_reader_finds_the_same_text() {
        for shipped in lessons::shipped().into_iter().step_by(7) {
            let scene = lessons::read(shipped.id, shipped.text).expect("a scene");
            let address =
                lessons::share::address_of("https://training.example/countlight/", &lessons::share::link_of(&scene));
            let code = code_of(&address).expect("shipped scenes fit");
            let dark = painted(&code, 4);
            let side = dark.len();
            let mut image =
                rqrr::PreparedImage::prepare_from_greyscale(side, side, |x, y| if dark[y][x] { 20 } else { 250 });
            let grids = image.detect_grids();
            assert_eq!(grids.len(), 1, "{}", shipped.id);
            let (meta, text) = grids[0].decode().expect("readable");
            assert_eq!(text, address, "{}", shipped.id);
            assert_eq!(meta.version.0, usize::from(code.version));
            // The quiet zone: four modules without ink on every side.
            let quiet = 4 * QUIET;
            let clear = |x: usize, y: usize| !dark[y][x];
            assert!((0..side).all(|i| {
                (0..quiet).all(|j| clear(i, j) && clear(j, i) && clear(i, side - 1 - j) && clear(side - 1 - j, i))
            }));
        }
    }

    #[test]
    fn a_text_that_is_too_long_has_no_code() {
        assert!(code_of(&"a".repeat(1200)).is_some_and(|code| code.version == 25));
        assert_eq!(code_of(&"a".repeat(1300)), None);
    }
}
